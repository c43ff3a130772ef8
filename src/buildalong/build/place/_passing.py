"""Straight wires past a row of round lamps: beside the bodies few columns are left for them.

Said of a row in one column, of lamps whose bodies close the two columns at the edge of a side and that
share a net with no pin of an IC: the *common* net. Three columns are then left on their side. Where all
strips of the common net are those of the row, its wires take two of the three at the strip of every
lamp but the first and the last: strips above and below hang together either by two ends in this strip,
or by one and a wire past it. With E strips more the common net falls into at most E pieces on that
side, each of which leaves one column free at its first and at its last strip: 2E - 2 columns besides
those at the ends of the row. One strip more on that side frees a column only beside the gap in the row.

An IC stands beyond the row or in its gap. The net of a lamp with others between it and the IC passes
each of them on the side of the lamps, or on the other, where there are five columns. To leave the side
of the lamps and come back takes two strips on either side.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from math import hypot
from typing import Any

from buildalong.build.place._frames import LONG_ROW
from buildalong.build.place._ground import PITCH
from buildalong.build.place._slots import HOLES
from buildalong.circuit import Part

__all__ = ["closes_two_columns", "pass_row"]

BESIDE = 3
"""Columns left beside a lamp at the edge of its side."""
KEPT = 2
"""Of them the wires of the common net take so many."""
SIDES = ("left", "right")


def closes_two_columns(part: Part) -> bool:
    """Whether a round body covers the holes beside its leads, but none two columns away."""
    body = part.type.body
    radius = body.width / 2 / PITCH
    return body.kind == "radial" and body.length == body.width and hypot(1, 0.5) < radius < 2


def pass_row(
    model: Any,
    count: int,
    left: Any,
    extra: Any,
    pins: Mapping[int, Any],
    loose: Mapping[int, Mapping[str, Any]],
) -> None:
    """Add what is said above of a row of ``count`` lamps and one IC to a solver's model.

    ``left``: whether the row stands left of the trench; ``extra``: strips of the common net beyond those of
    the row.  ``pins``: number of a lamp -> whether the one pin of its net, one of the IC, is on the left;
    ``loose``: number of a lamp -> side -> strips of its net that are no pin's.
    """
    there = {k: (model.new_bool_var(f"lamp {k} by the other side"), _same(model, on_left, left, k))
             for k, on_left in pins.items()}  # fmt: skip
    entered = {k: model.new_bool_var(f"lamp {k} enters before it") for k in pins}
    for k, (other, same) in there.items():
        for side, here in zip(SIDES, (left, left.negated()), strict=True):
            model.add(loose[k][side] >= 2).only_enforce_if(other, same)
            model.add(loose[k][side] >= 2).only_enforce_if(entered[k], same.negated(), here)
    freed = [model.new_int_var(0, KEPT if 0 < m < count - 1 else 1, f"lamp {m} frees") for m in range(count)]
    several = model.new_bool_var("strips more")
    model.add(extra >= 1).only_enforce_if(several)
    many = model.new_bool_var("many strips more")
    model.add(extra >= 2).only_enforce_if(many)
    inner = sum(freed[1:-1])
    model.add(sum(freed) <= KEPT * count * several)
    model.add(inner <= 2).only_enforce_if(many.negated())
    model.add(inner <= 2 * extra - 2).only_enforce_if(many)
    stands = []
    for branches in _branches(count):
        here = model.new_bool_var(f"the IC at {branches[0][0]}")
        stands.append(here)
        for branch in branches:
            for place, m in enumerate(branch):
                near, far = [], []
                for k in branch[place + 1 :]:
                    if k not in pins:
                        continue
                    beside = model.new_bool_var(f"{k} past {m}")
                    around = model.new_bool_var(f"{k} around {m}")
                    other, same = there[k]
                    model.add_bool_or(beside, around).only_enforce_if(here)
                    model.add_bool_or(around.negated(), same.negated(), other)
                    model.add_bool_or(beside.negated(), same, entered[k])
                    near.append(beside)
                    far.append(around)
                kept = KEPT if 0 < m < count - 1 else 1
                model.add(sum(near) <= BESIDE - kept + freed[m]).only_enforce_if(here)
                model.add(sum(far) <= HOLES).only_enforce_if(here)
    model.add_exactly_one(stands)


def _branches(count: int) -> Iterator[Sequence[Sequence[int]]]:
    """Where an IC can stand: the lamps in either direction, nearest first."""
    every = list(range(count))
    yield (every,)
    yield (every[::-1],)
    if count >= LONG_ROW:
        half = count // 2
        yield (every[:half][::-1], every[half:])


def _same(model: Any, on_left: Any, left: Any, number: int) -> Any:
    """Whether a pin and the row are on the same side."""
    same = model.new_bool_var(f"lamp {number} and its pin")
    model.add(on_left == left).only_enforce_if(same)
    model.add(on_left != left).only_enforce_if(same.negated())
    return same
