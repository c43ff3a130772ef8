"""Whether a layout can be built: holes, leads, bodies and wires with their true sizes."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import combinations, pairwise

from buildalong.board._board import PITCH_MM, TRENCH_X, Board
from buildalong.board._bodies import Outline, depth_inside, outline_of, overlap, path_overlap
from buildalong.board._footprint import TURNS, footprint, turn_of
from buildalong.board._layout import Layout, Wire
from buildalong.board._oriented import oriented
from buildalong.board._readback import NOWHERE, strip_nets
from buildalong.board._words import hole_words, strip_words
from buildalong.circuit import Circuit, Part
from buildalong.finding import Finding, Severity
from buildalong.words import capital, listed, plainly

__all__ = ["check_change", "check_layout"]

_TIGHT_MM = 0.3
"""Bodies that overlap by less stand beside each other: leads bend that far."""
_CLASH_MM = 1.2
"""From this overlap on two bodies cannot both be there (our choice: half the width of a resistor)."""
_WIRE_MM = 1.2
"""Outer diameter of a wire with its insulation (22 AWG, from memory)."""
_LONG_MM = 120.0
"""A wire longer than this is in the way of everything (our choice)."""
_THICK_MM = 0.8
"""Thickest lead that a board takes (facts: 20 AWG, 0.8 mm; thicker damages the contacts)."""
_SPAN_SLACK = 0.15
"""How far a lead's reach may miss the span, in pitches: rails lie half a pitch out of line."""


@plainly()
def check_layout(circuit: Circuit, layout: Layout) -> list[Finding]:
    """Say what keeps the layout from being built, or makes it hard; it does not compare circuits.

    Errors: what cannot be built.  Warnings: what can, with force or care.  Notes: what to know.
    """
    placed = [part for part in circuit.parts if part.id in layout.holes]
    findings = [*_holes(circuit, layout), *_legs(placed, layout)]
    outlines = {
        part.id: outline
        for part in placed
        if (outline := outline_of(part.type, layout.board, layout.holes[part.id])) is not None
    }
    findings += [
        *_bodies(placed, layout, outlines),
        *_wires(circuit, layout, outlines),
        *_rails(circuit, layout),
        *_notes(placed, layout),
    ]
    return findings


def check_change(circuit: Circuit, old: Layout, new: Layout) -> list[Finding]:
    """What :func:`check_layout` says of the new layout and did not say of the old one."""
    before = {(f.code, f.about) for f in check_layout(circuit, old)}
    return [f for f in check_layout(circuit, new) if (f.code, f.about) not in before]


def _holes(circuit: Circuit, layout: Layout) -> Iterator[Finding]:
    owners: dict[str, str] = {}
    for name in layout.holes:
        if name not in circuit.by_id:
            yield _find(
                "error",
                "layout-unknown-part",
                f"The layout places {name}, which the circuit does not have.",
                "",
                name,
            )
    for hole, owner in layout.used():
        if hole in NOWHERE and owner in layout.holes:
            continue
        if hole not in layout.board.holes:
            near = layout.board.nearest(hole)
            yield _find(
                "error", "no-such-hole",
                f"{capital(owner)} goes into hole {hole}, "
                f"but the board {layout.board.name} has no such hole.",
                f"The nearest is {near}.", owner, hole,
            )  # fmt: skip
        elif hole in owners:
            yield _find(
                "error", "two-leads-in-one-hole",
                f"{capital(hole_words(hole))} holds {owners[hole]} and {owner}; a hole takes one lead.",
                f"Use another hole of {strip_words(layout.board.strip_of[hole])}.", owners[hole], owner, hole,
            )  # fmt: skip
        owners.setdefault(hole, owner)


def _legs(placed: Sequence[Part], layout: Layout) -> Iterator[Finding]:
    board = layout.board
    for part in placed:
        holes, body, legs = layout.holes[part.id], part.type.body, part.type.leg_names
        if len(holes) != len(legs):
            yield _find(
                "error", "wrong-number-of-holes",
                f"{part.id} has {len(legs)} legs, but {len(holes)} {'hole' if len(holes) == 1 else 'holes'}.",
                f"One hole for each leg, in this order: {listed(legs)}.", part.id,
            )  # fmt: skip
            continue
        if any(hole not in board.holes for hole in holes) or body.kind == "off-board":
            continue
        if body.legs:
            yield from _rigid(part, layout)
        elif len(holes) == 2:
            reach = math.dist(board.holes[holes[0]], board.holes[holes[1]])
            low, high = body.span
            if not low - _SPAN_SLACK <= reach <= high + _SPAN_SLACK:
                yield _find(
                    "error", "lead-span",
                    f"{part.id}'s leads are {reach * PITCH_MM:.1f} mm apart in {listed(holes)}; they reach"
                    f" {low * PITCH_MM:.1f} to {high * PITCH_MM:.1f} mm.",
                    f"Choose holes {low} to {high} holes apart.", part.id,
                )  # fmt: skip


