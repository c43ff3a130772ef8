"""Worksheets for a class: questions on the lesson's own circuit, other values for each, with answers."""

from buildalong.worksheet._worksheet import MAX_LEARNERS, SEED, Question, Sheet, without_values, worksheets

__all__ = ["MAX_LEARNERS", "SEED", "Question", "Sheet", "without_values", "worksheets"]
