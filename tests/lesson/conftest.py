"""Small lessons on disk, changed in one place by each test; and the demo lessons, compiled once."""

from __future__ import annotations

from pathlib import Path

import pytest

from ._lamp import LAMP, WORDS, Write


@pytest.fixture
def write(tmp_path: Path) -> Write:
    """Write a lesson: ``write(facts, words)``, or the lamp with one text replaced by another."""

    def make(
        facts: str | bytes = LAMP, words: str | bytes | None = WORDS, *, change: tuple[str, str] | None = None
    ) -> Path:
        if change is not None:
            assert isinstance(facts, str)
            assert facts.count(change[0]) == 1, f"'{change[0]}' is not there exactly once"
            facts = facts.replace(*change)
        folder = tmp_path / "lamp"
        folder.mkdir(exist_ok=True)
        (folder / "lesson.toml").write_bytes(facts.encode() if isinstance(facts, str) else facts)
        if words is not None:
            (folder / "lesson.md").write_bytes(words.encode() if isinstance(words, str) else words)
        return folder

    return make
