"""``[mistakes]``: an author adds, forbids and weighs; what is wrong is one finding with its place."""

from __future__ import annotations

from pathlib import Path

import pytest

from buildalong.finding import Severity
from buildalong.lesson import Lesson, load
from buildalong.mistakes import Own, Wishes

LESSON = """title = "A lamp"
board = "400"
supply = "4 x AA"

[parts]
R1 = { part = "resistor", value = "330", pins = ["PLUS", "LAMP"] }
DS1 = { part = "led-red", pins = ["LAMP", "0V"] }

[[trial]]
name = "on"
lasts = "2 s"

"""


def loaded(tmp_path: Path, table: str) -> Lesson:
    """The lesson with this table."""
    (tmp_path / "lesson.toml").write_text(LESSON + table, encoding="utf-8")
    (tmp_path / "lesson.md").write_text("A lamp.\n", encoding="utf-8")
    return load(tmp_path)


def test_wishes_are_read(tmp_path: Path) -> None:
    """Kinds, parts, wires and ids may be named; holes are brought into their one spelling."""
    lesson = loaded(
        tmp_path,
        '[mistakes]\nforbid = ["loose-contact", "wire 2", "part-omitted-R1-1"]\n'
        "weigh = { part-reversed = 3, DS1 = 0.5 }\n"
        '[[mistakes.add]]\nwhat = "R1 is in row 3"\nholes = { R1 = ["A3", "c7"] }\nweight = 2\n',
    )
    assert [f for f in lesson.findings if "mistake" in f.code] == []
    assert lesson.wishes == Wishes(
        (Own("R1 is in row 3.", {"R1": ("a3", "c7")}, 2.0),),
        frozenset({"loose-contact", "wire 2", "part-omitted-R1-1"}),
        {"part-reversed": 3.0, "DS1": 0.5},
    )


def test_without_the_table_there_are_no_wishes(tmp_path: Path) -> None:
    """The table is not needed."""
    assert loaded(tmp_path, "").wishes is None


@pytest.mark.parametrize(
    ("table", "code", "line", "said"),
    [
        ('[mistakes]\nforbid = ["part-reversd"]\n', "unknown-mistake", 14, "part-reversed"),
        ("[mistakes]\nweigh = { R9 = 2 }\n", "unknown-mistake", 14, "or name a part"),
        (
            '[[mistakes.add]]\nwhat = "x"\nholes = { R7 = ["a1", "a5"] }\n',
            "unknown-part-in-mistake",
            15,
            "R1",
        ),
        (
            '[[mistakes.add]]\nwhat = "x"\nholes = { R1 = ["a1"] }\n',
            "wrong-number-of-holes",
            15,
            "one for each",
        ),
        ('[[mistakes.add]]\nwhat = "x"\nholes = { R1 = ["a1", "a77"] }\n', "no-such-hole", 15, "a30"),
    ],
)
def test_what_is_wrong_is_one_finding(tmp_path: Path, table: str, code: str, line: int, said: str) -> None:
    """Each slip is told once, with its line and how to mend it."""
    found = [f for f in loaded(tmp_path, table).findings if f.code == code]
    assert len(found) == 1
    assert found[0].place is not None
    assert found[0].place.line == line
    assert said in found[0].hint


@pytest.mark.parametrize(
    "table",
    [
        "[mistakes]\nweigh = { R1 = -1 }\n",
        "[mistakes]\nweigh = { R1 = 1e9 }\n",
        "[mistakes]\nforbid = 3\n",
        '[[mistakes.add]]\nwhat = ""\nholes = { R1 = ["a1", "a5"] }\n',
        '[[mistakes.add]]\nwhat = "x"\nholes = {}\n',
    ],
)
def test_what_has_the_wrong_shape_is_told(tmp_path: Path, table: str) -> None:
    """Negative or huge factors, empty words and the like are findings with a place, never an exception."""
    lesson = loaded(tmp_path, table)
    assert any(f.severity >= Severity.ERROR and f.place and f.place.line >= 13 for f in lesson.findings)
