"""The inside of ICs: true to the run and to the data sheets' function tables, whole, readable."""

from __future__ import annotations

import re
from collections.abc import Callable
from itertools import combinations, pairwise

import pytest
from pydantic import ValidationError

from buildalong.circuit import Circuit, Part
from buildalong.drawing import _palette as palette
from buildalong.drawing.inside import (
    Look,
    inside_picture,
    inside_strip,
    inside_words,
    looks,
    moment_at,
    state_at,
)
from buildalong.drawing.inside._plan import said_volts
from buildalong.engine import Trial, simulate
from buildalong.finding import Unreadable
from buildalong.lesson import Compiled
from buildalong.parts import Inside, catalogue, load_part

from ._demo import blink
from ._measure import Sheet, assert_tidy

ICS = [kind for kind, part_type in catalogue().items() if part_type.model.get("kind") == "ic"]
SEEN = [
    ("cupboard-light", "U1"), ("dusk-light", "U1"), ("lighthouse", "U1"), ("mailbox-flag", "U1"),
    ("runway-lights", "U1"), ("runway-lights", "U2"),
]  # fmt: skip
LINE = [[0, 0], [1, 0]]
Demo = Callable[[str], Compiled]


def seen(compiled_demo: Demo, name: str, part: str) -> tuple[Look, ...]:
    compiled = compiled_demo(name)
    trial, run = next(iter(compiled.runs.items()))
    return looks(run, part, compiled.stories[trial])


def plan_of(kind: str) -> Inside:
    plan = catalogue()[kind].inside
    assert plan is not None
    return plan


@pytest.mark.parametrize("kind", ICS)
def test_every_ic_has_a_plan_with_all_its_pins(kind: str) -> None:
    """Each terminal of the data sheet stands once on the plan's edge, on the side it names."""
    plan = plan_of(kind)
    assert sorted(p.terminal for p in plan.pins) == sorted(t.name for t in catalogue()[kind].terminals)
    left, top, right, bottom = plan.outline
    edge = {"left": (0, left), "right": (0, right), "top": (1, top), "bottom": (1, bottom)}
    for pin in plan.pins:
        axis, value = edge[pin.side]
        assert pin.at[axis] == value, pin


@pytest.mark.parametrize("kind", ICS)
def test_every_cause_of_a_change_is_drawn(kind: str) -> None:
    """Each watcher that a rule of the model asks for, and each cell, shows in the plan (power apart)."""
    cells = catalogue()[kind].model["cells"]
    plan = plan_of(kind)
    drawn = {(c.cell, name) for c in plan.conditions() for name in (*c.watchers, *c.unless)}
    states = {c.cell for c in plan.conditions() if c.states}
    for cell in cells:
        assert cell["name"] in states
        asked = {n for rule in cell["rules"] for n in (*rule.get("when", ()), *rule.get("unless", ()))}
        asked |= {rule["on"] for rule in cell["rules"] if "on" in rule}
        if len({w["name"] for c in cells for w in c["watchers"]}) == sum(len(c["watchers"]) for c in cells):
            assert {(cell["name"], name) for name in asked} <= drawn


@pytest.mark.parametrize("kind", ICS)
def test_wires_are_straight_and_cross_nowhere(kind: str) -> None:
    """Lines run along the grid, and two of them meet only where one begins or ends."""
    segments = []
    for index, wire in enumerate(plan_of(kind).wires):
        for (ax, ay), (bx, by) in zip(wire.points, wire.points[1:], strict=False):
            assert ax == bx or ay == by, wire
            segments.append((index, min(ax, bx), min(ay, by), max(ax, bx), max(ay, by)))
    for one, other in combinations(segments, 2):
        if one[0] == other[0]:
            continue
        x0, y0 = max(one[1], other[1]), max(one[2], other[2])
        x1, y1 = min(one[3], other[3]), min(one[4], other[4])
        if x0 <= x1 and y0 <= y1:
            ends = {(s[1], s[2]) for s in (one, other)} | {(s[3], s[4]) for s in (one, other)}
            assert (x0, y0) == (x1, y1), (one, other)
            assert (x0, y0) in ends, (one, other)


@pytest.mark.parametrize("kind", ICS)
def test_a_control_line_leads_to_no_single_place_of_a_row(kind: str) -> None:
    """What chooses among the places of a row ends at a bracket over all of them, not at one of them."""
    plan = plan_of(kind)
    for ring in (block for block in plan.blocks if block.form == "ring"):
        (x, y), (wide, tall) = ring.at, ring.size
        left, top, right = x - wide / 2, y - tall / 2, x + wide / 2
        for wire in (wire for wire in plan.wires if wire.dashed):
            assert all(end[1] < top for end in (wire.points[0], wire.points[-1])), wire
        assert any(
            wire.points[0] == pytest.approx((left, top)) and wire.points[-1] == pytest.approx((right, top))
            for wire in plan.wires
        )


