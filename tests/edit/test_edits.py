"""Edits of a lesson: each writes what it says and nothing else, and is undone to the last byte."""

from __future__ import annotations

import difflib
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from buildalong.board import Layout, board, layout_from
from buildalong.edit import (
    EDITS,
    AddPart,
    Edit,
    Editing,
    FewestWires,
    KeepThese,
    MoveLead,
    MovePart,
    MoveWire,
    PutPart,
    PutWire,
    RemoveKey,
    RemovePart,
    RemoveWire,
    RenamePart,
    ReplaceText,
    SetKey,
    SetPin,
    SetValue,
    Tidy,
    TurnPart,
    edit,
    edit_all,
    open_lesson,
    read_edit,
    redo,
    undo,
)
from buildalong.finding import Unreadable
from edit.lessons import by_hand, copied

WRITES: list[tuple[Edit, str, list[str]]] = [
    (SetValue("R1", "62k"), "R1 set to 62k", [
        '-R1  = { part = "resistor",          value = "56k",   pins = ["PLUS", "DIS"] }',
        '+R1  = { part = "resistor",          value = "62k",   pins = ["PLUS", "DIS"] }',
    ]),
    (SetValue("BT1", "3 x AA"), "BT1 set to 3 x AA", ['-supply  = "4 x AA"', '+supply  = "3 x AA"']),
    (SetKey(("promise", 1, "is"), "2.4 s"), "promise.2.is set", ['-is     = "2.3 s"', '+is     = "2.4 s"']),
    (AddPart("R4", "resistor", ("OUT", "0V"), "1k"), "R4 added", [
        '+R4  = { part = "resistor", value = "1k", pins = ["OUT", "0V"] }'
    ]),
    (SetPin("R1", "2", "-"), "R1's 2 left open", [
        '-R1  = { part = "resistor",          value = "56k",   pins = ["PLUS", "DIS"] }',
        '+R1  = { part = "resistor",          value = "56k",   pins = ["PLUS", "-"] }',
    ]),
    (RemovePart("C2"), "C2 taken out", [
        '-C2  = { part = "capacitor-ceramic", value = "10 nF", pins = ["CTRL", "0V"] }',
        '-C2 = ["h8", "h11"]',
    ]),
    (RemoveKey(("ages",)), "ages taken out", ['-ages    = "12 to 16"']),
    (PutPart("R3", ("a17", "a13")), "R3 moved to a17, a13", ['-R3 = ["a7", "a3"]', '+R3 = ["a17", "a13"]']),
    (MovePart("R2", "i13"), "R2 moved to i13, i10", [
        "-R2 = ['i6', 'i3']   # beside R1", "+R2 = ['i13', 'i10']   # beside R1"
    ]),
    (MoveLead("DS1", "k", "d1"), "DS1's K moved to d1", ['-DS1 = ["d3", "d5"]', '+DS1 = ["d3", "d1"]']),
    (TurnPart("R3"), "R3 turned", ['-R3 = ["a7", "a3"]', '+R3 = ["a3", "a7"]']),
    (RemoveWire(2), "wire from g2 to g5 taken out", ['-  ["g2", "g5"],']),
    (MoveWire(5, 1, "i12"), "wire 5 moved: from i7 to i12", [
        '-  ["i7", "i9"],', '+  ["i7", "j++7", "j++12", "i12"],'
    ]),
    (PutWire(("a20", "a25", "blue")), "wire from a20 to a25 laid", ['+  ["a20", "a25", "blue"],']),
    (PutWire(("a20", "d25")), "wire from a20 to d25 laid", ['+  ["a20", "a25", "d25"],']),
]  # fmt: skip


@pytest.fixture
def lighthouse(tmp_path: Path) -> Editing:
    return open_lesson(by_hand(tmp_path))


def changed(before: Editing, now: Editing) -> list[str]:
    """The lines that went and came."""
    out: list[str] = []
    for name, text in now.texts.items():
        old, new = before.texts[name].splitlines(), text.splitlines()
        out += [line for line in list(difflib.unified_diff(old, new, lineterm="", n=0))[2:] if line[0] != "@"]
    return out


