"""The mistakes of the demos: none is lost, none stays undecided without a reason."""

from __future__ import annotations

from dataclasses import replace

import pytest

from buildalong.board import equal, read_back
from buildalong.mistakes import KINDS, SYMPTOMS, Mistake, Own, Wishes, laboratory, mistakes_of

from ._labs import built, lab

FEW = ("cupboard-light", "dusk-light", "level-crossing", "lighthouse", "mailbox-flag")
"""The demos whose mistakes are simulated in a test; the largest is left to the benchmark."""


@pytest.mark.parametrize("demo", FEW)
def test_every_mistake_is_classified(demo: str) -> None:
    """Every mistake that changes the circuit has a known class, a sentence, and a reason for a doubt."""
    lesson, layout = built(demo)
    found = lab(demo)
    made = mistakes_of(lesson.circuit, layout)
    assert len(made) == len(found.outcomes) + found.unchanged
    assert len({m.id for m in made}) == len(made)
    for outcome in found.outcomes:
        assert outcome.symptom in SYMPTOMS
        assert outcome.sentence.endswith(".")
        assert outcome.symptom != "undetermined" or outcome.doubts
        assert outcome.mistake.kind in KINDS


@pytest.mark.parametrize("demo", FEW)
def test_equal_circuits_are_merged(demo: str) -> None:
    """Mistakes whose boards make equal circuits are known to be the same; sameness goes both ways."""
    by_id = {o.mistake.id: o for o in lab(demo).outcomes}
    for outcome in by_id.values():
        for other in outcome.same:
            assert outcome.mistake.id in by_id[other].same
            assert by_id[other].symptom == outcome.symptom
    some = [o.mistake for o in by_id.values() if not o.mistake.comes_and_goes][:40]
    for one in some:
        for two in some:
            values = [[(p.id, p.type.id, p.value) for p in m.circuit.parts] for m in (one, two)]
            if one.id < two.id and values[0] == values[1] and equal(one.circuit, two.circuit):
                assert two.id in by_id[one.id].same


def _of(demo: str, identity: str):
    return next(o for o in lab(demo).outcomes if o.mistake.id == identity)


def test_reversed_electrolytic_may_burst() -> None:
    """Reversed by 1 V to 1.5 V it is damaged (TDK/EPCOS general data, as copied): the danger is told."""
    outcome = _of("cupboard-light", "part-reversed-C1-1")
    assert outcome.danger == "burst"
    assert outcome.grade in ("ages", "dies")


@pytest.mark.parametrize("demo", FEW)
def test_a_burst_is_told_where_it_may_come(demo: str) -> None:
    """Beyond 1.5 V the wrong way, or where the capacitor or the supply is put in wrongly: nowhere else.

    Up to about 1.5 V it bears for short times, at 1 V to 1.5 V it is damaged (TDK/EPCOS general data, as
    copied); that a slip elsewhere, which lets a small current flow backwards, only ages it is our reading.
    """
    family = {part.id: part.type.family for part in lab(demo).circuit.parts}
    for outcome in lab(demo).outcomes:
        backwards = [
            h for h in outcome.harms if h.code == "reverse-voltage" and family.get(h.part) == "electrolytic"
        ]
        own = {"electrolytic", "supply"} & {family.get(name) for name in outcome.mistake.subjects}
        feared = any(own or h.grade == "dies" for h in backwards)
        assert (outcome.danger == "burst") == (feared and outcome.symptom != "battery-hot")


def test_reversed_led_stays_dark() -> None:
    """A light-emitting diode blocks when reversed: the lamp never shines (its polarity; any textbook)."""
    assert _of("lighthouse", "part-reversed-DS1-1").symptom == "nothing"


def test_missing_charging_resistor_stops_the_astable() -> None:
    """Without R1 nothing charges the capacitor: trigger stays below 1/3 and the output high.

    TI SLFS022, function table: trigger below 1/3 of the supply makes the output high.
    """
    assert _of("lighthouse", "part-omitted-R1-1").symptom == "always-lit"


def test_trigger_held_low_keeps_the_output_high() -> None:
    """A trigger held low keeps the output high even after the time is up (TI SLFS022, function table)."""
    lesson, layout = built("cupboard-light")
    own = Own("R2 goes to 0 V.", {"R2": ("h14", layout.holes["R2"][1])})
    only = Wishes((own,), frozenset(KINDS) - {"own"})
    (outcome,) = laboratory(lesson.circuit, layout, lesson.trials, wishes=only).outcomes
    assert outcome.symptom == "always-lit"


