"""A layout from an author's table of holes and wires."""

from __future__ import annotations

import difflib
from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace

from buildalong.board._board import Board
from buildalong.board._colours import net_colours
from buildalong.board._layout import Layout, Wire
from buildalong.board._readback import strip_nets
from buildalong.board._wire_words import Style, WordError, read_wire
from buildalong.circuit import Circuit
from buildalong.finding import Finding, Severity
from buildalong.words import capital, listed, plainly

__all__ = ["coloured", "layout_from", "uncoloured"]

_MOST_WIRES = 400


@plainly()
def layout_from(
    board: Board,
    circuit: Circuit,
    holes: Mapping[str, Sequence[str]],
    wires: Sequence[Sequence[str]] = (),
    style: Style = "formed",
    crowded: bool = False,
) -> tuple[Layout | None, list[Finding]]:
    """Make a layout from an author's table; nothing is raised for the author's mistakes.

    ``holes``: part -> one hole for each leg, in leg order, "-" for a lead in no hole; ``wires``: the
    words of each wire, as of read_wire; ``style`` is meant where they name none; ``crowded``: two leads
    may be given to one hole, as for mending.  Wires get the net
    that they carry and, where no colour is named, its usual colour.  Parts may be left out (the
    placer puts them down).  The layout is None where a finding is an error.
    """
    findings: list[Finding] = []
    owners: dict[str, str] = {}
    wanted = {board.spell(str(text)) for given in (*holes.values(), *wires) for text in given}
    placed: dict[str, tuple[str, ...]] = {}

    def take(text: object, owner: str, about: str) -> str | None:
        name = board.spell(str(text))
        if name not in board.holes:
            findings.append(_no_hole(board, str(text), owner, about))
            return None
        if name in owners and not crowded:
            findings.append(
                Finding(
                    Severity.ERROR,
                    "two-leads-in-one-hole",
                    f"Hole {name} is given to {owners[name]} and to {owner}; a hole takes one lead.",
                    hint=_free_hint(board, name, wanted),
                    about=(about, name),
                )
            )
            return None
        owners[name] = owner
        return name

    for part_id, given in holes.items():
        part = circuit.by_id.get(part_id)
        if part is None:
            near = difflib.get_close_matches(part_id, circuit.by_id, n=1, cutoff=0.4)
            findings.append(
                Finding(
                    Severity.ERROR,
                    "layout-unknown-part",
                    f"The layout places {part_id}, but the circuit has no part of that name.",
                    hint=f"Did you mean {near[0]}?" if near else "Take the line out or add the part.",
                    about=(part_id,),
                )
            )
            continue
        legs = part.type.leg_names
        if isinstance(given, str) or len(given) != len(legs):
            count = 1 if isinstance(given, str) else len(given)
            findings.append(
                Finding(
                    Severity.ERROR,
                    "wrong-number-of-holes",
                    f"{part_id} ({part.type.noun}) has {len(legs)} legs, but the layout gives"
                    f" {count} {'hole' if count == 1 else 'holes'}.",
                    hint=f"Give one hole for each leg, in this order: {listed(legs)}.",
                    about=(part_id,),
                )
            )
            continue
        found = [
            "-" if text == "-" else take(text, f"{part_id}'s leg {leg}", part_id)
            for leg, text in zip(legs, given, strict=True)
        ]
        if None not in found:
            placed[part_id] = tuple(name for name in found if name is not None)

    done: list[Wire] = []
    if len(wires) > _MOST_WIRES:
        findings.append(
            Finding(
                Severity.ERROR,
                "too-many-wires",
                f"The layout lists {len(wires)} wires; {_MOST_WIRES} is the most that is read.",
                hint="Take out the wires that join nothing new.",
            )
        )
    for number, words in enumerate(wires if len(wires) <= _MOST_WIRES else (), start=1):
        owner = f"wire {number}"
        given = (words,) if isinstance(words, str) else words
        try:
            read = read_wire(board, [str(word) for word in given], capital(owner))
        except WordError as error:
            hint = error.hint
            findings.append(
                Finding(
                    Severity.ERROR,
                    error.code,
                    str(error),
                    hint,
                    about=(owner, str(given[error.number])[:40]) if given else (owner,),
                )
            )
            continue
        start, end = take(read.start, owner, owner), take(read.end, owner, owner)
        if start is not None and end is not None:
            done.append(Wire(start, end, read.colour, read.style or style, read.path))

    if any(finding.severity >= Severity.ERROR for finding in findings):
        return None, findings
    return coloured(circuit, Layout(board, placed, tuple(done))), findings


def coloured(circuit: Circuit, layout: Layout) -> Layout:
    """The layout with the net that each wire carries, and the usual colour for each that has none."""
    owners = strip_nets(circuit, layout)
    nets = (owners.get(layout.board.strip_of[wire.start], "") for wire in layout.wires)
    wires = tuple(replace(wire, net=net) for wire, net in zip(layout.wires, nets, strict=True))
    colours: Mapping[str, str] = {}
    if any(part.type.family == "supply" for part in circuit.parts):
        named = {wire.net: wire.colour for wire in reversed(wires) if wire.colour}
        colours = net_colours(circuit, replace(layout, wires=wires), named)
    done = (replace(wire, colour=wire.colour or colours.get(wire.net, "grey")) for wire in wires)
    return Layout(layout.board, layout.holes, tuple(done))


def uncoloured(circuit: Circuit, layout: Layout) -> Layout:
    """The layout with no colour named where it is the usual one: ``coloured`` gives it again.

    Where nets share colours, the usual one follows from what is named: there all are named, if need be.
    """
    plain = tuple(replace(wire, colour="") for wire in layout.wires)
    usual = coloured(circuit, replace(layout, wires=plain))
    wires = tuple(
        replace(wire, colour="") if wire.colour == other.colour else wire
        for wire, other in zip(layout.wires, usual.wires, strict=True)
    )
    bare = replace(layout, wires=wires)
    again = zip(coloured(circuit, bare).wires, layout.wires, strict=True)
    return bare if all(one.colour == other.colour for one, other in again) else layout


def _no_hole(board: Board, text: str, owner: str, about: str) -> Finding:
    shown = text if len(text) <= 40 else text[:37] + "..."
    rails = f", rails {listed(board.rails)} with holes 1 to {board.rail_holes}" if board.rails else ""
    if board.spell(text)[:1] in ("L", "R") and not board.rails:
        message = f"{capital(owner)} goes into hole {shown}, but the board {board.name} has no rails."
    else:
        message = f"{capital(owner)} goes into hole {shown}, but the board {board.name} has no such hole."
    return Finding(
        Severity.ERROR,
        "no-such-hole",
        message,
        hint=f"The nearest is {board.nearest(text)}. Holes are a1 to j{board.rows}{rails}.",
        about=(about, shown),
    )


def _free_hint(board: Board, hole: str, wanted: Collection[str]) -> str:
    free = [other for other in board.strips[board.strip_of[hole]] if other not in wanted]
    if not free:
        return "The whole strip is full: go on in another strip, joined by a wire."
    x, y = board.holes[hole]
    best = min(free, key=lambda other: abs(board.holes[other][0] - x) + abs(board.holes[other][1] - y))
    return f"Hole {best} is on the same strip and free."
