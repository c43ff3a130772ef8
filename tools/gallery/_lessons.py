"""What the articles of the demos show: boards, steps, close-ups, insides, waveforms."""

from __future__ import annotations

from collections.abc import Iterator

from tools.gallery._desk import Desk
from tools.gallery._exhibit import Exhibit

from buildalong.drawing import HIGH_CONTRAST, Picture, board_picture, tilted_picture, waveforms
from buildalong.drawing.inside import inside_picture, looks, usual
from buildalong.publish import cards_html

__all__ = ["boards", "cards", "closeups", "insides", "motion", "steps", "tilted", "variants", "waves"]


def boards(desk: Desk) -> Iterator[Exhibit]:
    """The finished board of each demo, plain and with its nets named."""
    for demo in desk.choice.demos:
        pictures = desk.pictures(demo)
        yield from _some(demo, "finished board", pictures.board)
        yield from _some(demo, "nets tinted and named", pictures.nets)


def tilted(desk: Desk) -> Iterator[Exhibit]:
    """The finished board of each demo from above and aside."""
    for demo in desk.choice.demos:
        yield from _some(demo, "tilted", desk.pictures(demo).tilted)


def cards(desk: Desk) -> Iterator[Exhibit]:
    """The part cards of each demo, to be printed."""
    for demo in desk.choice.demos:
        html = cards_html(desk.compiled(demo), desk.pictures(demo))
        yield Exhibit(f"Part cards: {demo}", "", None, page=html)


def steps(desk: Desk) -> Iterator[Exhibit]:
    """Every step of each demo."""
    for demo in desk.choice.demos:
        told = {step.number: step for step in desk.compiled(demo).steps}
        for number, picture in desk.pictures(demo).steps.items():
            step = told[number]
            yield Exhibit(f"{demo}, step {number}: {step.title}", f"{step.text} {step.why}".strip(), picture)


def motion(desk: Desk) -> Iterator[Exhibit]:
    """The moving pictures of each demo, held still: the whole build, and the work at half its time."""
    for demo in desk.choice.demos:
        pictures = desk.pictures(demo)
        if pictures.build is not None:
            yield Exhibit(f"{demo}: the build", "As it stands at its end.", pictures.build.picture)
        for trial, work in pictures.trials.work.items():
            at = sum(work.span) / 2
            yield Exhibit(f"{demo}, {trial}", f"At {at:.3g} s.", work.at(at))


def closeups(desk: Desk) -> Iterator[Exhibit]:
    """Right and wrong side by side, beside each step that has it."""
    for demo in desk.choice.demos:
        for number, pair in desk.pictures(demo).closeups.items():
            for picture in pair:
                yield Exhibit(f"{demo}, step {number}", picture.alt, picture)


def variants(desk: Desk) -> Iterator[Exhibit]:
    """Each demo's board for a left hand, and black on white for weak eyes."""
    for demo in desk.choice.demos:
        compiled = desk.compiled(demo)
        if compiled.layout is None:
            continue
        circuit, layout = compiled.circuit, compiled.layout
        left = board_picture(
            circuit, layout, muted=False, highlight_holes=False, crop="auto", view="half-turned"
        )
        strong = board_picture(
            circuit, layout, muted=False, highlight_holes=False, crop="auto", tone=HIGH_CONTRAST
        )
        yield from _some(demo, "for a left hand", left)
        yield from _some(demo, "high contrast", strong)
        yield from _some(demo, "high contrast, tilted", tilted_picture(circuit, layout, tone=HIGH_CONTRAST))
        for name, run in list(compiled.runs.items())[:1]:
            yield from _some(
                demo, "high contrast, waveforms", waveforms(run, layout=layout, tone=HIGH_CONTRAST)
            )
            for part in usual(run):
                found = looks(run, part, compiled.stories.get(name, ()))
                if found:
                    picture = inside_picture(found[0].state, tone=HIGH_CONTRAST)
                    yield Exhibit(f"{demo}: high contrast, inside {part}", found[0].caption, picture)


def insides(desk: Desk) -> Iterator[Exhibit]:
    """The inside of the ICs of each demo: the strip of moments, and the first moment by itself."""
    for demo in desk.choice.demos:
        compiled = desk.compiled(demo)
        for part, picture in desk.pictures(demo).trials.strips.items():
            yield Exhibit(f"{demo}, inside {part}: a strip", "Moments of the story, in order.", picture)
        for name, run in list(compiled.runs.items())[:1]:
            for part in usual(run):
                found = looks(run, part, compiled.stories.get(name, ()))
                if found:
                    picture = inside_picture(found[0].state)
                    yield Exhibit(f"{demo}, inside {part}: one moment", found[0].caption, picture)


def waves(desk: Desk) -> Iterator[Exhibit]:
    """The waveforms of each trial, with band and formula where it tells a story in full."""
    for demo in desk.choice.demos:
        for (trial, view), picture in desk.pictures(demo).trials.waveforms.items():
            told = "the told beginning" if view else "the whole trial"
            yield Exhibit(f"{demo}, {trial}", told, picture)


def _some(demo: str, what: str, picture: Picture | None) -> Iterator[Exhibit]:
    if picture is not None:
        yield Exhibit(f"{demo}: {what}", "", picture)
