"""What an author wants of mistakes: ``[mistakes]`` with forbid, weigh and add."""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from buildalong.circuit import Circuit
    from buildalong.lesson._schema import MistakesTable, OwnMistakeTable
    from buildalong.mistakes import Own, Wishes

__all__ = ["read_wishes"]

Error = Callable[[str, str, str, tuple[str | int, ...]], None]
"""Told with the code, the message, how to mend it, and the keys that lead to the place."""

_WIRE = re.compile(r"wire [1-9]\d{0,2}")


def read_wishes(table: MistakesTable | None, circuit: Circuit, board: str, error: Error) -> Wishes | None:
    """Read the table; what is wrong is told through ``error`` and left out."""
    from buildalong.mistakes import Wishes

    if table is None:
        return None
    forbid = [n for i, n in enumerate(table.forbid) if _named(n, circuit, error, ("mistakes", "forbid", i))]
    weigh = {n: f for n, f in table.weigh.items() if _named(n, circuit, error, ("mistakes", "weigh", n))}
    added = [_own(entry, circuit, board, error, ("mistakes", "add", i)) for i, entry in enumerate(table.add)]
    return Wishes(tuple(own for own in added if own is not None), frozenset(forbid), weigh)


def _named(name: str, circuit: Circuit, error: Error, at: tuple[str | int, ...]) -> bool:
    """Whether a name is a kind of mistake, a part, a wire, or the id of a mistake."""
    from buildalong.mistakes import KINDS

    if name in KINDS or name in circuit.by_id or name == "rails" or _WIRE.fullmatch(name):
        return True
    if any(name.startswith(f"{kind}-") and name[-1:].isdigit() for kind in KINDS):
        return True
    near = difflib.get_close_matches(name, [*KINDS, *circuit.by_id], n=1)
    known = f"kinds are {', '.join(KINDS)}; or name a part, 'wire 1', or the id of a mistake"
    hint = f"did you mean '{near[0]}'?" if near else known
    error("unknown-mistake", f"'{name[:60]}' is no kind of mistake, no part and no wire", hint, at)
    return False


def _own(
    entry: OwnMistakeTable, circuit: Circuit, board: str, error: Error, at: tuple[str | int, ...]
) -> Own | None:
    """A mistake that the author adds; its holes must be there, and as many as the part has leads."""
    from buildalong.board import boards
    from buildalong.mistakes import Own

    spelt: dict[str, tuple[str, ...]] = {}
    for name, holes in entry.holes.items():
        here = (*at, "holes", name)
        part = circuit.by_id.get(name)
        if part is None:
            near = difflib.get_close_matches(name, circuit.by_id, n=1, cutoff=0.4)
            hint = f"did you mean {near[0]}?" if near else f"the parts are {', '.join(circuit.by_id)}"
            error("unknown-part-in-mistake", f"the circuit has no part '{name[:40]}'", hint, here)
            return None
        legs = part.type.leg_names
        if len(holes) != len(legs):
            message = f"{name} ({part.type.noun}) has {len(legs)} leads, but {len(holes)} holes are given"
            error("wrong-number-of-holes", message, f"one for each lead: {', '.join(legs)}", here)
            return None
        known = boards().get(board)
        for number, hole in enumerate(holes):
            if known is not None and hole != "-" and known.spell(hole) not in known.holes:
                message = f"the board {board} has no hole '{hole[:20]}'"
                error("no-such-hole", message, f"the nearest is {known.nearest(hole)}", (*here, number))
                return None
        spelt[name] = tuple(known.spell(hole) if known is not None else hole for hole in holes)
    what = entry.what.strip()
    return Own(what if what.endswith(".") else f"{what}.", spelt, entry.weight)
