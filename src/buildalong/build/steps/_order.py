"""In which order things go on the board, and what goes on in one step.

Low things first, so that nothing stands in the way of the fingers: the ICs, which every other part
is counted from; the wires, which lie on the board; parts that lie flat; parts that stand; then the
parts that have a right way round, each with its warning; then what lies beside the board.  The order
of the wires among themselves is found in ``_wires``.

Like parts are grouped only where there are four or more of them in a row: the first is a step of
its own, to learn the move; the others follow up to three at a time, as many as a learner can place
and check before looking up again.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import groupby

from buildalong.board import Layout
from buildalong.build.steps._step import Kind
from buildalong.circuit import Part

__all__ = ["groups", "kind_of", "ordered_parts"]

_KINDS: tuple[Kind, ...] = (
    "ic",
    "wire",
    "flat",
    "standing",
    "polarised",
    "off-board",
    "test",
    "check",
    "supply",
)
_ALIKE = 4
_AT_ONCE = 3


def kind_of(part: Part) -> Kind:
    """The kind of step that puts a part down."""
    if part.type.family == "supply":
        return "supply"
    if part.type.body.kind == "off-board":
        return "off-board"
    if part.type.body.shape == "dip":
        return "ic"
    if part.type.polarised:
        return "polarised"
    return "flat" if part.type.body.kind == "axial" else "standing"


def ordered_parts(parts: Iterable[Part], layout: Layout) -> list[Part]:
    """Parts that are on the board, in the order of building.

    By kind; then low before tall, like beside like, and along the rows.
    """
    numbered = [(number, part) for number, part in enumerate(parts) if part.id in layout.holes]
    first: dict[tuple[str, float | None], tuple[float, int]] = {}
    for number, part in numbered:
        like = _like(part)
        here = (_row(part, layout), number)
        first[like] = min(first.get(like, here), here)

    def key(item: tuple[int, Part]) -> tuple[object, ...]:
        number, part = item
        kind = _KINDS.index(kind_of(part))
        like = _like(part)
        return (kind, part.type.body.height, first[like], like[0], _row(part, layout), number)

    return [part for _, part in sorted(numbered, key=key)]


def groups(parts: Sequence[Part]) -> list[tuple[Part, ...]]:
    """Split ordered parts into steps; see the module's text for the rule."""
    out: list[tuple[Part, ...]] = []
    for _, run in groupby(parts, key=lambda part: (kind_of(part), _like(part))):
        alike = list(run)
        if len(alike) < _ALIKE or kind_of(alike[0]) == "ic":
            out += [(part,) for part in alike]
        else:
            out.append((alike[0],))
            out += [tuple(alike[i : i + _AT_ONCE]) for i in range(1, len(alike), _AT_ONCE)]
    return out


def _like(part: Part) -> tuple[str, float | None]:
    return part.type.id, part.value


def _row(part: Part, layout: Layout) -> float:
    rows = [layout.board.holes[hole][1] for hole in layout.holes[part.id] if hole in layout.board.holes]
    return min(rows, default=0.0)
