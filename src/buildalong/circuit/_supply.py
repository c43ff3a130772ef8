"""The supply of a circuit: "4 x AA", "9 V block", "USB 5 V"; nothing above extra-low voltage."""

from __future__ import annotations

import re
from typing import NoReturn

from buildalong.finding import Finding, Severity, Unreadable
from buildalong.parts import Catalogue, PartType
from buildalong.quantity import parse_as

__all__ = ["MOST_VOLTS", "parse_supply"]

MOST_VOLTS = 24.0
"""Highest supply voltage a lesson may use [V]: our choice, far below the 60 V of direct voltage that
IEC 61140:2016 lets people touch without protection."""

_COUNTED = re.compile(r"(\d{1,6})\s*[x×*]\s*(\S.*)|(\d{1,6})\s+([A-WYZ].*)", re.IGNORECASE)
_VOLTS = re.compile(r"(\d{1,9}(?:[.,]\d{1,6})?)\s*([kM]?)V(?:olts?)?\b", re.IGNORECASE)
_MAINS = re.compile(
    r"\b(mains|grid|wall|socket|outlet|adapt[eo]r|transformer|AC|VAC|VRMS|a\.c\.)(?![a-z])|V\s*AC\b|~|\d\s*Hz\b",
    re.IGNORECASE,
)
_CHARGED = re.compile(
    r"\b(li-?ion|li-?po|lithium[- ](ion|polymer)|18650|car battery|lead[- ]acid)\b", re.IGNORECASE
)
_LEGAL = '"4 x AA", "3 x AAA", "9 V block", "CR2032" or "USB 5 V"'


def parse_supply(text: str, catalogue: Catalogue) -> tuple[PartType, tuple[tuple[str, float], ...]]:
    """Read a supply: its part type and its settings (``count`` of cells where it has cells).

    Mains, alternating voltage, wall adapters, high-current batteries and anything above 24 V are
    refused with the reason.  Raises Unreadable with one finding.
    """
    shown = text.strip()[:40]
    _refuse_danger(text[:200], shown)
    counted = _COUNTED.fullmatch(text.strip()[:200])
    part_type = _named(text, catalogue)
    count: int | None = None
    if part_type is None and counted:
        count = int(counted[1] or counted[3])
        part_type = _named(counted[2] or counted[4], catalogue)
    if part_type is None:
        known = [t.title for t in catalogue.values() if t.family == "supply"]
        _refuse("unknown-supply", f"the supply '{shown}' is not known", f"write {_LEGAL}: {', '.join(known)}")
    rule = part_type.settings.get("count")
    if rule is None:
        if count not in (None, 1):
            _refuse(
                "supply-count",
                f"{count} of the {part_type.noun} cannot be joined here",
                f'write one: "{part_type.aliases[0] if part_type.aliases else part_type.id}"',
            )
        return part_type, ()
    least, most = parse_as(rule.least, ""), parse_as(rule.most, "")
    number = rule.value if count is None else float(count)
    if not least <= number <= most:
        _refuse(
            "supply-count",
            f"{count} cells are not a supply for a lesson",
            f"{rule.title}: from {rule.least} to {rule.most}",
        )
    return part_type, (("count", number),)


def _named(text: str, catalogue: Catalogue) -> PartType | None:
    for name in (text, re.sub(r"\s*(cells?|batter(y|ies))\s*$", "", text, flags=re.IGNORECASE)):
        part_type = catalogue.named(name)
        if part_type is not None and part_type.family == "supply":
            return part_type
    return None


def _refuse_danger(text: str, shown: str) -> None:
    volts = [
        float(number.replace(",", ".")) * {"k": 1e3, "m": 1e6}.get(prefix.lower(), 1)
        for number, prefix in _VOLTS.findall(text)
    ]
    if _MAINS.search(text) or any(v > MOST_VOLTS for v in volts):
        _refuse(
            "mains-voltage",
            f"the supply '{shown}' is dangerous: lessons run on batteries or USB only, direct voltage up to "
            f"{MOST_VOLTS:g} V",
            f"use {_LEGAL}; never bring a breadboard near the mains",
        )
    if _CHARGED.search(text):
        _refuse(
            "supply-dangerous",
            f"the supply '{shown}' can give so much current that a wiring error sets it on fire",
            f"use {_LEGAL}",
        )


def _refuse(code: str, message: str, hint: str) -> NoReturn:
    raise Unreadable(Finding(Severity.FATAL, code, message, hint, about=("supply",)))
