"""What is typed in one go is taken back in one go; a pause, another line or another place ends it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from types import SimpleNamespace

import pytest
from playwright.sync_api import expect

from buildalong.bench import _typing
from buildalong.bench._source import Source

from ._lamp import FACTS, WORDS, write_lamp
from ._page import Opened, settled
from .conftest import Beside


@pytest.fixture(scope="module")
def bench(started: Callable[..., Beside]) -> Beside:
    return started("mailbox-flag", write_lamp)


class Typist:
    """Types letter by letter at a caret, with a clock of its own."""

    def __init__(self, folder: Path, patch: pytest.MonkeyPatch) -> None:
        write_lamp(folder)
        self.source, self.now = Source(folder), 0.0
        patch.setattr(_typing.time, "monotonic", lambda: self.now)

    def text(self) -> str:
        return self.source.shown("lesson.md")

    def types(self, word: str, at: int, *, seconds: float = 0.1) -> None:
        for letter in word:
            self.now += seconds
            self.source.typed("lesson.md", f"{self.text()[:at]}{letter}{self.text()[at:]}")
            at += 1

    def erases(self, count: int, at: int) -> None:
        for end in range(at, at - count, -1):
            self.now += 0.1
            self.source.typed("lesson.md", f"{self.text()[: end - 1]}{self.text()[end:]}")

    def steps(self) -> list[str]:
        """The texts that one meets on the way back."""
        met = []
        while self.source.editing.done:
            met.append(self.text())
            self.source.history("back")
        return met


@pytest.fixture
def typist(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Typist:
    return Typist(tmp_path, monkeypatch)


def test_a_word_and_its_correction_are_one_step(typist: Typist) -> None:
    typist.types("Hallo", 0)
    typist.erases(4, 5)
    typist.types("ello ", 1)
    assert typist.steps() == [f"Hello {WORDS}"]
    assert typist.text() == WORDS


def test_a_pause_begins_a_new_step(typist: Typist) -> None:
    typist.types("one", 0)
    typist.now += _typing.PAUSE
    typist.types(" two", 3)
    assert typist.steps() == [f"one two{WORDS}", f"one{WORDS}"]


def test_a_new_line_and_another_place_begin_a_new_step(typist: Typist) -> None:
    typist.types("one\ntwo", 0)
    typist.types("X", 1)
    assert typist.steps() == [f"oXne\ntwo{WORDS}", f"one\ntwo{WORDS}", f"one\n{WORDS}"]


def test_what_was_taken_back_is_not_gone_on_with(typist: Typist) -> None:
    typist.types("one", 0)
    typist.source.history("back")
    typist.types("two", 0)
    typist.source.history("back")
    assert typist.text() == WORDS
    typist.source.history("forth")
    assert typist.text() == f"two{WORDS}"


def test_long_typing_costs_no_earlier_step(typist: Typist) -> None:
    """The first step stays, however many letters follow it: only steps are counted."""
    typist.types("A", len(WORDS) - 1)
    typist.now += 2 * _typing.PAUSE
    typist.types("x" * 400, 0)
    assert len(typist.source.editing.done) == 2


@pytest.mark.debian("chromium")
def test_a_word_typed_on_the_page_is_one_step(opened: Opened, monkeypatch: pytest.MonkeyPatch) -> None:
    """By keys, 90 ms each; the lesson is read meanwhile; two words with a rest between are two steps."""
    now = [0.0]
    monkeypatch.setattr(_typing, "time", SimpleNamespace(monotonic=lambda: now[0]))
    page = opened()
    area = page.locator("textarea")
    area.focus()
    area.evaluate("area => area.setSelectionRange(0, 0)")
    page.keyboard.type("# slowly ", delay=90)
    settled(page)
    now[0] += 2 * _typing.PAUSE
    page.keyboard.type("and more", delay=90)
    expect(area).to_have_value(f"# slowly and more{FACTS}")
    settled(page)
    page.keyboard.press("Control+z")
    expect(area).to_have_value(f"# slowly {FACTS}")
    page.keyboard.press("Control+z")
    expect(area).to_have_value(FACTS)
    page.keyboard.press("Control+y")
    expect(area).to_have_value(f"# slowly {FACTS}")
    page.keyboard.press("Control+z")
    expect(area).to_have_value(FACTS)