def _rigid(part: Part, layout: Layout) -> Iterator[Finding]:
    board, holes = layout.board, layout.holes[part.id]
    turn = turn_of(part.type, board, holes)
    across = part.type.body.straddles
    if turn is None:
        fitting = _fitting(part, layout)
        yield _find(
            "error", "legs-do-not-fit",
            f"{part.id}'s legs cannot reach {listed(holes)}: the {part.type.noun} is rigid"
            + (" and stands across the trench." if across else "."),
            f"From the first leg on, these fit: {fitting}." if fitting else
            f"Its legs, in order: {listed(part.type.leg_names)}.", part.id,
        )  # fmt: skip
        return
    xs = [board.holes[hole][0] for hole in holes]
    if across and not min(xs) < TRENCH_X < max(xs):
        yield _find(
            "error", "not-across-the-trench",
            f"{part.id} must stand across the trench; in {listed(holes)} its legs are joined in pairs.",
            "Use the columns e and f.", part.id,
        )  # fmt: skip


def _fitting(part: Part, layout: Layout) -> str:
    """The nearest holes that the legs would reach, free and for most of them as given; '' for none."""
    board, given = layout.board, layout.holes[part.id]
    taken = {hole for hole, owner in layout.used() if owner != part.id}
    turns = TURNS if not part.type.body.straddles else (0, 180)
    best: tuple[float, float, tuple[str, ...]] | None = None
    for turn in turns:
        spots = footprint(part.type, turn)
        for x0, y0 in board.holes.values():
            found = [board.hole_at(x0 + x, y0 + y) for x, y in spots]
            holes = tuple(hole for hole in found if hole is not None)
            if len(holes) < len(spots) or taken.intersection(holes) or not _stands(part, board, holes):
                continue
            way = sum(math.dist(board.holes[a], board.holes[b]) for a, b in zip(given, holes, strict=True))
            fit = (len(set(holes) - set(given)), round(way, 6), holes)
            best = fit if best is None or fit[:2] < best[:2] else best
    return listed(best[2]) if best else ""


def _stands(part: Part, board: Board, holes: Sequence[str]) -> bool:
    """Whether no leg is in a rail, and a part that belongs across the trench stands across it."""
    xs = [board.holes[hole][0] for hole in holes]
    on_rail = any(board.strip_of[hole][:2] in board.rails for hole in holes)
    return not on_rail and (not part.type.body.straddles or min(xs) < TRENCH_X < max(xs))


def _bodies(placed: Sequence[Part], layout: Layout, outlines: dict[str, Outline]) -> Iterator[Finding]:
    told: set[tuple[str, str]] = set()
    for one, other in combinations(outlines, 2):
        depth = overlap(outlines[one], outlines[other])
        if depth > _TIGHT_MM:
            told |= {(one, other), (other, one)}
            clash = depth >= _CLASH_MM
            yield _find(
                "error" if clash else "warning", "bodies-collide" if clash else "bodies-touch",
                f"{one} and {other} are in each other's way: their bodies overlap by {depth:.1f} mm.",
                "Move one of them by a row." if clash else "Bend them apart, or move one of them.",
                one, other,
            )  # fmt: skip
    rigid = {part.id for part in placed if part.type.body.kind != "radial"}
    for hole, owner in layout.used():
        if hole not in layout.board.holes:
            continue
        for name, outline in outlines.items():
            depth = depth_inside(layout.board.holes[hole], outline)
            if name != owner and (name, owner) not in told and depth > _TIGHT_MM:
                blocked = name in rigid
                yield _find(
                    "error" if blocked else "warning", "hole-under-body",
                    f"{capital(hole_words(hole))}, used by {owner}, lies under {name}.",
                    "Use another hole of the same strip.", owner, name, hole,
                )  # fmt: skip


