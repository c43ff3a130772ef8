"""Saving and the journal: nothing of anybody's is overwritten, nothing accepted is lost."""

from __future__ import annotations

import os
import signal
import stat
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

import buildalong.edit._save as saving
from buildalong.edit import (
    Editing,
    Journal,
    ReplaceText,
    SetKey,
    SetValue,
    catch_up,
    conflicts,
    edit,
    journal_home,
    open_lesson,
    save,
    take_up,
    undo,
    unsaved_edits,
)
from buildalong.edit._merge import merged
from edit.lessons import copied


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return copied("lighthouse", tmp_path)


def facts(folder: Path) -> str:
    return (folder / "lesson.toml").read_bytes().decode()


def written_by_another(folder: Path, old: str, new: str) -> None:
    """Another program writes into the lesson."""
    (folder / "lesson.toml").write_bytes(facts(folder).replace(old, new).encode())


# -- saving ---------------------------------------------------------------------------------------


def test_saving_writes_the_text_and_keeps_the_permissions(folder: Path) -> None:
    """The new bytes are there, the mode is as before, nothing lies beside; a second save does nothing."""
    os.chmod(folder / "lesson.toml", 0o640)
    before = sorted(path.name for path in folder.iterdir())
    done = save(edit(open_lesson(folder), SetValue("R1", "62k")).editing)
    assert (done.ok, done.written) == (True, ("lesson.toml",))
    assert 'value = "62k"' in facts(folder)
    assert stat.S_IMODE((folder / "lesson.toml").stat().st_mode) == 0o640
    assert sorted(path.name for path in folder.iterdir()) == before
    assert save(done.editing).written == ()
    back = save(undo(done.editing).editing)
    assert back.ok
    assert 'value = "56k"' in facts(folder)


def test_a_file_changed_on_disk_is_not_overwritten(folder: Path) -> None:
    """The finding says how much differs; the file stays as the other program wrote it."""
    mine = edit(open_lesson(folder), SetValue("R1", "62k")).editing
    written_by_another(folder, '"56k"', '"47k"')
    theirs = facts(folder)
    done = save(mine)
    assert not done.ok
    assert facts(folder) == theirs
    assert [finding.code for finding in done.findings] == ["changed-on-disk"]
    assert "2 lines differ" in done.findings[0].message
    conflict = done.conflicts[0]
    assert (conflict.mine, conflict.theirs) == (mine.texts["lesson.toml"], theirs)
    assert conflict.merged is None
    assert any(line.startswith("+R1") and "47k" in line for line in conflict.differs)
    assert not catch_up(mine).ok
    for choice, value in (("mine", "62k"), ("theirs", "47k")):
        settled = catch_up(mine, {"lesson.toml": choice})
        assert f'"{value}"' in settled.editing.texts["lesson.toml"]
        assert save(settled.editing).ok
        (folder / "lesson.toml").write_bytes(theirs.encode())


def test_only_some_files_are_taken_in(folder: Path) -> None:
    """What another program wrote into one file comes; the other file still tells that it was changed."""
    editing = open_lesson(folder)
    written_by_another(folder, '"56k"', '"47k"')
    words = folder / "lesson.md"
    words.write_text("Other words.\n", encoding="utf-8")
    done = catch_up(editing, {"lesson.md": "theirs"}, ["lesson.md"])
    assert done.ok
    assert done.editing.texts["lesson.md"] == "Other words.\n"
    assert '"56k"' in done.editing.texts["lesson.toml"]
    assert [conflict.file for conflict in conflicts(done.editing)] == ["lesson.toml"]


def test_changes_that_do_not_meet_are_put_together(folder: Path) -> None:
    """Theirs in another line and mine are both there, as one edit that can be undone; then it saves."""
    mine = edit(open_lesson(folder), SetValue("R1", "62k")).editing
    written_by_another(folder, '"270k"', '"220k"')
    done = save(mine)
    assert "both can be had together" in done.findings[0].hint
    together = catch_up(mine)
    assert together.ok
    text = together.editing.texts["lesson.toml"]
    assert '"62k"' in text
    assert '"220k"' in text
    assert undo(together.editing).editing.texts == mine.texts
    assert save(together.editing).ok
    assert facts(folder) == text


def test_a_file_that_has_gone_can_be_written_anew(folder: Path) -> None:
    """The finding says so; choosing one's own text brings the file back."""
    mine = edit(open_lesson(folder), ReplaceText("lesson.md", 0, 0, "New. ")).editing
    (folder / "lesson.md").unlink()
    done = save(mine)
    assert "has gone" in done.findings[0].message
    assert save(catch_up(mine, {"lesson.md": "mine"}).editing).ok
    assert (folder / "lesson.md").read_text(encoding="utf-8").startswith("New. ")


