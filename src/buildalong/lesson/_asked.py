"""A measure as an author writes it, for studies that measure it many times."""

from __future__ import annotations

from buildalong.finding import Finding, Severity, Unreadable
from buildalong.lesson._expression import Expression, ExpressionError, read_expression
from buildalong.quantity import QuantityError, parse_as
from buildalong.study import Asked

__all__ = ["asked_in", "asked_of"]


def asked_of(text: str) -> Asked:
    """Read "on_time(DS1)" or "max(OUT, 2 s, 8 s)"; raises Unreadable where it is no measure."""
    try:
        expression = read_expression(text)
        asked = asked_in(expression)
    except (ExpressionError, QuantityError) as error:
        raise Unreadable(_unreadable(str(error))) from None
    if expression.ideal or expression.trial or expression.unit or expression.figures:
        raise Unreadable(_unreadable(f"'{text[:60]}' says more than what to measure"))
    return asked


def asked_in(expression: Expression) -> Asked:
    """What an expression measures, whatever else it says; raises QuantityError for times that are none."""
    window = tuple(parse_as(time, "s") for time in expression.arguments[1:])
    return Asked(expression.name, expression.arguments[0] if expression.arguments else "", window)


def _unreadable(message: str) -> Finding:
    hint = "write a measure like on_time(DS1), with two times on_time(DS1, 2 s, 8 s)"
    return Finding(Severity.FATAL, "figure-unreadable", message, hint)
