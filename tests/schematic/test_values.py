"""Numbers of a moment on the schematic: each in its place, none over anything else."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import combinations

import pytest
from _schematic_demo import EXAMPLES, part, supply

from buildalong.circuit import Circuit
from buildalong.drawing import missing_characters
from buildalong.drawing.schematic import _values as values
from buildalong.drawing.schematic import check, draw_layout, moment_picture, read_back
from buildalong.drawing.schematic._layout import CELL
from buildalong.engine import moment, operating_point, simulate
from buildalong.lesson import load


@pytest.fixture(scope="module")
def divider():
    """5 V over 4 k and 1 k, with a light beside it."""
    circuit = Circuit(
        (
            supply("USB 5 V"),
            part("R1", "resistor", ["PLUS", "MID"], "4k"),
            part("R2", "resistor", ["MID", "0V"], "1k"),
            part("R3", "resistor", ["PLUS", "LAMP"], "330"),
            part("DS1", "led-red", ["LAMP", "0V"]),
            part("C1", "capacitor-ceramic", ["PLUS", "0V"], "100n"),
        )
    )
    return circuit, draw_layout(circuit, effort=0.3), operating_point(circuit)


def texts(layout):
    return [*(label for symbol in layout.symbols for label in symbol.labels), *layout.labels]


def apart(one, other, least):
    """Whether two rectangles are at least so far from one another along x or y."""
    return max(one[0] - other[2], other[0] - one[2], one[1] - other[3], other[1] - one[3]) >= least - 1e-6


def clear_of_everything(before, after):
    """Each new text is apart from every text, every wire and every symbol's body."""
    new = after.labels[len(before.labels) :]
    assert new
    for one, other in combinations(texts(after), 2):
        if one in new or other in new:
            assert apart(one.box, other.box, 4.0), (one.text, other.text)
    for label in new:
        for wire in after.segments:
            line = tuple(float(v) * CELL for point in wire for v in point)
            assert apart(label.box, line, 2.5), label.text
        for symbol in after.symbols:
            assert apart(label.box, symbol.body, 2.5), (label.text, symbol.part)


def test_the_divider_of_the_book(divider):
    """To 3.4 p52: 5 V over 4 k and 1 k is 1.00 V; the current of each branch is told once."""
    circuit, layout, point = divider
    written = values.write_values(circuit, layout, point.voltages, point.currents)
    shown = [label.text for label in written.layout.labels[len(layout.labels) :]]
    assert written.left_over == ()
    assert {"1 V", "5 V", "0 mA"} <= set(shown) or "4.99 V" in shown
    assert shown.count("1 mA") == 1
    assert sum(text.endswith("mA") and text != "0 mA" for text in shown) == 2
    clear_of_everything(layout, written.layout)


def test_arrows_point_down_from_plus(divider):
    """The current flows from plus, drawn above, to ground: every arrow in this circuit points down."""
    circuit, layout, point = divider
    written = values.write_values(circuit, layout, point.voltages, point.currents)
    assert len(written.layout.marks) == 2
    for mark in written.layout.marks:
        _, tip, *rest = mark.at
        assert tip > max(rest[1::2])
    turned = {pin: -flow for pin, flow in point.currents.items()}
    for mark in values.write_values(circuit, layout, point.voltages, turned).layout.marks:
        _, tip, *rest = mark.at
        assert tip < min(rest[1::2])


def test_the_drawing_itself_is_unchanged(divider):
    """Numbers add texts and arrows: wires, dots and symbols, so the circuit read back, stay as they were."""
    circuit, layout, point = divider
    after = values.write_values(circuit, layout, point.voltages, point.currents).layout
    assert (after.segments, after.dots, after.symbols) == (layout.segments, layout.dots, layout.symbols)
    assert read_back(after) == read_back(layout)


def test_the_words_tell_the_numbers(divider):
    """The text alternative says every number; each character has a glyph; the bytes are the same."""
    circuit, layout, point = divider
    one, two = (moment_picture(circuit, layout, point.voltages, point.currents) for _ in range(2))
    assert one.svg == two.svg
    assert re.search(r"Voltages: .*MID 1 V", one.alt)
    assert re.search(r"Currents: .*R1 1 mA", one.alt)
    assert missing_characters(one) == ()
    assert "No room" not in one.svg