@pytest.mark.parametrize(
    ("table", "said"),
    [
        ({"wires": [{"points": LINE, "when": {"cell": "latch", "watchers": ["ghost"]}}]}, "ghost"),
        ({"wires": [{"points": LINE, "when": {"cell": "latch", "states": ["limbo"]}}]}, "limbo"),
        ({"wires": [{"points": LINE, "when": {"cell": "clock", "states": ["low"]}}]}, "clock"),
        ({"pins": [{"terminal": "Q11", "at": [0, 0], "side": "left"}]}, "Q11"),
        ({"blocks": [{"form": "spring", "at": [0, 0]}]}, "blocks"),
        ({"size": [1e9, 2]}, "size"),
    ],
)
def test_a_wrong_plan_is_a_finding(table: dict[str, object], said: str) -> None:
    """A lesson's own plan that names what the model lacks is refused with that name."""
    with pytest.raises(Unreadable) as caught:
        load_part({"like": "timer-555", "inside": table}, catalogue(), "timer-own")
    finding = caught.value.findings[0]
    assert said in f"{finding.message} {finding.about}"


def test_a_watcher_that_two_cells_share_is_refused() -> None:
    """Events name a watcher without its cell, so a plan may only use names that are unique in the part."""
    data = plan_of("comparator-lm393").model_dump()
    data["wires"][0]["when"] = {"cell": "1", "watchers": ["above"]}
    with pytest.raises((ValidationError, Unreadable)):
        load_part({"like": "comparator-lm393", "inside": data}, catalogue(), "own")


@pytest.mark.parametrize(("name", "part"), SEEN)
def test_looks_are_few_and_told(compiled_demo: Demo, name: str, part: str) -> None:
    """Four to six moments, in order of time, with the story's own sentences; each shows something new."""
    compiled = compiled_demo(name)
    story = next(iter(compiled.stories.values()))
    found = seen(compiled_demo, name, part)
    assert 4 <= len(found) <= 6
    times = [look.state.time for look in found]
    assert times == sorted(times)
    for look in found:
        if look.index >= 0 and name != "runway-lights":
            assert look.caption == story[look.index].text
        elif look.index >= 0:
            assert look.state.time == pytest.approx(story[look.index].time, abs=1e-3)
        else:
            assert "nothing switches" in look.caption
    for one, other in pairwise(found):
        assert one.state.key != other.state.key or one.state.volts != other.state.volts


@pytest.mark.parametrize("name", ["cupboard-light", "lighthouse", "mailbox-flag", "runway-lights"])
def test_timer_as_in_its_function_table(compiled_demo: Demo, name: str) -> None:
    """TI SLFS022, function table: comparators, latch, output and discharge agree with the pins."""
    for look in seen(compiled_demo, name, "U1"):
        state, volts = look.state, look.state.volts
        high = state.cells["latch"] == "high"
        assert (volts["OUT"] > 0.5 * state.supply) == high
        # In the one-shot the discharge pin empties a large capacitor, which takes its time.
        if volts["DISCH"] is not None and not high:
            assert state.soon.get("DISCH", volts["DISCH"]) < 0.6
        if abs(volts["THRES"] - volts["CONT"]) > 0.02:
            assert state.watchers["latch", "threshold"] == (volts["THRES"] > volts["CONT"])
        if abs(volts["TRIG"] - 0.5 * volts["CONT"]) > 0.02:
            assert state.watchers["latch", "trigger"] == (volts["TRIG"] < 0.5 * volts["CONT"])
        assert state.watchers["latch", "reset"] == (volts["RESET"] < 1.0)
        assert volts["CONT"] == pytest.approx(2 / 3 * volts["VCC"], rel=0.02)
        words = inside_words(state)
        assert f"Latch: {'set' if high else 'reset'}." in words
        assert f"Discharge switch: {'open' if high else 'closed'}." in words


def test_a_closed_switch_tells_where_its_pin_goes(compiled_demo: Demo) -> None:
    """A capacitor that the discharge switch begins to empty has its 6 V, and falls to 0 V (i = C dv/dt)."""
    found = seen(compiled_demo, "cupboard-light", "U1")
    texts = [[t.text for t in Sheet(inside_picture(look.state).svg).texts] for look in found]
    assert "→ 0.0 V" in texts[-1]
    assert "6.0 → 0.0 V" in texts[-1]
    assert not any("→" in text for one in texts[:-1] for text in one)
    assert "THRES 6.0 → 0.0 V" in inside_words(found[-1].state)
    # A capacitor that empties through a resistor does not do so at once (t = R C ln 2).
    assert not any(look.state.soon for look in seen(compiled_demo, "lighthouse", "U1"))


