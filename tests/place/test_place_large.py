"""Large circuits: correct in each style, a bound that no layout undercuts, same bytes, interruptible."""

from __future__ import annotations

import threading
import time
from pathlib import Path

import pytest
from _place_brute import fewest_wires as enumerated
from _place_checker import faults
from _place_demo import demo, forty_parts, four_blinkers
from _place_random import random_circuit, tiny_circuit

from buildalong.board import Board, board
from buildalong.build.hand import read_list
from buildalong.build.place import Placement, place
from buildalong.build.place._bound import fewest_strips, fewest_wires
from buildalong.build.place._large import is_large
from buildalong.build.place._passing import pass_row
from buildalong.build.place._problem import lamp_rows
from buildalong.lesson import load

QUICK = 0.1
ROOT = Path(__file__).parents[2]
_KINDS = ("resistor", "led-red", "capacitor-ceramic", "electrolytic", "npn-bc547", "push-button")


@pytest.mark.parametrize("style", ["formed", "link", "flexible"])
@pytest.mark.parametrize("make", [forty_parts, four_blinkers])
def test_forty_parts_are_laid_out_correctly(make, style: str) -> None:
    """The board makes the circuit, no hole is shared, no bodies collide; straight wires are straight.

    The checker shares no code with the placer.
    """
    circuit = make()
    assert is_large(circuit, board("830"))
    found = place(circuit, board("830"), style=style, seconds=QUICK)
    assert faults(circuit, found.layout) == []
    assert 0 < found.lower_bound <= found.wire_count == len(found.layout.wires)
    holes = found.layout.board.holes
    for wire in found.layout.wires:
        (ax, ay), (bx, by) = holes[wire.start], holes[wire.end]
        if wire.style == "link":
            assert not wire.path
            assert ax == bx or abs(ay - by) <= 0.5


@pytest.mark.parametrize("seed", range(16))
def test_bound_is_not_above_the_enumerated_fewest(seed: int) -> None:
    """Two parts of any kind beside an IC or a button, every choice of strips tried by other code."""
    circuit, here = tiny_circuit(seed, _KINDS), Board("tiny", rows=6)
    assert fewest_wires(circuit, here, "formed") <= enumerated(circuit, here)


@pytest.mark.parametrize("seed", range(24))
def test_no_layout_undercuts_the_bound(seed: int) -> None:
    """Layouts of random circuits have at least as many wires as the bound of their style says."""
    circuit, here = random_circuit(seed, 12), board("400")
    style = ("formed", "link")[seed % 2]
    found = place(circuit, here, style=style, seconds=QUICK)
    flat = all(wire.style == style for wire in found.layout.wires)
    bound = fewest_wires(circuit, here, style if flat else "formed", lamp_rows(circuit, here))
    assert bound <= found.wire_count


@pytest.mark.parametrize(("style", "fewest"), [("formed", 4), ("link", 8)])
def test_bound_is_what_an_earlier_study_proved(style: str, fewest: int) -> None:
    """A timer as an astable takes 4 wires, and 8 straight ones, on any board (an earlier, separate study)."""
    circuit, _ = demo("lighthouse")
    assert fewest_wires(circuit, board("400"), style) <= fewest
    assert fewest_wires(circuit, board("400"), style) >= fewest - 1


def test_a_careful_hand_does_not_undercut_the_bound() -> None:
    """The hand layout of the running light, made without sight of the placer, whose lamps stand in no row."""
    lesson = load(ROOT / "examples" / "runway-lights")
    here = board(lesson.board)
    text = (ROOT / "benchmarks" / "hand_layouts" / "runway-lights.txt").read_text("utf-8")
    trials = [trial.name for trial in lesson.trials]
    layout = read_list(text, "runway-lights.txt", lesson.circuit, here, trials=trials).layout
    assert layout is not None
    assert 10 <= fewest_wires(lesson.circuit, here, "formed", on_rails=True) <= len(layout.wires)


def test_the_running_light_needs_no_arching_wire_and_little_more_than_the_bound() -> None:
    """Formed wires of two ICs and ten lamps lie flat, at most four above the bound with little work.

    So many leads join the supply that it comes in on the rails.
    """
    circuit, board_name = demo("runway-lights")
    found = place(circuit, board(board_name), seconds=2.0)
    assert faults(circuit, found.layout) == []
    assert not [wire for wire in found.layout.wires if wire.style == "flexible"]
    assert found.wire_count <= found.lower_bound + 4
    assert {hole[1] for hole in found.layout.holes["BT1"]} == {"+", "-"}


def test_a_board_with_too_few_strips_is_refused_by_counting() -> None:
    """Three ICs of 8, 8 and 16 pins take 32 strips of 34; three transistors with own collectors take more."""
    found = place(forty_parts(), board("170"), seconds=QUICK)
    assert [f.code for f in found.findings] == ["no-place"]
    assert "strips; the board 170 has 34" in found.findings[0].message


@pytest.mark.parametrize("seed", range(6))
def test_no_layout_takes_fewer_strips_than_counted(seed: int) -> None:
    """Layouts of random circuits: strips with a lead in them, beside the rails."""
    circuit, here = random_circuit(seed, 12), board("400")
    layout = place(circuit, here, style="flexible", seconds=0.02).layout
    used = {here.strip_of[hole] for holes in layout.holes.values() for hole in holes}
    assert fewest_strips(circuit, here) <= sum(strip[0] not in "LR" for strip in used)


def test_the_same_call_gives_the_same_layout() -> None:
    """Two searches side by side on two cores meet after counted work, not after a time."""
    circuit = forty_parts()
    found = [place(circuit, board("830"), seconds=QUICK) for _ in range(2)]
    assert found[0].layout == found[1].layout
    assert found[0].score == found[1].score


def test_an_interruption_ends_the_search_and_leaves_the_best_layout() -> None:
    """Whoever is told of better layouts and interrupts then has a correct one, and no thread runs on."""
    circuit = forty_parts()
    told: list[Placement] = []
    before = threading.active_count()

    def progress(share: float, text: str) -> None:
        if len(told) >= 2:
            raise KeyboardInterrupt

    began = time.monotonic()
    with pytest.raises(KeyboardInterrupt):
        place(circuit, board("830"), seconds=4.0, first=told.append, progress=progress)
    assert time.monotonic() - began < 60
    assert threading.active_count() == before
    assert len(told) >= 2
    assert all(faults(circuit, placement.layout) == [] for placement in told)


@pytest.mark.parametrize(("ahead", "fewest"), [(0, 0), (1, 0), (2, 3)])
def test_few_straight_wires_pass_a_lamp(ahead: int, fewest: int) -> None:
    """Counted by hand: beside a lamp of 5 mm at the edge three of the five columns of its side are open.

    The wires of the common net take two of them at an inner lamp, so one wire of another net passes on that
    side; a second goes by the other side and comes back, which takes two strips on either side: three more.
    """
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    pins = {k: model.new_constant(1) for k in range(2, 2 + ahead)}
    loose = {k: {side: model.new_int_var(0, 4, f"{k} {side}") for side in ("left", "right")} for k in pins}
    pass_row(model, 6, model.new_constant(1), model.new_constant(0), pins, loose)
    for sides in loose.values():
        model.add(sides["left"] >= 1)
    model.minimize(sum(sides[side] for sides in loose.values() for side in sides))
    solver = cp_model.CpSolver()
    assert solver.solve(model) == cp_model.OPTIMAL
    assert solver.objective_value - ahead == fewest
