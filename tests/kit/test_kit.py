"""Kits: counted by hand, and swaps whose effect the textbook tells."""

from __future__ import annotations

import pytest
from tests.design._circuits import circuit, demo

from buildalong.choose import read_drawer
from buildalong.engine import Trial
from buildalong.kit import Kit, Line, Session, kit, swaps
from buildalong.parts import catalogue
from buildalong.quantity import Quantity, parse_as
from buildalong.spread import Target

DRAWER, _ = read_drawer(
    "what,value,count,price,pack,where\n"
    "resistor,330,30,0.02,10,tray\nresistor,10k,0,0.02,10,tray\nled-yellow,,2,0.1,1,box\nAA,,0,0.5,4,shelf\n",
    "drawer.csv",
    catalogue(),
)


def line(made: Kit, name: str) -> Line:
    (found,) = (each for each in made.lines if each.name == name)
    return found


def test_counts_of_a_small_course_by_hand() -> None:
    """Two lessons with 1 and 2 resistors of 330 Ω for 20 learners: 60, and 3 spares at 5 %."""
    one = Session("one", circuit("R1 resistor 330 PLUS A\nDS1 led-yellow A 0V"))
    two = Session("two", circuit("R1 resistor 330 PLUS A\nDS1 led-yellow A B\nR2 resistor 330 B 0V"))
    made = kit([one, two], 20, drawer=DRAWER)
    row = line(made, "330 Ω resistor")
    assert (row.for_one, row.needed, row.spares, row.there, row.to_buy, row.packs) == (3, 60, 3, 30, 33, 4)
    assert row.outlay == pytest.approx(0.8)
    assert row.each == {"one": 1, "two": 2}
    lamp = line(made, "Yellow LED")
    assert (lamp.needed, lamp.spares, lamp.to_buy) == (40, 4, 42)


def test_reused_parts_are_counted_once() -> None:
    """Where the parts of one lesson serve the next, a learner needs the most of any one."""
    one = Session("one", circuit("R1 resistor 330 PLUS A\nDS1 led-yellow A 0V"))
    two = Session("two", circuit("R1 resistor 330 PLUS A\nDS1 led-yellow A B\nR2 resistor 330 B 0V"))
    assert line(kit([one, two], 20, reuse=True), "330 Ω resistor").for_one == 2


def test_cells_and_holder_are_counted_apart() -> None:
    """Four AA cells and one holder for each learner, kept from lesson to lesson."""
    session = Session("night", demo("lighthouse"))
    again = Session("day", demo("lighthouse"))
    made = kit([session, again], 3, drawer=DRAWER)
    cells, holder = line(made, "Cell, AA"), line(made, "Holder for 4 × AA")
    assert (cells.for_one, cells.needed, cells.to_buy, cells.packs) == (4, 12, 12, 3)
    assert holder.for_one == 1


def test_a_bag_holds_what_one_learner_needs() -> None:
    """A bag's pieces add up to the parts of the circuit, the supply counted in cells."""
    made = kit([Session("night", demo("lighthouse"))], 5)
    (bag,) = made.bags
    assert sum(count for count, _ in bag.items) == len(demo("lighthouse").parts) - 1 + 4 + 1


def test_cost_is_told_only_where_it_is_known() -> None:
    """A missing price leaves the sum open and is named."""
    made = kit([Session("one", circuit("R1 resistor 330 PLUS A\nDS1 led-red A 0V"))], 2, drawer=DRAWER)
    assert made.cost_for_one is None
    assert "Red LED" in made.unpriced


@pytest.mark.parametrize("learners", [0, -3, 10**9])
def test_senseless_classes_are_refused(learners: int) -> None:
    """A class has at least one learner, and not a million."""
    with pytest.raises(ValueError, match="learners"):
        kit([Session("one", demo("lighthouse"))], learners)


