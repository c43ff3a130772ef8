"""The table of weights on the page is made from the weights; two of the terms, counted by hand."""

from __future__ import annotations

import importlib.util
from pathlib import Path

import pytest
from _place_checker import faults
from _place_demo import demo, part

from buildalong.board import Layout, Wire, board
from buildalong.build.place import place, score
from buildalong.circuit import Circuit

ROOT = Path(__file__).parents[2]


def test_page_is_up_to_date() -> None:
    """docs/placement.md holds what tools/placement_reference.py writes; mend it with: make docs."""
    tool_file = ROOT / "tools/placement_reference.py"
    spec = importlib.util.spec_from_file_location("placement_reference", tool_file)
    assert spec is not None
    assert spec.loader is not None
    tool = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(tool)
    assert (ROOT / "docs/placement.md").read_text(encoding="utf-8") == tool.page()


def test_a_strip_without_a_hole_for_the_probe_counts() -> None:
    """Row 4 on the left: two legs and three wire ends fill it; row 8 keeps holes: one strip, by hand."""
    circuit = Circuit(
        (part("R1", "resistor", ["PLUS", "0V"], "1k"), part("R2", "resistor", ["PLUS", "0V"], "1k"))
    )
    legs = {"R1": ("a4", "a8"), "R2": ("b4", "b8")}
    wires = (Wire("c4", "c1"), Wire("d4", "d2"), Wire("e4", "e3"))
    assert score(circuit, Layout(board("170"), legs, wires)).amount("probe") == 1
    assert score(circuit, Layout(board("170"), legs, wires[:2])).amount("probe") == 0


def test_a_body_beside_a_button_leaves_no_room_for_fingers() -> None:
    """A 6 mm button across rows 7 and 9, a resistor in column d or a: 0.8 or 3.8 pitches of air, by hand."""
    circuit = Circuit(
        (part("S1", "push-button", ["PLUS", "0V"]), part("R1", "resistor", ["PLUS", "0V"], "1k"))
    )
    button = ("e7", "f7", "e9", "f9")
    amounts = [
        score(circuit, Layout(board("170"), {"S1": button, "R1": (f"{c}6", f"{c}10")})).amount("fingers")
        for c in "da"
    ]
    assert amounts == [1, 0]


def test_a_lamp_beside_its_own_sensor_counts() -> None:
    """Middles three rows apart are five short of eight, eight rows apart none: by hand.

    Source: a light sensor must not see the lamp that it switches (common practice; so the catalogue's slip).
    """
    circuit = Circuit((part("R2", "ldr-5mm", ["LIGHT", "0V"]), part("DS1", "led-yellow", ["LAMP", "0V"])))
    found = [
        score(circuit, Layout(board("170"), {"R2": ("c4", "c6"), "DS1": (f"c{row - 1}", f"c{row + 1}")}))
        for row in (8, 13)
    ]
    assert [one.amount("own light") for one in found] == [5, 0]


@pytest.mark.parametrize("style", ["formed", "flexible"])
def test_the_dusk_light_does_not_shine_on_its_own_sensor(style: str) -> None:
    """The placer keeps both eight pitches apart: the search weighs what the score weighs.

    Of flexible wires it finds a lamp above the sensor tidier, and takes the places of formed ones therefore.
    """
    circuit, _ = demo("dusk-light")
    found = place(circuit, board("400"), style=style)
    assert found.score.amount("own light") == 0
    assert found.proved
    assert not faults(circuit, found.layout)
