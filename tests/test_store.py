"""The store: what is kept, what is believed, and that nothing it does shows in the output."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

import pytest

from buildalong.build import place as placing
from buildalong.circuit import Circuit
from buildalong.cli import main
from buildalong.lesson import compile_lesson, load
from buildalong.publish import publish
from buildalong.store import OFF, Store, kept, user_store
from demos import EXAMPLES

LESSON = EXAMPLES / "mailbox-flag"
NAME = "answer-" + "0" * 64


@dataclass(frozen=True)
class Answer:
    number: float
    words: tuple[str, ...] = ()


class Maker:
    """Counts how often it was asked."""

    def __init__(self, answer: Answer) -> None:
        self.answer, self.asked = answer, 0

    def __call__(self) -> Answer:
        self.asked += 1
        return self.answer


@pytest.fixture
def store(tmp_path: Path) -> Store:
    return Store(tmp_path / "store")


def ask(
    store: Store | None, maker: Maker, question: object = "?", sound: Callable[[Answer], bool] = bool
) -> Answer:
    return kept(store, "answer", question, Answer, maker, sound)


def entry(store: Store) -> Path:
    (path,) = store.folder.iterdir()
    return path


def test_an_answer_is_made_once(store: Store) -> None:
    """The second time, the answer comes from the store, equal to the first to the last bit."""
    maker = Maker(Answer(0.1 + 0.2, ("Ω", "µ\n")))
    assert ask(store, maker) == ask(store, maker) == maker.answer
    assert maker.asked == 1


def test_another_question_is_another_entry(store: Store) -> None:
    """Another input has another name, also where only the order of a mapping differs."""
    maker = Maker(Answer(1.0))
    for question in ({"a": 1, "b": 2}, {"b": 2, "a": 1}, [1, 2], (1, 2), Answer(1.0), None, 1, "1"):
        ask(store, maker, question)
    assert maker.asked == len(list(store.folder.iterdir())) == 7  # a list and a tuple are the same to JSON


@pytest.mark.parametrize(
    "damage",
    [
        lambda raw: b"",
        lambda raw: raw[:-3],
        lambda raw: raw.replace(b"1.0", b"2.0"),
        lambda raw: raw + b" ",
        lambda raw: os.urandom(500),
        lambda raw: b"\x80\x04N.",
        lambda raw: b"[" * 100_000,
        lambda raw: raw + b"x" * 2_000_000,
    ],
    ids=["empty", "cut", "changed", "longer", "noise", "pickle", "nested", "huge"],
)
def test_damaged_entry_is_made_anew(store: Store, damage: Callable[[bytes], bytes]) -> None:
    """What is not as it was written is not believed, and is whole again afterwards."""
    maker = Maker(Answer(1.0))
    ask(store, maker)
    path = entry(store)
    raw = path.read_bytes()
    path.write_bytes(damage(raw))
    assert ask(store, maker) == maker.answer
    assert maker.asked == 2
    assert path.read_bytes() == raw


def test_foreign_entry_is_not_believed(store: Store) -> None:
    """A sound entry under another name, or of another shape, counts for nothing."""
    maker = Maker(Answer(1.0))
    ask(store, maker)
    first = entry(store)
    raw = first.read_bytes()
    ask(store, maker, "another")
    (second,) = set(store.folder.iterdir()) - {first}
    second.write_bytes(raw)
    ask(store, maker, "another")
    assert maker.asked == 3
    for body in (b'{"number": "1"}', b"[]", b'{"number": 1.0, "words": [1]}', b"not json", b"[" * 5000):
        store.write(first.stem, body)
        assert ask(store, maker) == maker.answer
    assert maker.asked == 8


def test_unsound_answers_are_neither_kept_nor_believed(store: Store) -> None:
    """An answer that fails its check is made anew each time."""
    maker = Maker(Answer(1.0))
    for _ in range(2):
        ask(store, maker, sound=lambda answer: False)
    assert maker.asked == 2
    assert not store.folder.exists()
    ask(store, maker)
    ask(store, maker, sound=lambda answer: False)
    assert maker.asked == 4


def test_bounds_hold_and_the_longest_unused_goes_first(tmp_path: Path) -> None:
    """Count and size stay within bounds; strangers' files are left alone."""
    store = Store(tmp_path, most=5, most_bytes=3000)
    (tmp_path / "letter.txt").write_text("mine")
    names = [f"answer-{number:064x}" for number in range(12)]
    for age, name in enumerate(names):
        store.write(name, b"1")
        os.utime(tmp_path / f"{name}.json", (age, age))
        if age == 7:
            assert store.read(names[4]) == b"1"  # used just now
    left = {path.stem for path in tmp_path.glob("answer-*")}
    assert left == {names[4], *names[8:]}
    for name in names:
        store.write(name, b"1" * 1000)
        assert sum(p.stat().st_size for p in tmp_path.glob("answer-*")) <= 3000
    store.write(names[0], b"1" * store.largest)
    assert store.read(names[0]) is None
    assert (tmp_path / "letter.txt").read_text() == "mine"