def test_a_caption_tells_of_its_own_ic(compiled_demo: Demo) -> None:
    """Of a sentence about two ICs each has its half; a falling edge leaves the counter (TI CD4017B)."""
    timer, counter = (seen(compiled_demo, "runway-lights", part) for part in ("U1", "U2"))
    assert not any("U2" in look.caption for look in timer)
    assert not any("U1" in look.caption or "C1" in look.caption for look in counter)
    for before, look in pairwise(counter):
        if before.state.cells == look.state.cells:
            assert re.fullmatch(r"At [\d.]+ m?s CLK falls\. U2 stays as it is\.", look.caption)


def test_a_quiet_time_begins_where_the_look_before_it_ends(compiled_demo: Demo) -> None:
    """The voltage at which a capacitor goes on filling is that which the look before it shows."""
    *_, before, quiet, after = seen(compiled_demo, "cupboard-light", "U1")
    levels = [said_volts(look.state.volts["THRES"]) for look in (before, after)]
    assert levels == ["0.1 V", "6.0 V"]
    assert quiet.caption.endswith("CAP goes from 0.1 V to 6 V.")


def test_the_key_tells_only_what_is_there(compiled_demo: Demo) -> None:
    """No triangle in a counter, no row of outputs in a timer; nets of the captions are at their pins."""
    timer, counter, light = (
        inside_strip(seen(compiled_demo, name, part), [*"1234567"][: len(seen(compiled_demo, name, part))])
        for name, part in (("cupboard-light", "U1"), ("runway-lights", "U2"), ("dusk-light", "U1"))
    )
    said = [" ".join(t.text for t in Sheet(picture.svg).texts) for picture in (timer, counter, light)]
    assert ["in a triangle" in one for one in said] == [True, False, True]
    assert ["in the row" in one for one in said] == [False, True, False]
    assert "CAP is at THRES and DISCH." in said[0]
    assert "NIGHT is at IN1−." in said[2]
    assert not any("numbers in circles" in one for one in said)
    some = seen(compiled_demo, "dusk-light", "U1")
    assert "numbers in circles" in " ".join(
        t.text for t in Sheet(inside_strip(some, ["1", "3", "", "5"]).svg).texts
    )


def test_counter_as_in_its_function_table(compiled_demo: Demo) -> None:
    """TI CD4017B: exactly one output is high, that of the count, and it moves on with the rising clock."""
    found = seen(compiled_demo, "runway-lights", "U2")
    for look in found:
        high = [n for n in range(10) if look.state.high(f"Q{n}")]
        assert [str(n) for n in high] == [look.state.cells["count"]]
        assert look.state.watchers["count", "clock"] == look.state.high("CLK")


def test_comparator_as_its_data_sheet_says(compiled_demo: Demo) -> None:
    """ST LM393: the output is pulled down while the − input is higher, and open otherwise."""
    for look in seen(compiled_demo, "dusk-light", "U1"):
        volts = look.state.volts
        assert (look.state.cells["1"] == "pulling") == (volts["IN1-"] > volts["IN1+"])
        assert (look.state.cells["1"] == "pulling") == (volts["OUT1"] < 1.0)
        assert look.state.idle("2")
        assert not look.state.idle("1")


def test_a_cycle_closes(compiled_demo: Demo) -> None:
    """The last look at the lighthouse's timer shows the inside as the first does: the round begins again."""
    found = seen(compiled_demo, "lighthouse", "U1")
    assert found[0].state.key == found[-1].state.key
    assert len({look.state.key for look in found}) == len(found) - 1


@pytest.mark.parametrize(("name", "part"), SEEN)
def test_texts_stay_inside_and_apart(compiled_demo: Demo, name: str, part: str) -> None:
    """Nothing is written outside the picture or over other writing; every character can be drawn."""
    found = seen(compiled_demo, name, part)
    for picture in (*(inside_picture(look.state) for look in found), inside_strip(found, ["1"] * len(found))):
        assert_tidy(picture)


def test_what_the_strokes_mean_fills_an_empty_place(compiled_demo: Demo) -> None:
    """Three looks leave a place free; there the key stands, beside the third."""
    found = seen(compiled_demo, "lighthouse", "U1")[:3]
    even, odd = (Sheet(inside_strip([*found, *more]).svg) for more in ((found[0],), ()))
    keys = [next(t for t in sheet.texts if t.text.startswith("Thick and red")) for sheet in (even, odd)]
    below, beside = (key.box for key in keys)
    frame = max(t.box[3] for t in even.texts if t.text == "GND")
    assert below[1] > frame > beside[3]
    assert beside[0] > below[0]
    assert_tidy(inside_strip(found))


