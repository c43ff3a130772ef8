"""A board that grows: what of an earlier lesson's layout can stay for the next circuit."""

from __future__ import annotations

from collections.abc import Mapping

from buildalong.board import Board, Layout, Wire, coloured, oriented, strip_words
from buildalong.circuit import Circuit
from buildalong.finding import Finding, Severity

__all__ = ["kept_from"]


def kept_from(circuit: Circuit, earlier: Layout) -> tuple[Layout, list[Finding]]:
    """What can stay of an earlier layout on the same board, and notes on what cannot.

    Parts stay where the circuit has one of that name with as many leads, unless two leads of
    different nets would share a strip; wires stay while they join no two nets, and while they join
    something at all.
    """
    board = earlier.board
    wanted, circuit = circuit, oriented(circuit, earlier)
    notes: list[Finding] = []
    owner: dict[str, str] = {}
    holes: dict[str, tuple[str, ...]] = {}
    for name, stood in earlier.holes.items():
        part = circuit.by_id.get(name)
        if part is None or len(part.type.leg_terminals) != len(stood):
            notes.append(_note("grows-without", f"{name} of the earlier board is not in this circuit.", name))
            continue
        nets = {
            board.strip_of[hole]: part.net(terminal) or f"~{name}.{terminal}"
            for terminal, hole in zip(part.type.leg_terminals, stood, strict=True)
            if hole in board.strip_of
        }
        clash = next((strip for strip, net in nets.items() if owner.get(strip, net) != net), None)
        if clash is not None:
            meets = owner[clash].removeprefix("~")
            text = f"{name} has to move: in {strip_words(clash)} it would meet {meets}."
            notes.append(_note("grows-moves", text, name))
            continue
        owner.update(nets)
        holes[name] = stood
    wires: list[Wire] = []
    for wire in earlier.wires:
        trial = Layout(board, holes, (*wires, wire))
        if _one_net_each(trial, owner):
            wires.append(wire)
        else:
            text = f"The wire from {wire.start} to {wire.end} goes: it would join two nets of this circuit."
            notes.append(_note("grows-moves", text, wire.start))
    used = _leading(Layout(board, holes, tuple(wires)), owner)
    for wire in wires:
        if wire not in used:
            text = f"The wire from {wire.start} to {wire.end} goes: nothing of this circuit is at its end."
            notes.append(_note("grows-moves", text, wire.start))
    return coloured(wanted, Layout(board, holes, tuple(used))), notes


def _note(code: str, message: str, *about: str) -> Finding:
    return Finding(Severity.NOTE, code, message, about=about)


def _groups(board: Board, wires: tuple[tuple[str, str], ...]) -> dict[str, str]:
    """Strip -> the strip that stands for all joined with it."""
    up: dict[str, str] = {}

    def root(strip: str) -> str:
        while up.setdefault(strip, strip) != strip:
            strip = up[strip]
        return strip

    for start, end in wires:
        up[root(board.strip_of[start])] = root(board.strip_of[end])
    return {strip: root(strip) for strip in up}


def _one_net_each(layout: Layout, owner: Mapping[str, str]) -> bool:
    """Whether no wires join strips of two nets."""
    top = _groups(layout.board, tuple((wire.start, wire.end) for wire in layout.wires))
    nets: dict[str, str] = {}
    return all(nets.setdefault(top.get(strip, strip), net) == net for strip, net in owner.items())


def _leading(layout: Layout, owner: Mapping[str, str]) -> list[Wire]:
    """The wires without those that lead to a strip where nothing else is, again and again."""
    wires = list(layout.wires)
    while True:
        ends: dict[str, int] = {}
        for wire in wires:
            for hole in (wire.start, wire.end):
                strip = layout.board.strip_of[hole]
                ends[strip] = ends.get(strip, 0) + 1
        idle = [
            wire
            for wire in wires
            if any(
                ends[strip] == 1 and strip not in owner
                for strip in (layout.board.strip_of[wire.start], layout.board.strip_of[wire.end])
            )
        ]
        if not idle:
            return wires
        wires = [wire for wire in wires if wire not in idle]
