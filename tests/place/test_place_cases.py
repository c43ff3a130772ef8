"""Straight wires by cases of how many each net has: no layout that there is is refused."""

from __future__ import annotations

import random
import threading

import pytest
from _place_checker import faults
from _place_demo import demo, part
from _place_random import random_circuit

from buildalong.board import Board, board
from buildalong.build.place import place
from buildalong.build.place._ask import Purse, _Asked
from buildalong.build.place._count import StripCount
from buildalong.build.place._in_strips import in_strips
from buildalong.build.place._lns import improved
from buildalong.build.place._pieces import find_by_cases
from buildalong.build.place._problem import build_problem
from buildalong.build.place._result import finished
from buildalong.build.place._rooms import Room
from buildalong.build.place._search import search
from buildalong.build.place._strips import StripModel
from buildalong.build.place._task import Problem, Solution
from buildalong.circuit import Circuit

_TWO = ("resistor", "electrolytic", "led-red")


def _some_circuit(seed: int) -> Circuit:
    """Two transistors: of a two-transistor blinker some parts only, or with parts on nets drawn at random."""
    rng = random.Random(seed)
    if seed % 2:
        whole, _ = demo("level-crossing")
        out = rng.sample([p.id for p in whole.parts if p.id not in ("BT1", "Q1", "Q2")], 4)
        return Circuit(tuple(p for p in whole.parts if p.id not in out))
    nets = ["PLUS", "0V", "N0", "N1", "N2"]
    parts = [part("BT1", "supply-aa", ["PLUS", "0V"])]
    parts += [part(f"Q{k}", "npn-bc547", rng.sample(nets, 3)) for k in (1, 2)]
    parts += [part(f"X{k}", rng.choice(_TWO), rng.sample(nets, 2)) for k in range(3)]
    return Circuit(tuple(parts))


def assert_not_refused(circuit: Circuit, here: Board, work: float) -> None:
    """A layout of flat straight wires is found and without fault, and the cases are not all refused."""
    found = place(circuit, here, style="link", seconds=1.0)
    assert faults(circuit, found.layout) == []
    assert all(wire.style == "link" for wire in found.layout.wires)
    wires = found.wire_count
    room = Room(StripModel(circuit, here, "link", most=wires), wired=True)
    asked, answer = find_by_cases(room, wires, False, here, Purse(work, 1.0))
    assert asked
    assert answer is not None


@pytest.mark.parametrize("seed", [1, 3, 5, 6, 7])
def test_no_layout_is_refused_by_cases(seed: int) -> None:
    """A layout with so many flat straight wires is there, so not every case of so many is refused.

    Source: the layout, read back by _place_checker.py.
    """
    circuit, here = _some_circuit(seed), board(("170", "400")[seed // 2 % 2])
    assert_not_refused(circuit, here, 1.0)


@pytest.mark.parametrize("seed", [3, 4, 9, 12])
def test_no_layout_beside_an_ic_is_refused_by_cases(seed: int) -> None:
    """Cases of the wires of one net, where a chip or a button is: not all are refused of a layout there is.

    Source: the layout, read back by _place_checker.py.
    """
    circuit, here = random_circuit(seed, most=6), board("170")
    assert any(p.type.body.straddles for p in circuit.parts)
    assert_not_refused(circuit, here, 2.0)


def test_what_a_case_finds_is_laid_where_rails_lie_half_a_row_off() -> None:
    """Eight straight wires of the comparator's lamp: strips found by cases, packed, laid hole by hole, flat.

    Source: the layout, read back by _place_checker.py; rows of the board that the strips take, counted here.
    """
    circuit, here = demo("dusk-light")[0], board("400")
    room = Room(StripModel(circuit, here, "link", most=8), wired=True)
    asked, answer = find_by_cases(room, 8, False, here, Purse(8.0, 1.0))
    assert asked
    assert answer is not None
    assert answer.values
    packed = room.packed(answer.values)
    wide, close = (_rows(room.strips_of(values)) for values in (answer.values, packed))
    assert 1 in close
    assert max(close) <= max(wide)
    assert len(close) == len(wide)
    problems = [build_problem(circuit, here, "link", rows=20, on_rails=rails) for rails in (True, False)]

    def searched(number: int, problem: Problem, share: float) -> Solution:
        del number
        start = search(problem, work=60, heat=150.0, quick=True)
        return improved(problem, start, 4 * share, lambda: False, lambda done, text: None)

    problem, found = in_strips(problems, room.strips_of(packed), 9, searched, 600.0, lambda: False)
    layout = finished(problem, found, StripCount(), "link", None).layout
    assert faults(circuit, layout) == []
    assert len(layout.wires) == 8
    assert all(wire.style == "link" for wire in layout.wires)


def _rows(strips: dict[tuple[str, int], str]) -> set[int]:
    return {int(strip[:-1]) for strip in strips.values() if strip[0] not in "LR"}


def test_a_wire_may_cross_beside_a_button() -> None:
    """A net that a button joins inside may have a straight wire across the trench as well.

    Source: any two strips of a net may be joined (common practice).
    """
    circuit = Circuit(
        (
            part("BT1", "supply-aa", ["PLUS", "0V"]),
            part("S1", "push-button", ["PLUS", "A"]),
            part("R1", "resistor", ["A", "0V"], "1k"),
        )
    )
    model = StripModel(circuit, board("170"), "link", most=3)
    joined = [net for net, joins in model.joins.items() if joins]
    assert joined
    for net in joined:
        room = Room(model, wired=True)
        room.model.add_bool_or([over for _, over, _ in model.across[net]])
        found = room.find(3, False, Purse(2.0, 1.0))
        assert found is not None
        assert found.values


def test_a_case_that_fails_is_not_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the solver itself fails, nothing is proved."""
    circuit, here = _some_circuit(1), board("170")
    room = Room(StripModel(circuit, here, "link", most=1), wired=True)
    monkeypatch.setattr(_Asked, "answer", _fail)
    monkeypatch.setattr(threading, "excepthook", lambda _: None)
    asked, answer = find_by_cases(room, 1, False, here, Purse(1.0, 1.0))
    assert asked
    assert answer is not None
    assert answer.best is None


def _fail(_: _Asked) -> None:
    raise RuntimeError