@pytest.mark.parametrize(("name", "part"), SEEN)
def test_one_net_has_one_voltage(compiled_demo: Demo, name: str, part: str) -> None:
    """Terminals on one wire have one voltage, at the edge too at which the IC switches (Kirchhoff)."""
    for look in seen(compiled_demo, name, part):
        by_net: dict[str, set[float | None]] = {}
        for terminal, net in zip(look.state.part.type.terminals, look.state.part.nets, strict=True):
            if net is not None:
                by_net.setdefault(net, set()).add(look.state.volts[terminal.name])
        assert {net: volts for net, volts in by_net.items() if len(volts) > 1} == {}


@pytest.mark.parametrize(("name", "part"), SEEN)
def test_levels_agree_with_their_sentence(compiled_demo: Demo, name: str, part: str) -> None:
    """What is told to be empty reads 0.0 V, what has filled or emptied to a level reads that level."""
    told = 0
    for look in seen(compiled_demo, name, part):
        nets = {n: t.name for t, n in zip(look.state.part.type.terminals, look.state.part.nets, strict=True)}
        filled = re.search(
            r"C1 has (?:filled|emptied) to \w+ thirds? of the supply \((\d+) V\)", look.caption
        )
        empty = "C1 is still empty" in look.caption or "C1 empty until" in look.caption
        if "CAP" in nets and (filled or empty):
            level = float(filled[1]) if filled else 0.0
            assert said_volts(look.state.volts[nets["CAP"]]) == f"{level:.1f} V"
            told += 1
        if "CONT" in look.state.volts and empty:
            assert look.state.volts["CONT"] == pytest.approx(2 / 3 * look.state.supply, abs=0.05)
    assert told >= (2 if "CAP" in nets else 0)


@pytest.mark.parametrize("kind", ICS)
def test_text_is_large_enough_in_print(kind: str) -> None:
    """Two looks beside each other on A4 with margins of 15 mm: no text is under 9 pt; one takes half."""
    part = catalogue()[kind]
    rails = {"supply": "PLUS", "ground": "0V"}
    nets = tuple(rails.get(t.role, f"N{i}") for i, t in enumerate(part.terminals))
    circuit = Circuit((Part("U1", part, nets), Part("BT1", catalogue()["supply-9v"], ("PLUS", "0V"))))
    run = simulate(circuit, Trial("a moment", 0.01))
    state = state_at(run, "U1", moment_at(run, 0.005))
    pair = inside_strip([Look(state, "Before.", 0), Look(state, "After.", 1)])
    assert 0 < pair.print_width(points=9) <= 180
    alone = inside_picture(state)
    assert_tidy(alone)
    assert alone.print_width(points=9) <= 180 / 2 + 6


def test_high_is_told_by_more_than_colour(compiled_demo: Demo) -> None:
    """What is active is thicker and bears a 1: grey printing loses nothing (WCAG 2.2, 1.4.1)."""
    found = seen(compiled_demo, "lighthouse", "U1")
    svg = inside_picture(found[0].state).svg
    red = re.findall(r'stroke="#C0281F" stroke-width="([\d.]+)"', svg)
    thin = re.findall(r'stroke="#23262B" stroke-width="([\d.]+)"', svg)
    assert red
    assert min(map(float, red)) >= 3.6 > 2.2 in {float(t) for t in thin}
    texts = [t.text for t in Sheet(svg).texts]
    assert texts.count("1") >= 2
    assert "0" in texts


def test_same_bytes_again(compiled_demo: Demo) -> None:
    """The same run gives the same bytes."""
    assert (
        inside_strip(seen(compiled_demo, "lighthouse", "U1")).svg
        == inside_strip(seen(compiled_demo, "lighthouse", "U1")).svg
    )


def test_no_plan_no_picture(compiled_demo: Demo) -> None:
    """A resistor has no inside to draw, and a strip of nothing is refused."""
    run = next(iter(compiled_demo("lighthouse").runs.values()))
    with pytest.raises(ValueError, match="no plan"):
        inside_picture(state_at(run, "R1", moment_at(run, 1.0)))
    with pytest.raises(ValueError, match="nothing"):
        inside_strip(())


def test_a_pin_that_leads_nowhere_is_pale_like_an_unused_unit() -> None:
    """DISCH without a net: name, word and wire are paler than the rest, and never red, with 4.5:1 still."""
    pale = palette.mix(palette.INK, palette.CHIP, 0.36)
    assert palette.contrast(pale, palette.CHIP) >= 4.5
    for at in (0.2, 0.7):  # the latch high, and low: then the discharge is closed
        state = state_at(blink(), "U1", moment_at(blink(), at))
        assert state.volts["DISCH"] is None
        sheet = Sheet(inside_picture(state).svg)
        fills = {text.text: text.fill for text in sheet.texts}
        assert fills["DISCH"] == fills["unused"] == fills["7"] == pale
        assert fills["OUT"] == fills["CONT"] == palette.INK
