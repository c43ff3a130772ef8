"""All readings that a build allows: where to look, what to press, and between which holes to measure."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import combinations

from buildalong.board import Layout, hole_words, outline_of, strip_nets, strip_words
from buildalong.circuit import Circuit
from buildalong.mistakes import Lab, Window, wire_name
from buildalong.trace._effort import EFFORT
from buildalong.trace._forecast import spans_at
from buildalong.trace._reading import Reading
from buildalong.trace._split import spans_words

__all__ = ["all_readings"]

NEAR = 2
"""Strips of different nets at most so many rows apart are tried for a joint that should not be."""


def all_readings(lab: Lab) -> tuple[Reading, ...]:
    """Every reading of a build, in a fixed order."""
    circuit, layout = lab.circuit, lab.layout
    probes = _probes(circuit, layout)
    names = strip_nets(circuit, layout)
    return (
        *_looks(circuit, layout),
        *_volts(circuit, layout, lab.windows, probes, names, lab),
        *_continuities(layout, probes, names),
    )


def _looks(circuit: Circuit, layout: Layout) -> Iterator[Reading]:
    parts = [p.id for p in circuit.parts if p.id in layout.holes]
    for name in parts:
        text = f"Look at {name}: compare its holes, its direction and its value with its step."
        yield Reading(f"look-{name}", "look", text, "as its step shows", EFFORT["look"], name)
    for index, wire in enumerate(layout.wires):
        name = wire_name(index)
        where = f"from {hole_words(wire.start)} to {hole_words(wire.end)}"
        text = f"Look at the {wire.colour} wire {where}: is it there, and do both ends stand in these holes?"
        yield Reading(_id("look", name), "look", text, "as its step shows", EFFORT["look"], name)
    if layout.board.rail_holes:
        text = "Look at the lines beside the rails: is any of them interrupted in the middle of the board?"
        yield Reading("look-rails", "look", text, "no gap", EFFORT["look"], "rails")
    for name in parts:
        text = f"Press {name} gently, lead by lead, while the circuit runs: does anything change?"
        yield Reading(f"press-{name}", "press", text, "nothing changes", EFFORT["press"], name)
    for index, wire in enumerate(layout.wires):
        name = wire_name(index)
        text = (
            f"Press both ends of the {wire.colour} wire from {hole_words(wire.start)} to "
            f"{hole_words(wire.end)} while the circuit runs: does anything change?"
        )
        yield Reading(_id("press", name), "press", text, "nothing changes", EFFORT["press"], name)
    for name in parts:
        text = f"Touch {name} with the back of a finger: is it warm?"
        yield Reading(f"feel-{name}", "feel", text, "not warm", EFFORT["feel"], name)


def _volts(
    circuit: Circuit, layout: Layout, windows: Sequence[Window], probes: dict[str, str],
    names: dict[str, str], lab: Lab,
) -> Iterator[Reading]:  # fmt: skip
    black = _black(circuit, layout, probes, names)
    if black is None:
        return
    for number, window in enumerate(windows):
        trial = lab.trials[window.trial].name
        when = f"{window.words} (trial '{trial}', {window.start:.3g} s to {window.end:.3g} s)"
        for strip, hole in probes.items():
            if strip == black:
                continue
            text = (
                f"Measure the voltage with the red probe in {_probe_words(hole, strip)} and the black probe "
                f"in {_probe_words(probes[black], black)}, {when}."
            )
            reading = Reading(
                _id("volts", str(number + 1), strip), "volts", text, "", EFFORT["volts"],
                holes=(hole, probes[black]), strips=(strip, black), window=number,
            )  # fmt: skip
            yield replace(reading, expected=spans_words(spans_at(reading, lab.right)))


def _continuities(layout: Layout, probes: dict[str, str], names: dict[str, str]) -> Iterator[Reading]:
    for one, other in combinations(probes, 2):
        same = names[one] == names[other]
        if not same and not _beside(one, other):
            continue
        text = (
            f"Take the supply off and test for continuity between {_probe_words(probes[one], one)} and "
            f"{_probe_words(probes[other], other)}."
        )
        yield Reading(
            _id("joined", one, other), "continuity", text, "joined" if same else "not joined",
            EFFORT["continuity"], holes=(probes[one], probes[other]), strips=(one, other),
        )  # fmt: skip


def _beside(one: str, other: str) -> bool:
    """Whether two strips lie so near that a slip of the hand joins them."""
    if one[0] in "LR" or other[0] in "LR":
        return one[0] == other[0] and one[:2] != other[:2]
    return abs(int(one[:-1]) - int(other[:-1])) <= NEAR if one[-1] == other[-1] else one[:-1] == other[:-1]


def _probes(circuit: Circuit, layout: Layout) -> dict[str, str]:
    """Strip -> a hole of it that takes a probe: free, and under no body; strips that carry a net only."""
    taken = {hole for hole, _ in layout.used()}
    outlines = [
        outline
        for part in circuit.parts
        if part.id in layout.holes
        and (outline := outline_of(part.type, layout.board, layout.holes[part.id])) is not None
    ]
    out: dict[str, str] = {}
    for strip in strip_nets(circuit, layout):
        holes = [h for h in layout.board.strips[strip] if h not in taken]
        if strip.endswith("R"):
            holes = holes[::-1]
        open_ones = [h for h in holes if not any(_inside(layout.board.holes[h], o) for o in outlines)]
        if open_ones:
            out[strip] = open_ones[0]
    return out


def _inside(place: tuple[float, float], outline: tuple[tuple[float, float], ...]) -> bool:
    """Whether a point lies in a convex outline."""
    x, y = place
    signs = set()
    for (x0, y0), (x1, y1) in zip(outline, (*outline[1:], outline[0]), strict=True):
        signs.add((x1 - x0) * (y - y0) - (y1 - y0) * (x - x0) > 0)
    return len(signs) == 1


def _black(circuit: Circuit, layout: Layout, probes: dict[str, str], names: dict[str, str]) -> str | None:
    """The strip of 0 V at which the black probe stays: where the supply's minus comes in, if it can."""
    ground = [s for s in probes if names[s] == circuit.ground]
    supply = layout.holes.get(circuit.supply.id, ())
    first = [layout.board.strip_of[h] for h in supply if h in layout.board.strip_of]
    return min(ground, key=lambda s: (s not in first, ground.index(s)), default=None)


def _probe_words(hole: str, strip: str) -> str:
    return hole_words(hole) if strip[0] in "LR" else f"{hole_words(hole)} ({strip_words(strip)})"


def _id(*words: str) -> str:
    return "-".join(word.replace(" ", "") for word in words)
