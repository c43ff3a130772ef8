"""`handout`: what it writes, and how it refuses."""

from __future__ import annotations

import json
import re
import subprocess
from pathlib import Path
from typing import Any

import pikepdf
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
        said = capsys.readouterr()
        return caught.value.code, said.out + said.err

    return call


def test_all_that_a_paper_takes_is_written(run: Any, lamp: str, tmp_path: Path) -> None:
    """Three editions on A4; later ones come beside them, and the document lists what is new."""
    folder = tmp_path / "out"
    code, _ = run("handout", lamp, "--no-faults", "--output", str(folder))
    assert code == 0
    a4 = {"learner-a4.pdf", "teacher-a4.pdf", "poster-a4.pdf"}
    assert {path.name for path in folder.iterdir()} == a4 | {"pack.json"}
    assert all((folder / name).read_bytes().startswith(b"%PDF") for name in a4)
    more = ("--edition", "poster", "--paper", "a3", "--output", str(folder), "--no-faults", "--json")
    code, text = run("handout", lamp, *more)
    assert code == 0
    assert json.loads(text)["changed"] == ["poster-a3.pdf"]
    assert {path.name for path in folder.iterdir()} == a4 | {"pack.json", "poster-a3.pdf"}


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (
            ("--edition", "learner", "--paper", "a2"),
            "the learner edition is not made on a2, which takes: poster",
        ),
        (("--edition", "learner", "--scale", "2"), "--scale is for the poster"),
    ],
)
def test_what_does_not_fit_is_refused(
    run: Any, lamp: str, tmp_path: Path, arguments: tuple[str, ...], said: str
) -> None:
    """One finding says why; nothing is written, and the exit code is 2."""
    code, text = run("handout", lamp, *arguments, "--no-faults", "--output", str(tmp_path / "out"), "--json")
    assert code == 2
    (finding,) = json.loads(text)["findings"]
    assert said in finding["message"]
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize("arguments", [("--paper", "a7"), ("--edition", "pupil"), ("--scale", "9")])
def test_what_is_not_understood_is_refused(run: Any, lamp: str, arguments: tuple[str, ...]) -> None:
    """The choices are told, with exit code 2."""
    code, text = run("handout", lamp, *arguments)
    assert code == 2
    assert "Traceback" not in text
    assert "is not" in text


def test_letters_without_a_font_are_told(run: Any, lamp: str, tmp_path: Path) -> None:
    """A Japanese title gives a warning in `handout` and in `publish`, and still all files."""
    facts = Path(lamp) / "lesson.toml"
    text = facts.read_text(encoding="utf-8")
    first = next(line for line in text.split("\n") if line.startswith("title"))
    facts.write_text(text.replace(first, 'title = "灯台"'), encoding="utf-8")
    for command in ("handout", "publish"):
        only = ("--only", "handout") if command == "publish" else ()
        code, out = run(command, lamp, *only, "--no-faults", "--output", str(tmp_path / command), "--json")
        assert code == 0
        codes = [finding["code"] for finding in json.loads(out)["findings"]]
        assert codes.count("letters-missing") == 1


def test_help_has_an_example(run: Any) -> None:
    """As every command has."""
    code, out = run("handout", "--help")
    assert code == 0
    assert "Example: buildalong handout " in out.replace("\n", " ")


@pytest.mark.debian("pdftotext")
def test_a_handout_speaks_the_language_asked_for(run: Any, lamp: str, tmp_path: Path) -> None:
    """The PDF bears the tag of its language, as ISO 14289-1, 7.2 demands, and speaks it."""
    wanted = ("--no-faults", "--edition", "learner", "--language")
    found = {"en": "breadboard", "de": "Steckbrett"}
    for tag in ("en", "de"):
        assert run("handout", lamp, *wanted, tag, "--output", str(tmp_path / tag))[0] == 0
        with pikepdf.open(tmp_path / tag / "learner-a4.pdf") as pdf:
            assert str(pdf.Root.Lang) == tag
        pdf_file = str(tmp_path / tag / "learner-a4.pdf")
        text = subprocess.run(
            ["pdftotext", pdf_file, "-"], capture_output=True, check=True, text=True
        ).stdout.lower()
        assert [word for word in found.values() if word.lower() in text] == [found[tag]]


@pytest.mark.debian("pdftotext")
def test_poster_and_labels_speak_it_too(run: Any, lamp: str, tmp_path: Path) -> None:
    """Colours of wires on the poster and the heads of the teacher's bag labels are in German."""
    wanted = ("--no-faults", "--edition", "poster", "--edition", "teacher", "--language", "de")
    assert run("handout", lamp, *wanted, "--output", str(tmp_path / "de"))[0] == 0
    text = "".join(
        subprocess.run(["pdftotext", str(file), "-"], capture_output=True, check=True, text=True).stdout
        for file in (tmp_path / "de" / "poster-a4.pdf", tmp_path / "de" / "teacher-a4.pdf")
    )
    assert "Bauteil und Kennzeichnung" in text
    assert not re.search(r"\b(?:part and marking|pieces|red|black|yellow|blue)\b", text)
