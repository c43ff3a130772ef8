"""The demo circuits and layouts made by hand, for the tests of the pictures."""

from __future__ import annotations

import tomllib
from pathlib import Path

from buildalong.board import Layout, Wire, board
from buildalong.circuit import Circuit, Part
from buildalong.parts import catalogue
from buildalong.quantity import parse_as

EXAMPLES = Path(__file__).parents[2] / "examples"


def demo(name: str) -> Circuit:
    """The circuit of a demo lesson."""
    data = tomllib.loads((EXAMPLES / name / "lesson.toml").read_text("utf-8"))
    parts = [part_from(identity, entry) for identity, entry in data["parts"].items()]
    types = catalogue()
    count, _, kind = data["supply"].rpartition(" x ")
    supply = next(t for t in types.values() if t.family == "supply" and kind in (t.id, *t.aliases))
    settings = (("count", float(count)),) if count else ()
    return Circuit((*parts, Part("BT1", supply, ("PLUS", "0V"), settings=settings)))


def part_from(identity: str, entry: dict[str, object]) -> Part:
    """One part from its table in a lesson."""
    part_type = catalogue()[str(entry["part"])]
    value = entry.get("value")
    return Part(
        identity,
        part_type,
        tuple(None if pin == "-" else pin for pin in entry["pins"]),  # type: ignore[attr-defined]
        parse_as(str(value), part_type.value.unit) if value and part_type.value else None,
    )


def lighthouse_layout() -> Layout:
    """The lighthouse on a 400-point board, laid out by hand."""
    return Layout(
        board("400"),
        {
            "U1": ("e10", "e11", "e12", "e13", "f13", "f12", "f11", "f10"),
            "R1": ("j7", "j11"),
            "R2": ("h11", "h16"),
            "D1": ("g11", "g7"),
            "D2": ("g16", "i12"),
            "C1": ("b11", "b10"),
            "C2": ("h13", "j14"),
            "R3": ("c12", "c17"),
            "DS1": ("b17", "b18"),
            "BT1": ("L+1", "L-1"),
        },
        (
            Wire("a10", "L-10", "black"),
            Wire("a13", "L+13", "red"),
            Wire("d11", "f12", "yellow", "flexible"),
            Wire("i10", "R+8", "red"),
            Wire("i7", "R+6", "red"),
            Wire("a18", "L-15", "black"),
            Wire("L+25", "R+25", "red", "flexible"),
            Wire("R-11", "i14", "black"),
            Wire("L-24", "R-24", "black", "flexible"),
        ),
    )