def test_a_link_put_in_the_place_of_a_file_is_not_followed(folder: Path, tmp_path: Path) -> None:
    """Neither the link nor what it leads to is written."""
    mine = edit(open_lesson(folder), SetValue("R1", "62k")).editing
    other = tmp_path / "other"
    other.write_text("secret", encoding="utf-8")
    (folder / "lesson.toml").unlink()
    (folder / "lesson.toml").symlink_to(other)
    done = save(mine)
    assert not done.ok
    assert done.findings[0].code == "path-escape"
    assert other.read_text(encoding="utf-8") == "secret"


def test_a_failure_on_the_way_leaves_the_old_text(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A full disk is a finding; the author's file is whole and nothing lies beside it."""
    mine = edit(open_lesson(folder), SetValue("R1", "62k")).editing
    before, names = facts(folder), sorted(path.name for path in folder.iterdir())

    def full(handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(saving.os, "fsync", full)
    done = save(mine)
    assert not done.ok
    assert "No space left on device" in done.findings[0].message
    assert facts(folder) == before
    assert sorted(path.name for path in folder.iterdir()) == names


LINES = st.lists(st.sampled_from(["a\n", "b\n", "c\n", "d\n"]), max_size=7).map("".join)


@given(LINES, LINES, LINES)
def test_merging_is_fair_and_never_loses_a_change(base: str, mine: str, theirs: str) -> None:
    """The order of the two makes no difference; where only one changed something, it is theirs."""
    assert merged(base, base, theirs) == theirs
    assert merged(base, mine, base) == mine
    assert merged(base, mine, mine) == mine
    assert merged(base, mine, theirs) == merged(base, theirs, mine)


@given(st.lists(st.integers(0, 9), unique=True, min_size=2, max_size=6), st.integers(1, 5))
def test_changes_of_different_lines_merge(numbers: list[int], cut: int) -> None:
    """Lines changed by one, others by the other: all of them are changed, and no line else."""
    lines = [f"line {number}\n" for number in range(10)]
    mine, theirs, both = lines[:], lines[:], lines[:]
    for index, number in enumerate(numbers):
        side = mine if index < cut else theirs
        side[number] = both[number] = f"changed {number}\n"
    assert merged("".join(lines), "".join(mine), "".join(theirs)) == "".join(both)


# -- the journal ----------------------------------------------------------------------------------

VALUES = ("57k", "58k", "59k", "60k", "61k")


def kept(folder: Path, home: Path) -> tuple[Editing, Journal]:
    """A lesson edited five times, with a journal."""
    editing = open_lesson(folder)
    journal = Journal(editing, home)
    for value in VALUES:
        done = edit(editing, SetValue("R1", value))
        journal.keep(done)
        editing = done.editing
    return editing, journal


def let_go(journal: Journal) -> None:
    """End the process that held a journal, as far as the lock is concerned."""
    os.close(journal._handle)


def test_what_was_unsaved_is_offered_and_taken_up(folder: Path, tmp_path: Path) -> None:
    """After the process has gone, all edits are there, each with its sentence, and can be undone."""
    editing, journal = kept(folder, tmp_path / "home")
    assert unsaved_edits(folder, tmp_path / "home") == ()  # it still works
    let_go(journal)
    (left,) = unsaved_edits(folder, tmp_path / "home")
    assert left.says == tuple(f"R1 set to {value}" for value in VALUES)
    taken = take_up(open_lesson(folder), left)
    assert taken.editing.texts == editing.texts
    assert len(taken.editing.done) == len(VALUES)
    assert unsaved_edits(folder.parent, tmp_path / "home") == ()
    left.discard()
    assert unsaved_edits(folder, tmp_path / "home") == ()
    assert journal.path.parent.stat().st_mode & 0o077 == 0


def test_a_journal_cut_off_anywhere_gives_the_edits_before_the_cut(folder: Path, tmp_path: Path) -> None:
    """A crash in the middle of writing loses at most the edit that was being written."""
    _, journal = kept(folder, tmp_path / "home")
    let_go(journal)
    data = journal.path.read_bytes()
    whole = [i for i, letter in enumerate(data, start=1) if letter == 10]
    for cut in [*range(0, len(data), 61), *whole]:
        journal.path.write_bytes(data[:cut])
        found = unsaved_edits(folder, tmp_path / "home")
        edits = max(sum(end <= cut for end in whole) - 2, 0)
        assert [left.says for left in found] == (
            [tuple(f"R1 set to {v}" for v in VALUES[:edits])] if edits else []
        )
        assert bool(found) == journal.path.exists()


def test_a_spoilt_line_ends_the_journal(folder: Path, tmp_path: Path) -> None:
    """What follows a line that is not as it was written does not count."""
    _, journal = kept(folder, tmp_path / "home")
    let_go(journal)
    data = journal.path.read_bytes()
    journal.path.write_bytes(data.replace(b"R1 set to 59k", b"R1 set to 99k"))
    (left,) = unsaved_edits(folder, tmp_path / "home")
    assert left.says == ("R1 set to 57k", "R1 set to 58k")


def test_unsaved_edits_join_what_was_changed_on_disk(folder: Path, tmp_path: Path) -> None:
    """Both changes are there; where they meet, the finding says so and the disk's text stays."""
    _, journal = kept(folder, tmp_path / "home")
    let_go(journal)
    (left,) = unsaved_edits(folder, tmp_path / "home")
    written_by_another(folder, '"270k"', '"220k"')
    text = take_up(open_lesson(folder), left).editing.texts["lesson.toml"]
    assert '"61k"' in text
    assert '"220k"' in text
    written_by_another(folder, '"56k"', '"47k"')
    refused = take_up(open_lesson(folder), left)
    assert [finding.code for finding in refused.findings] == ["changed-on-disk"]
    assert refused.editing.unsaved == ()


def test_saving_empties_the_journal(folder: Path, tmp_path: Path) -> None:
    """After a save nothing is offered; later edits are, on top of what was saved."""
    editing, journal = kept(folder, tmp_path / "home")
    editing = save(editing).editing
    journal.saved(editing)
    done = edit(editing, SetKey(("title",), "Another"))
    journal.keep(done)
    journal.keep(undo(done.editing))
    done = edit(editing, SetKey(("title",), "A third"))
    journal.keep(done)
    let_go(journal)
    (left,) = unsaved_edits(folder, tmp_path / "home")
    assert left.says == ("title set", "undone: title set", "title set")
    assert take_up(open_lesson(folder), left).editing.texts == done.editing.texts


def test_a_journal_goes_on_after_catching_up_with_the_disk(folder: Path, tmp_path: Path) -> None:
    """The new text on disk becomes the base; nothing unsaved is lost."""
    editing, journal = kept(folder, tmp_path / "home")
    written_by_another(folder, '"270k"', '"220k"')
    done = catch_up(editing)
    journal.keep(done)
    let_go(journal)
    (left,) = unsaved_edits(folder, tmp_path / "home")
    assert take_up(open_lesson(folder), left).editing.texts == done.editing.texts


def test_journals_are_bounded(folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A long journal is written anew with what is unsaved; of many that nobody holds, the oldest go."""
    import buildalong.edit._journal as journals

    monkeypatch.setattr(journals, "MOST_BYTES", 8000)
    monkeypatch.setattr(journals, "MOST_JOURNALS", 3)
    editing = open_lesson(folder)
    journal = Journal(editing, tmp_path / "home")
    for number in range(60):
        done = edit(editing, SetKey(("title",), f"title {number}"))
        journal.keep(done)
        editing = done.editing
        assert journal.path.stat().st_size < 8000 + len((folder / "lesson.toml").read_bytes())
    let_go(journal)
    (left,) = unsaved_edits(folder, tmp_path / "home")
    assert left.texts["lesson.toml"] == editing.texts["lesson.toml"]
    for _ in range(5):
        let_go(Journal(editing, tmp_path / "home"))
    assert len(list((tmp_path / "home").iterdir())) == 3


CHILD = """
import sys
from pathlib import Path
from buildalong.edit import Journal, SetKey, edit, open_lesson
editing = open_lesson(sys.argv[1])
journal = Journal(editing, Path(sys.argv[2]))
for number in range(10_000):
    done = edit(editing, SetKey(("title",), f"title {number}"))
    journal.keep(done)
    editing = done.editing
    print(number, flush=True)
"""


def test_a_killed_process_loses_no_accepted_edit(folder: Path, tmp_path: Path) -> None:
    """SIGKILL in the middle of work: every edit that was acknowledged is offered afterwards."""
    child = subprocess.Popen(
        [sys.executable, "-c", CHILD, str(folder), str(tmp_path / "home")], stdout=subprocess.PIPE, text=True
    )
    assert child.stdout is not None
    for line in child.stdout:
        if line.strip() == "7":
            break
    child.send_signal(signal.SIGKILL)
    rest = child.stdout.read().split()
    child.stdout.close()
    assert child.wait(timeout=60) == -signal.SIGKILL
    acknowledged = int(rest[-1]) if rest else 7
    (left,) = unsaved_edits(folder, tmp_path / "home")
    text = take_up(open_lesson(folder), left).editing.texts["lesson.toml"]
    written = int(text.split('"title ')[1].split('"')[0])
    assert acknowledged <= written <= acknowledged + 1
    assert facts(folder).startswith('title   = "A lighthouse')


def test_where_journals_lie(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """In the folder for states of XDG Base Directory Specification 0.8; nowhere where the store is off."""
    monkeypatch.setenv("BUILDALONG_STORE", "off")
    assert journal_home() is None
    monkeypatch.delenv("BUILDALONG_STORE")
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path))
    assert journal_home() == tmp_path / "buildalong" / "journal"
    monkeypatch.setenv("XDG_STATE_HOME", "relative")
    monkeypatch.setenv("HOME", str(tmp_path))
    assert journal_home() == tmp_path / ".local" / "state" / "buildalong" / "journal"
