"""``buildalong edit``: it prints what would change, writes only when told to, and can be taken back."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from buildalong.cli._edit_words import EXAMPLES, edit_of
from buildalong.finding import Unreadable
from edit.lessons import by_hand


@pytest.fixture
def lesson(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A lesson with its board by hand; what is remembered of it lies in the test's own folder."""
    monkeypatch.delenv("BUILDALONG_STORE")
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    return by_hand(tmp_path)


def facts(lesson: Path) -> str:
    return (lesson / "lesson.toml").read_text(encoding="utf-8")


def test_nothing_is_written_without_being_told(lesson: Path, run: Any) -> None:
    """The lines that would change are printed with what is known of them; the file stays."""
    before = facts(lesson)
    result = run("edit", str(lesson), "--value", "R1=62k", "--move", "DS1 to d20, d22")
    assert result.code == 0
    assert '+DS1 = ["d20", "d22"]' in result.out
    assert "R1 set to 62k\n" in result.out
    assert "DS1 moved to d20, d22\n" in result.out
    assert "nothing was written; --write writes it" in result.out
    assert "warning" in result.out
    assert facts(lesson) == before


def test_write_undo_redo(lesson: Path, run: Any) -> None:
    """What was written is taken back to the last byte by later calls, one edit after the other."""
    texts = [facts(lesson)]
    for words in ("R1=62k", "R1=68k"):
        assert run("edit", str(lesson), "--value", words, "--write").code == 0
        texts.append(facts(lesson))
    for expected in (texts[1], texts[0]):
        result = run("edit", str(lesson), "--undo", "--write")
        assert result.code == 0
        assert "undone: R1 set to" in result.out
        assert facts(lesson) == expected
    assert run("edit", str(lesson), "--undo", "--write").code == 2
    assert run("edit", str(lesson), "--redo", "--write").code == 0
    assert facts(lesson) == texts[1]


def test_undo_stops_where_somebody_else_wrote(lesson: Path, run: Any) -> None:
    """After another program's change nothing is taken back over it."""
    run("edit", str(lesson), "--value", "R1=62k", "--write")
    (lesson / "lesson.toml").write_text("# mine\n" + facts(lesson), encoding="utf-8")
    result = run("edit", str(lesson), "--undo", "--write")
    assert result.code == 2
    assert "nothing to undo" in result.out + result.err
    assert facts(lesson).startswith("# mine\n")


def test_edits_follow_the_options(lesson: Path, run: Any) -> None:
    """A part that is renamed first is found under its new name by the next option."""
    result = run("edit", str(lesson), "--rename", "R1 to R9", "--value", "R9=62k")
    assert result.code == 0
    assert run("edit", str(lesson), "--value", "R9=62k", "--rename", "R1 to R9").code == 2


def test_one_that_cannot_be_done_stops_all(lesson: Path, run: Any) -> None:
    """The first edit alone would do; with a second that cannot, nothing is written."""
    before = facts(lesson)
    result = run("edit", str(lesson), "--value", "R1=62k", "--move", "R3.2 to d3", "--write", "--json")
    assert result.code == 2
    assert json.loads(result.out)["findings"][0]["code"] == "two-leads-in-one-hole"
    assert facts(lesson) == before


def test_json_has_the_whole_new_text(lesson: Path, run: Any) -> None:
    """A program gets the text as it would be, and whether it was written."""
    document = json.loads(run("edit", str(lesson), "--unwire", "2", "--json").out)
    assert document["says"] == ["wire from g2 to g5 taken out"]
    assert list(document["texts"]) == ["lesson.toml"]
    assert '["g2", "g5"]' not in document["texts"]["lesson.toml"]
    assert document["written"] == []
    document = json.loads(run("edit", str(lesson), "--unwire", "2", "--json", "--write").out)
    assert document["written"] == ["lesson.toml"]
    assert facts(lesson) == document["texts"]["lesson.toml"]


def test_a_board_that_was_placed_is_written_whole(lamp: str, run: Any, little_work: None) -> None:
    """Moving one part of a board that the program placed keeps all others where they were seen."""
    run("layout", lamp)  # the first placing on a machine compiles the search, and may be cut short
    result = run("edit", lamp, "--wire", "a1 a2", "--json")
    assert result.code == 0
    text = json.loads(result.out)["texts"]["lesson.toml"]
    placed = json.loads(run("layout", lamp, "--json").out)
    for part, holes in placed["parts"].items():
        assert f"{part} = {json.dumps(holes)}" in text


@pytest.mark.parametrize("option", sorted(EXAMPLES))
def test_every_option_understands_its_own_example(option: str) -> None:
    """What --help shows is read; what is not understood names the example."""
    assert edit_of(option, EXAMPLES[option])
    if option not in ("wire", "keep"):
        with pytest.raises(Unreadable) as caught:
            edit_of(option, " = ")
        assert EXAMPLES[option] in caught.value.findings[0].hint


@pytest.mark.parametrize(
    "words", [("--move", "wire 2 end to j30"), ("--turn", "R3"), ("--keep", "U1, wire 2"), ("--tidy",),
              ("--fewest-wires",), ("--unset", "promise.2"), ("--key", "promise.2.is=2.4 s"),
              ("--pin", "R1.2 on OUT"), ("--add", "R4 resistor 1k on OUT, LAMP"), ("--remove", "C2")],
    ids=" ".join,
)  # fmt: skip
def test_each_kind_of_edit_changes_the_text(lesson: Path, run: Any, words: tuple[str, ...]) -> None:
    """Each option does its edit on a lesson."""
    result = run("edit", str(lesson), *words)
    assert result.code == 0
    assert "@@" in result.out