def test_reset_low_keeps_the_output_low() -> None:
    """Reset below 0.3 V wins over all: the output is low (TI SLFS022, function table)."""
    outcome = _of("mailbox-flag", "button-turned-S2-1")
    assert outcome.symptom == "nothing"


def test_without_the_discharge_link_the_light_comes_once() -> None:
    """Nothing empties the capacitor: it stays above 2/3 of the supply, and the output low.

    TI SLFS022, function table: threshold above 2/3 with trigger above 1/3 makes the output low.
    """
    assert _of("lighthouse", "loose-contact-U1-7").failing == "once-only"


def test_reset_left_open_works_on_the_bipolar_timer() -> None:
    """The bipolar timer's reset pin pulls itself up: it works (common practice: tie it to plus)."""
    assert _of("lighthouse", "loose-contact-U1-4").symptom == "as-it-should"


def test_control_pulled_to_the_supply_never_ends_the_pulse() -> None:
    """The threshold is the control pin's voltage (TI SLFS022): the capacitor never gets there."""
    outcome = _of("cupboard-light", "wire-across-wire3-2")
    assert {outcome.joined[name] for name in ("13R", "10R")} == {outcome.joined["13R"]}
    assert outcome.symptom in ("stays-lit", "stays-lit-from-the-start", "always-lit")


def test_control_pulled_to_ground_keeps_the_output_low() -> None:
    """The threshold is the control pin's voltage, the trigger level half of it (TI SLFS022, block diagram).

    At 0 V the capacitor is never below the trigger level, and always at the threshold: the output stays low.
    """
    lesson, layout = built("lighthouse")
    bridge = replace(layout.wires[0], start="h14", end="h17", path=())
    board = replace(layout, wires=(*layout.wires, bridge))
    made = Mistake(
        "bridge", "own", "A wire joins control and ground.", "", ("wire 6",), 1.0,
        read_back(lesson.circuit.parts, board), board,
    )  # fmt: skip
    (outcome,) = laboratory(lesson.circuit, layout, lesson.trials, made=[made]).outcomes
    assert outcome.joined["14R"] == outcome.joined["17R"] == outcome.joined["11L"]
    assert outcome.symptom == "nothing"
    assert outcome.harms == ()
    assert [way for window in outcome.volts for way in window["13L"]] == [
        pytest.approx((0.0,), abs=0.35)  # low at 5 mA from 5 V: at most 0.35 V (TI SLFS022)
    ]


def test_a_shorted_supply_is_told_as_hot() -> None:
    """Plus and minus in one strip: the supply is shorted, the danger is the battery."""
    shorted = [o for o in lab("lighthouse").outcomes if o.symptom == "battery-hot"]
    assert shorted
    assert {o.danger for o in shorted} == {"battery"}


def test_ten_times_the_timing_resistor_is_ten_times_slower() -> None:
    """T of an astable goes with R (TI SLFS022: tL = 0.693 RB C): R2 of ten times the value slows it."""
    outcome = _of("lighthouse", "wrong-decade-R2-2")
    assert outcome.symptom in ("too-slow", "once-only")


def test_author_adds_forbids_and_weighs() -> None:
    """What an author forbids is not made; what is added and weighed is."""
    lesson, layout = built("lighthouse")
    holes = layout.holes["R1"]
    wishes = Wishes((Own("R1 is moved.", {"R1": holes[::-1]}),), frozenset({"loose-contact"}), {"DS1": 3.0})
    plain, made = mistakes_of(lesson.circuit, layout), mistakes_of(lesson.circuit, layout, wishes)
    assert {m.kind for m in made} == {m.kind for m in plain} - {"loose-contact"} | {"own"}
    weight = {m.id: m.weight for m in plain}
    for mistake in made:
        if "DS1" in mistake.subjects and mistake.kind != "swapped":
            assert mistake.weight == pytest.approx(3 * weight[mistake.id])


def test_equal_arguments_give_equal_results() -> None:
    """The laboratory is deterministic."""
    lesson, layout = built("mailbox-flag")
    again = laboratory(lesson.circuit, layout, lesson.trials)
    assert [(o.mistake.id, o.symptom, o.volts) for o in again.outcomes] == [
        (o.mistake.id, o.symptom, o.volts) for o in lab("mailbox-flag").outcomes
    ]
