"""From the author's tables to the parts of a circuit; every fault is a Finding at its place."""

from __future__ import annotations

import re
from collections.abc import Mapping

from buildalong.circuit import Part
from buildalong.finding import Finding, Place, Severity
from buildalong.lesson._positions import Positions
from buildalong.lesson._schema import PartTable
from buildalong.lesson._validate import nearest
from buildalong.parts import Catalogue, PartType
from buildalong.quantity import QuantityError, format_quantity, parse, parse_as

__all__ = ["OPEN", "make_part"]

OPEN = "-"
"""How an author writes that a terminal is left open."""

_ID = re.compile(r"[A-Z]{1,3}[0-9]{1,3}[A-Za-z]?$")
_NET = re.compile(r"[A-Za-z0-9_][A-Za-z0-9_+]{0,15}$|[+][A-Za-z0-9_+]{1,15}$")
_SHORT = ("position", "light", "rated")
"""Settings that have a key of their own in a part's table."""


def make_part(
    identity: str, table: PartTable, catalogue: Catalogue, places: Positions, at: tuple[str, ...]
) -> tuple[Part | None, list[Finding]]:
    """Make a part; None where its type or its pins cannot be understood."""
    found: list[Finding] = []

    def error(code: str, message: str, hint: str, place: Place) -> None:
        found.append(Finding(Severity.ERROR, code, message, hint, place, (identity,)))

    if not _ID.match(identity):
        error(
            "part-name",
            f"'{identity}' is no reference for a part",
            "write letters and a number, such as R1, C2 or DS1",
            places.key(*at),
        )
    kind = catalogue.named(table.part)
    if kind is None:
        near = catalogue.nearest(table.part)
        hint = (
            f"did you mean {' or '.join(repr(n) for n in near)}?"
            if near
            else "see the list of parts in the docs"
        )
        error("unknown-part", f"there is no part '{table.part}'", hint, places.value(*at, "part"))
        return None, found
    if kind.family == "supply":
        error(
            "supply-as-part",
            f"{identity} is a supply; a lesson has one, and it stands outside [parts]",
            'write it as supply = "..." at the top',
            places.value(*at, "part"),
        )
        return None, found
    nets = _nets(identity, table, kind, places, at, found)
    value, tolerance = _value(identity, table, kind, places, at, found)
    settings = _settings(identity, table, kind, places, at, found)
    if nets is None:
        return None, found
    return Part(identity, kind, nets, value, tolerance, settings, table.label), found


def _nets(
    identity: str,
    table: PartTable,
    kind: PartType,
    places: Positions,
    at: tuple[str, ...],
    found: list[Finding],
) -> tuple[str | None, ...] | None:
    names = [terminal.name for terminal in kind.terminals]
    pins: Mapping[str, tuple[str, Place]]
    if isinstance(table.pins, dict):
        given: dict[str, tuple[str, Place]] = {}
        for key, net in table.pins.items():
            try:
                terminal = kind.terminal(key).name
            except KeyError:
                near = nearest(key, names)
                hint = f"did you mean '{near}'?" if near else f"its terminals are {', '.join(names)}"
                found.append(
                    Finding(
                        Severity.ERROR,
                        "unknown-terminal",
                        f"{identity} ({kind.noun}) has no terminal '{key}'",
                        hint,
                        places.key(*at, "pins", key),
                        (identity,),
                    )
                )
                continue
            given[terminal] = (net, places.value(*at, "pins", key))
        pins = given
    else:
        if len(table.pins) != len(names):
            found.append(
                Finding(
                    Severity.ERROR,
                    "pin-count",
                    f"{identity} ({kind.noun}) has {len(names)} terminals; pins names {len(table.pins)} nets",
                    f"give one net for each, in this order: {', '.join(_title(kind, n) for n in names)}",
                    places.value(*at, "pins"),
                    (identity,),
                )
            )
            return None
        pins = {
            name: (net, places.value(*at, "pins", number))
            for number, (name, net) in enumerate(zip(names, table.pins, strict=True))
        }
    nets: list[str | None] = []
    for name in names:
        net, place = pins.get(name, (OPEN, places.value(*at, "pins")))
        if net == OPEN:
            nets.append(None)
            continue
        if not _NET.match(net):
            found.append(
                Finding(
                    Severity.ERROR,
                    "net-name",
                    f"'{net}' is no name for a net",
                    "use up to 16 letters and digits, such as PLUS, 0V or CAP; '-' leaves a terminal open",
                    place,
                    (identity,),
                )
            )
        nets.append(net)
    return tuple(nets)


