"""Numbers of a moment on the schematic: each in its place, none over anything else."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from itertools import combinations

import pytest
from _schematic_demo import DEMOS, EXAMPLES, part, supply

from buildalong.circuit import Circuit, Pin
from buildalong.drawing import missing_characters
from buildalong.drawing.schematic import _values as values
from buildalong.drawing.schematic import check, draw_layout, moment_picture, read_back, statistics
from buildalong.drawing.schematic._amps import branches_told
from buildalong.drawing.schematic._layout import CELL, MARGIN, page_width
from buildalong.drawing.schematic._mistaken import plus_signs
from buildalong.drawing.schematic._shape import SMALL
from buildalong.engine import moment, operating_point, simulate
from buildalong.lesson import load
from buildalong.quantity import parse_as


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
    assert {"1 V", "5 V", "0 A"} <= set(shown) or "4.99 V" in shown
    assert shown.count("1 mA") == 1
    assert sum(text.endswith("mA") for text in shown) == 2
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
    assert values.amps(point.currents["DS1", "A"]) in told
    assert values.volt(point.voltages["CAP"]) in told


def at_its_moment(name):
    """A demo at the moment that the gallery shows."""
    lesson = load(EXAMPLES / name)
    run = simulate(lesson.circuit, lesson.trials[0])
    return moment(run, round(0.55 * float(run.times[-1]), 2))


def test_currents_have_the_prefix_that_gives_a_number_from_1_to_999(layout_of):
    """9 µA stands beside 9.2 mA, not 0.009 mA (SI Brochure, from memory); volts stay volts."""
    circuit, layout = layout_of("level-crossing")
    point = moment(simulate(circuit, load(EXAMPLES / "level-crossing").trials[0]), 5.5)
    shown = moment_picture(circuit, layout, point.voltages, point.currents)
    words = shown.alt.partition("Voltages: ")[2]
    for said in (words, " ".join(re.findall(r">([^<>]+ m?µ?[AV])</text>", shown.svg))):
        told = re.findall(r"([\d.]+) ([µm]?A)\b", said)
        assert {unit for _, unit in told} >= {"µA", "mA"}
        assert all(number == "0" if unit == "A" else 1 <= float(number) < 1000 for number, unit in told)
        assert set(re.findall(r"\d ([µm]?V)\b", said)) == {"V"}


@pytest.mark.parametrize("name", DEMOS)
def test_the_currents_of_a_node_add_up_as_written(layout_of, name):
    """Kirchhoff's current law holds for the printed numbers, to half of each one's last digit.

    An emitter has no number: it carries what collector and base carry.
    """
    circuit, layout = layout_of(name)
    point = at_its_moment(name)
    told = {(p.id, t) for branch in branches_told(circuit, layout, point.currents) for p, t in branch}
    for net in set(circuit.nets) - {circuit.plus, circuit.ground}:
        total = slack = 0.0
        for pin in circuit.nets[net]:
            part, flow = circuit.by_id[pin.part], point.currents[pin.part, pin.terminal]
            if len(part.nets) > 2 and (pin.part, pin.terminal) not in told:
                total += flow if part.type.terminal(pin.terminal).role == "emitter" else 0.0
                continue
            written = parse_as(values.amps(flow), "A")
            total += written if flow > 0 else -written
            slack += max(0.5e-6, 0.5 * 10 ** (math.floor(math.log10(written)) - 1) if written else 0.0)
        assert abs(total) <= slack + 1e-9, net


@pytest.mark.parametrize("name", DEMOS)
def test_a_moment_fits_on_a_page(layout_of, name):
    """With its numbers too the drawing has nine-point text on A4 (the project's own wish)."""
    circuit, layout = layout_of(name)
    point = at_its_moment(name)
    shown = moment_picture(circuit, layout, point.voltages, point.currents)
    width = min(shown.width, page_width(SMALL) + 2 * MARGIN + 2)
    assert shown.width == width


@pytest.mark.parametrize("name", DEMOS)
def test_a_number_is_not_read_as_part_of_another_text(layout_of, name):
    """No "3 0 A" (a pin and its current), no "0.09 V +" (a voltage and a polarity): a wide space.

    Nor does a part's current stand over another part's name.
    """
    circuit, layout = layout_of(name)
    point = at_its_moment(name)
    after = values.write_values(circuit, layout, point.voltages, point.currents).layout
    new = [label for label in after.labels if label.role in ("volts", "amps")]
    fixed = [t.box for s in after.symbols for t in s.labels if t.role != "name"]
    signs = [
        box
        for s in after.symbols
        if circuit.by_id[s.part].type.family == "electrolytic"
        for box in plus_signs(s)
    ]
    assert len(signs) == sum(part.type.family == "electrolytic" for part in circuit.parts)
    fixed += signs
    for label in new:
        left, top, right, bottom = label.box
        for x0, y0, x1, y1 in [*fixed, *(other.box for other in new if other is not label)]:
            if 2 * (min(bottom, y1) - max(top, y0)) > bottom - top:
                assert max(x0 - right, left - x1) >= 14, label


@pytest.mark.parametrize("name", DEMOS)
def test_a_voltage_is_not_read_as_that_of_the_row_over_it(layout_of, name):
    """Beside an upright wire it keeps 16 units from a part that lies over or under it (common practice).

    The ten lights' common cathodes, at 3.67 V, are not the row of the last light, which is at rest.
    """
    circuit, layout = layout_of(name)
    point = at_its_moment(name)
    after = values.write_values(circuit, layout, point.voltages, point.currents).layout
    level = [wire for wire in after.segments if wire.start.y == wire.end.y]
    lying = [s for s in after.symbols if len({at.y for _, at in s.terminals}) == 1 < len(s.terminals)]
    for label in (label for label in after.labels if label.role == "volts"):
        left, top, right, bottom = label.box
        at_wire = [
            wire
            for wire in level
            if wire.start.x * CELL < right
            and left < wire.end.x * CELL
            and min(abs(wire.start.y * CELL - y) for y in (top, bottom)) < 6
        ]
        if not at_wire:
            assert all(apart((left, top - 16, right, bottom + 16), s.body, 0.0) for s in lying), label.text


@pytest.mark.parametrize("name", DEMOS)
def test_wires_stay_straight_where_the_drawing_grows(layout_of, name):
    """The drawing with numbers turns its wires no more often than the one without, on the facing page."""
    circuit, layout = layout_of(name)
    point = at_its_moment(name)
    after = values.write_values(circuit, layout, point.voltages, point.currents).layout
    assert statistics(after).bends == statistics(layout).bends
    assert statistics(after).crossings == statistics(layout).crossings


def test_rows_of_an_array_are_alike_and_those_at_rest_told_once(layout_of):
    """Of ten lights the lit one has its numbers, one line below tells the rest; live numbers stand alike."""
    circuit, layout = layout_of("runway-lights")
    point = at_its_moment("runway-lights")
    written = values.write_values(circuit, layout, point.voltages, point.currents)
    lit = [f"Q{k}" for k in range(10) if point.currents[f"DS{k + 1}", "A"] > 1e-3]
    assert len(lit) == 1
    assert written.rest == "0 V, 0 A"
    told = [label.text for label in written.layout.labels[len(layout.labels) :]]
    assert "0 V" not in told
    live = values.live_values(circuit, layout, point.voltages, dict.fromkeys(circuit.nets, 8.88))
    pins = {pin: at for symbol in layout.symbols for pin, at in symbol.terminals}
    nets = {label.net: label for label in live.labels if label.net}
    places = set()
    for k in range(1, 11):
        at = pins[Pin(f"DS{k}", "A")]
        label = nets[circuit.by_id[f"DS{k}"].net("A")]
        places.add((round(label.x - at.x * CELL, 3), round(label.y - at.y * CELL, 3)))
    assert len(places) == 1


def test_voltages_of_two_nets_stand_apart(layout_of):
    """Where wires of two nets cross, their equal voltages do not stand together, as if written twice."""
    circuit, layout = layout_of("mailbox-flag")
    point = moment(simulate(circuit, load(EXAMPLES / "mailbox-flag").trials[0]), 4.4)
    after = values.write_values(circuit, layout, point.voltages, point.currents).layout
    told = [label for label in after.labels if label.role == "volts"]
    assert sum(label.text == "4.5 V" for label in told) == 3
    assert all(apart(one.box, other.box, 2.0 * CELL) for one, other in combinations(told, 2))
