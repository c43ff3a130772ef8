"""The last steps are sound and keep to what is held: by hand, and by an independent checker."""

from __future__ import annotations

from dataclasses import replace

import pytest
from _place_checker import faults
from _place_demo import demo, part
from _place_random import random_circuit

from buildalong.board import Area, Layout, Wire, board
from buildalong.build.place import Wishes, place, score, verify
from buildalong.build.place._last import Ask
from buildalong.build.place._last_bypass import bypasses_moved
from buildalong.build.place._last_ends import ASTRAY, wire_ends_moved
from buildalong.build.place._last_flat import FlatWays
from buildalong.build.place._last_leads import supply_leads_moved
from buildalong.circuit import Circuit

CIRCUIT = Circuit(
    (
        part("BT1", "supply-aa", ["PLUS", "0V"]),
        part("R1", "resistor", ["PLUS", "A"], "1k"),
        part("R2", "resistor", ["PLUS", "A"], "1k"),
        part("R3", "resistor", ["A", "0V"], "1k"),
    )
)
BESIDE = Layout(
    board("400"),
    {"BT1": ("b6", "a3"), "R1": ("L+8", "a9"), "R2": ("c6", "c9"), "R3": ("e9", "e3")},
    (Wire("L+5", "a6", "red", "link", (), "PLUS"),),
)
"""The plus lead beside the wire that feeds its strip from the rail, as a search left it once."""


def asked(
    circuit: Circuit = CIRCUIT, fixed: Layout | None = None, wishes: Wishes | None = None, fewest: int = 1
) -> Ask:
    return Ask(circuit, fixed, wishes, None, fewest)


def test_a_lead_beside_a_wire_to_the_rail_moves_onto_the_rail() -> None:
    """Plus goes to the rail; minus has none that its net holds, and goes where both are near the upper end.

    The wire stays, for it feeds R2; the checkers find nothing, and the score says by itself what it saves.
    """
    found = supply_leads_moved(asked(), BESIDE)
    plus, minus = found.holes["BT1"]
    assert plus.startswith("L+")
    assert minus in ("a3", "b3")
    assert found.wires == BESIDE.wires
    assert faults(CIRCUIT, found) == []
    assert verify(CIRCUIT, found) == verify(CIRCUIT, BESIDE)
    before, after = score(CIRCUIT, BESIDE), score(CIRCUIT, found)
    assert [before.amount("off the rail"), after.amount("off the rail")] == [2, 1]
    assert after.total < before.total


def test_a_wire_that_leads_nowhere_goes_where_so_few_may_do() -> None:
    """Without R2 only the lead stands in row 6: the wire goes too, if a bound of one does not forbid that."""
    circuit = Circuit(tuple(p for p in CIRCUIT.parts if p.id != "R2"))
    holes = {name: legs for name, legs in BESIDE.holes.items() if name != "R2"}
    layout = Layout(BESIDE.board, holes, BESIDE.wires)
    found = supply_leads_moved(asked(circuit, fewest=0), layout)
    assert found.wires == ()
    assert faults(circuit, found) == []
    assert supply_leads_moved(asked(circuit, fewest=1), layout).wires == BESIDE.wires


def test_what_the_author_holds_or_wishes_stays() -> None:
    """A held lead stays, a held wire too, and a lead keeps to the piece of the board that was asked for."""
    held = Layout(BESIDE.board, {"BT1": ("b6", "-")})
    assert supply_leads_moved(asked(fixed=held), BESIDE) == BESIDE
    rows = Wishes(areas={"BT1": Area(x0=0, x1=4, y0=1, y1=6)})
    found = supply_leads_moved(asked(wishes=rows), BESIDE)
    assert {hole[0] for hole in found.holes["BT1"]} <= set("ab")
    closed = Wishes(free=(Area(x1=-1.0),))
    found = supply_leads_moved(asked(wishes=closed), BESIDE)
    assert not any(hole.startswith("L") for hole in found.holes["BT1"])


