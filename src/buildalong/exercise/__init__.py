"""Exercises in fault finding: boards with one planted mistake, symptom, hint and hidden answer."""

from buildalong.exercise._choose import choose, fit
from buildalong.exercise._exercise import LEVELS, Exercise, Level

__all__ = ["LEVELS", "Exercise", "Level", "choose", "fit"]
