"""Demo circuits and hand-made boards for the tests of board and steps."""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path
from typing import Any

from buildalong.board import Board, Layout, Wire, board
from buildalong.circuit import Circuit, Part
from buildalong.parts import catalogue
from buildalong.quantity import parse_as

EXAMPLES = Path(__file__).parents[2] / "examples"
SUPPLIES = {
    "4 x AA": ("supply-aa", 4),
    "3 x AA": ("supply-aa", 3),
    "9 V block": ("supply-9v", 1),
    "USB 5 V": ("supply-usb", 1),
}


def part(identity: str, kind: str, nets: list[str], value: str | None = None, **settings: float) -> Part:
    """One part, written short: ``part("R1", "resistor", ["A", "B"], "10k")``; net '-' is left open."""
    found = catalogue()[kind]
    number = None if value is None or found.value is None else parse_as(value, found.value.unit)
    joined = tuple(None if net == "-" else net for net in nets)
    return Part(identity, found, joined, number, settings=tuple(settings.items()))


@cache
def lesson(name: str) -> dict[str, Any]:
    return tomllib.loads((EXAMPLES / name / "lesson.toml").read_text(encoding="utf-8"))


@cache
def circuit(name: str) -> Circuit:
    """The circuit of a demo lesson, its supply last, as BT1 on PLUS and 0V."""
    data = lesson(name)
    parts = [part(key, row["part"], row["pins"], row.get("value")) for key, row in data["parts"].items()]
    kind, count = SUPPLIES[data["supply"]]
    return Circuit((*parts, part("BT1", kind, ["PLUS", "0V"], count=count)))


def demo_board(name: str) -> Board:
    return board(lesson(name)["board"])


def built(size: str, holes: dict[str, str], wires: list[str]) -> Layout:
    """A layout written short: holes and wires as words ('e5 f5', 'a5 L+3')."""
    found = board(size)
    return Layout(
        found,
        {key: tuple(text.split()) for key, text in holes.items()},
        tuple(Wire(*text.split()) for text in wires),
    )


LIGHTHOUSE = {
    "U1": "e10 e11 e12 e13 f13 f12 f11 f10",
    "R1": "R+9 i11",
    "R2": "h11 h19",
    "D1": "g11 g16",
    "D2": "i16 i19",
    "C1": "b11 b10",
    "C2": "i13 i14",
    "R3": "c12 c16",
    "DS1": "a16 a17",
    "BT1": "L+25 L-25",
}
LIGHTHOUSE_WIRES = [
    "a10 L-9 black",
    "a13 L+11 red",
    "h10 R+8 red",
    "L+1 R+1 red",
    "d11 i12 yellow",
    "j12 j16 yellow",
    "f14 e14 black",
    "a14 L-13 black",
    "b17 L-15 black",
]


def lighthouse(**changes: str) -> Layout:
    """A right board for the demo of that name, parts moved as told: ``lighthouse(C1="b10 b11")``."""
    return built("400", {**LIGHTHOUSE, **changes}, LIGHTHOUSE_WIRES)


MAILBOX = {
    "U1": "e6 e7 e8 e9 f9 f8 f7 f6",
    "R1": "j6 j2",
    "S1": "e2 f2 e4 f4",
    "R2": "i6 i13",
    "S2": "e13 f13 e15 f15",
    "C1": "h9 h10",
    "R3": "a8 a11",
    "DS1": "b11 b12",
    "BT1": "j17 a17",
}
MAILBOX_WIRES = [
    "h6 i17 red",
    "d6 d17 black",
    "a2 d7 green",
    "g8 c6 black",
    "c4 b6 black",
    "b9 d13 blue",
    "b15 c17 black",
    "i10 j15 black",
    "a12 b17 black",
]
CROSSING = {
    "Q1": "c5 c6 c7",
    "Q2": "c15 c16 c17",
    "DS1": "L+1 a3",
    "DS2": "L+12 a13",
    "R1": "b3 b5",
    "R4": "b13 b15",
    "R2": "L+14 a16",
    "R3": "L+5 a6",
    "C1": "d5 d16",
    "C2": "e15 e6",
    "BT1": "L+25 L-25",
}
"""For sentences only: leads reach further here than they do in the hand."""
CROSSING_WIRES = ["a7 L-6 black", "a17 L-15 black"]


def mailbox(**changes: str) -> Layout:
    """A board without rails for the demo with two buttons, parts moved as told."""
    return built("170", {**MAILBOX, **changes}, MAILBOX_WIRES)


def crossing(size: str = "400", wires: list[str] | None = None, **changes: str) -> Layout:
    """A board for the two-transistor demo, parts moved as told."""
    return built(size, {**CROSSING, **changes}, CROSSING_WIRES if wires is None else wires)
