"""Read the demo circuits without the lesson package: parts table, supply text, actions of a trial."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

from buildalong.circuit import Circuit, Part
from buildalong.engine import Action, Trial
from buildalong.parts import catalogue
from buildalong.quantity import parse_as

ROOT = Path(__file__).resolve().parents[2] / "examples"
DEMOS = ("cupboard-light", "dusk-light", "level-crossing", "lighthouse", "mailbox-flag", "runway-lights")
SUPPLIES = {"9 V block": "supply-9v", "AA": "supply-aa", "AAA": "supply-aaa", "CR2032": "supply-cr2032",
            "USB 5 V": "supply-usb"}  # fmt: skip


def part(name, kind, pins, value=None, **settings):
    """A part of the catalogue; pins as names of nets, '-' for open."""
    t = catalogue()[kind]
    number = None if value is None else parse_as(value, t.value.unit) if isinstance(value, str) else value
    nets = tuple(None if p == "-" else p for p in pins)
    return Part(name, t, nets, number, settings=tuple(sorted(settings.items())))


def supply(text, name="BT1", plus="PLUS", minus="0V"):
    """A supply from a lesson's words."""
    count, _, kind = text.rpartition(" x ")
    extra = {"count": float(count)} if count else {}
    return part(name, SUPPLIES[kind], (plus, minus), **extra)


def demo(name):
    """Circuit and trial of a demo."""
    data = tomllib.loads((ROOT / name / "lesson.toml").read_text(encoding="utf-8"))
    parts = [supply(data["supply"])]
    parts += [part(key, p["part"], p["pins"], p.get("value")) for key, p in data["parts"].items()]
    t = data["trial"][0]
    actions = []
    for text in t.get("press", ()):
        who, at, how_long = re.fullmatch(r"(\w+) at (.+) for (.+)", text).groups()
        start = parse_as(at, "s")
        actions += [
            Action(start, who, "pressed", 1),
            Action(start + parse_as(how_long, "s"), who, "pressed", 0),
        ]
    for text in t.get("light", ()):
        if " is " in text:
            who, _, lux = text.partition(" is ")
            actions.append(Action(0.0, who, "light", parse_as(lux, "lx")))
        else:
            who, lux, a, b = re.fullmatch(r"(\w+) to (.+) from (.+) to (.+)", text).groups()
            start = parse_as(a, "s")
            actions.append(Action(start, who, "light", parse_as(lux, "lx"), parse_as(b, "s") - start))
    return Circuit(tuple(parts)), Trial(t["name"], parse_as(t["lasts"], "s"), tuple(actions))
