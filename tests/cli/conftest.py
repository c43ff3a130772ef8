"""What the tests of several commands share."""

from __future__ import annotations

import json
from functools import partial
from pathlib import Path
from typing import Any

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


class Result:
    """What a command printed, and its exit code."""

    def __init__(self, code: Any, out: str, err: str) -> None:
        self.code, self.out, self.err = code, out, err

    @property
    def document(self) -> dict[str, Any]:
        found: dict[str, Any] = json.loads(self.out)
        assert found["schema"] == 1
        return found


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]) -> Any:
    """Run a command of the command line."""

    def call(*arguments: str) -> Result:
        capsys.readouterr()  # what a fixture printed
        with pytest.raises(SystemExit) as caught:
            main(list(arguments))
        out, err = capsys.readouterr()
        return Result(caught.value.code, out, err)

    return call
