"""Circuits for the schematic's tests: the demo lessons, read with tomllib, and netlists of our own."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

from buildalong.circuit import Circuit, Part
from buildalong.parts import catalogue
from buildalong.quantity import parse_as

EXAMPLES = Path(__file__).parents[2] / "examples"
DEMOS = ("lighthouse", "cupboard-light", "mailbox-flag", "level-crossing", "runway-lights", "dusk-light")


def part(identity: str, kind: str, pins: list[str], value: str | None = None, **settings: float) -> Part:
    """Make a part; "-" leaves a terminal open."""
    entry = catalogue()[kind]
    number = parse_as(value, entry.value.unit) if value is not None and entry.value is not None else None
    nets = tuple(None if net == "-" else net for net in pins)
    return Part(identity, entry, nets, number, None, tuple(sorted(settings.items())))


def supply(text: str, plus: str = "PLUS", ground: str = "0V") -> Part:
    """Make the supply from a text such as "4 x AA"."""
    found = re.match(r"(?:(\d+) x )?(.+)$", text)
    assert found
    kind = {"AA": "supply-aa", "AAA": "supply-aaa", "9 V block": "supply-9v", "USB 5 V": "supply-usb"}[
        found[2]
    ]
    return part("BT1", kind, [plus, ground], count=float(found[1] or 1))


def circuit_of(table: dict[str, Any]) -> Circuit:
    """The circuit of a lesson's table."""
    parts = [supply(table["supply"])]
    for identity, entry in table["parts"].items():
        parts.append(part(identity, entry["part"], entry["pins"], entry.get("value")))
    return Circuit(tuple(parts))


def demo(name: str) -> Circuit:
    """The circuit of a demo lesson."""
    return circuit_of(tomllib.loads((EXAMPLES / name / "lesson.toml").read_text(encoding="utf-8")))
