"""From the author's tables to the parts of a circuit; every fault is a Finding at its place."""

from __future__ import annotations

from collections.abc import Collection

from buildalong.circuit import OPEN, Part, build_part
from buildalong.finding import Finding, Place, Severity
from buildalong.lesson._positions import Positions
from buildalong.lesson._schema import PartTable
from buildalong.lesson._where import located
from buildalong.parts import Catalogue, PartType

__all__ = ["make_part"]

_SHORT = ("position", "light", "rated")
"""Settings that have a key of their own in a part's table."""


def make_part(
    identity: str, table: PartTable, catalogue: Catalogue, places: Positions, broken: Collection[str] = ()
) -> tuple[Part | None, list[Finding]]:
    """Make a part; None where its type or its pins cannot be understood.

    ``broken`` are part types of the lesson whose own files have errors: they have been told.
    """
    at = ("parts", identity)
    kind = catalogue.named(table.part)
    if kind is None and table.part in broken:
        return None, []  # what is wrong stands at its own file
    if kind is None:
        near = [name for name in catalogue.nearest(table.part) if catalogue[name].family != "supply"][:2]
        hint = f"did you mean {' or '.join(near)}?" if near else "see the list of parts in the docs"
        message = f"there is no part '{table.part}'"
        return None, [_error("unknown-part", message, hint, places.value(*at, "part"), identity)]
    if kind.family == "supply":
        message = f"{identity} is a supply; a lesson has one, and it stands outside [parts]"
        hint = 'write it as supply = "..." at the top'
        return None, [_error("supply-as-part", message, hint, places.value(*at, "part"), identity)]
    nets, found = _nets(identity, table, kind, places)
    settings = {key: text for key in _SHORT if (text := getattr(table, key)) is not None} | table.set_
    part, faults = build_part(identity, kind, nets, table.value, table.tolerance, settings, table.label)
    return part, [*found, *located(faults, None, places)]


def _nets(
    identity: str, table: PartTable, kind: PartType, places: Positions
) -> tuple[list[str | None], list[Finding]]:
    """The nets in the order of the terminals, from a list or from a table by name."""
    if isinstance(table.pins, list):
        return list(table.pins), []
    found: list[Finding] = []
    given: dict[str, str] = {}
    names = [terminal.name for terminal in kind.terminals]
    for key, net in table.pins.items():
        try:
            given[kind.terminal(key).name] = net
        except KeyError:
            hint = f"its terminals are {', '.join(names)}"
            message = f"{identity} ({kind.noun}) has no terminal '{key}'"
            place = places.key("parts", identity, "pins", key)
            found.append(_error("unknown-terminal", message, hint, place, identity))
    return [given.get(name, OPEN) for name in names], found


def _error(code: str, message: str, hint: str, place: Place, about: str) -> Finding:
    return Finding(Severity.ERROR, code, message, hint, place, (about,))