@pytest.mark.parametrize(("wanted", "says", "lines"), WRITES, ids=lambda v: v if isinstance(v, str) else "")
def test_an_edit_writes_what_it_says(lighthouse: Editing, wanted: Edit, says: str, lines: list[str]) -> None:
    """The lines that differ are those of the edit; undo gives the same bytes, redo the edit's."""
    done = edit(lighthouse, wanted)
    assert [f.message for f in done.findings if not done.ok] == []
    assert done.says == says
    assert changed(lighthouse, done.editing) == lines
    back = undo(done.editing)
    assert back.says == f"undone: {says}"
    assert back.editing.texts == lighthouse.texts
    assert redo(back.editing).editing.texts == done.editing.texts


def test_a_renamed_part_is_renamed_wherever_it_is_meant(lighthouse: Editing) -> None:
    """Circuit, board, promises and the words of all languages follow; the result reads without new faults."""
    done = edit(lighthouse, RenamePart("DS1", "DS7"))
    assert done.ok
    assert not any("DS1" in text for text in done.editing.texts.values())
    old, new = lighthouse.lesson(), done.editing.lesson()
    assert [f.code for f in new.findings] == [f.code for f in old.findings]
    assert [part.id.replace("DS7", "DS1") for part in new.circuit.parts] == [p.id for p in old.circuit.parts]
    assert str(new.promises[0].that).replace("DS7", "DS1") == str(old.promises[0].that)
    assert new.layout.holes["DS7"] == old.layout.holes["DS1"]


def test_a_name_in_a_longer_name_is_left_alone(tmp_path: Path) -> None:
    """R1 is renamed, R10 is not."""
    folder = copied("lighthouse", tmp_path)
    (folder / "lesson.md").write_text("R1 and R10, R1's end, {{ value(R1) }}, PR1.\n", encoding="utf-8")
    done = edit(open_lesson(folder), RenamePart("R1", "R5"))
    assert done.editing.texts["lesson.md"] == "R5 and R10, R5's end, {{ value(R5) }}, PR1.\n"


@pytest.mark.parametrize(
    ("wanted", "code"),
    [
        (SetValue("R1", "banana"), "value-unreadable"),
        (SetValue("D1", "3"), "value-not-used"),
        (SetValue("R1", "56k"), "edit-no-change"),
        (SetKey(("board",), "401"), "unknown-board"),
        (SetKey(("parts",), "x"), "edit-not-possible"),
        (SetKey(("trial", 7, "name"), "x"), "edit-not-possible"),
        (SetKey(("promise", 0, "that"), "on_time((DS1"), "promise-unreadable"),
        (AddPart("R1", "resistor", ("A", "B"), "1k"), "edit-name-taken"),
        (AddPart("R 9", "resistor", ("A", "B"), "1k"), "edit-name-unfit"),
        (AddPart("R9", "resister", ("A", "B"), "1k"), "unknown-part"),
        (RenamePart("R1", "R2"), "edit-name-taken"),
        (RenamePart("R1", "OUT"), "name-taken"),
        (SetPin("R1", "3", "OUT"), "edit-unknown-lead"),
        (ReplaceText("lesson.md", 0, 1, "x", "y"), "edit-text-differs"),
        (ReplaceText("../lesson.md", 0, 1, "x"), "edit-unknown-file"),
        (ReplaceText("lesson.md", 0, 1, "x" * 1_000_001), "edit-too-large"),
    ],
    ids=str,
)
def test_an_edit_that_would_spoil_the_lesson_is_refused(lighthouse: Editing, wanted: Edit, code: str) -> None:
    """The finding is that of reading the lesson; the texts stay."""
    done = edit(lighthouse, wanted)
    assert not done.ok
    assert code in [finding.code for finding in done.findings]
    assert done.editing.texts == lighthouse.texts


def test_several_edits_are_one_or_none(lighthouse: Editing) -> None:
    """All are done and taken back together; where one cannot be done, none is, and it is told why."""
    done = edit_all(lighthouse, [SetValue("R1", "62k"), SetValue("R2", "1k")])
    assert done.ok
    assert done.says == "R1 set to 62k; R2 set to 1k"
    assert len(done.editing.done) == 1
    assert undo(done.editing).editing.texts == lighthouse.texts
    assert redo(undo(done.editing).editing).editing.texts == done.editing.texts
    none = edit_all(lighthouse, [SetValue("R1", "62k"), SetValue("R99", "1k")])
    assert not none.ok
    assert none.editing == lighthouse
    assert none.findings[0].about == ("R99",)