def _title(kind: PartType, name: str) -> str:
    title = kind.terminal(name).title
    return f"{name} ({title})" if title.lower() != name.lower() else name


def _value(
    identity: str,
    table: PartTable,
    kind: PartType,
    places: Positions,
    at: tuple[str, ...],
    found: list[Finding],
) -> tuple[float | None, float | None]:
    rule = kind.value
    value: float | None = None
    tolerance: float | None = None

    def error(code: str, message: str, hint: str, key: str) -> None:
        found.append(Finding(Severity.ERROR, code, message, hint, places.value(*at, key), (identity,)))

    if rule is None:
        if table.value is not None:
            error(
                "value-not-used",
                f"{identity} ({kind.noun}) takes no value, but '{table.value}' is given",
                "take the value out, or choose another part",
                "value",
            )
    elif table.value is None:
        found.append(
            Finding(
                Severity.ERROR,
                "value-missing",
                f"{identity} ({kind.noun}) needs a value in {rule.unit}",
                f'add value = "...", between {rule.least} and {rule.most}',
                places.key(*at),
                (identity,),
            )
        )
    else:
        try:
            value = parse_as(table.value, rule.unit)
            least, most = parse(rule.least).value, parse(rule.most).value
            if not least * 0.999 <= value <= most * 1.001:
                error(
                    "value-out-of-range",
                    f"{identity} ({kind.noun}) is {format_quantity(value, rule.unit)}; "
                    f"such parts are made from {rule.least} to {rule.most}",
                    "check the prefix: m, k and M, or p, n and µ, are easily mixed up",
                    "value",
                )
        except QuantityError as fault:
            error("value-unreadable", f"{identity}: {fault}", f"write a value in {rule.unit}", "value")
    if table.tolerance is not None:
        try:
            tolerance = parse_as(table.tolerance, "")
            if not 0 < tolerance < 1:
                error(
                    "value-out-of-range",
                    f"{identity}: a tolerance of '{table.tolerance}' makes no sense",
                    "write it like 5 %",
                    "tolerance",
                )
                tolerance = None
        except QuantityError as fault:
            error("value-unreadable", f"{identity}: {fault}", "write it like 5 %", "tolerance")
    elif rule is not None:
        tolerance = parse(rule.tolerance).value
    return value, tolerance


def _settings(
    identity: str,
    table: PartTable,
    kind: PartType,
    places: Positions,
    at: tuple[str, ...],
    found: list[Finding],
) -> tuple[tuple[str, float], ...]:
    """The numbers that the lesson sets for this part; the part type says which there are and their limits."""
    given = {
        key: (text, places.value(*at, key)) for key in _SHORT if (text := getattr(table, key)) is not None
    }
    given |= {key: (text, places.value(*at, "set", key)) for key, text in table.set_.items()}
    out: list[tuple[str, float]] = []
    for key, (text, place) in given.items():
        rule = kind.settings.get(key)
        if rule is None:
            known = list(kind.settings)
            near = nearest(key, known)
            if near:
                hint = f"did you mean '{near}'?"
            else:
                hint = f"it has {', '.join(known)}" if known else "take it out"
            found.append(
                Finding(
                    Severity.ERROR,
                    "unknown-setting",
                    f"{identity} ({kind.noun}) has no setting '{key}'",
                    hint,
                    place,
                    (identity,),
                )
            )
            continue
        try:
            number = parse_as(text, rule.unit)
        except QuantityError as fault:
            found.append(
                Finding(
                    Severity.ERROR, "value-unreadable", f"{identity}: {fault}", place=place, about=(identity,)
                )
            )
            continue
        least, most = parse_as(rule.least, rule.unit), parse_as(rule.most, rule.unit)
        if not least <= number <= most or (rule.whole and number != int(number)):
            found.append(
                Finding(
                    Severity.ERROR,
                    "value-out-of-range",
                    f"{identity}: {key} = '{text}' makes no sense",
                    f"{rule.title}: from {rule.least} to {rule.most}",
                    place,
                    (identity,),
                )
            )
            continue
        out.append((key, number))
    return tuple(out)
