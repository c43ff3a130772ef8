"""What can be said about a circuit from its parts and nets alone, before any simulation."""

from __future__ import annotations

import difflib
from collections import Counter
from collections.abc import Callable, Iterable, Mapping

from buildalong.circuit._circuit import Circuit, Part
from buildalong.circuit._supply import MOST_VOLTS
from buildalong.finding import Finding, Severity
from buildalong.parts import Figure
from buildalong.quantity import format_quantity

__all__ = ["netlist_check", "supply_voltages"]

_MOST_PARTS = 500
_NO_DIRECT_CURRENT = frozenset({"capacitor", "electrolytic"})
_NO_CURRENT_ROLES = frozenset({"input"})


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
            found += _islands(circuit)
            found += _floating(circuit)
            found += _power_pins(circuit)
        found += _supply_limits(circuit)
    return found


def supply_voltages(supply: Part) -> tuple[float, float, float]:
    """Give end, nominal and fresh voltage [V] of a supply with all its cells, without load."""
    count = supply.setting("count", 1.0)
    figures = supply.type.figures
    nominal = figures["voltage"].value
    end = figures["end_voltage"].low if "end_voltage" in figures else nominal
    fresh = figures["fresh_voltage"].high if "fresh_voltage" in figures else nominal
    return end * count, nominal * count, fresh * count


def _error(code: str, message: str, hint: str, *about: str) -> Finding:
    return Finding(Severity.ERROR, code, message, hint, about=about)


def _duplicates(circuit: Circuit) -> list[Finding]:
    counts = Counter(part.id for part in circuit.parts)
    return [
        _error(
            "part-twice", f"{identity} is there {count} times", "give each part a name of its own", identity
        )
        for identity, count in counts.items()
        if count > 1
    ]


def _supply_count(supplies: list[Part]) -> list[Finding]:
    if not supplies:
        return [_error("supply-missing", "the circuit has no supply", 'add supply = "4 x AA"', "supply")]
    if len(supplies) > 1:
        names = ", ".join(part.id for part in supplies)
        return [
            _error(
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
                _error(
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
            _error(
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
                    _error(
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
                _error(
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
                _error(
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
    return _error(
        "supply-shorted",
        f"plus and minus of the supply are both on the net {circuit.plus}: a short circuit",
        "give the supply's two leads different nets, such as PLUS and 0V",
        supply.id if supply.id in circuit.by_id else "supply",
        "pins",
    )


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


def _islands(circuit: Circuit) -> list[Finding]:
    seen = _reach(circuit, (circuit.plus, circuit.ground), _any_path)
    left = [part for part in circuit.parts if not seen & {n for n in part.nets if n is not None}]
    left = [part for part in left if any(net is not None for net in part.nets)]
    if not left:
        return []
    names = ", ".join(part.id for part in left)
    return [
        _error(
            "part-island",
            f"{names} {'is' if len(left) == 1 else 'are'} not connected to the rest of the circuit",
            f"no net of {left[0].id} leads to {circuit.plus} or {circuit.ground}: check the nets' names",
            left[0].id,
            "pins",
        )
    ]


def _floating(circuit: Circuit) -> list[Finding]:
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


def _power_pins(circuit: Circuit) -> list[Finding]:
    found = []
    for part in circuit.parts:
        nets = {
            terminal.role: net
            for terminal, net in zip(part.type.terminals, part.nets, strict=True)
            if terminal.role in ("supply", "ground")
        }
        high, low = nets.get("supply"), nets.get("ground")
        if high is None or low is None:
            continue
        if high == low:
            message = f"supply and ground pin of {part.id} are on the same net {high}, so it has no power"
            hint = f"the supply pin belongs on {circuit.plus}, the ground pin on {circuit.ground}"
            found.append(_error("ic-unpowered", message, hint, part.id, "pins"))
        elif high == circuit.ground or low == circuit.plus:
            message = f"{part.id}'s supply pin is on {high} and its ground pin on {low}: the wrong way round"
            hint = f"the supply pin belongs on {circuit.plus}, the ground pin on {circuit.ground}"
            found.append(_error("ic-reversed", message, hint, part.id, "pins"))
    return found


def _model_voltage(supply: Part) -> float:
    """The voltage that a simulation would use: a lesson's own part may say another one there."""
    data = supply.type.model.get("emf")
    volts = Figure.model_validate(data).high if isinstance(data, Mapping) else 0.0
    return supply.setting("emf", volts) * supply.setting("count", 1.0)


def _supply_limits(circuit: Circuit) -> list[Finding]:
    supply = circuit.supply
    if "voltage" not in supply.type.figures:
        return []
    end, nominal, fresh = supply_voltages(supply)
    name = f"{supply.type.noun} of {_volts(nominal)}"
    highest = max(nominal, fresh, _model_voltage(supply))
    if highest > MOST_VOLTS:
        message = f"the supply gives {_volts(highest)}; lessons stay below {MOST_VOLTS:g} V of direct voltage"
        return [_error("mains-voltage", message, "use batteries or USB", "supply")]
    found = []
    for part in circuit.parts:
        limits = {key: figure.value for key, figure in part.type.ratings.items() if key.startswith("supply_")}
        if not limits:
            continue
        who = f"{part.id} ({part.type.noun})"
        absolute, most, least = (limits.get(f"supply_{key}") for key in ("absolute", "max", "min"))
        if absolute is not None and fresh > absolute:
            message = f"fresh, the supply gives {_volts(fresh)}; {who} is destroyed above {_volts(absolute)}"
            found.append(_error("supply-too-high", message, "choose a lower supply", part.id, "supply"))
        elif most is not None and nominal > most:
            message = f"{who} works up to {_volts(most)}, and the {name} is above"
            found.append(_error("supply-too-high", message, "choose a lower supply", part.id, "supply"))
        elif most is not None and fresh > most:
            message = f"{who} is recommended up to {_volts(most)}, and fresh the supply gives {_volts(fresh)}"
            hint = "let the cells age a little, or choose a lower supply"
            found.append(
                Finding(Severity.WARNING, "supply-high-fresh", message, hint, about=(part.id, "supply"))
            )
        if least is not None and nominal < least:
            message = f"{who} needs {_volts(least)} at least, and the {name} is below"
            found.append(_error("supply-too-low", message, "choose a higher supply", part.id, "supply"))
        elif least is not None and end < least:
            message = (
                f"{who} works down to {_volts(least)}; the supply ends at {_volts(end)}, "
                "so the circuit stops before the supply is empty"
            )
            cells = supply.setting("count", 1.0)
            hint = f"tell the learner: new cells are due at {_volts(least / cells)} each" if cells > 1 else ""
            found.append(Finding(Severity.NOTE, "supply-ends-low", message, hint, about=(part.id, "supply")))
    return found


def _volts(value: float) -> str:
    return format_quantity(value, "V")
