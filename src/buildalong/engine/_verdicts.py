"""Physical verdicts about a run, and what they mean in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from buildalong.engine import _model as m
from buildalong.engine import _slots as s
from buildalong.engine._model import model_of
from buildalong.engine._run import Run, Verdict
from buildalong.finding import Finding, Severity
from buildalong.quantity import format_quantity

if TYPE_CHECKING:
    from buildalong.engine._elements import Netlist
    from buildalong.engine._simulate import Stage

__all__ = ["floating_nets", "verdict_findings", "verdicts_of"]

SHORT_SHARE = 0.4
"""A supply whose terminal voltage falls below this share of its nominal one for long is shorted."""
SHORT_CURRENT = 1.0
"""... if it gives more than this, 1 A, what a breadboard contact bears (facts: 1 A at 5 V)."""
SHORT_TIME = 1e-3
"""... for longer than this [s]; a capacitor filling up is no short."""


def verdicts_of(
    stage: Stage, times: NDArray[np.float64], voltages: NDArray[np.float64], currents: NDArray[np.float64]
) -> tuple[Verdict, ...]:
    """All verdicts about a finished stage, in a fixed order."""
    out: list[Verdict] = []
    ended = float(stage.machine.F[s.S_T])
    out += _supply(stage, times, currents)
    if stage.outcome == s.TOO_MANY_EVENTS:
        out.append(_too_frequent(stage, ended))
    elif stage.outcome != s.DONE:
        out.append(Verdict("too-many-steps", numbers=(("time", ended),)))
    for nets, pins in floating_nets(stage.net):
        out.append(Verdict("floating-net", tuple(dict.fromkeys(p.partition(".")[0] for p in pins)), nets))
    return tuple(out)


def _supply(stage: Stage, times: NDArray[np.float64], currents: NDArray[np.float64]) -> list[Verdict]:
    circuit = stage.circuit
    part = next((p for p in circuit.parts if p.type.family == "supply"), None)
    if part is None:
        return [Verdict("no-supply")]
    model = model_of(part.type)
    assert isinstance(model, m.SupplyModel)
    a, b, g, emf = stage.net.sources[0]
    ohm = 1.0 / stage.net.conductances[g].numbers[0]
    if None in part.nets:
        return [Verdict("supply-open", (part.id,))]
    if a == b:
        amps = emf / ohm
        return [
            Verdict("supply-shorted", (part.id,), (part.nets[0] or "",), (("current", amps), ("time", 0.0)))
        ]
    if len(times) < 2:
        return []
    column = [(p.id, t.name) for p in circuit.parts for t in p.type.terminals].index((part.id, "+"))
    given = -currents[:, column]
    inside = emf - ohm * given
    bad = (inside < SHORT_SHARE * emf) & (given > min(SHORT_CURRENT, 0.5 * emf / ohm))
    duration = float(np.sum(np.diff(times)[bad[1:] & bad[:-1]]))
    out = []
    if duration > min(SHORT_TIME, 0.2 * stage.trial.lasts):
        out.append(
            Verdict(
                "supply-shorted",
                (part.id,),
                tuple(n for n in part.nets if n),
                (("current", float(given.max())), ("time", float(times[int(np.argmax(bad))]))),
            )
        )
    return out


def _too_frequent(stage: Stage, ended: float) -> Verdict:
    rows = np.concatenate(stage.events) if stage.events else np.zeros((1, s.EV_COLUMNS))
    late = rows[len(rows) // 2 :]
    cells = late[late[:, 1] == s.EV_STATE]
    parts = tuple(sorted({stage.net.cells[int(i)].part for i in cells[:, 2]}))
    span = max(float(late[-1, 0] - late[0, 0]), 1e-12)
    # a full cycle of one cell is two changes of state
    busiest = max((int(np.sum(cells[:, 2] == i)) for i in set(cells[:, 2])), default=len(late))
    return Verdict(
        "too-frequent-events", parts, numbers=(("frequency", 0.5 * busiest / span), ("time", ended))
    )


def floating_nets(net: Netlist) -> list[tuple[tuple[str, ...], tuple[str, ...]]]:
    """Groups of nets joined to the rest only through capacitors, open contacts and sensing inputs.

    Each group: its nets, and the pins on them ("U1.TRIG").  Groups without a sensing or open end
    that matters (a lone open pin) are left out.
    """
    small = tuple(e.small for e in (*net.diodes, *net.curves))
    if small not in net.afloat:
        net.afloat[small] = _afloat(net)
    return net.afloat[small]


def _afloat(net: Netlist) -> list[tuple[tuple[str, ...], tuple[str, ...]]]:
    count = len(net.nodes)
    root = list(range(count))

    def find(i: int) -> int:
        while root[i] != i:
            root[i] = root[root[i]]
            i = root[i]
        return i

    contacts = {r.element for r in net.ramps if r.kind in (3, 4)}
    for i, e in enumerate(net.conductances):
        if i not in contacts:
            root[find(e.nodes[0])] = find(e.nodes[1])
    for e in (*(x for x in (*net.diodes, *net.curves) if not x.small), *net.transistors):
        for x in e.nodes[1:]:
            root[find(e.nodes[0])] = find(x)
    home = find(count - 1)
    circuit = net.circuit
    groups: dict[int, tuple[list[str], list[str]]] = {}
    index = {name: i for i, name in enumerate(net.nodes)}
    buttons = {r.part for r in net.ramps if r.kind in (3, 4)}
    for name, pins in circuit.nets.items():
        group = find(index[name])
        if group == home:
            continue
        nets, members = groups.setdefault(group, ([], []))
        nets.append(name)
        members += [str(p) for p in pins]
    out = []
    for nets, members in groups.values():
        parts = {p.partition(".")[0] for p in members}
        if len(members) > 1 or parts - buttons:
            out.append((tuple(nets), tuple(members)))
    return out


def verdict_findings(run: Run) -> list[Finding]:
    """Say every verdict of a run in words, worst first."""
    out: list[Finding] = []
    for v in run.verdicts:
        numbers = dict(v.numbers)
        if v.code == "supply-shorted":
            amps = format_quantity(numbers["current"], "A", 2)
            out.append(
                Finding(
                    Severity.ERROR,
                    "supply-shorted",
                    f"The supply {v.parts[0]} is shorted: about {amps} would flow until something gives.",
                    "Take the supply off and look for a path from plus to minus without a resistor.",
                    about=(*v.parts, *v.nets),
                )
            )
        elif v.code in _SIMPLE:
            severity, message, hint = _SIMPLE[v.code]
            values = {
                "parts": ", ".join(v.parts) or "the circuit",
                "nets": ", ".join(v.nets),
                "time": format_quantity(numbers.get("time", 0.0), "s"),
                "frequency": format_quantity(numbers.get("frequency", 0.0), "Hz", 2),
            }
            out.append(Finding(severity, v.code, message.format(**values), hint, about=(*v.parts, *v.nets)))
    for part in run.undetermined:
        out.append(
            Finding(
                Severity.NOTE,
                "power-up-undetermined",
                f"No data sheet promises in which state {part} wakes when the supply is switched on.",
                "Run the other power-up states too, or force one with a resistor and a capacitor at reset.",
                about=(part,),
            )
        )
    return sorted(out, key=lambda f: -f.severity)


_SIMPLE = {
    "no-supply": (Severity.ERROR, "The circuit has no supply, so nothing happens.", "Add a supply."),
    "supply-open": (
        Severity.ERROR,
        "A lead of the supply {parts} is connected to nothing, so nothing happens.",
        "Connect both leads.",
    ),
    "floating-net": (
        Severity.WARNING,
        "The net {nets} floats: nothing but capacitors, open contacts or inputs holds it at a voltage.",
        "Join it to the circuit with a resistor or a wire; until then its voltage is left to chance.",
    ),
    "too-frequent-events": (
        Severity.WARNING,
        "{parts} switches to and fro about {frequency}; it was followed until {time}.",
        "If that is not meant, look for an output joined to its own input.",
    ),
    "too-many-steps": (
        Severity.WARNING,
        "The simulation needed too many steps and was ended at {time}.",
        "Shorten the trial, or look for a part of the circuit that oscillates fast.",
    ),
}
