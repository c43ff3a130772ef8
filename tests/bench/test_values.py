"""Other values on the bench: for the parts that are named, and only such as the lesson can take."""

from __future__ import annotations

import pytest

from buildalong.bench._messages import Refused, read_message
from buildalong.bench._values import other_values
from buildalong.edit import edit_all, open_lesson, read_edit
from buildalong.lesson import Lesson, compile_lesson, load
from demos import EXAMPLES


@pytest.fixture(scope="module")
def lighthouse() -> Lesson:
    return load(EXAMPLES / "lighthouse")


@pytest.mark.parametrize("parts", [("R1", "R2"), ("R1", "R2", "C1"), ("R2", "C1")])
def test_values_that_keep_the_promises_keep_them(lighthouse: Lesson, parts: tuple[str, ...]) -> None:
    """The best row is put into the text in one step; compiled, the lesson keeps what it promises."""
    sheet = other_values(lighthouse, parts, lambda share, text: None)
    assert sheet["parts"] == list(parts)
    assert set(parts) < set(sheet["free"])
    number = next(n for n, row in enumerate(sheet["rows"]) if row[-1] == "keeps all" and sheet["edits"][n])
    editing = open_lesson(EXAMPLES / "lighthouse")
    done = edit_all(editing, [read_edit(edit) for edit in sheet["edits"][number]])
    assert done.ok
    assert len(done.editing.done) == 1
    compiled = compile_lesson(done.editing.lesson(), want=("runs",))
    assert all(result.ok for result in compiled.promises)


def test_a_part_without_a_value_is_refused(lighthouse: Lesson) -> None:
    """The chip has none; more than three at once are not understood."""
    with pytest.raises(LookupError, match="U1 has no value"):
        other_values(lighthouse, ("U1",), lambda share, text: None)
    with pytest.raises(Refused, match="parts"):
        read_message('{"do": "ask", "what": "choose", "parts": ["R1", "R2", "R3", "C1"]}')