def test_two_in_parallel_for_a_missing_capacitor() -> None:
    """No 2 µF: two of 1 µF in parallel; a capacitor's time is in proportion to it (t = ln 2 · R · C)."""
    made = circuit(
        """
        U1 timer-555 0V CAP OUT PLUS - CAP DIS PLUS
        R1 resistor 10k PLUS DIS
        R2 resistor 68k DIS CAP
        C1 capacitor-film 2µF CAP 0V
        """
    )
    wanted = [Target("period", "OUT", "run", Quantity(0.2047, "s"), 0.02)]
    ways = swaps(made, [Trial("run", 2.0)], wanted, catalogue(), made.by_id["C1"], most=9)
    found = {swap.instead: swap for swap in ways}
    pair, single = found["two of 1 µF in parallel"], found["2.2 µF"]
    assert pair.kept
    assert single.measures[0] / pair.measures[0] == pytest.approx(1.1, rel=0.01)


def test_another_type_of_the_family_is_tried() -> None:
    """The CMOS timer has the pins of the bipolar one and serves in its place."""
    made = demo("lighthouse")
    wanted = [Target("on_time", "DS1", "run", Quantity(0.456, "s"), 0.1)]
    found = swaps(made, [Trial("run", 10.0)], wanted, catalogue(), made.by_id["U1"])
    assert [swap.instead for swap in found] == [catalogue()["timer-555-cmos"].title]
    assert found[0].measures[0] > 0.0


def test_the_likest_light_stands_first() -> None:
    """In place of a red LED of 2 V come those of about 2 V; one of 3 V comes after them (from memory)."""
    made = demo("mailbox-flag")
    ways = swaps(made, [Trial("run", 0.1)], [], catalogue(), made.by_id["DS1"], most=9)
    volts = [
        kind.figures["forward_voltage"].typ
        for swap in ways
        for kind in catalogue().values()
        if kind.title == swap.instead
    ]
    apart = [abs(parse_as(text, "V") - 2.0) for text in volts if text is not None]
    assert apart == sorted(apart)
    assert apart[0] < 0.2 < apart[-1]


def test_the_same_lesson_twice_fills_two_bags() -> None:
    """Two sessions of one title are told apart: 330 Ω once in each bag, twice for a learner."""
    lesson = Session("night", circuit("R1 resistor 330 PLUS A\nDS1 led-yellow A 0V"))
    made = kit([lesson, lesson], 5)
    assert [bag.lesson for bag in made.bags] == ["night", "night (2)"]
    assert [[n for n, each in bag.items if each.name == "330 Ω resistor"] for bag in made.bags] == [[1], [1]]
    assert line(made, "330 Ω resistor").for_one == 2
    assert line(kit([lesson, lesson], 5, reuse=True), "330 Ω resistor").for_one == 1


def test_capacitors_below_the_supply_do_not_count() -> None:
    """A 4 V capacitor does not serve on 9 V: the drawer's row is left out and told; one of 16 V counts."""
    rows = "what,value,rating,count\nelectrolytic,100 µF,4 V,7\nelectrolytic,100 µF,16 V,5\n"
    drawer, found = read_drawer(rows, "drawer.csv", catalogue())
    assert not found
    session = Session("night", circuit("R1 resistor 1k PLUS A\nC1 electrolytic 100µF A 0V"))
    made = kit([session], 10, drawer=drawer)
    assert line(made, "100 µF electrolytic capacitor").there == 5
    (weak,) = made.weak
    assert "for 4 V" in weak


def test_the_board_is_counted_once_for_all_lessons() -> None:
    """Boards serve from lesson to lesson; without a layout the lesson's own word tells which."""
    sessions = [Session(t, circuit("R1 resistor 1k PLUS 0V"), board="400") for t in ("one", "two")]
    board = line(kit(sessions, 14), "Solderless breadboard, 400 tie-points")
    assert (board.for_one, board.needed, board.spares) == (1, 14, 0)


def test_what_is_to_be_bought_is_summed_as_far_as_it_is_priced() -> None:
    """33 resistors fewer 30 in the drawer, in packs of 10 at 0.02: 0.20; the red LED has no price."""
    made = kit([Session("one", circuit("R1 resistor 330 PLUS A\nDS1 led-red A 0V"))], 31, drawer=DRAWER)
    assert made.outlay is None
    assert made.known_outlay == pytest.approx(0.2)


def test_spares_are_never_negative() -> None:
    """A share below nothing makes no sense."""
    session = Session("one", circuit("R1 resistor 330 PLUS 0V"))
    with pytest.raises(ValueError, match="spares"):
        kit([session], 2, breakage={"resistor": -0.5})
