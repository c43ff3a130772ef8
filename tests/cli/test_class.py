"""What the commands for a class say in the language asked for."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pikepdf
import pytest


def test_worksheets_speak_the_language_asked_for(run: Any, lamp: str, tmp_path: Path) -> None:
    """The PDF bears its language (ISO 14289-1, 7.2); questions are German, answers as in English."""
    sheets = {}
    for tag in ("en", "de"):
        folder = tmp_path / tag
        done = run("worksheet", lamp, "--language", tag, "--json", "--output", str(folder))
        assert done.code == 0
        sheets[tag] = done.document["sheets"][0]["questions"]
        with pikepdf.open(folder / "worksheets.pdf") as pdf:
            assert str(pdf.Root.Lang) == tag
    assert any("Widerstand" in each["text"] for each in sheets["de"])
    assert not any("Widerstand" in each["text"] for each in sheets["en"])
    assert [each["number"] for each in sheets["de"]] == [each["number"] for each in sheets["en"]]


def test_a_kit_speaks_the_language_asked_for(run: Any, lamp: str, tmp_path: Path) -> None:
    """The parts bear the trade's German words, on the labels too, whose PDF bears its language."""
    done = run("kit", lamp, "--no-swaps", "--language", "de", "--json", "--output", str(tmp_path / "kit"))
    assert done.code == 0
    assert any("Widerstand" in str(line) for line in done.document["lines"])
    with pikepdf.open(tmp_path / "kit" / "labels.pdf") as pdf:
        assert str(pdf.Root.Lang) == "de"


@pytest.mark.parametrize("command", [("kit", "--no-swaps"), ("worksheet",)])
def test_what_is_found_of_the_lesson_is_told(run: Any, lamp: str, command: tuple[str, ...]) -> None:
    """A warning reaches who prints for a class too, in words and as JSON: the lamp has no prose."""
    (Path(lamp) / "lesson.md").unlink()
    name, *options = command
    assert "no-prose" in run(name, lamp, *options).out
    found = run(name, lamp, *options, "--json").document["findings"]
    assert "no-prose" in [each["code"] for each in found]


def test_an_unknown_language_is_refused(run: Any, lamp: str) -> None:
    """A language that is not spoken here is one finding, as with the other commands."""
    for command in ("worksheet", "kit"):
        done = run(command, lamp, "--language", "xx", "--json")
        assert done.code == 2
        assert [each["code"] for each in done.document["findings"]] == ["unknown-language"]
