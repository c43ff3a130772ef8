"""Exercises on paper and on a page: one board each, its answer folded away, no value given away."""

from __future__ import annotations

import io
import re
from collections.abc import Callable

import pikepdf
import pytest

from buildalong.exercise import Exercise, choose
from buildalong.guide import Guide
from buildalong.lesson import Compiled
from buildalong.publish import exercise_files

Made = tuple[tuple[Exercise, ...], dict[str, bytes]]
COUNT = 5


@pytest.fixture(scope="module")
def made(compiled_demo: Callable[[str], Compiled], guide: Callable[[str], Guide]) -> Made:
    compiled, known = compiled_demo("lighthouse"), guide("lighthouse")
    exercises = choose(known, compiled.steps, COUNT, seed=2)
    return exercises, exercise_files(compiled, known, exercises)


def test_a_board_each_and_the_answers_at_the_end(made: Made) -> None:
    """PDF/UA-1 (ISO 14289-1) with a title; a first page, one for each board, then the answers."""
    exercises, files = made
    pdf = pikepdf.open(io.BytesIO(files["exercises.pdf"]))
    assert pdf.Root.MarkInfo.Marked
    assert "pdfuaid" in str(pdf.Root.Metadata.read_bytes())
    assert len(pdf.pages) >= len(exercises) + 2
    assert [name for name in files if name.endswith(".svg")] == [
        f"board-{i}.svg" for i in range(1, COUNT + 1)
    ]


def test_the_answer_is_folded_away(made: Made) -> None:
    """Outside the folds a page tells the symptom, not the answer; inside it tells both, without a script."""
    exercises, files = made
    page = files["exercises.html"].decode().replace("\u00a0", " ")
    assert "<script" not in page
    assert not re.search(r'(?:src|href)="https?:', page)
    ids = re.findall(r'\sid="([^"]+)"', page)
    assert len(ids) == len(set(ids))
    folded = "".join(re.findall(r"<details.*?</details>", page, re.DOTALL))
    shown = re.sub(r"<details.*?</details>", "", page, flags=re.DOTALL)
    for each in exercises:
        assert each.symptom in shown
        assert each.answer.replace("'", "&#39;") in folded
        assert each.answer.replace("'", "&#39;") not in shown


def test_labels_give_no_value_away(made: Made) -> None:
    """A board's labels name parts; the value is read from the bands, as on a real one."""
    exercises, files = made
    for each in exercises:
        svg = files[f"board-{each.number}.svg"].decode()
        texts = re.findall(r">([^<>]+)</text>", svg)
        assert "R1" in texts or "R1" not in each.layout.holes
        assert not [text for text in texts if "Ω" in text]


def test_the_same_exercises_give_the_same_bytes(
    made: Made, compiled_demo: Callable[[str], Compiled], guide: Callable[[str], Guide]
) -> None:
    """Equal exercises give equal files."""
    exercises, files = made
    assert exercise_files(compiled_demo("lighthouse"), guide("lighthouse"), exercises) == files
