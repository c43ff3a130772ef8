"""What can be told of a circuit without simulating it: loose ends, shorts, supply limits."""

from __future__ import annotations

from collections.abc import Iterator

from buildalong.circuit import Circuit, Part
from buildalong.finding import Finding, Place, Severity
from buildalong.lesson._positions import Positions
from buildalong.lesson._validate import nearest
from buildalong.quantity import format_quantity
from buildalong.quantity import nearest as nearest_preferred

__all__ = ["check_circuit", "nominal_voltage"]


def nominal_voltage(supply: Part) -> float | None:
    """Nominal voltage of a supply [V]: that of one cell times the cells; None where no figure stands."""
    figure = supply.type.figures.get("voltage")
    return None if figure is None else figure.value * supply.setting("count", 1.0)


def _fresh_voltage(supply: Part) -> float | None:
    figure = supply.type.figures.get("fresh_voltage")
    return None if figure is None else figure.high * supply.setting("count", 1.0)


def _end_voltage(supply: Part) -> float | None:
    figure = supply.type.figures.get("end_voltage")
    return None if figure is None else figure.low * supply.setting("count", 1.0)


def check_circuit(circuit: Circuit, places: Positions) -> list[Finding]:
    """Check a circuit as drawn; every finding has its place in the lesson's facts."""
    return [
        *_loose_ends(circuit, places),
        *_open_terminals(circuit, places),
        *_shorts(circuit, places),
        *_islands(circuit, places),
        *_supply_limits(circuit, places),
        *_unusual_values(circuit, places),
        *_letters(circuit, places),
    ]


def _pin_place(circuit: Circuit, part: Part, terminal: str, places: Positions) -> Place:
    if part is circuit.supply:
        return places.value("supply")
    number = [t.name for t in part.type.terminals].index(terminal)
    by_name = ("parts", part.id, "pins", terminal)
    if ".".join(by_name) in places:
        return places.value(*by_name)
    return places.value("parts", part.id, "pins", number)


def _loose_ends(circuit: Circuit, places: Positions) -> Iterator[Finding]:
    for net, pins in circuit.nets.items():
        if len(pins) != 1:
            continue
        part = circuit.by_id[pins[0].part]
        title = part.type.terminal(pins[0].terminal).title
        near = nearest(net, [other for other in circuit.nets if other != net])
        hint = f"did you mean '{near}'? " if near else ""
        yield Finding(
            Severity.ERROR,
            "net-with-one-terminal",
            f"only {part.id}'s {title} is on the net {net}: it leads nowhere",
            f"{hint}Join something to it, or leave the terminal open with '-'",
            _pin_place(circuit, part, pins[0].terminal, places),
            (part.id, net),
        )


def _open_terminals(circuit: Circuit, places: Positions) -> Iterator[Finding]:
    for part in circuit.parts:
        for terminal, net in zip(part.type.terminals, part.nets, strict=True):
            if net is None and terminal.must_connect:
                yield Finding(
                    Severity.ERROR,
                    "terminal-open",
                    f"{part.id}'s {terminal.title} is left open, but it must be connected",
                    "an open input picks up whatever is near"
                    if terminal.role == "input"
                    else "give it a net",
                    _pin_place(circuit, part, terminal.name, places),
                    (part.id,),
                )


def _shorts(circuit: Circuit, places: Positions) -> Iterator[Finding]:
    rails = {circuit.plus, circuit.ground}
    for part in circuit.parts:
        if part is circuit.supply:
            continue
        place = places.value("parts", part.id, "pins")
        inside = [{part.net(one), part.net(other)} for one, other in part.type.internal_links]
        if any(pair == rails for pair in inside):
            yield Finding(
                Severity.ERROR,
                "short-across-supply",
                f"{part.id} joins {circuit.plus} and {circuit.ground} inside: a short across the supply",
                "put its terminals on other nets",
                place,
                (part.id,),
            )
        elif part.type.family in ("button", "switch") and _contact_shorts(part, rails):
            yield Finding(
                Severity.ERROR,
                "short-across-supply",
                f"when {part.id} is closed it joins {circuit.plus} and {circuit.ground}: a short across the supply",
                "a resistor must limit the current through the contact",
                place,
                (part.id,),
            )
        elif len({net for net in part.nets if net is not None}) == 1 and len(part.nets) > 1:
            yield Finding(
                Severity.WARNING,
                "part-shorted",
                f"all terminals of {part.id} are on the net {min(n for n in part.nets if n)}: it does nothing",
                "give its terminals nets of their own",
                place,
                (part.id,),
            )