def test_leads_that_are_on_the_rails_stay_there() -> None:
    """Both on the rails may be worth a wire: none leaves them, though one wire less would do beside them."""
    holes = {**BESIDE.holes, "BT1": ("L+3", "L-4")}
    wires = (*BESIDE.wires, Wire("L-5", "a3", "black", "link", (), "0V"))
    layout = Layout(BESIDE.board, holes, wires)
    found = supply_leads_moved(asked(fewest=0), layout)
    assert [hole[:2] for hole in found.holes["BT1"]] == ["L+", "L-"]


BENDING = Circuit(
    (
        part("BT1", "supply-aa", ["P", "C"]),
        part("R1", "resistor", ["A", "B"], "1k"),
        part("R2", "resistor", ["A", "C"], "1k"),
        part("R3", "resistor", ["P", "Q"], "1k"),
    )
)
ARCH = Wire("b2", "b8", "green", "flexible", (), "A")
OVER = Layout(
    board("170"),
    {"BT1": ("a3", "a12"), "R1": ("e2", "e6"), "R2": ("d8", "d12"), "R3": ("b3", "b7")},
    (ARCH,),
)
"""A wire in column b over R3; in column a it would lie under a lead, d and e are taken in row 8 or 2."""


def test_a_flexible_wire_takes_the_holes_from_which_it_runs_over_no_body() -> None:
    """By hand: column c is free from row 2 to row 8; what the checkers say stays."""
    found = wire_ends_moved(asked(BENDING), OVER)
    assert [(wire.start, wire.end) for wire in found.wires] == [("c2", "c8")]
    assert [score(BENDING, one).amount("over a part") for one in (OVER, found)] == [1, 0]
    assert faults(BENDING, found) == []
    assert verify(BENDING, found) == verify(BENDING, OVER)


def test_ends_keep_to_what_the_author_holds_and_wishes() -> None:
    """A held wire stays, no end goes where something must stay free, and a bent wire stays as it is."""
    assert wire_ends_moved(asked(BENDING, fixed=Layout(OVER.board, {}, (ARCH,))), OVER) == OVER
    found = wire_ends_moved(asked(BENDING, wishes=Wishes(free=(Area(x0=2, x1=2),))), OVER)
    assert [(wire.start, wire.end) for wire in found.wires] == [("d2", "e8")]  # aslant, clear of R1 and R2
    assert score(BENDING, found).amount("over a part") == 0
    bent = replace(OVER, wires=(replace(ARCH, style="formed", path=((2, 2), (2, 8))),))
    assert wire_ends_moved(asked(BENDING), bent) == bent


def test_a_wire_from_rail_to_rail_comes_near_to_what_is_built() -> None:
    """It is as long in every row: by hand, row 16.5 is the nearest in which it clears both bodies."""
    here = board("400")
    kinds = {"BT1": ("supply-aa", ["P", "A"]), "R1": ("resistor", ["P", "A"]), "R2": ("resistor", ["P", "B"])}
    circuit = Circuit(tuple(part(name, kind, nets) for name, (kind, nets) in kinds.items()))
    legs = {"BT1": ("L+20", "b18"), "R1": ("L+15", "a18"), "R2": ("R+15", "j18")}
    layout = Layout(here, legs, (Wire("L+1", "R+1", "red", "link", (), "P"),))
    found = wire_ends_moved(asked(circuit), layout)
    assert [(wire.start, wire.end) for wire in found.wires] == [("L+14", "R+14")]
    assert here.holes["L+14"][1] == 16.5
    assert faults(circuit, found) == []


def test_flat_ways_keep_off_bodies_holes_and_wires() -> None:
    """By hand: over R1, its leg, a wire along, aslant; beside R1, across a wire, under one that arches."""
    wire = Wire("c2", "c6", "blue", "link", (), "A")
    layout = Layout(board("170"), {"R1": ("e4", "e8")}, (wire, Wire("g10", "j10", "red", "flexible")))
    ways = FlatWays(asked(), layout)
    places = layout.board.holes

    def lies(a: str, b: str) -> bool:
        return ways.open(places[a], places[b])

    assert not lies("e3", "e9")
    assert not lies("d6", "h6")
    assert not lies("d8", "f8")
    assert not lies("c4", "c9")
    assert not lies("a3", "b4")
    assert lies("d2", "d9")
    assert lies("a4", "d4")
    assert lies("h4", "h12")