def test_typing_may_pass_through_what_is_not_whole(lighthouse: Editing) -> None:
    """Replaced text is taken as it is: half-typed lines are how people write."""
    done = edit(lighthouse, ReplaceText("lesson.toml", 0, 0, "half = [\n"))
    assert done.ok
    refused = edit(done.editing, SetValue("R1", "62k"))
    assert not refused.ok
    assert undo(done.editing).editing.texts == lighthouse.texts


# -- boards that the placer made ------------------------------------------------------------------


def shown_board(editing: Editing) -> Layout:
    """The board by hand, as if the placer had found it."""
    lesson = editing.lesson()
    made, _ = layout_from(board("400"), lesson.circuit, lesson.layout.holes, lesson.layout.wires)
    assert made is not None
    return made


@pytest.fixture
def placed(tmp_path: Path, lighthouse: Editing) -> tuple[Editing, Layout]:
    """The lighthouse without a layout of its own, and the board that its author sees."""
    (tmp_path / "free").mkdir()
    return open_lesson(copied("lighthouse", tmp_path / "free")), shown_board(lighthouse)


def test_moving_one_thing_keeps_all_others_where_they_are_seen(placed: tuple[Editing, Layout]) -> None:
    """On a board that was placed for the author, a move writes the whole board, so that nothing jumps."""
    editing, shown = placed
    done = edit(editing, MovePart("R3", "a17"), shown)
    assert done.ok
    now = shown_board(done.editing)
    assert now.holes == {**shown.holes, "R3": ("a17", "a13")}
    assert [(w.start, w.end, w.path) for w in now.wires] == [(w.start, w.end, w.path) for w in shown.wires]
    again = edit(done.editing, MovePart("R3", "a7"), shown)
    assert again.ok
    assert len(changed(done.editing, again.editing)) == 2


def test_tidy_gives_everything_up(lighthouse: Editing) -> None:
    """No hole and no wire is left; the author's comment in the table stays."""
    done = edit(lighthouse, Tidy())
    layout = done.editing.lesson().layout
    assert (layout.holes, layout.wires) == ({}, ())
    assert "[layout]  # by hand; the chip first\n" in done.editing.texts["lesson.toml"]


def test_fewest_wires_keeps_the_parts(lighthouse: Editing) -> None:
    """All parts stay in their holes, no wire is left."""
    layout = edit(lighthouse, FewestWires()).editing.lesson().layout
    assert layout.holes == lighthouse.lesson().layout.holes
    assert layout.wires == ()


def test_keep_these_keeps_these_only(placed: tuple[Editing, Layout]) -> None:
    """What is kept becomes the author's; the placer is free with all else."""
    editing, shown = placed
    layout = edit(editing, KeepThese(("U1", "wire 2")), shown).editing.lesson().layout
    assert layout.holes == {"U1": shown.holes["U1"]}
    assert layout.wires == (("g2", "g5"),)


def test_a_build_list_is_edited_where_it_says_so(tmp_path: Path, lighthouse: Editing) -> None:
    """Where the board stands in a build list, the list's own line changes, its notes stay, CRLF too."""
    from buildalong.build.hand import ListStep, list_text

    (tmp_path / "free").mkdir()
    folder = copied("lighthouse", tmp_path / "free")
    lesson, seen = lighthouse.lesson(), shown_board(lighthouse)
    steps = [ListStep((part.id,)) for part in lesson.circuit.parts]
    steps += [ListStep((), (number,)) for number in range(len(seen.wires))]
    text = "# mine\n" + list_text(lesson.circuit, seen, steps, style="formed", title="x")
    (folder / "build.txt").write_bytes(text.replace("\n", "\r\n").encode())
    facts = folder / "lesson.toml"
    words = facts.read_text(encoding="utf-8")
    facts.write_text(
        words.replace("[words.de]", '[layout]\nlist = "build.txt"\n\n[words.de]'), encoding="utf-8"
    )
    editing = open_lesson(folder)
    done = edit(editing, MovePart("R3", "a17"))
    assert done.ok
    assert changed(editing, done.editing) == ["-R3 a7 a3", "+R3 a17 a13"]
    assert "\n" not in done.editing.texts["build.txt"].replace("\r\n", "")
    assert undo(done.editing).editing.texts == editing.texts
    renamed = edit(editing, RenamePart("R3", "R8"))
    assert changed(editing, renamed.editing)[-2:] == ["-R3 a7 a3", "+R8 a7 a3"]