def _wires(circuit: Circuit, layout: Layout, outlines: dict[str, Outline]) -> Iterator[Finding]:
    board = layout.board
    used = {hole: owner for hole, owner in layout.used() if hole in board.holes}
    for number, wire in enumerate(layout.wires, start=1):
        name = f"wire {number}"
        if wire.start not in board.holes or wire.end not in board.holes:
            continue
        if board.strip_of[wire.start] == board.strip_of[wire.end]:
            strip = strip_words(board.strip_of[wire.start])
            yield _find(
                "note", "wire-joins-nothing", f"Both ends of {name} are in {strip}.", "Leave it out.", name
            )
        points = _points(wire, layout)
        length = sum(math.dist(a, b) for a, b in pairwise(points)) * PITCH_MM
        if length > _LONG_MM:
            yield _find(
                "warning", "wire-long", f"{capital(name)} is {length:.0f} mm long.",
                "Bring what it joins closer together, or use a rail.", name,
            )  # fmt: skip
        if wire.style == "flexible":
            continue
        for part, outline in outlines.items():
            if max(path_overlap(a, b, outline, _WIRE_MM) for a, b in pairwise(points)) > _TIGHT_MM:
                yield _find(
                    "warning", "wire-through-body",
                    f"{capital(name)} ({wire.start} to {wire.end}) runs through {part}.",
                    "Lay it around the part.", name, part,
                )  # fmt: skip
        for hole, owner in used.items():
            if hole not in (wire.start, wire.end) and _on_path(board.holes[hole], points):
                yield _find(
                    "warning", "wire-over-hole",
                    f"{capital(name)} ({wire.start} to {wire.end}) lies over {hole_words(hole)},"
                    f" where {owner} is.",
                    "Lay it one column further.", name, hole,
                )  # fmt: skip


def _points(wire: Wire, layout: Layout) -> list[tuple[float, float]]:
    return [layout.board.holes[wire.start], *wire.path, layout.board.holes[wire.end]]


def _on_path(place: tuple[float, float], points: Sequence[tuple[float, float]]) -> bool:
    """Whether a straight piece of the path runs over the place (within a tenth of a pitch)."""
    for (x0, y0), (x1, y1) in pairwise(points):
        dx, dy = x1 - x0, y1 - y0
        square = dx * dx + dy * dy
        if square < 1e-9:
            continue
        t = min(max(((place[0] - x0) * dx + (place[1] - y0) * dy) / square, 0.0), 1.0)
        if math.dist(place, (x0 + t * dx, y0 + t * dy)) < 0.1:
            return True
    return False


def _notes(placed: Sequence[Part], layout: Layout) -> Iterator[Finding]:
    chips: dict[int, list[str]] = {}
    for part in placed:
        if part.type.body.shape == "dip":
            turn = turn_of(part.type, layout.board, layout.holes[part.id])
            if turn is not None:
                chips.setdefault(turn, []).append(part.id)
        if part.type.body.kind != "off-board" and part.type.body.lead >= _THICK_MM:
            yield _find(
                "note", "lead-thick",
                f"{part.id}'s leads are {part.type.body.lead:.1f} mm thick, the most that a board takes.",
                "Push them in straight; the contacts may stay wider for thin leads.", part.id,
            )  # fmt: skip
    if len(chips) > 1:
        first, second = (ids[0] for ids in list(chips.values())[:2])
        yield _find(
            "note", "chips-look-apart", f"The notches of {first} and {second} look in different directions.",
            "Let all chips look the same way, so that nobody turns one round.", first, second,
        )  # fmt: skip


def _rails(circuit: Circuit, layout: Layout) -> Iterator[Finding]:
    """Rails that carry another net than the one for which they are marked."""
    rails = {layout.board.rail_of(hole) for hole, _ in layout.used() if hole in layout.board.holes} - {None}
    if not rails or not any(part.type.family == "supply" for part in circuit.parts):
        return
    meant = {"+": circuit.plus, "-": circuit.ground}
    for strip, net in strip_nets(oriented(circuit, layout), layout).items():
        if strip[:2] in rails and net != meant[strip[1]]:
            hole, owner = next(
                ((h, o) for h, o in layout.used() if layout.board.strip_of.get(h) == strip), ("", "")
            )
            if owner:
                yield _find(
                    "warning", "rail-other-net",
                    f"{capital(strip_words(strip))}, which is marked for {meant[strip[1]]}, carries {net}.",
                    "Use a row, or the rail of the right mark; whoever trusts the marks shorts the supply.",
                    owner, hole,
                )  # fmt: skip


def _find(severity: str, code: str, message: str, hint: str, *about: str) -> Finding:
    return Finding(Severity[severity.upper()], code, message, hint, about=about)
