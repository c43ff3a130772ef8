"""A slip that was thought out: the board that it makes, and the words for it."""

from __future__ import annotations

from dataclasses import dataclass

from buildalong.board import Layout
from buildalong.circuit import Part
from buildalong.mistakes import _words as words
from buildalong.words import capital, say

__all__ = ["Slip"]


@dataclass(frozen=True)
class Slip:
    """What a generator gives: the new board or new parts, and the words."""

    kind: str
    what: str
    """What is wrong, as a clause."""
    where: str
    subjects: tuple[str, ...]
    layout: Layout
    parts: tuple[Part, ...]
    share: float = 1.0
    loose: bool = False
    seen: bool = True
    long: str = ""
    """The clause where it stands alone, where that says more."""

    @property
    def sentence(self) -> str:
        """What is wrong, as a sentence; an author's own words stay as they are."""
        if self.kind == "own":
            return self.what
        return say(words.SENTENCE, what=capital(self.long or self.what))

    @property
    def clause(self) -> str:
        """What is wrong, as a part of another sentence."""
        if self.kind != "own":
            return self.what
        text = self.what.removesuffix(".")
        return text[0].lower() + text[1:] if text.startswith(("The ", "Both ", "Plus ")) else text
