"""Hints for the schematic, written as short lines in ``[picture]``; never needed.

Lines::

    R1 left of U1
    R2 above R3
    R1 in line with R2
    keep R3 upright            keep R3 lying
    keep C1 near U1
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from buildalong.circuit import Circuit

__all__ = ["EXAMPLES", "Hint", "HintError", "against", "read_hint"]

EXAMPLES = (
    "R1 left of U1", "R2 above R3", "R1 in line with R2", "keep R3 upright", "keep R3 lying",
    "keep C1 near U1",
)  # fmt: skip

_PAIR = re.compile(r"(\S+)\s+(left of|above|in line with)\s+(\S+)$")
_KEEP = re.compile(r"keep\s+(\S+)\s+(upright|lying|near)(?:\s+(\S+))?$")


class Hint(NamedTuple):
    """What the author wants: ``kind`` is left of, above, in line with, near, upright or lying."""

    kind: str
    part: str
    other: str = ""


class HintError(ValueError):
    """A hint cannot be followed; ``code`` is the finding's code, ``hint`` says how to mend it."""

    def __init__(self, code: str, message: str, hint: str) -> None:
        self.code = code
        self.hint = hint
        super().__init__(message)


def read_hint(line: str, circuit: Circuit) -> Hint:
    """Read one line; raises HintError where it is not understood or names what the drawing has not."""
    text = " ".join(line.split())
    if found := _PAIR.match(text):
        hint = Hint(found[2], found[1], found[3])
    elif (found := _KEEP.match(text)) and (found[2] == "near") == (found[3] is not None):
        hint = Hint(found[2], found[1], found[3] or "")
    else:
        raise HintError(
            "picture-hint", f"the hint '{text[:60]}' is not understood", f"write it like {_listed(EXAMPLES)}"
        )
    drawn = [part.id for part in circuit.parts if part.type.family != "supply"]
    for name in hint[1:]:
        if name and name not in drawn:
            raise HintError(
                "unknown-part-in-picture", f"the schematic has no part {name} to place",
                f"its parts are {', '.join(drawn) or 'none'}",
            )  # fmt: skip
    if hint.part == hint.other:
        raise HintError("picture-hint", f"{hint.part} cannot stand beside itself", "name two parts")
    if hint.kind in ("upright", "lying") and len(circuit.by_id[hint.part].nets) != 2:
        raise HintError(
            "wrong-part-in-picture",
            f"{hint.part} is a {circuit.by_id[hint.part].type.noun}; only parts with two leads can be turned",
            "take the hint out",
        )
    return hint


def against(hint: Hint, others: Sequence[Hint]) -> Hint | None:
    """The hint among ``others`` that this one contradicts, or None: a turn, or a ring of one order."""
    if hint.kind in ("upright", "lying"):
        other_way = "lying" if hint.kind == "upright" else "upright"
        return next((o for o in others if o.kind == other_way and o.part == hint.part), None)
    if hint.kind not in ("left of", "above"):
        return None
    # Whoever is reached from the other part in the same order must not be the first part.
    queue, seen = [hint.other], {hint.other}
    while queue:
        at = queue.pop(0)
        for o in others:
            if o.kind == hint.kind and o.part == at:
                if o.other == hint.part:
                    return o
                if o.other not in seen:
                    seen.add(o.other)
                    queue.append(o.other)
    return None


def _listed(examples: Sequence[str]) -> str:
    return ", ".join(f"'{example}'" for example in examples[:-1]) + f" or '{examples[-1]}'"
