"""What stands in the sentences of the formula sheet."""

from __future__ import annotations

from buildalong.design._expr import Expr, Parallel
from buildalong.design._sheet_words import PARALLEL
from buildalong.words import say, with_unit

__all__ = ["loaded", "said_volts"]


def said_volts(value: float) -> str:
    """A voltage as it stands in a sentence, to the hundredth of a volt."""
    return with_unit(f"{round(value, 2):g}", "V")


def loaded(expr: Expr) -> str:
    """The note on the sign for parallel resistances, where it occurs."""
    found = isinstance(expr, Parallel) or any(loaded(child) for child in expr.children)
    return say(PARALLEL) if found else ""
