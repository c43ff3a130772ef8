"""From texts to a part of a circuit; every fault is a Finding that names the field."""

from __future__ import annotations

import difflib
import re
from collections.abc import Mapping, Sequence

from buildalong.circuit._circuit import Part
from buildalong.circuit._fault import fault
from buildalong.finding import Finding, Severity
from buildalong.parts import PartType, Setting
from buildalong.quantity import QuantityError, format_quantity, in_series, neighbours, parse_as

__all__ = ["CHOOSE", "OPEN", "build_part"]

OPEN = "-"
"""How an author writes that a terminal is left open."""

CHOOSE = "choose"
"""How an author leaves a value to be chosen."""

_ID = re.compile(r"[A-Z]{1,3}[0-9]{1,3}[A-Za-z]?", re.ASCII)
_NET = re.compile(r"[A-Za-z0-9_+][A-Za-z0-9_+]{0,15}", re.ASCII)
_SLACK = 1e-9


def build_part(
    identity: str,
    part_type: PartType,
    nets: Sequence[str | None],
    value: str | None = None,
    tolerance: str | None = None,
    settings: Mapping[str, str] | None = None,
    label: str = "",
) -> tuple[Part | None, list[Finding]]:
    """Build a part of a circuit from what an author wrote.

    ``nets`` in the order of the terminals, ``"-"`` or None for an open one; ``value``, ``tolerance``
    and ``settings`` as quantity texts.  Findings keep (id, field, ...) in ``about``.  The part is None
    only where its terminals cannot be told; a value that cannot be read leaves ``value`` None.  The
    part's type has the body that parts of its value have.
    """
    found: list[Finding] = []
    if not _ID.fullmatch(identity):
        found.append(
            fault(
                "part-name",
                f"'{identity[:40]}' is no reference for a part",
                f"write letters and a number, such as {part_type.letter}1",
                identity,
            )
        )
    number = _value(identity, part_type, value, found)
    ratio = _tolerance(identity, part_type, tolerance, found)
    numbers = _settings(identity, part_type, settings or {}, found)
    wired = _nets(identity, part_type, nets, found)
    if wired is None:
        return None, found
    sized = part_type if number is None else part_type.sized(number)
    return Part(identity, sized, wired, number, ratio, numbers, label), found


def _nets(
    identity: str, kind: PartType, nets: Sequence[str | None], found: list[Finding]
) -> tuple[str | None, ...] | None:
    names = [terminal.name for terminal in kind.terminals]
    if len(nets) != len(names):
        order = ", ".join(f"{t.name} ({t.title})" for t in kind.terminals)
        found.append(
            fault(
                "pin-count",
                f"{identity} ({kind.noun}) has {len(names)} terminals, but {len(nets)} nets are named",
                f"give one net for each, in this order: {order}",
                identity,
                "pins",
            )
        )
        return None
    for place, net in enumerate(nets):
        if net not in (None, OPEN) and not _NET.fullmatch(str(net)):
            found.append(
                fault(
                    "net-name",
                    f"'{str(net)[:40]}' is no name for a net",
                    f"use up to 16 letters and digits, such as PLUS or 0V; '{OPEN}' leaves a terminal open",
                    identity,
                    "pins",
                    str(place),
                )
            )
    return tuple(None if net == OPEN else net for net in nets)


def _value(identity: str, kind: PartType, text: str | None, found: list[Finding]) -> float | None:
    rule = kind.value
    if rule is None:
        if text is not None:
            found.append(
                fault(
                    "value-not-used",
                    f"{identity} ({kind.noun}) takes no value, but '{text}' is given",
                    "take the value out, or choose another part",
                    identity,
                    "value",
                )
            )
        return None
    if text is None:
        found.append(
            fault(
                "value-missing",
                f"{identity} ({kind.noun}) needs a value in {rule.unit}",
                f'add value = "...", between {rule.least} and {rule.most}',
                identity,
                "value",
            )
        )
        return None
    if text.strip() == CHOOSE:
        message = f"{identity}'s value is still to be chosen"
        hint = "run 'buildalong choose' on this lesson and write one of its values here"
        found.append(fault("value-open", message, hint, identity, "value"))
        return None
    try:
        value = parse_as(text, rule.unit)
    except QuantityError as error:
        found.append(
            fault(
                "value-unreadable", f"{identity}: {error}", f"write a value in {rule.unit}", identity, "value"
            )
        )
        return None
    shown = format_quantity(value, rule.unit, 4)
    least, most = parse_as(rule.least, rule.unit), parse_as(rule.most, rule.unit)
    if not least * (1 - _SLACK) <= value <= most * (1 + _SLACK):
        found.append(
            fault(
                "value-out-of-range",
                f"{identity} ({kind.noun}) is {shown}; such parts are made from {rule.least} to {rule.most}",
                "check the prefix: m, k and M, or p, n and µ, are easily mixed up",
                identity,
                "value",
            )
        )
    elif not in_series(value, rule.series):
        low, high = (format_quantity(v, rule.unit, 4) for v in neighbours(value, rule.series))
        found.append(
            Finding(
                Severity.NOTE,
                "value-not-preferred",
                f"{identity} is {shown}, which is not among the {rule.series} values shops keep",
                f"the neighbours are {low} and {high}",
                about=(identity, "value"),
            )
        )
    return value


def _tolerance(identity: str, kind: PartType, text: str | None, found: list[Finding]) -> float | None:
    if text is None:
        return None if kind.value is None else parse_as(kind.value.tolerance, "")
    try:
        ratio = parse_as(text.strip().removeprefix("±"), "")
        if 0 < ratio < 1:
            return ratio
        code, words = "value-out-of-range", f"a tolerance of '{text}' makes no sense"
    except QuantityError as error:
        code, words = "value-unreadable", str(error)
    found.append(fault(code, f"{identity}: {words}", "write it like 5 %", identity, "tolerance"))
    return None


def _settings(
    identity: str, kind: PartType, given: Mapping[str, str], found: list[Finding]
) -> tuple[tuple[str, float], ...]:
    out: list[tuple[str, float]] = []
    for name, text in given.items():
        rule = kind.settings.get(name)
        if rule is None:
            close = difflib.get_close_matches(name, kind.settings, n=1)
            legal = f"it has {', '.join(kind.settings)}" if kind.settings else "it has none: take this out"
            found.append(
                fault(
                    "unknown-setting",
                    f"{identity} ({kind.noun}) has no setting '{name[:40]}'",
                    f"did you mean '{close[0]}'?" if close else legal,
                    identity,
                    name,
                )
            )
            continue
        number = _setting(identity, name, text, rule, found)
        if number is not None:
            out.append((name, number))
    return tuple(out)


def _setting(identity: str, name: str, text: str, rule: Setting, found: list[Finding]) -> float | None:
    legal = f"{rule.title}: from {rule.least} to {rule.most}"
    try:
        number = parse_as(text, rule.unit)
    except QuantityError as error:
        found.append(fault("value-unreadable", f"{identity}: {error}", legal, identity, name))
        return None
    least, most = parse_as(rule.least, rule.unit), parse_as(rule.most, rule.unit)
    if not least <= number <= most or (rule.whole and number != int(number)):
        found.append(
            fault(
                "value-out-of-range", f"{identity}: {name} = '{text}' makes no sense", legal, identity, name
            )
        )
        return None
    return number