def test_what_finds_no_room_stands_below(divider, monkeypatch):
    """A number that fits nowhere is not squeezed in: it stands in a line under the drawing."""
    circuit, layout, point = divider
    monkeypatch.setattr(values, "free_for", lambda *_: False)
    shown = moment_picture(circuit, layout, point.voltages, point.currents)
    assert "No room above for: " in shown.svg
    assert "MID 1 V" in shown.svg


def test_the_drawing_grows_where_a_number_needs_room(layout_of):
    """The flip-flop of two transistors has too little room: it grows, is the same circuit, has them all."""
    circuit, layout = layout_of("level-crossing")
    point = moment(simulate(circuit, load(EXAMPLES / "level-crossing").trials[0]), 5.5)
    after = values.write_values(circuit, layout, point.voltages, point.currents)
    assert after.left_over == ()
    assert after.layout.segments != layout.segments
    assert check(circuit, replace(after.layout, labels=layout.labels, marks=())) == []
    assert [s.part for s in after.layout.symbols] == [s.part for s in layout.symbols]
    clear_of_everything(layout, after.layout)


def test_a_current_stays_beside_its_own_wire(layout_of):
    """No number stands past the dot at which its wire ends, where it would be read as another wire's."""
    circuit, layout = layout_of("level-crossing")
    point = moment(simulate(circuit, load(EXAMPLES / "level-crossing").trials[0]), 5.5)
    after = values.write_values(circuit, layout, point.voltages, point.currents).layout
    for label in (label for label in after.labels if label.role == "amps"):
        left, top, right, bottom = label.box
        dots = [(dot.x * CELL, dot.y * CELL) for dot in after.dots]
        over = [x for x, y in dots if 0 < min(abs(y - top), abs(y - bottom)) < 6 and left < x < right]
        assert all(min(x - left, right - x) <= 7 for x in over), label.text


def test_a_demo_in_mid_swing(layout_of):
    """The lighthouse while its lamp is lit: every number keeps clear, and the lamp's current is there."""
    circuit, layout = layout_of("lighthouse")
    trial = load(EXAMPLES / "lighthouse").trials[0]
    point = moment(simulate(circuit, trial), 3.2)
    written = values.write_values(circuit, layout, point.voltages, point.currents)
    clear_of_everything(layout, written.layout)
    assert written.left_over == ()
    told = {label.text for label in written.layout.labels} | {text for _, text in written.left_over}
    assert values.amps(point.currents["DS1", "A"], "mA") in told
    assert values.volt(point.voltages["CAP"]) in told


def test_a_drawing_has_one_unit_of_voltage_and_one_of_current(layout_of):
    """Base currents of 9 µA stand beside 9 mA in milliampere, 0.09 V beside 5 V in volt; the words agree."""
    circuit, layout = layout_of("level-crossing")
    point = moment(simulate(circuit, load(EXAMPLES / "level-crossing").trials[0]), 5.5)
    shown = moment_picture(circuit, layout, point.voltages, point.currents)
    small = {pin: flow / 1e3 for pin, flow in point.currents.items()}
    smaller = moment_picture(circuit, layout, point.voltages, small)
    for picture, unit in ((shown, "mA"), (smaller, "µA")):
        words = picture.alt.partition("Voltages: ")[2]
        numbers = " ".join(re.findall(r">(-?[\d.]+ \S+)</text>", picture.svg))
        for said in (words, numbers):
            assert set(re.findall(r"\d ([µm]?A)\b", said)) == {unit}
            assert set(re.findall(r"\d ([µm]?V)\b", said)) == {"V"}


def test_voltages_of_two_nets_stand_apart(layout_of):
    """Where wires of two nets cross, their equal voltages do not stand together, as if written twice."""
    circuit, layout = layout_of("mailbox-flag")
    point = moment(simulate(circuit, load(EXAMPLES / "mailbox-flag").trials[0]), 4.4)
    after = values.write_values(circuit, layout, point.voltages, point.currents).layout
    told = [label for label in after.labels if label.role == "volts"]
    assert sum(label.text == "4.5 V" for label in told) == 3
    assert all(apart(one.box, other.box, 2.0 * CELL) for one, other in combinations(told, 2))
