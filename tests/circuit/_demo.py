"""The demo circuits, built with the public functions of the package."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from pathlib import Path

from buildalong.circuit import Circuit, Part, build_part, parse_supply
from buildalong.parts import catalogue

EXAMPLES = Path(__file__).parents[2] / "examples"
DEMOS = ("cupboard-light", "dusk-light", "level-crossing", "lighthouse", "mailbox-flag", "runway-lights")


@dataclass(frozen=True)
class Move:
    """A setting of a part moves to a value."""

    time: float
    part: str
    setting: str
    value: float
    ramp: float = 0.0


def press(part: str, time: float, long: float) -> tuple[Move, Move]:
    """Press a button at a time for so long."""
    return Move(time, part, "pressed", 1.0), Move(time + long, part, "pressed", 0.0)


def supply(text: str, plus: str = "PLUS", minus: str = "0V") -> Part:
    """A supply as a lesson names it."""
    part_type, settings = parse_supply(text, catalogue())
    return Part("BT1", part_type, (plus, minus), settings=settings)


def part(text: str) -> Part:
    """A part from ``R1 resistor 10k A B``; the value is there where the type has one."""
    identity, kind, *rest = text.split()
    part_type = catalogue()[kind]
    value = rest.pop(0) if part_type.value else None
    made, found = build_part(identity, part_type, rest, value)
    assert made is not None
    assert not [f for f in found if f.severity > 0], found
    return made


def circuit(source: str, *parts: str) -> Circuit:
    """A circuit from a supply and lines of parts."""
    return Circuit((supply(source), *(part(text) for text in parts)))


def demo(name: str) -> Circuit:
    """One of the demo circuits."""
    facts = tomllib.loads((EXAMPLES / name / "lesson.toml").read_text(encoding="utf-8"))
    parts = [supply(facts["supply"])]
    for identity, table in facts["parts"].items():
        part_type = catalogue()[table["part"]]
        made, _ = build_part(identity, part_type, table["pins"], table.get("value"), table.get("tolerance"))
        assert made is not None
        parts.append(made)
    return Circuit(tuple(parts))
