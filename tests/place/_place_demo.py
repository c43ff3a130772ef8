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


def forty_parts() -> Circuit:
    """An invented circuit of forty parts: two timers, a counter with ten lamps, three driven lamps."""
    parts = [part("BT1", "supply-9v", ["PLUS", "0V"])]
    for k, (rest, own) in enumerate((("CLK", "RUN"), ("BEAT", "-")), start=1):
        pins = [
            "0V",
            f"CAP{k}",
            rest,
            "PLUS" if own == "-" else own,
            f"CTRL{k}",
            f"CAP{k}",
            f"DIS{k}",
            "PLUS",
        ]
        parts.append(part(f"U{k}", "timer-555", pins))
        parts.append(part(f"R{k}1", "resistor", ["PLUS", f"DIS{k}"], "10k"))
        parts.append(part(f"R{k}2", "resistor", [f"DIS{k}", f"CAP{k}"], "68k"))
        parts.append(part(f"C{k}1", "electrolytic", [f"CAP{k}", "0V"], "1u"))
        parts.append(part(f"C{k}2", "capacitor-ceramic", [f"CTRL{k}", "0V"], "10n"))
    outputs = [
        "N5",
        "N1",
        "N0",
        "N2",
        "N6",
        "N7",
        "N3",
        "0V",
        "N8",
        "N4",
        "N9",
        "-",
        "0V",
        "CLK",
        "RST",
        "PLUS",
    ]
    parts.append(part("U3", "counter-4017", outputs))
    parts += [part(f"DS{k}", "led-green", [f"N{k}", "CATH"]) for k in range(10)]
    parts.append(part("R3", "resistor", ["CATH", "0V"], "470"))
    parts.append(part("R4", "resistor", ["RST", "0V"], "10k"))
    parts.append(part("S1", "push-button", ["RST", "PLUS"]))
    parts.append(part("R5", "resistor", ["PLUS", "RUN"], "10k"))
    parts.append(part("C5", "capacitor-ceramic", ["RUN", "0V"], "100n"))
    parts.append(part("C6", "capacitor-ceramic", ["PLUS", "0V"], "100n"))
    for k, drive in enumerate(("BEAT", "N0", "CLK")):
        parts.append(part(f"R6{k}", "resistor", [drive, f"B{k}"], "10k"))
        parts.append(part(f"Q{k}", "npn-bc547", [f"C{k}", f"B{k}", "0V"]))
        parts.append(part(f"R7{k}", "resistor", ["PLUS", f"A{k}"], "330"))
        parts.append(part(f"D{k}", "led-red", [f"A{k}", f"C{k}"]))
    return Circuit(tuple(parts))


def four_blinkers() -> Circuit:
    """An invented circuit of forty parts and a supply: four blinkers of two transistors each, all alike."""
    parts = [part("BT1", "supply-9v", ["PLUS", "0V"])]
    for k in range(1, 5):
        for one, other in (("A", "B"), ("B", "A")):
            side = f"{k}{one}"
            parts.append(part(f"R{side}", "resistor", ["PLUS", f"LAMP{side}"], "470"))
            parts.append(part(f"D{side}", "led-red", [f"LAMP{side}", f"OUT{side}"]))
            parts.append(part(f"T{side}", "resistor", ["PLUS", f"BASE{side}"], "47k"))
            parts.append(part(f"C{side}", "electrolytic", [f"OUT{k}{other}", f"BASE{side}"], "10u"))
            parts.append(part(f"Q{side}", "npn-bc547", [f"OUT{side}", f"BASE{side}", "0V"]))
    return Circuit(tuple(parts))