def _contact_shorts(part: Part, rails: set[str]) -> bool:
    if part.type.family == "button":
        return set(part.nets) == rails
    common = part.net("C")
    return any({common, part.net(end)} == rails for end in ("A", "B"))


def _islands(circuit: Circuit, places: Positions) -> Iterator[Finding]:
    """Parts that no path of parts joins with the supply."""
    reached = {circuit.plus, circuit.ground}
    growing = True
    while growing:
        growing = False
        for part in circuit.parts:
            nets = {net for net in part.nets if net is not None}
            if nets & reached and not nets <= reached:
                reached |= nets
                growing = True
    for part in circuit.parts:
        nets = {net for net in part.nets if net is not None}
        if nets and not nets & reached:
            yield Finding(
                Severity.ERROR,
                "not-powered",
                f"{part.id} is not joined with the supply by anything",
                f"the supply's nets are {circuit.plus} and {circuit.ground}; check the spelling of its nets",
                places.key("parts", part.id),
                (part.id,),
            )


def _supply_limits(circuit: Circuit, places: Positions) -> Iterator[Finding]:
    supply = circuit.supply
    nominal, fresh, end = nominal_voltage(supply), _fresh_voltage(supply), _end_voltage(supply)
    if nominal is None:
        return
    place = places.value("supply")
    for part in circuit.parts:
        roles = {terminal.role: net for terminal, net in zip(part.type.terminals, part.nets, strict=True)}
        if roles.get("supply") != circuit.plus or roles.get("ground") != circuit.ground:
            continue
        ratings = part.type.ratings
        absolute, most, least = (ratings.get(n) for n in ("supply_absolute", "supply_max", "supply_min"))
        title = part.type.title
        top = max(nominal, fresh or 0.0)
        if absolute is not None and top > absolute.value:
            yield Finding(
                Severity.ERROR,
                "supply-too-high",
                f"the supply gives up to {format_quantity(top, 'V')}, which destroys {part.id} "
                f"({title}): it stands at most {absolute.quantity}",
                "take a lower supply, or a part that stands it",
                place,
                (part.id,),
            )
        elif most is not None and nominal > most.value:
            yield Finding(
                Severity.ERROR,
                "supply-too-high",
                f"the supply of {format_quantity(nominal, 'V')} is above what {part.id} ({title}) "
                f"is made for: at most {most.quantity}",
                "take a lower supply, or a part that stands it",
                place,
                (part.id,),
            )
        if least is not None and nominal < least.value:
            yield Finding(
                Severity.ERROR,
                "supply-too-low",
                f"the supply of {format_quantity(nominal, 'V')} is too low for {part.id} ({title}): "
                f"it needs {least.quantity}",
                "take a higher supply, or a part that works with less",
                place,
                (part.id,),
            )
        elif least is not None and end is not None and end < least.value:
            yield Finding(
                Severity.NOTE,
                "supply-sags",
                f"spent cells give {format_quantity(end, 'V')}; below {least.quantity} nothing promises "
                f"that {part.id} ({title}) still works",
                "tell the learner when to change the battery",
                place,
                (part.id,),
            )


def _unusual_values(circuit: Circuit, places: Positions) -> Iterator[Finding]:
    for part in circuit.parts:
        rule = part.type.value
        if rule is None or part.value is None or part.value <= 0:
            continue
        near = nearest_preferred(part.value, rule.series)
        if abs(near / part.value - 1) > 0.005:
            yield Finding(
                Severity.NOTE,
                "value-not-preferred",
                f"{part.id}: {format_quantity(part.value, rule.unit)} is not in the series {rule.series}, "
                "so it may be hard to buy",
                f"the nearest is {format_quantity(near, rule.unit)}",
                places.value("parts", part.id, "value"),
                (part.id,),
            )


def _letters(circuit: Circuit, places: Positions) -> Iterator[Finding]:
    for part in circuit.parts:
        letters = part.id.rstrip("0123456789abcdefghijklmnopqrstuvwxyz")
        if part is not circuit.supply and letters != part.type.letter and letters:
            yield Finding(
                Severity.NOTE,
                "part-letter",
                f"{part.id} is a {part.type.noun}; by custom its name starts with {part.type.letter}",
                f"for example {part.type.letter}{part.id[len(letters) :] or '1'}",
                places.key("parts", part.id),
                (part.id,),
            )
