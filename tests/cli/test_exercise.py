"""`exercise` and the fault finder of `publish`: what they print, what they write, how they refuse."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from buildalong.cli import main

pytestmark = pytest.mark.usefixtures("little_work")


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]) -> Any:
    """Run a command: exit code and what it printed."""

    def call(*arguments: str) -> tuple[Any, str]:
        capsys.readouterr()
        with pytest.raises(SystemExit) as caught:
            main(list(arguments))
        return caught.value.code, capsys.readouterr().out

    return call


def test_exercises_are_printed_and_written(run: Any, lamp: str, tmp_path: Path) -> None:
    """Each board with symptom, hint and answer; page, PDF and boards in the folder; JSON says the same."""
    folder = tmp_path / "out"
    code, out = run("exercise", lamp, "--count", "2", "--output", str(folder))
    assert code == 0
    assert out.count("answer:") == out.count("hint:") == 2
    names = {path.name for path in folder.iterdir()}
    assert names == {"exercises.html", "exercises.pdf", "board-1.svg", "board-2.svg", "pack.json"}
    code, text = run("exercise", lamp, "--count", "2", "--json")
    assert code == 0
    document = json.loads(text)
    assert document["schema"] == 1
    assert [each["answer"]["what"] in out for each in document["exercises"]] == [True, True]


def test_too_many_exercises_are_refused(run: Any, lamp: str) -> None:
    """A finding says how many there are; nothing is written; exit code 2."""
    code, out = run("exercise", lamp, "--count", "40", "--level", "hard", "--json")
    assert code == 2
    (finding,) = json.loads(out)["findings"]
    assert "make such exercises" in finding["message"]


def test_a_lesson_with_errors_makes_no_exercises(run: Any, lamp: str) -> None:
    """Its findings are told instead, and the exit code is 1."""
    path = Path(lamp) / "lesson.toml"
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace('part = "led', 'part = "lod'), encoding="utf-8")
    assert path.read_text(encoding="utf-8") != text
    code, out = run("exercise", lamp, "--json")
    assert code == 1
    assert json.loads(out)["findings"]


def test_help_has_an_example(run: Any) -> None:
    """The command explains itself with an example and knows --json."""
    code, out = run("exercise", "--help")
    assert code == 0
    assert "Example: buildalong exercise " in out.replace("\n", " ")
    assert "--json" in out


def test_exercises_speak_the_language_asked_for(run: Any, lamp: str, tmp_path: Path) -> None:
    """Page, pictures and what is printed are German; the tag stands in the page (WCAG 2.2, 3.1.1)."""
    folder = tmp_path / "out"
    code, english = run("exercise", lamp, "--count", "1")
    assert code == 0
    code, german = run("exercise", lamp, "--count", "1", "--language", "de", "--output", str(folder))
    assert code == 0
    assert _answer(german) != _answer(english)
    assert '<html lang="de"' in (folder / "exercises.html").read_text(encoding="utf-8")
    assert "Steckbrett mit" in (folder / "board-1.svg").read_text(encoding="utf-8")


def _answer(printed: str) -> str:
    return printed.partition("answer:")[2]
