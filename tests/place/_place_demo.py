"""Circuits of the demo lessons, read straight from their TOML."""

from __future__ import annotations

import tomllib
from pathlib import Path

from buildalong.circuit import Circuit, Part
from buildalong.parts import catalogue
from buildalong.quantity import parse

EXAMPLES = Path(__file__).parents[2] / "examples"
DEMOS = ("lighthouse", "cupboard-light", "dusk-light", "level-crossing", "mailbox-flag", "runway-lights")
_SUPPLIES = {"9 V block": "supply-9v", "USB 5 V": "supply-usb", "4 x AA": "supply-aa", "3 x AA": "supply-aa"}


def part(identity: str, kind: str, nets: list[str | None], value: str | None = None) -> Part:
    """A part of a catalogue type on these nets, in terminal order."""
    return Part(
        identity,
        catalogue()[kind],
        tuple(None if n in ("-", None) else n for n in nets),
        None if value is None else parse(value).value,
    )


def demo(name: str) -> tuple[Circuit, str]:
    """The circuit of a demo and the name of its board."""
    data = tomllib.loads((EXAMPLES / name / "lesson.toml").read_text(encoding="utf-8"))
    parts = [part("BT1", _SUPPLIES[data["supply"]], ["PLUS", "0V"])]
    parts += [part(key, p["part"], p["pins"]) for key, p in data["parts"].items()]
    return Circuit(tuple(parts)), data["board"]
