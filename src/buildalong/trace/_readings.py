"""All readings that a build allows: where to look, what to press, and between which holes to measure."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import combinations

from buildalong.board import Layout, hole_words, outline_of, strip_nets, strip_words, the_wire
from buildalong.circuit import Circuit
from buildalong.mistakes import Lab, Window, wire_name
from buildalong.trace import _words as words
from buildalong.trace._effort import EFFORT
from buildalong.trace._forecast import spans_at
from buildalong.trace._reading import Reading
from buildalong.trace._split import spans_words
from buildalong.words import say, with_unit

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
        valued = circuit.by_id[name].value is not None
        text = say(words.LOOK_VALUE if valued else words.LOOK_KIND, part=name)
        yield Reading(f"look-{name}", "look", text, say(words.AS_STEP), EFFORT["look"], name)
    for index, wire in enumerate(layout.wires):
        name = wire_name(index)
        text = say(words.LOOK_WIRE, wire=the_wire(wire))
        yield Reading(_id("look", name), "look", text, say(words.AS_STEP), EFFORT["look"], name)
    if layout.board.rail_holes:
        text = say(words.LOOK_RAILS)
        yield Reading("look-rails", "look", text, say(words.NO_GAP), EFFORT["look"], "rails")
    for name in parts:
        text = say(words.PRESS_PART, part=name)
        yield Reading(
            f"press-{name}", "press", text, say(words.ANSWERS["press"]["no"]), EFFORT["press"], name
        )
    for index, wire in enumerate(layout.wires):
        name = wire_name(index)
        text = say(words.PRESS_WIRE, wire=the_wire(wire))
        yield Reading(
            _id("press", name), "press", text, say(words.ANSWERS["press"]["no"]), EFFORT["press"], name
        )
    for name in parts:
        text = say(words.FEEL, part=name)
        yield Reading(f"feel-{name}", "feel", text, say(words.ANSWERS["feel"]["no"]), EFFORT["feel"], name)


def _volts(
    circuit: Circuit, layout: Layout, windows: Sequence[Window], probes: dict[str, str],
    names: dict[str, str], lab: Lab,
) -> Iterator[Reading]:  # fmt: skip
    black = _black(circuit, layout, probes, names)
    if black is None:
        return
    for number, window in enumerate(windows):
        start, end = (with_unit(f"{time:.3g}", "s") for time in (window.start, window.end))
        for strip, hole in probes.items():
            if strip == black:
                continue
            text = say(
                words.VOLTS, red=_probe_words(hole, strip), black=_probe_words(probes[black], black),
                when=window.words, trial=lab.trials[window.trial].name, start=start, end=end,
            )  # fmt: skip
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
        places = (_probe_words(probes[one], one), _probe_words(probes[other], other))
        text = say(words.CONTINUITY, one=places[0], other=places[1])
        yield Reading(
            _id("joined", one, other), "continuity", text,
            say(words.ANSWERS["continuity"]["yes" if same else "no"]),
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
