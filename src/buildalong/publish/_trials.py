"""The pictures of the trials: waveforms, the circuit at work, the inside of its ICs."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from buildalong.drawing import (
    PLAIN,
    Mark,
    Picture,
    Tone,
    View,
    tolerance_band,
    usual_ideals,
    usual_traces,
    waveforms,
)
from buildalong.drawing.inside import inside_picture, inside_strip, looks, usual
from buildalong.drawing.motion import Motion, Replay, replay_of, work_motion
from buildalong.drawing.schematic import STANDARDS, SchematicLayout
from buildalong.engine import Options, Run
from buildalong.lesson import Compiled
from buildalong.story import Sentence

__all__ = ["Inner", "TrialPictures", "draw_trials", "replay_of_trials", "work_of"]


@dataclass(frozen=True, slots=True)
class Inner:
    """One look inside an IC: the picture, the sentence that tells it and its number in the story."""

    picture: Picture
    caption: str
    mark: str


@dataclass(frozen=True)
class TrialPictures:
    """The pictures of all trials; each IC is looked into once, in the first trial in which it does much."""

    waveforms: dict[tuple[str, str], Picture] = field(default_factory=dict)
    """By trial and view: "closer" is the told beginning, "" the whole trial."""
    marks: dict[tuple[str, int], str] = field(default_factory=dict)
    """By trial and index of the sentence: the number that the waveforms give it."""
    work: dict[str, Motion] = field(default_factory=dict)
    """By trial: the circuit at work."""
    inside: dict[tuple[str, str], tuple[Inner, ...]] = field(default_factory=dict)
    """By trial and IC: the moments inside it."""
    strips: dict[str, Picture] = field(default_factory=dict)
    """By IC: the same moments as one picture."""


def draw_trials(compiled: Compiled, tell: Callable[[str], None], tone: Tone = PLAIN) -> TrialPictures:
    """Draw what happens in each trial; ``tell`` hears what is being drawn."""
    out = TrialPictures()
    for number, (name, run) in enumerate(compiled.runs.items(), start=1):
        tell(f"waveforms of trial {number}")
        story = compiled.stories.get(name, ())
        told = _marks(story, run)
        out.marks.update({(name, index): mark.number for index, mark in told.items()})
        marks = tuple(told.values())
        span = _told_span(marks, run)
        if span is not None:
            out.waveforms[name, "closer"] = _told_waves(compiled, run, marks, span, tone)
            out.waveforms[name, ""] = waveforms(run, layout=compiled.layout, tone=tone)
        else:
            out.waveforms[name, ""] = _told_waves(compiled, run, marks, _whole(run), tone)
        tell(f"trial {number} at work")
        out.work[name] = work_of(compiled, name, f"w{number}", tone=tone)
        for part in usual(run):
            if part not in out.strips:
                tell(f"inside {part}")
                _look_inside(out, name, run, part, story, tone)
    return out


def replay_of_trials(
    compiled: Compiled, schematic: SchematicLayout, view: View = "top", tone: Tone = PLAIN
) -> Replay | None:
    """The first trial of which something is told, moment by moment; None where there is none."""
    for name, run in compiled.runs.items():
        marks = tuple(_marks(compiled.stories.get(name, ()), run).values())
        if marks:
            standard = STANDARDS[compiled.lesson.symbols]
            span = _told_span(marks, run) or _whole(run)
            return replay_of(run, span, compiled.layout, schematic, standard, view=view, tone=tone)
    return None


def work_of(
    compiled: Compiled, trial: str, key: str, *, text: float = 1.0, tone: Tone = PLAIN, paced: bool = True
) -> Motion:
    """The circuit at work in a trial while its story is told; arguments as in work_motion."""
    run = compiled.runs[trial]
    marks = tuple(_marks(compiled.stories.get(trial, ()), run).values())
    span = _told_span(marks, run) or _whole(run)
    layout = compiled.layout
    return work_motion(run, span, key, marks, text=text, layout=layout, tone=tone, paced=paced)


def _whole(run: Run) -> tuple[float, float]:
    return 0.0, float(run.times[-1])


def _look_inside(
    out: TrialPictures, name: str, run: Run, part: str, story: Sequence[Sentence], tone: Tone
) -> None:
    found = looks(run, part, story)
    if len(found) > 1:
        numbers = [out.marks.get((name, look.index), "") for look in found]
        out.strips[part] = inside_strip(found, numbers, tone=tone)
        out.inside[name, part] = tuple(
            Inner(inside_picture(look.state, tone=tone), look.caption, number)
            for look, number in zip(found, numbers, strict=True)
        )


def _marks(story: Sequence[Sentence], run: Run) -> dict[int, Mark]:
    """Number the sentences that tell of a moment of the run."""
    moments = [index for index, s in enumerate(story) if s.events and s.time <= float(run.times[-1])]
    return {index: Mark(story[index].time, str(number)) for number, index in enumerate(moments, start=1)}


def _told_span(marks: tuple[Mark, ...], run: Run) -> tuple[float, float] | None:
    """The time the story tells in full, where it is a small part of the trial."""
    whole = float(run.times[-1])
    end = max((mark.time for mark in marks), default=0.0) * 1.15
    return (0.0, end) if 0 < end < 0.5 * whole else None


def _told_waves(
    compiled: Compiled, run: Run, marks: tuple[Mark, ...], span: tuple[float, float], tone: Tone
) -> Picture:
    """The waveforms of the told time: numbered moments, the band of other builds, the formula beside."""
    bounce = compiled.lesson.bounces.get(run.trial.name, 0.0)
    band = tolerance_band(run, usual_traces(run), span, options=Options(bounce=bounce))
    measured = {name: figure.quantity for name, figure in compiled.figures.items()}
    return waveforms(
        run,
        marks=marks,
        span=span,
        band=band,
        ideals=usual_ideals(run, compiled.sheet, measured, span),
        layout=compiled.layout,
        tone=tone,
    )
