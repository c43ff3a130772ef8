"""The small language in which a lesson names a figure: ``on_time(DS1)``, ``value(R1)``.

Grammar::

    figure   = [ "ideal" ] name "(" [ argument { "," argument } ] ")" [ trial ] [ unit ] [ digits ]
    trial    = "in" '"' name of the trial '"'
    unit     = "in" unit with its prefix, such as ms or mA
    digits   = "to" digit "figures"
    argument = part | net | part "." terminal | quantity | name

Nothing is executed: a figure is a name looked up in a fixed list, and plain arguments.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

__all__ = ["MAX_EXPRESSION", "Expression", "ExpressionError", "read_expression"]

MAX_EXPRESSION = 200
"""Longest text of a figure, characters."""

_SHAPE = re.compile(
    r"""\s*(?P<ideal>ideal\s+)?(?P<name>[A-Za-z_][A-Za-z0-9_]*)\s*
        \((?P<arguments>[^()]*)\)\s*
        (?:\bin\s+"(?P<trial>[^"]*)"\s*)?
        (?:\bin\s+(?P<unit>[^\s"\d(),]{1,5})\s*)?
        (?:\bto\s+(?P<figures>\d)\s+(?:figures?|digits?)\s*)?$""",
    re.VERBOSE,
)
_NESTED = re.compile(
    r"\s*(max|min|mean|rms)\s*\(\s*(voltage|current|power)\s*\(([^()]*)\)\s*\)(.*)$", re.DOTALL
)


class ExpressionError(ValueError):
    """A text is not a figure; ``offset`` is the place of the fault in it, counted from 0."""

    def __init__(self, message: str, offset: int = 0) -> None:
        self.offset = offset
        super().__init__(message)


@dataclass(frozen=True, slots=True)
class Expression:
    """A figure asked for: ``name(arguments)``, measured in ``trial`` ("" for the first trial).

    ``figures`` is how many significant figures to write, 0 for as many as suit; ``unit`` in which
    unit ("" for the one that suits); ``ideal`` asks for the result of the textbook formula in place
    of the measure.
    """

    name: str
    arguments: tuple[str, ...]
    trial: str = ""
    figures: int = 0
    ideal: bool = False
    unit: str = ""

    def __str__(self) -> str:
        """Write it as an author would."""
        text = f"{'ideal ' if self.ideal else ''}{self.name}({', '.join(self.arguments)})"
        return f'{text} in "{self.trial}"' if self.trial else text


def read_expression(text: str) -> Expression:
    """Read one figure; raises ExpressionError with the offset of the fault."""
    if len(text) > MAX_EXPRESSION:
        raise ExpressionError(f"a figure is at most {MAX_EXPRESSION} characters long", MAX_EXPRESSION)
    nested = _NESTED.match(text)
    if nested:
        text = f"{nested[1]}_{nested[2]}({nested[3]}){nested[4]}"
    found = _SHAPE.match(text)
    if found is None:
        raise ExpressionError(_fault(text), len(text) - len(text.lstrip()))
    inside = found["arguments"].strip()
    arguments = tuple(piece.strip() for piece in inside.split(",")) if inside else ()
    if any(not argument for argument in arguments):
        raise ExpressionError("an argument between the commas is missing", found.start("arguments"))
    return Expression(
        found["name"],
        arguments,
        found["trial"] or "",
        int(found["figures"] or 0),
        bool(found["ideal"]),
        found["unit"] or "",
    )


def _fault(text: str) -> str:
    stripped = text.strip()
    if not stripped:
        return "a figure is missing; write one like on_time(DS1)"
    if stripped.count("(") != stripped.count(")"):
        return f"the brackets of '{stripped}' do not match; write a figure like on_time(DS1)"
    if "(" not in stripped:
        return f"'{stripped}' is no figure; write a name and, in brackets, what it is about: on_time(DS1)"
    return f"'{stripped}' is not understood; write a figure like on_time(DS1)"
