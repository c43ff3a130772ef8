"""The supply of a lesson: "4 x AA", "9 V block", "USB 5 V"; nothing above extra-low voltage."""

from __future__ import annotations

import re
from dataclasses import dataclass

from buildalong.parts import Catalogue, PartType
from buildalong.quantity import parse_as

__all__ = ["MAX_VOLTS", "SupplyError", "read_supply", "supply_choices"]

MAX_VOLTS = 24.0
"""Highest supply that a lesson may ask for; far below the 60 V DC of IEC 61140 for touchable parts."""

_COUNTED = re.compile(r"(\d+)\s*[x×*]\s*(.+)$", re.IGNORECASE)
_VOLTS = re.compile(r"(\d+(?:[.,]\d+)?)\s*(k?)V\b", re.IGNORECASE)
_MAINS = re.compile(
    r"\b(mains|grid|wall|socket|outlet|AC|a\.c\.)\b|~|\b(110|115|120|220|230|240)\s*V", re.IGNORECASE
)


class SupplyError(ValueError):
    """A text names no supply that a lesson may use."""

    def __init__(self, code: str, message: str, hint: str) -> None:
        self.code, self.hint = code, hint
        super().__init__(message)


@dataclass(frozen=True, slots=True)
class SupplyChoice:
    """A part type of the family supply and how many cells of it."""

    type: PartType
    count: int = 1


def supply_choices(catalogue: Catalogue) -> dict[str, PartType]:
    """Every spelling of a supply (lower case) -> its part type."""
    out: dict[str, PartType] = {}
    for identity, kind in catalogue.items():
        if kind.family == "supply":
            for name in (identity, *kind.aliases):
                out.setdefault(_plain(name), kind)
    return out


def _plain(text: str) -> str:
    return re.sub(r"[\s_-]+", "", text).lower()


def read_supply(text: str, catalogue: Catalogue) -> SupplyChoice:
    """Read a supply; raises SupplyError with a code, a message and a cure."""
    choices = supply_choices(catalogue)
    known = '"4 x AA", "3 x AAA", "9 V block", "CR2032" or "USB 5 V"'
    volts = [float(v.replace(",", ".")) * (1000 if k else 1) for v, k in _VOLTS.findall(text)]
    if _MAINS.search(text) or any(v > MAX_VOLTS for v in volts):
        raise SupplyError(
            "mains-voltage",
            f"the supply '{text}' is dangerous: lessons run on batteries or USB, direct voltage up to "
            f"{MAX_VOLTS:g} V only",
            f"use {known}; never take a breadboard near the mains",
        )
    counted = _COUNTED.match(text.strip())
    count, name = (int(counted[1]), counted[2]) if counted else (1, text)
    found = choices.get(_plain(name)) or choices.get(
        _plain(re.sub(r"\s*(cells?|batter(y|ies))$", "", name.strip()))
    )
    if found is None:
        raise SupplyError("unknown-supply", f"the supply '{text}' is not known", f"write {known}")
    rule = found.settings.get("count")
    most = parse_as(rule.most, "") if rule is not None else 1
    if not 1 <= count <= most:
        raise SupplyError(
            "supply-count",
            f"{count} x {name} is no supply for a lesson",
            f"use 1 to {most:g} cells" if most > 1 else "use one",
        )
    return SupplyChoice(found, count)
