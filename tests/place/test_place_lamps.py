"""Rows of like lamps: told where a board has no room for one.  Counted by hand."""

from __future__ import annotations

from _place_demo import part

from buildalong.board import Layout, board
from buildalong.build.place import place
from buildalong.circuit import Circuit
from buildalong.finding import Severity


def six_lamps() -> Circuit:
    """Six lamps with a resistor each on a common return: in a row they take 3 x 6 + 2 rows, by hand."""
    lamps = [part(f"DS{k}", "led-red", [f"N{k}", "BACK"]) for k in range(1, 7)]
    resistors = [part(f"R{k}", "resistor", ["PLUS", f"N{k}"], "1k") for k in range(1, 7)]
    back = part("R7", "resistor", ["BACK", "0V"], "100")
    return Circuit((part("BT1", "supply-aa", ["PLUS", "0V"]), *lamps, *resistors, back))


def test_lamps_that_find_no_room_in_a_row_are_told() -> None:
    """On 17 rows they stand where there is room, and that is said; on 30 rows they stand in a row."""
    circuit = six_lamps()
    tight, wide = (place(circuit, board(name), seconds=0.3) for name in ("170", "400"))
    assert [finding.code for finding in tight.findings if finding.code == "lamps-apart"] == ["lamps-apart"]
    told = next(finding for finding in tight.findings if finding.code == "lamps-apart")
    assert told.severity is Severity.WARNING
    assert "DS1, DS2, DS3, DS4, DS5 and DS6" in told.message
    assert "20 rows" in told.hint
    assert not [finding for finding in wide.findings if finding.code == "lamps-apart"]
    columns = {wide.layout.board.holes[hole][0] for k in range(1, 7) for hole in wide.layout.holes[f"DS{k}"]}
    assert len(columns) == 1
    held = place(circuit, board("170"), fixed=Layout(board("170"), {"DS1": ("a1", "a2")}, ()), seconds=0.3)
    assert not [finding for finding in held.findings if finding.code == "lamps-apart"]
