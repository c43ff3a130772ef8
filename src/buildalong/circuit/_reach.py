"""What is connected with what: parts cut off from the supply, nets whose voltage is left to chance."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from buildalong.circuit._circuit import Circuit, Part
from buildalong.circuit._fault import fault
from buildalong.finding import Finding, Severity

__all__ = ["floating", "islands"]

_NO_DIRECT_CURRENT = frozenset({"capacitor", "electrolytic"})
_NO_CURRENT_ROLES = frozenset({"input"})


def _reach(circuit: Circuit, starts: Iterable[str], passes: Callable[[Part], list[list[str]]]) -> set[str]:
    """Nets that can be reached from some nets through the groups of nets that each part joins."""
    groups: dict[str, list[list[str]]] = {}
    for part in circuit.parts:
        for group in passes(part):
            for net in group:
                groups.setdefault(net, []).append(group)
    seen = set(starts)
    queue = sorted(seen)
    while queue:
        for group in groups.get(queue.pop(), ()):
            for net in group:
                if net not in seen:
                    seen.add(net)
                    queue.append(net)
    return seen


def _any_path(part: Part) -> list[list[str]]:
    return [[net for net in part.nets if net is not None]]


def _direct_path(part: Part) -> list[list[str]]:
    """Groups of nets between which direct current can flow, at least in some state of the part."""
    if part.type.family in _NO_DIRECT_CURRENT:
        return []
    pairs = zip(part.type.terminals, part.nets, strict=True)
    return [[net for terminal, net in pairs if net is not None and terminal.role not in _NO_CURRENT_ROLES]]


def islands(circuit: Circuit) -> list[Finding]:
    """Find parts of which no net leads to the supply."""
    seen = _reach(circuit, (circuit.plus, circuit.ground), _any_path)
    left = [part for part in circuit.parts if not seen & {n for n in part.nets if n is not None}]
    left = [part for part in left if any(net is not None for net in part.nets)]
    if not left:
        return []
    names = ", ".join(part.id for part in left)
    return [
        fault(
            "part-island",
            f"{names} {'is' if len(left) == 1 else 'are'} not connected to the rest of the circuit",
            f"no net of {left[0].id} leads to {circuit.plus} or {circuit.ground}: check the nets' names",
            left[0].id,
            "pins",
        )
    ]


def floating(circuit: Circuit) -> list[Finding]:
    """Find nets that no direct current can reach."""
    connected = _reach(circuit, (circuit.plus, circuit.ground), _any_path)
    grounded = _reach(circuit, (circuit.plus, circuit.ground), _direct_path)
    found = []
    for net, pins in circuit.nets.items():
        if net in grounded or net not in connected or len(pins) < 2:
            continue
        place = next(i for i, n in enumerate(circuit.by_id[pins[0].part].nets) if n == net)
        found.append(
            Finding(
                Severity.WARNING,
                "net-floats",
                f"no direct current can flow to or from the net {net} "
                f"({', '.join(str(pin) for pin in pins)}), so its voltage is left to chance",
                f"join {net} to {circuit.plus} or {circuit.ground} through a resistor",
                about=(pins[0].part, "pins", str(place)),
            )
        )
    return found
