"""How the pictures of a pack are drawn: for which hand, and with how much contrast."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from buildalong.board import turned_words
from buildalong.build.steps import Step
from buildalong.drawing import HIGH_CONTRAST, PLAIN, Tone, View
from buildalong.lesson import Lesson

__all__ = ["Contrast", "Hand", "Variant", "variant_of"]

Hand = Literal["right", "left"]
Contrast = Literal["usual", "high"]


@dataclass(frozen=True, slots=True)
class Variant:
    """``hand`` "left" turns the board by half a turn; ``contrast`` "high" draws black on white."""

    hand: Hand = "right"
    contrast: Contrast = "usual"

    @property
    def view(self) -> View:
        """The view of the board."""
        return "half-turned" if self.hand == "left" else "top"

    @property
    def tone(self) -> Tone:
        """The tone of the pictures."""
        return HIGH_CONTRAST if self.contrast == "high" else PLAIN

    def words(self, text: str) -> str:
        """Our own words on places, as the learner with this hand sees them."""
        return turned_words(text) if self.hand == "left" else text

    def step(self, step: Step) -> Step:
        """A step in these words; the author's reason is left alone."""
        title, text = self.words(step.title), self.words(step.text)
        check, callout = self.words(step.check), self.words(step.callout)
        return replace(step, title=title, text=text, check=check, callout=callout)


def variant_of(lesson: Lesson, hand: Hand | None = None, contrast: Contrast | None = None) -> Variant:
    """The variant that a lesson asks for, or what is asked for here."""
    return Variant(hand or lesson.hand, contrast or lesson.contrast)
