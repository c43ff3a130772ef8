"""A laboratory that is stopped leaves a sound store, and goes on from there."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from buildalong.circuit import Circuit
from buildalong.mistakes import Lab, _lab, laboratory
from buildalong.store import Store

from ._labs import built, lab

DEMO = "lighthouse"


def stop_at(calls: int):
    """A progress that is stopped as it is told for the so manyth time."""
    said: list[str] = []

    def progress(share: float, text: str) -> None:
        said.append(text)
        if len(said) == calls:
            raise KeyboardInterrupt

    return progress


def ask(store: Store | None, progress=None) -> Lab:
    """The laboratory of the demo."""
    lesson, layout = built(DEMO)
    return laboratory(lesson.circuit, layout, lesson.trials, store=store, progress=progress)


def told(found: Lab) -> list[object]:
    """All that is told of each mistake, without the boards."""
    return [(o.mistake.id, replace(o, mistake=lab(DEMO).outcomes[0].mistake)) for o in found.outcomes]


@pytest.fixture
def simulated(monkeypatch: pytest.MonkeyPatch) -> list[Circuit]:
    """The circuits that are simulated from now on."""
    lab(DEMO)
    real, seen = _lab.case_of, []

    def counted(circuit: Circuit, *rest: object) -> object:
        seen.append(circuit)
        return real(circuit, *rest)

    monkeypatch.setattr(_lab, "case_of", counted)
    return seen


def test_a_stopped_run_goes_on_after_its_last_whole_chunk(tmp_path: Path, simulated: list[Circuit]) -> None:
    """Stopped after one chunk, the next run simulates the other circuits only, and tells the same."""
    store = Store(tmp_path / "store")
    with pytest.raises(KeyboardInterrupt):
        ask(store, stop_at(2))
    first = len(simulated)
    (entry,) = store.folder.iterdir()
    assert store.read(entry.stem) is not None
    assert told(ask(store)) == told(lab(DEMO))
    whole = len(simulated)
    assert 0 < first <= _lab.CHUNK
    simulated.clear()
    ask(None)
    assert len(simulated) == whole
    simulated.clear()
    assert told(ask(store)) == told(lab(DEMO))
    assert simulated == []


def test_stopped_within_a_chunk_nothing_of_it_is_kept(
    tmp_path: Path, simulated: list[Circuit], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A chunk that was not finished is not in the store, and the rest of it is not begun."""
    store = Store(tmp_path / "store")
    counted = _lab.case_of

    def struck(circuit: Circuit, *rest: object) -> object:
        if len(simulated) == 10:
            raise KeyboardInterrupt
        return counted(circuit, *rest)

    monkeypatch.setattr(_lab, "case_of", struck)
    with pytest.raises(KeyboardInterrupt):
        ask(store)
    assert len(simulated) < _lab.CHUNK
    assert not store.folder.exists()
    monkeypatch.setattr(_lab, "case_of", counted)
    assert told(ask(store)) == told(lab(DEMO))


def test_a_spoilt_entry_is_made_anew(tmp_path: Path, simulated: list[Circuit]) -> None:
    """An entry cut short by a crash is not believed: its chunk alone is simulated again."""
    store = Store(tmp_path / "store")
    ask(store)
    entries = sorted(store.folder.iterdir())
    entries[0].write_bytes(entries[0].read_bytes()[:-100])
    simulated.clear()
    assert told(ask(store)) == told(lab(DEMO))
    assert 0 < len(simulated) <= _lab.CHUNK
