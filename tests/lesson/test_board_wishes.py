"""What a lesson asks of its board: build lists, pieces of the board, the smallest board, an earlier one.

The lessons are invented for the tests; what is asserted is read from the holes of the result.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from buildalong.lesson import Compiled, compile_lesson

FACTS = """\
title  = "A lamp"
board  = "{board}"
supply = "3 x AA"

[parts]
S1  = {{ part = "push-button", pins = ["PLUS", "HELD"] }}
R1  = {{ part = "resistor", value = "150", pins = ["HELD", "LAMP"] }}
DS1 = {{ part = "led-yellow", pins = ["LAMP", "0V"] }}

[[trial]]
name  = "an evening"
lasts = "6 s"
press = ["S1 at 1 s for 3 s"]

{layout}
"""
LIST = """\
board 170
S1 e3
R1 h5 h9
test
DS1 A=g9 K=g10
BT1 +=a3 -=j10
"""


def compiled(folder: Path, layout: str, board: str = "170", **files: str) -> Compiled:
    (folder / "lesson.toml").write_text(FACTS.format(board=board, layout=layout), "utf-8")
    (folder / "lesson.md").write_text("A lamp.\n", "utf-8")
    for name, text in files.items():
        (folder / f"{name}.txt").write_text(text, "utf-8")
    return compile_lesson(folder, seconds=0.5)


def told(found: Compiled) -> list[tuple[str, str, int, int]]:
    return [
        (f.code, Path(f.place.file).name, f.place.line, f.place.column)
        for f in found.findings
        if f.place is not None and f.severity >= 1
    ]


def test_a_list_is_kept_with_its_order(tmp_path: Path) -> None:
    """The list is the layout and the order of the steps; a test that shows nothing is told at its line."""
    found = compiled(tmp_path, '[layout]\nlist = "build.txt"', build=LIST)
    assert found.layout is not None
    assert found.layout.holes["R1"] == ("h5", "h9")
    assert [s.parts for s in found.steps if s.parts] == [("S1",), ("R1",), ("DS1",), ("BT1",)]
    assert told(found) == [("test-shows-nothing", "build.txt", 4, 1)]
    assert found.optimum is not None
    assert "DS1 must" in found.steps[-1].check


def test_a_wrong_list_is_told_at_its_line(tmp_path: Path) -> None:
    """A lead one row off is compared with the circuit, and told where the list says it."""
    found = compiled(tmp_path, '[layout]\nlist = "build.txt"', build=LIST.replace("A=g9 K=g10", "A=g8 K=g9"))
    assert ("build.txt", 5) in {(file, line) for _, file, line, _ in told(found)}


@pytest.mark.parametrize(
    ("layout", "code", "line", "column"),
    [
        ('list = "../other.txt"', "path-escape", 16, 8),
        ('list = "none.txt"', "file-unreadable", 16, 8),
        ('list = "build.txt"\nR1 = ["a1", "a5"]', "layout-said-twice", 17, 6),
        ('where = ["R1 in rows 10 to 15", "R9 on the left"]', "layout-unknown-part", 16, 33),
        ('where = ["R1 in rows 10 to 99"]', "no-such-area", 16, 10),
        ('where = ["R1 somewhere"]', "where-unreadable", 16, 10),
        ('keep_free = ["nowhere"]', "no-such-area", 16, 14),
        ('grows_from = "/etc/passwd"', "path-escape", 16, 14),
        ('wires = [["a1", "grean", "a4"]]', "wire-word", 16, 18),
    ],
)
def test_each_mistake_stands_at_its_place(
    tmp_path: Path, layout: str, code: str, line: int, column: int
) -> None:
    """A wrong wish is one error at the word that says it."""
    found = compiled(tmp_path, f"[layout]\n{layout}", build=LIST)
    codes = {(c, n, k) for c, file, n, k in told(found) if file == "lesson.toml"}
    assert any(c == code and n == line for c, n, _ in codes), codes
    assert (code, line, column) in codes or code == "wire-word"


@pytest.mark.parametrize(
    ("layout", "code", "words", "line"),
    [
        (
            'R1 = ["a5", "a9"]\nDS1 = ["b12", "b13"]\nwires = [["c9", "c13"]]',
            "wire-joins-nets",
            "0V (DS1)",
            18,
        ),
        ('R1 = ["a5", "a9"]\nDS1 = ["b6", "b5"]', "strip-with-two-nets", "row 5 left", 17),
        ('R1 = ["a5", "c5"]', "strip-with-two-nets", "R1's own leads", 16),
        ('DS1 = ["a5", "a6"]\nwhere = ["DS1 in rows 12 to 14"]', "no-place", "'rows 12 to 14'", 16),
        ('keep_free = ["left"]', "no-place", "What is to stay free", 6),
    ],
)
def test_the_reason_is_named_where_it_stands(
    tmp_path: Path, layout: str, code: str, words: str, line: int
) -> None:
    """What shuts the circuit out is told at its line, and no list of missing parts follows."""
    found = compiled(tmp_path, f"[layout]\n{layout}")
    reason = next(f for f in found.findings if f.code == code)
    assert words in reason.message
    assert reason.place is not None
    assert reason.place.line == line
    assert reason.hint
    assert "part-missing" not in {f.code for f in found.findings}


def test_a_rail_that_carries_another_net(tmp_path: Path) -> None:
    """A supply with its poles on the rails of the other marks is warned of, at each of its holes."""
    found = compiled(tmp_path, '[layout]\nBT1 = ["L-3", "L+3"]', board="400")
    codes = [(c, n, k) for c, _, n, k in told(found)]
    assert codes.count(("rail-other-net", 16, 8)) == codes.count(("rail-other-net", 16, 15)) == 1


def test_pieces_of_the_board(tmp_path: Path) -> None:
    """Parts stand where they are wanted, and what is to be free stays free."""
    found = compiled(
        tmp_path, '[layout]\nwhere = ["R1 in rows 10 to 15", "DS1 on the left"]\nkeep_free = ["rows 1 to 2"]'
    )
    layout = found.layout
    assert layout is not None
    assert told(found) == []
    assert all(10 <= (layout.board.row_of(hole) or 0) <= 15 for hole in layout.holes["R1"])
    assert {layout.board.side_of(hole) for hole in layout.holes["DS1"]} == {"left"}
    assert all((layout.board.row_of(hole) or 9) > 2 for hole, _ in layout.used())


def test_wishes_that_cannot_all_be_had(tmp_path: Path) -> None:
    """Of three wishes the two that shut each other out are named, at the line of one of them."""
    found = compiled(
        tmp_path,
        '[layout]\nwhere = ["R1 in rows 3 to 8", "DS1 in rows 12 to 14"]\nkeep_free = ["rows 1 to 9"]',
    )
    (conflict,) = [f for f in found.findings if f.code == "requests-conflict"]
    assert "R1 in 'rows 3 to 8'" in conflict.message
    assert "'rows 1 to 9' kept free" in conflict.message
    assert "DS1" not in conflict.message
    assert conflict.place is not None
    assert conflict.place.line == 17


def test_the_smallest_board_that_fits(tmp_path: Path) -> None:
    """Three parts fit the smallest board; asked to stand in row 25, they need the next."""
    small = compiled(tmp_path, "", board="smallest")
    assert small.layout is not None
    assert (small.layout.board.name, small.lesson.board) == ("170", "170")
    larger = compiled(tmp_path, '[layout]\nwhere = ["R1 in rows 20 to 28"]', board="smallest")
    assert larger.layout is not None
    assert larger.layout.board.name == "400"


def test_a_board_that_grows(tmp_path: Path) -> None:
    """What an earlier list has put down stays where it is, and the rest is placed around it."""
    earlier = "board 170\nS1 e3\nR1 h5 h9\nR7 a14 a17\nBT1 +=a3 -=j10\n"
    found = compiled(tmp_path, '[layout]\ngrows_from = "earlier.txt"', earlier=earlier)
    assert found.layout is not None
    assert found.layout.holes["R1"] == ("h5", "h9")
    assert found.layout.holes["BT1"] == ("a3", "j10")
    assert "DS1" in found.layout.holes
    assert told(found) == []
