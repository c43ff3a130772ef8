"""The running board without a network: what the hand does, what is seen, how much is kept."""

from __future__ import annotations

import gc
import os
import tracemalloc
from pathlib import Path

import pytest

from buildalong.bench import Running
from buildalong.bench._guard import Bucket
from buildalong.bench._source import Source
from buildalong.finding import Finding
from buildalong.lesson import Compiled, compile_lesson

from ._lamp import FACTS, write_lamp


@pytest.fixture(scope="module")
def lamp(tmp_path_factory: pytest.TempPathFactory) -> Compiled:
    folder = tmp_path_factory.mktemp("lamp")
    write_lamp(folder)
    return compile_lesson(folder, want=("board",), seconds=0.2)


def running(lamp: Compiled) -> Running:
    assert lamp.layout is not None
    return Running(lamp.circuit, lamp.layout, lamp.lesson.trials)


def test_the_lamp_shines_while_the_button_is_pressed(lamp: Compiled) -> None:
    """With 4.5 V, 220 Ω and a red LED some 12 mA flow: (U - U_F) / R of any textbook, U_F some 2 V."""
    board = running(lamp)
    assert board.advance(0.1).light == (0.0,)
    board.act("S1", "pressed", 1.0)
    frame = board.advance(0.1)
    assert 0.7 < frame.light[0] < 0.9
    at = dict(zip(board.nets, frame.volts, strict=True))
    assert 10e-3 < (at["SWITCH"][0] - at["LAMP"][0]) / 220 < 13e-3
    assert frame.told[0][1:] == ("DS1", "light", "lit")
    board.act("S1", "pressed", 0.0)
    assert board.advance(0.1).light == (0.0,)


def test_a_lower_supply_dims_the_lamp(lamp: Compiled) -> None:
    """At 3 V less than half the current flows, at 1 V none."""
    board = running(lamp)
    board.act("S1", "pressed", 1.0)
    full = board.advance(0.1).light[0]
    board.act("BT1", "volts", 3.0)
    assert 0 < board.advance(0.1).light[0] < full
    board.act("BT1", "volts", 1.0)
    assert board.advance(0.1).light == (0.0,)


def test_the_meter_reads_between_holes_and_tells_a_floating_one(lamp: Compiled) -> None:
    """Red on plus and black on minus is the supply; turned round its negative; a free row is nothing."""
    board = running(lamp)
    board.meter = ("L+9", "a12")
    assert board.advance(0.01).meter == pytest.approx(4.5, abs=0.01)
    board.meter = ("a12", "L+9")
    assert board.advance(0.01).meter == pytest.approx(-4.5, abs=0.01)
    board.meter = ("a30", "a12")
    assert board.advance(0.01).meter is None


def test_leads_move_one_by_one_and_come_back(lamp: Compiled) -> None:
    """An LED turned round stays dark; a short is dangerous; a rigid part's leg cannot be taken alone."""
    board = running(lamp)
    board.act("S1", "pressed", 1.0)
    assert board.lead("DS1", 0, "d12") is None
    assert board.lead("DS1", 1, "d11") is None
    assert board.advance(0.1).light == (0.0,)
    assert "DS1" in board.consequence.symptom
    assert [f.code for f in board.consequence.differences] == ["part-reversed"]
    board.put_back()
    assert board.advance(0.1).light[0] > 0.7
    assert board.lead("wire 1", 1, "b12") is None
    assert board.consequence.dangers
    assert board.advance(0.1).light == (0.0,)
    board.put_back()
    assert board.consequence.differences == ()
    for hole in ("zz9", "b11", "b30"):
        assert isinstance(board.lead("R1", 0, hole), Finding)
    with pytest.raises(KeyError):
        board.lead("S1", 0, "a1")


def test_an_hour_leaves_nothing_behind(lamp: Compiled) -> None:
    """An hour with 360 presses keeps no more than the ten minutes before it."""
    board = running(lamp)

    def minutes(count: int) -> None:
        for number in range(count * 6):
            board.act("S1", "pressed", float(number % 2))
            board.advance(10.0)

    minutes(10)
    tracemalloc.start()
    minutes(1)
    first = tracemalloc.get_traced_memory()[0]
    minutes(60)
    gc.collect()
    assert tracemalloc.get_traced_memory()[0] - first < 50_000
    tracemalloc.stop()


def test_a_crash_loses_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What was typed is in the journal before it is answered: a second bench takes it up."""
    monkeypatch.setenv("BUILDALONG_STORE", "")
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    folder = tmp_path / "lamp"
    folder.mkdir()
    write_lamp(folder)
    first = Source(folder)
    assert first.typed("lesson.toml", FACTS.replace('"220"', '"470"')).ok
    assert first.journal is not None
    os.close(first.journal._handle)  # as a process that is killed
    second = Source(folder)
    assert second.shown("lesson.toml") == FACTS
    done = second.history("take-up")
    assert done is not None
    assert done.ok
    assert '"470"' in second.shown("lesson.toml")
    assert second.save().written == ("lesson.toml",)
    second.close()
    third = Source(folder)
    assert third.left == ()
    third.close()


def test_line_ends_stay_as_the_author_has_them(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file with CR LF keeps it: a browser's text field has LF alone (HTML Standard, the API value)."""
    write_lamp(tmp_path)
    (tmp_path / "lesson.toml").write_bytes(FACTS.replace("\n", "\r\n").encode())
    source = Source(tmp_path)
    assert source.shown("lesson.toml") == FACTS
    source.typed("lesson.toml", FACTS.replace('"220"', '"330"'))
    assert source.save().ok
    assert (tmp_path / "lesson.toml").read_bytes() == FACTS.replace('"220"', '"330"').replace(
        "\n", "\r\n"
    ).encode()
    source.close()


def test_a_bucket_bounds_a_rate() -> None:
    """Ten at once, then no more until time passes."""
    bucket = Bucket(10.0, 10.0)
    assert [bucket.take() for _ in range(12)] == [True] * 10 + [False] * 2
    bucket.seen -= 0.5
    assert [bucket.take() for _ in range(6)] == [True] * 5 + [False]
