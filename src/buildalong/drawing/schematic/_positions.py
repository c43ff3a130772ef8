"""Positions in which a part may stand: turn, mirror, side of the label, and how little we like it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from buildalong.circuit import Circuit, Part
from buildalong.drawing.schematic._current import feeds_back, on_spine
from buildalong.drawing.schematic._legs import is_bar
from buildalong.drawing.schematic._shape import Side

__all__ = ["Turn", "change_over", "two_terminal"]

Turn = tuple[int, bool, Side, float]
"""Quarter turns clockwise, mirrored, side of the label, cost."""
UPRIGHT_BAR = 30.0
"""Price of standing for the load between two legs of a bridge: it is the bar of the H."""
_SIDES: tuple[Side, Side] = ("right", "left")


def two_terminal(
    circuit: Circuit, part: Part, nets: Sequence[str | None], plus: str, ground: str,
    level: Mapping[str, float], marks: bool,
) -> list[Turn]:  # fmt: skip
    family = part.type.family
    a, b = nets[0] or "", nets[1] or ""
    high = level.get(a, 0.5) - level.get(b, 0.5)
    lying = [3, 1] if family in ("led", "resistor") else []
    if a == plus or b == ground:
        return turns_of([0], lying, 30.0, marks, family)
    if b == plus or a == ground:
        return turns_of([2], lying, 30.0, marks, family)
    if is_bar(circuit, part, plus, ground):
        flat = turns_of([], [3, 1], 0.0, marks, family)
        return flat + [(t, m, s, UPRIGHT_BAR + c) for t, m, s, c in turns_of([0, 2], [], 0.0, marks, family)]
    returns = feeds_back(circuit, part)
    if not returns and on_spine(circuit, part, plus, ground):
        ends = [0] if high >= -1e-9 else [2]
        hangs = family == "led" and _hangs(circuit, part, plus, ground)
        return turns_of(ends, [3, 1], 16.0 if hangs else 6.0, marks, family)
    flat = turns_of([], [3, 1], 0.0, marks, family)
    stand = turns_of([0, 2], [], 0.0, marks, family)
    price = 12.0 if returns else 3.0
    return flat + [(t, m, s, price) for t, m, s, _ in stand]


def _hangs(circuit: Circuit, part: Part, plus: str, ground: str) -> bool:
    """Whether nothing but one other part of two leads joins a part to a rail."""
    for net in part.nets:
        pins = circuit.nets.get(net or "", ())
        others = [circuit.by_id[pin.part] for pin in pins if pin.part != part.id]
        if len(others) == 1 and len(others[0].nets) == 2 and {plus, ground} & set(others[0].nets):
            return True
    return False


def turns_of(
    upright: Sequence[int], flat: Sequence[int], extra: float, marks: bool, family: str
) -> list[Turn]:
    """Positions of a two-terminal part: ``upright`` and ``flat`` turns, ``extra`` cost of lying."""
    out: list[Turn] = []
    for turn in upright:
        for mirror in (False, True) if marks else (False,):
            marked = "left" if (turn == 0) == (not mirror) else "right"
            if family in ("led", "button", "buzzer"):
                marked = "left" if marked == "right" else "right"
            for side in ("right", "left"):
                # All else being equal, texts stand on the right, like those of their neighbours, and not
                # beyond a mark.
                beyond = 0.7 if marks and side == marked else 0.0
                out.append((turn, mirror, side, beyond + (0.0 if side == "right" else 0.15)))
    for turn in flat:
        for mirror in (False, True) if marks else (False,):
            out += _flat(turn, mirror, extra, marks, family)
    return out


def _flat(turn: int, mirror: bool, extra: float, marks: bool, family: str) -> list[Turn]:
    if not marks:
        return [(turn, mirror, "above", extra), (turn, mirror, "below", extra + 0.6)]
    # Unturned, a mark on the left ends below when the top goes left (turn 3) and above when it goes right.
    mark_left = (family not in ("led", "button", "buzzer")) != mirror
    above = mark_left == (turn == 1)
    out: list[Turn] = [(turn, mirror, "below" if above else "above", extra + (0.6 if above else 0.0))]
    if family == "led" and above:
        out.append((turn, mirror, "above left" if turn == 3 else "above right", extra + 0.3))
    return out


def change_over(nets: Sequence[str | None], plus: str, ground: str) -> list[Turn]:
    common = nets[1]
    # A mirrored part swaps its ends, so that the common contact is up again after half a turn more.
    if common in (plus, ground):
        up = 1 if common == plus else 3
        return [(turn, up != turn, side, 0.0) for side in _SIDES for turn in (up, 4 - up)]
    out: list[Turn] = []
    for mirror in (False, True):
        out += [(0, mirror, "below", 0.0), (0, mirror, "above", 0.0)]
        out += [(2, mirror, "below", 0.0), (2, mirror, "above", 0.0)]
        out += [
            (1, mirror, "right", 1.0),
            (1, mirror, "left", 1.0),
            (3, mirror, "right", 1.0),
            (3, mirror, "left", 1.0),
        ]
    return out