def test_half_written_entries_go_after_a_while(tmp_path: Path) -> None:
    """What a stopped process left beside its place is cleared away, but not what is being written now."""
    store = Store(tmp_path)
    old, new = tmp_path / ".beside-old", tmp_path / ".beside-new"
    old.touch()
    new.touch()
    os.utime(old, (time.time() - 7200,) * 2)
    store.write(NAME, b"1")
    assert not old.exists()
    assert new.exists()


def test_parallel_writers_and_readers(tmp_path: Path) -> None:
    """Four processes write, read and trim the same few entries; nobody ever reads a torn one."""
    code = """
import sys
from pathlib import Path
from buildalong.store import Store
store, hits = Store(Path(sys.argv[1]), most=3), 0
for number in range(300):
    name = f"answer-{number % 6:064x}"
    store.write(name, str(number % 6).encode() * 20_000)
    body = store.read(name)
    assert body is None or body == str(number % 6).encode() * 20_000
    hits += body is not None
print(hits)
"""
    command = [sys.executable, "-c", code, str(tmp_path)]
    running = [subprocess.Popen(command, stdout=subprocess.PIPE) for _ in range(4)]
    assert all(int(process.communicate(timeout=60)[0]) > 0 for process in running)
    assert [process.returncode for process in running] == [0] * 4
    entries = list(tmp_path.iterdir())
    assert 0 < len(entries) <= 3 + len(running)
    assert not [path for path in entries if path.name.startswith(".beside")]


def test_a_folder_that_cannot_be_used_does_no_harm(tmp_path: Path) -> None:
    """Where the folder is a file, everything is simply made."""
    (tmp_path / "file").write_text("mine")
    maker = Maker(Answer(1.0))
    for folder in (tmp_path / "file", tmp_path / "file" / "below"):
        assert ask(Store(folder), maker) == maker.answer
    assert maker.asked == 2


