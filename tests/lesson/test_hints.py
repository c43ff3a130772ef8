"""Hints of ``[picture]``: read, or told with their place and how to mend them."""

from __future__ import annotations

from pathlib import Path

import pytest

from buildalong.lesson import Hint, Lesson, load

FACTS = """title = "One light"
supply = "4 x AA"

[parts]
R1 = { part = "resistor", value = "330", pins = ["PLUS", "A"] }
R2 = { part = "resistor", value = "330", pins = ["A", "B"] }
DS1 = { part = "led-red", pins = ["B", "0V"] }
Q1 = { part = "npn-bc547", pins = ["PLUS", "A", "0V"] }

[picture]
"""


def lesson(folder: Path, picture: str) -> Lesson:
    (folder / "lesson.toml").write_text(FACTS + picture, encoding="utf-8")
    return load(folder)


def test_every_kind_of_hint_is_read(tmp_path):
    """All forms that the reference lists become hints, and nothing is found wrong."""
    lines = [
        "R1 left of R2",
        "R1 above DS1",
        "R2 in line with DS1",
        "keep R1 upright",
        "keep R2 lying",
        "keep R1 near Q1",
    ]
    read = lesson(tmp_path, f"schematic = {lines!r}\nsymbols = 'IEEE 315'\n")
    assert read.hints == (
        Hint("left of", "R1", "R2"), Hint("above", "R1", "DS1"), Hint("in line with", "R2", "DS1"),
        Hint("upright", "R1"), Hint("lying", "R2"), Hint("near", "R1", "Q1"),
    )  # fmt: skip
    assert read.symbols == "IEEE 315"
    assert [f for f in read.findings if "picture" in f.code] == []


@pytest.mark.parametrize(
    ("lines", "code", "line"),
    [
        (["R1 left of R9"], "unknown-part-in-picture", 0),
        (["R1 beside R2"], "picture-hint", 0),
        (["R1 left of R1"], "picture-hint", 0),
        (["keep R1 near"], "picture-hint", 0),
        (["keep Q1 upright"], "wrong-part-in-picture", 0),
        (["R1 left of R2", "R2 left of R1"], "picture-hints-contradict", 1),
        (["R1 above R2", "R2 above DS1", "DS1 above R1"], "picture-hints-contradict", 2),
        (["keep R1 upright", "keep R1 lying"], "picture-hints-contradict", 1),
    ],
)
def test_a_bad_hint_is_one_finding_at_its_place(tmp_path, lines, code, line):
    """Unknown parts, unknown words and contradictions are told at their line, each with a cure."""
    read = lesson(tmp_path, "schematic = [\n" + "".join(f'  "{text}",\n' for text in lines) + "]\n")
    found = [f for f in read.findings if "picture" in f.code]
    assert [f.code for f in found] == [code]
    assert found[0].place is not None
    assert found[0].place.line == FACTS.count("\n") + 2 + line
    assert found[0].hint
    assert len(read.hints) == len(lines) - 1


def test_a_standard_that_is_not_known_is_told(tmp_path):
    """Another standard is one finding that lists those there are."""
    read = lesson(tmp_path, 'symbols = "DIN"\n')
    assert any("IEEE 315" in f.message + f.hint for f in read.findings)
    assert read.symbols == "IEC 60617"