HOLES = st.sampled_from([f"{column}{row}" for column in "abcdefghij" for row in range(1, 31)])
MOVES = st.one_of(
    st.builds(MovePart, st.sampled_from(["U1", "R1", "R3", "DS1", "BT1"]), HOLES),
    st.builds(MoveLead, st.sampled_from(["R1", "R3", "DS1"]), st.sampled_from(["1", "2"]), HOLES),
    st.builds(MoveWire, st.integers(1, 5), st.integers(0, 1), HOLES),
    st.builds(PutWire, st.tuples(HOLES, HOLES)),
    st.builds(RemoveWire, st.integers(1, 6)),
    st.builds(TurnPart, st.sampled_from(["U1", "R1"]), st.sampled_from([90, 180, 270])),
    st.builds(SetValue, st.sampled_from(["R1", "R2"]), st.sampled_from(["1k", "62k", "2M2"])),
    st.just(FewestWires()),
)


@given(st.lists(MOVES, min_size=1, max_size=4))
@settings(max_examples=15, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_moves_leave_a_lesson_that_reads_and_a_way_back(lighthouse: Editing, wanted: list[Edit]) -> None:
    """Whatever is moved where: accepted layouts read without errors, and undoing all gives the bytes."""
    now, accepted = lighthouse, 0
    for each in wanted:
        done = edit(now, each)
        if done.ok:
            accepted += 1
            shown_board(done.editing)
        else:
            assert done.findings
        now = done.editing
    end = now
    for _ in range(accepted):
        now = undo(now).editing
    assert now.texts == lighthouse.texts
    assert not undo(now).ok
    for _ in range(accepted):
        now = redo(now).editing
    assert now.texts == end.texts


# -- messages -------------------------------------------------------------------------------------


def test_every_edit_has_a_name_in_messages() -> None:
    """A message as JSON has it gives the edit; names and fields are those of docs/editing.md."""
    assert read_edit({"do": "move-part", "part": "R1", "hole": "c7"}) == MovePart("R1", "c7")
    assert read_edit({"do": "set-key", "path": ["promise", 0, "is"], "value": "1 s"}) == SetKey(
        ("promise", 0, "is"), "1 s"
    )
    assert read_edit({"do": "keep-these", "names": ["U1"]}) == KeepThese(("U1",))
    page = (Path(__file__).parents[2] / "docs" / "editing.md").read_text(encoding="utf-8")
    for name, kind in EDITS.items():
        assert f"`{name}`" in page
        for each in kind.__dataclass_fields__:
            assert f"`{each}`" in page


@pytest.mark.parametrize(
    "message",
    [
        {},
        {"do": "explode"},
        {"do": ["tidy"]},
        {"do": "tidy", "hard": True},
        {"do": "move-part", "part": "R1"},
        {"do": "move-part", "part": 7, "hole": "c7"},
        {"do": "move-wire", "wire": "x", "end": 0, "hole": "c7"},
        {"do": "replace-text", "file": "lesson.md", "start": 0, "end": 0, "text": "x" * 1_000_001},
    ],
    ids=str,
)
def test_a_strange_message_is_refused(message: dict[str, object]) -> None:
    """What is no edit is one finding."""
    with pytest.raises(Unreadable) as caught:
        read_edit(message)
    assert [finding.code for finding in caught.value.findings] == ["edit-unreadable"]


def test_links_in_the_folder_are_refused(tmp_path: Path) -> None:
    """A text that is a link is not opened, as when reading a lesson."""
    folder = copied("lighthouse", tmp_path)
    (tmp_path / "secret").write_text("x", encoding="utf-8")
    (folder / "lesson.nl.md").symlink_to(tmp_path / "secret")
    with pytest.raises(Unreadable) as caught:
        open_lesson(folder)
    assert caught.value.findings[0].code == "path-escape"