def test_where_the_users_store_is(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """In $XDG_CACHE_HOME if absolute, else ~/.cache (XDG Base Directory Specification 0.8); or off."""
    monkeypatch.setenv("HOME", str(tmp_path / "home"))
    monkeypatch.delenv(OFF)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    assert user_store() == Store(tmp_path / "cache" / "buildalong")
    for relative in ("", "cache"):
        monkeypatch.setenv("XDG_CACHE_HOME", relative)
        assert user_store() == Store(tmp_path / "home" / ".cache" / "buildalong")
    for word in ("off", " OFF "):
        monkeypatch.setenv(OFF, word)
        assert user_store() is None


# -- boards and schematics ------------------------------------------------------------------------------


def counted(monkeypatch: pytest.MonkeyPatch) -> list[Circuit]:
    """The circuits that were really placed."""
    asked: list[Circuit] = []
    real = placing.place

    def place(circuit: Circuit, *arguments: object, **options: object) -> placing.Placement:
        asked.append(circuit)
        return real(circuit, *arguments, **options)  # type: ignore[arg-type]

    monkeypatch.setattr("buildalong.lesson._placing.place", place)
    return asked


def test_same_bytes_with_and_without_a_store(
    store: Store, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The pack is byte for byte the same without a store, with an empty one, and with a full one."""
    # a PNG is made of its SVG alone, which is compared; making 40 of them three times takes half a minute
    monkeypatch.setattr("buildalong.publish._products.to_png", lambda picture, *size: picture.svg.encode())
    packs = []
    for number, used in enumerate((None, store, store)):
        compiled = compile_lesson(LESSON, seconds=0.3, store=used)
        pack = publish(compiled, tmp_path / str(number), store=used)
        packs.append({name: (pack.folder / name).read_bytes() for name in pack.files})
    assert {path.name.split("-")[0] for path in store.folder.iterdir()} == {
        "mistakes",
        "placement",
        "schematic",
        "spread",
    }
    assert packs[0] == packs[1] == packs[2]


def test_placed_again_only_where_the_question_changed(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    """New words need no new board; another value, wire style or amount of work does."""
    asked = counted(monkeypatch)
    lesson = load(LESSON)
    first = compile_lesson(lesson, seconds=0.3, store=store)
    assert (
        compile_lesson(replace(lesson, prose="Other words."), seconds=0.3, store=store).layout == first.layout
    )
    assert len(asked) == 1
    resistor = next(part for part in lesson.circuit.parts if part.type.family == "resistor")
    other = lesson.circuit.with_part(replace(resistor, value=123.0))
    compile_lesson(replace(lesson, circuit=other), seconds=0.3, store=store)
    compile_lesson(replace(lesson, layout=replace(lesson.layout, style="link")), seconds=0.3, store=store)
    compile_lesson(lesson, seconds=0.4, store=store)
    compile_lesson(lesson, seconds=0.3)
    assert len(asked) == 5


def test_a_board_from_the_store_is_read_back(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    """An entry with a true digest and a board that does not make the circuit is thrown away."""
    asked = counted(monkeypatch)
    first = compile_lesson(LESSON, want={"board"}, seconds=0.3, store=store)
    path = entry(store)
    body = json.loads(path.read_bytes().split(b"\n")[1])
    wires = body["layout"]["wires"]
    for change in ({"end": "a17"}, {"end": "z99"}):
        wires[0] |= change
        store.write(path.stem, json.dumps(body).encode())
        assert compile_lesson(LESSON, want={"board"}, seconds=0.3, store=store).layout == first.layout
    assert len(asked) == 3


def test_only_what_is_wanted_is_done(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without "board" nothing is placed, without "runs" and "words" nothing is simulated."""
    asked = counted(monkeypatch)
    runs = compile_lesson(LESSON, want={"runs"})
    assert (asked, runs.placement, runs.steps, runs.prose) == ([], None, (), ())
    assert runs.runs.keys() == runs.stories.keys() == {trial.name for trial in runs.lesson.trials}
    assert len(runs.promises) == len(runs.lesson.promises) > 0
    words = compile_lesson(LESSON, want={"words"})
    assert words.prose
    assert words.figures.keys() >= runs.figures.keys()
    board = compile_lesson(LESSON, want={"board"}, seconds=0.1)
    assert (board.runs, board.promises, board.prose) == ({}, (), ())
    assert board.steps
    assert board.ok
    with pytest.raises(ValueError, match="known are board, runs, words"):
        compile_lesson(LESSON, want={"words", "pictures"})


@pytest.mark.parametrize("command", ["simulate", "netlist"])
def test_commands_that_place_nothing(command: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Neither simulate nor netlist looks for a board."""
    asked = counted(monkeypatch)
    with pytest.raises(SystemExit) as caught:
        main([command, str(LESSON), "--json"])
    assert (caught.value.code, asked) == (0, [])


def test_the_command_line_uses_the_users_store(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The same lesson is placed once, with the same output; switched off, nothing is left behind."""
    from functools import partial

    monkeypatch.setattr("buildalong.lesson.compile_lesson", partial(compile_lesson, seconds=0.3))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    asked = counted(monkeypatch)
    told = []
    for word, placed in (("off", 1), ("", 2), ("", 2)):
        monkeypatch.setenv(OFF, word)
        with pytest.raises(SystemExit):
            main(["layout", str(LESSON), "--json"])
        told.append(capsys.readouterr().out)
        assert len(asked) == placed
        assert (tmp_path / "buildalong").exists() == (word != "off")
    assert told[0] == told[1] == told[2]