HOLES = {
    "BT1": ("L+10", "L-11"),
    "U1": ("e7", "e8", "e9", "e10", "f10", "f9", "f8", "f7"),
    "R1": ("L+6", "a8"),
    "R2": ("d8", "d10"),
    "R3": ("L+3", "a3"),
    "R4": ("a9", "L-8"),
    "R5": ("b7", "b3"),
    "R6": ("L+5", "a5"),
    "DS1": ("d5", "d7"),
    "C1": ("L+9", "L-9"),
}
ENDS = (
    ("c3", "b9", "REF"),
    ("g7", "L+8", "PLUS"),
    ("h9", "h10", "0V"),
    ("b10", "L-10", "0V"),
    ("g10", "L-12", "0V"),
)


def test_the_wires_of_the_dusk_light_run_over_fewer_bodies_and_not_astray() -> None:
    """As the search left it on 2026-11-30, four bodies under straight wires; they can be led around all."""
    circuit, _ = demo("dusk-light")
    here = board("400")
    layout = Layout(here, HOLES, tuple(Wire(a, b, "grey", "flexible", (), net) for a, b, net in ENDS))
    found = wire_ends_moved(asked(circuit, fewest=5), layout)
    before, after = score(circuit, layout), score(circuit, found)
    assert [before.amount("over a part"), after.amount("over a part")] == [4, 0]
    assert after.total < before.total
    assert faults(circuit, found) == []
    legs = [here.holes[h][1] for name, holes in HOLES.items() if name != "BT1" for h in holes]
    rows = [here.holes[h][1] for wire in found.wires for h in (wire.start, wire.end)]
    assert min(legs) - ASTRAY <= min(rows)
    assert max(rows) <= max(legs) + ASTRAY


@pytest.mark.parametrize("seed", range(4))
def test_placed_leads_are_near_one_another_on_one_side(seed: int) -> None:
    """On the rails, beside them or one of each: in rows of their own, at most five apart, on one side."""
    circuit = random_circuit(seed)
    found = place(circuit, board("400"), style="link", seconds=0.2)
    assert faults(circuit, found.layout) == []
    assert found.lower_bound <= found.wire_count
    for one in circuit.parts:
        if one.type.family == "supply":
            (ax, ay), (bx, by) = (found.layout.board.holes[h] for h in found.layout.holes[one.id])
            assert (ax < 5.5) == (bx < 5.5)
            assert 1 <= abs(ay - by) <= 5


def test_a_capacitor_across_the_supply_moves_near_the_ic_along_the_rails() -> None:
    """On the rails it serves the IC at its supply pins (common practice); beside a held one nothing moves."""
    circuit = Circuit(
        (
            part("BT1", "supply-aa", ["PLUS", "0V"]),
            part("U1", "timer-555", ["0V", "A", "OUT", "PLUS", None, "A", None, "PLUS"]),
            part("C1", "capacitor-ceramic", ["PLUS", "0V"], "100n"),
        )
    )
    pins = tuple(f"e{row}" for row in range(20, 24)) + tuple(f"f{row}" for row in range(23, 19, -1))
    wires = [("L-20", "a20", "0V"), ("R+20", "j20", "PLUS"), ("L+3", "R+3", "PLUS"), ("L-4", "R-4", "0V")]
    laid = tuple(Wire(a, b, "red", "link", (), net) for a, b, net in wires)
    layout = Layout(board("830"), {"BT1": ("L+2", "L-2"), "U1": pins, "C1": ("R+5", "R-5")}, laid)
    found = bypasses_moved(asked(circuit), layout)
    holes = found.board.holes
    feeds = [holes[hole][1] for hole in ("e20", "f20")]
    assert min(abs(holes[hole][1] - row) for hole in found.holes["C1"] for row in feeds) <= 2
    assert score(circuit, layout).amount("bypass") > 0
    assert score(circuit, found).amount("bypass") == 0
    assert verify(circuit, found) == verify(circuit, layout)
    assert faults(circuit, found) == faults(circuit, layout)
    held = Layout(layout.board, {"C1": ("R+5", "-")})
    assert bypasses_moved(asked(circuit, fixed=held), layout) == layout
