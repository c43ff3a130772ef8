"""The mistake laboratory: every plausible single mistake of a build, and what comes of it."""

from buildalong.mistakes._case import Harm, Shown, Window
from buildalong.mistakes._generate import mistakes_of, wire_name
from buildalong.mistakes._kinds import KINDS, Kind
from buildalong.mistakes._lab import Lab, Outcome, laboratory
from buildalong.mistakes._mistake import Mistake, Own, Wishes
from buildalong.mistakes._symptoms import SYMPTOMS, act_of
from buildalong.mistakes._words import DANGERS

__all__ = [
    "DANGERS", "KINDS", "SYMPTOMS", "Harm", "Kind", "Lab", "Mistake", "Outcome", "Own", "Shown",
    "Window", "Wishes", "act_of", "laboratory", "mistakes_of", "wire_name",
]  # fmt: skip
