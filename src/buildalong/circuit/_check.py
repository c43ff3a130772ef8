"""What can be said about a circuit from its parts and nets alone, before any simulation."""

from __future__ import annotations

import difflib
from collections import Counter

from buildalong.circuit._circuit import Circuit, Part
from buildalong.circuit._fault import fault
from buildalong.circuit._limits import power_pins, supply_limits
from buildalong.circuit._reach import floating, islands
from buildalong.finding import Finding, Severity

__all__ = ["netlist_check"]

_MOST_PARTS = 500


def netlist_check(circuit: Circuit) -> list[Finding]:
    """Check parts and nets: names, ends left open, bridged parts, islands, supply, floating nets.

    Findings keep (part id, field, ...) or ("supply",) in ``about``.  What currents and voltages do is
    left to the simulation.
    """
    if len(circuit.parts) > _MOST_PARTS:
        return [
            Finding(
                Severity.ERROR,
                "circuit-too-large",
                f"the circuit has {len(circuit.parts)} parts; at most {_MOST_PARTS} can be handled",
                "split the lesson",
            )
        ]
    found = _duplicates(circuit)
    supplies = [part for part in circuit.parts if part.type.family == "supply"]
    found += _supply_count(supplies)
    found += _single_ends(circuit)
    found += _open_terminals(circuit)
    found += _bridged(circuit)
    if len(supplies) == 1 and None not in supplies[0].nets:
        if circuit.plus == circuit.ground:
            found.append(_supply_shorted(circuit))
        else:
            found += islands(circuit)
            found += floating(circuit)
            found += power_pins(circuit)
        found += supply_limits(circuit)
    return found


def _duplicates(circuit: Circuit) -> list[Finding]:
    counts = Counter(part.id for part in circuit.parts)
    return [
        fault(
            "part-twice", f"{identity} is there {count} times", "give each part a name of its own", identity
        )
        for identity, count in counts.items()
        if count > 1
    ]


def _supply_count(supplies: list[Part]) -> list[Finding]:
    if not supplies:
        return [fault("supply-missing", "the circuit has no supply", 'add supply = "4 x AA"', "supply")]
    if len(supplies) > 1:
        names = ", ".join(part.id for part in supplies)
        return [
            fault(
                "supply-twice",
                f"the circuit has {len(supplies)} supplies ({names})",
                "keep one: a lesson has a single supply",
                supplies[1].id,
            )
        ]
    return []


def _single_ends(circuit: Circuit) -> list[Finding]:
    found = []
    for net, pins in circuit.nets.items():
        if len(pins) > 1:
            continue
        pin = pins[0]
        part = circuit.by_id[pin.part]
        terminal = part.type.terminal(pin.terminal)
        others = [name for name, there in circuit.nets.items() if name != net and len(there) > 0]
        close = difflib.get_close_matches(net.upper(), [name.upper() for name in others], n=1, cutoff=0.7)
        meant = next((name for name in others if close and name.upper() == close[0]), None)
        hint = f"did you mean the net {meant}? " if meant else ""
        if part.type.family == "supply":
            found.append(
                fault(
                    "net-single",
                    f"nothing is connected to the supply's {terminal.title} (net {net})",
                    f"name {net} in the pins of the parts that it should feed",
                    "supply",
                )
            )
            continue
        place = str(part.type.terminals.index(terminal))
        leave = "" if terminal.must_connect else ", or write '-' to leave it open"
        found.append(
            fault(
                "net-single",
                f"the net {net} reaches only {pin} ({terminal.title}), so it leads nowhere",
                f"{hint}join another part to {net}{leave}",
                pin.part,
                "pins",
                place,
            )
        )
    return found


def _open_terminals(circuit: Circuit) -> list[Finding]:
    found = []
    for part in circuit.parts:
        joined = 0
        for place, (terminal, net) in enumerate(zip(part.type.terminals, part.nets, strict=True)):
            joined += net is not None
            if net is None and terminal.must_connect:
                found.append(
                    fault(
                        "terminal-open",
                        f"{part.id}'s {terminal.title} ({_name(part, place)}) is connected to nothing",
                        f"the {part.type.noun} needs it: name a net for it",
                        part.id,
                        "pins",
                        str(place),
                    )
                )
        if joined < 2:
            found.append(
                fault(
                    "part-loose",
                    f"{part.id} ({part.type.noun}) has {joined} connected terminals,"
                    " so no current can flow through it",
                    "connect it on two sides at least, or take it out",
                    part.id,
                    "pins",
                )
            )
    return found


def _name(part: Part, place: int) -> str:
    terminal = part.type.terminals[place]
    return f"pin {terminal.number}" if terminal.number else f"terminal {terminal.name}"


def _bridged(circuit: Circuit) -> list[Finding]:
    found = []
    for part in circuit.parts:
        nets = [net for net in part.nets if net is not None]
        if part.type.family != "supply" and len(nets) > 1 and len(set(nets)) == 1:
            what = "both leads" if len(nets) == 2 else f"all {len(nets)} connected terminals"
            found.append(
                fault(
                    "part-bridged",
                    f"{what} of {part.id} ({part.type.noun}) are on the net {nets[0]}, so it does nothing",
                    "give its leads two different nets",
                    part.id,
                    "pins",
                )
            )
    return found


def _supply_shorted(circuit: Circuit) -> Finding:
    supply = circuit.supply
    return fault(
        "supply-shorted",
        f"plus and minus of the supply are both on the net {circuit.plus}: a short circuit",
        "give the supply's two leads different nets, such as PLUS and 0V",
        supply.id if supply.id in circuit.by_id else "supply",
        "pins",
    )
