"""What the tests of several commands share."""

from __future__ import annotations

from functools import partial
from pathlib import Path

import pytest

from buildalong.cli import main
from buildalong.lesson import compile_lesson


@pytest.fixture
def little_work(monkeypatch: pytest.MonkeyPatch) -> None:
    """The lamp's board needs a hundredth of the usual work."""
    monkeypatch.setattr("buildalong.lesson.compile_lesson", partial(compile_lesson, seconds=0.1))


@pytest.fixture
def lamp(tmp_path: Path) -> str:
    """The lesson that `buildalong new` writes."""
    with pytest.raises(SystemExit):
        main(["new", str(tmp_path / "lamp")])
    return str(tmp_path / "lamp")
