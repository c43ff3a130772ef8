"""A run to be looked at moment by moment: pictures whose lights and numbers a page changes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from buildalong.board import Layout
from buildalong.drawing import _palette as palette
from buildalong.drawing._board import board_picture
from buildalong.drawing._course import course_of
from buildalong.drawing._frame import View
from buildalong.drawing._palette import Tone
from buildalong.drawing._picture import Picture
from buildalong.drawing._series import high_intervals, straightened, thinned
from buildalong.drawing._watch import usual_traces
from buildalong.drawing.inside import inside_picture, moment_at, state_at, usual
from buildalong.drawing.schematic import SchematicLayout, live_picture
from buildalong.engine import Run

__all__ = ["Inside", "Replay", "replay_of"]

MOST_NETS, MOST_STATES, MOST_EVENTS = 24, 8, 200
"""More nets, more different looks inside an IC, or more events in it than this are not followed."""
FINE, SLACK = 0.003, 5e-4
"""A curve strays by at most this share of its range, and by this share of the time."""
Curve = tuple[tuple[float, ...], tuple[float, ...]]


@dataclass(frozen=True)
class Inside:
    """The inside of an IC: a picture of each state, and from when [s] which of them holds."""

    pictures: tuple[Picture, ...]
    since: tuple[tuple[float, int], ...]


@dataclass(frozen=True)
class Replay:
    """What a page needs to show any moment of a run between the times of ``span`` [s].

    ``curves``: times [s] and voltages [V] by net, straight between them; ``on``: when a light shines or a
    button is pressed, as (from, to) [s].
    """

    trial: str
    span: tuple[float, float]
    curves: Mapping[str, Curve]
    on: Mapping[str, tuple[tuple[float, float], ...]]
    board: Picture | None
    schematic: Picture
    inside: Mapping[str, Inside]


def replay_of(
    run: Run, span: tuple[float, float], board: Layout | None, schematic: SchematicLayout, standard: str,
    *, view: View = "top", tone: Tone = palette.PLAIN,
) -> Replay:  # fmt: skip
    """Prepare a run; the pictures show the moment at which ``span`` begins, every light at work."""
    circuit = run.circuit
    nets = [net for net in run.nets if net in circuit.nets and net != circuit.ground][:MOST_NETS]
    curves = dict(_curves(run, nets, span))
    now = {net: volts[0] for net, (_, volts) in curves.items()}
    widest = {
        net: (-88.8 if max(map(abs, volts)) >= 10 else -8.88) * (1 if min(volts) < -5e-3 else -1)
        for net, (_, volts) in curves.items()
    }
    items = [name for name in usual_traces(run) if name not in run.nets and course_of(run, name) is None]
    picture = None
    if board is not None:
        picture = board_picture(
            circuit, board, muted=False, highlight_holes=False, values=False, crop="auto", view=view,
            active=items, live=True, tone=tone,
        )  # fmt: skip
    return Replay(
        run.trial.name, span, curves, {name: tuple(_within(run, name, span)) for name in items}, picture,
        live_picture(circuit, schematic, now, widest, standard=standard, tone=tone),
        {part: found for part in usual(run) if (found := _inside(run, part, span, tone)) is not None},
    )  # fmt: skip


def _curves(run: Run, nets: list[str], span: tuple[float, float]) -> Iterator[tuple[str, Curve]]:
    for net in nets:
        t, v = thinned(run.times, run.voltage(net), *span)
        t, v = straightened(t, v, (span[1] - span[0]) * SLACK, FINE)
        yield net, (tuple(map(float, t)), tuple(map(float, v)))


def _within(run: Run, name: str, span: tuple[float, float]) -> Iterator[tuple[float, float]]:
    for start, end in high_intervals(run, name):
        if end > span[0] and start < span[1]:
            yield max(start, span[0]), min(end, span[1])


def _inside(run: Run, part: str, span: tuple[float, float], tone: Tone) -> Inside | None:
    """Its states in the span; None where they change too often, or are too many, to be followed."""
    times = sorted({e.time for e in run.events if e.part == part and e.time <= span[1]})
    if len(times) > MOST_EVENTS:
        return None
    pictures: dict[object, Picture] = {}
    since: list[tuple[float, int]] = []
    for time in (span[0], *(time for time in times if time > span[0])):
        state = state_at(run, part, moment_at(run, time))
        if state.key not in pictures:
            pictures[state.key] = inside_picture(state, tone=tone, live=True)
        place = list(pictures).index(state.key)
        if not since or since[-1][1] != place:
            since.append((float(time), place))
    return Inside(tuple(pictures.values()), tuple(since)) if len(pictures) <= MOST_STATES else None
