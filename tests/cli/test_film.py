"""The film command: files, document, and what it leaves alone."""

from __future__ import annotations

import json
from functools import partial
from pathlib import Path
from typing import Any

import pytest

from buildalong.cli import main
from buildalong.lesson import compile_lesson


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Any:
    monkeypatch.setattr("buildalong.lesson.compile_lesson", partial(compile_lesson, seconds=0.1))

    def call(*arguments: str) -> tuple[Any, str]:
        with pytest.raises(SystemExit) as caught:
            main(list(arguments))
        return caught.value.code, capsys.readouterr().out

    return call


@pytest.fixture
def lamp(tmp_path: Path, run: Any) -> Path:
    """The lesson that `buildalong new` writes."""
    assert run("new", str(tmp_path / "lamp"))[0] == 0
    return tmp_path / "lamp"


def test_only_leaves_the_other_files_alone(lamp: Path, tmp_path: Path, run: Any) -> None:
    """Captions made again change nothing else, and the manifest still names every file."""
    out = tmp_path / "film"
    code, told = run("film", str(lamp), "--only", "script", "--output", str(out))
    assert code == 0
    assert "What can go wrong" in told
    before = (out / "narration.txt").read_bytes()
    both = ("--only", "captions", "--only", "thumbnail")
    assert run("film", str(lamp), *both, "--output", str(out))[0] == 0
    assert (out / "thumbnail.png").is_file()
    assert (out / "narration.txt").read_bytes() == before
    named = json.loads((out / "pack.json").read_text(encoding="utf-8"))["files"]
    assert sorted(named) == sorted(p.name for p in out.iterdir() if p.name != "pack.json")
    assert {"narration.txt", "captions.vtt"} <= set(named)


def test_the_document_tells_the_times(lamp: Path, tmp_path: Path, run: Any) -> None:
    """Scenes follow one another, and every caption lies in its scene."""
    code, out = run("film", str(lamp), "--only", "captions", "--output", str(tmp_path / "film"), "--json")
    assert code == 0
    found = json.loads(out)
    assert found["schema"] == 1
    assert found["files"] == ["captions.vtt", "chapters.vtt", "pack.json"]
    ends = [scene["end"] for scene in found["scenes"]]
    assert [scene["start"] for scene in found["scenes"]] == [0, *ends[:-1]]
    assert ends[-1] == found["lasts"]
    for scene in found["scenes"]:
        assert all(scene["start"] <= c["start"] < c["end"] <= scene["end"] for c in scene["captions"])


def test_a_strangers_folder_is_left_alone(lamp: Path, tmp_path: Path, run: Any) -> None:
    """A folder with other things in it is refused with one finding and exit code 2."""
    (tmp_path / "mine").mkdir()
    (tmp_path / "mine" / "diary.txt").write_text("x", encoding="utf-8")
    code, out = run("film", str(lamp), "--only", "captions", "--output", str(tmp_path / "mine"), "--json")
    assert code == 2
    assert [finding["code"] for finding in json.loads(out)["findings"]] == ["output-taken"]
    assert [p.name for p in (tmp_path / "mine").iterdir()] == ["diary.txt"]


def test_a_lesson_with_errors_is_not_filmed(lamp: Path, tmp_path: Path, run: Any) -> None:
    """Its findings are told, nothing is written, the exit code is 1."""
    facts = lamp / "lesson.toml"
    facts.write_text(facts.read_text(encoding="utf-8").replace('"3 s"', '"9 s"'), encoding="utf-8")
    code, out = run("film", str(lamp), "--output", str(tmp_path / "film"))
    assert code == 1
    assert "nothing was made" in out
    assert not (tmp_path / "film").exists()
