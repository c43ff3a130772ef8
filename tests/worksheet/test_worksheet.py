"""Worksheets: answers against IEC 60062's bands, the textbook's formula and the engine."""

from __future__ import annotations

import itertools
import math

import pytest
from tests.design._circuits import demo, demo_trial

from buildalong.engine import Variation, measure, simulate
from buildalong.quantity import parse_as
from buildalong.worksheet import Sheet, without_values, worksheets

DIGITS = ("black", "brown", "red", "orange", "yellow", "green", "blue", "violet", "grey", "white")
"""IEC 60062, the order of the colours."""


def lighthouse(learners: int, seed: int = 1) -> tuple[Sheet, ...]:
    return worksheets(demo("lighthouse"), [demo_trial("lighthouse")], learners, seed=seed)


def test_each_learner_has_other_values() -> None:
    """Twelve learners, twelve sets of values."""
    sheets = lighthouse(12)
    assert len({sheet.values for sheet in sheets}) == 12


def test_neighbours_cannot_copy() -> None:
    """Of any two of six sheets more than half of the values differ."""
    for one, other in itertools.combinations(lighthouse(6), 2):
        differing = sum(a != b for a, b in zip(one.values, other.values, strict=True))
        assert 2 * differing > len(one.values)


def test_bands_are_those_of_the_standard() -> None:
    """The first two bands and the third say the value: figures and power of ten (IEC 60062)."""
    for sheet in lighthouse(4):
        question = next(q for q in sheet.questions if q.kind == "value")
        assert question.number is not None
        colours = question.text.split("bands ")[1].split(".")[0].split(", ")
        one, two, power = (DIGITS.index(colour) for colour in colours[:3])
        assert (10 * one + two) * 10**power == pytest.approx(question.number.value)
        assert parse_as(question.answer, "Ω") == pytest.approx(question.number.value)


def test_formula_answers_are_the_textbooks() -> None:
    """Ln 2 · R1 · C1 with the sheet's own values (TI SLFS022F, steered by diodes)."""
    for sheet in lighthouse(3):
        values = {name: parse_as(text, "F" if name[0] == "C" else "Ω") for name, text in sheet.values}
        question = next(q for q in sheet.questions if q.kind == "formula")
        assert question.number is not None
        assert question.number.value == pytest.approx(math.log(2) * values["R1"] * values["C1"], rel=1e-6)


def test_real_answers_are_the_engines() -> None:
    """The answer with real parts is what the simulation of the sheet's own circuit measures."""
    (sheet,) = lighthouse(1)
    question = next(q for q in sheet.questions if q.kind == "real")
    run = simulate(sheet.circuit, demo_trial("lighthouse"))
    assert question.number is not None
    assert question.number.value == pytest.approx(measure(run, "on_time", "DS1").value)


def test_ten_times_the_value_is_ten_times_as_slow() -> None:
    """A what-if with ten times R or C answers about ten times the time, or a tenth (drops change)."""
    seen = 0
    for sheet in lighthouse(6):
        real = next(q for q in sheet.questions if q.kind == "real")
        for question in sheet.questions:
            if question.kind == "what-if" and question.number and real.number:
                ratio = question.number.value / real.number.value
                assert min(abs(ratio / 10 - 1), abs(ratio * 10 - 1)) < 0.25
                seen += 1
    assert seen


@pytest.mark.parametrize("name", ["cupboard-light", "dusk-light", "level-crossing", "mailbox-flag"])
def test_every_lesson_gives_questions(name: str) -> None:
    """Each demo has at least three questions, every one with an answer."""
    (sheet,) = worksheets(demo(name), [demo_trial(name)], 1)
    assert len(sheet.questions) >= 3
    assert all(question.answer and question.text for question in sheet.questions)


def test_equal_seeds_give_equal_sheets() -> None:
    """The same seed gives the same sheets, another one others."""
    assert lighthouse(2, 5) == lighthouse(2, 5)
    assert lighthouse(2, 5) != lighthouse(2, 6)


@pytest.mark.parametrize("learners", [0, 201])
def test_senseless_classes_are_refused(learners: int) -> None:
    """Nobody, or a crowd."""
    with pytest.raises(ValueError, match="learners"):
        lighthouse(learners)


def test_neither_question_on_bands_answers_the_other() -> None:
    """The bands asked for first never stand in the second question."""
    for sheet in lighthouse(30):
        asked = {question.kind: question for question in sheet.questions}
        if "value" in asked:
            assert asked["bands"].answer not in asked["value"].text


def test_the_picture_for_all_shows_no_value_that_differs() -> None:
    """What each sheet gives is left open, everything else stands."""
    for sheet in lighthouse(2):
        plain = without_values(sheet)
        given = {name for name, _ in sheet.values}
        assert given
        for part in sheet.circuit.parts:
            assert plain.by_id[part.id].value == (None if part.id in given else part.value)


def test_no_led_is_given_more_than_data_sheets_recommend() -> None:
    """GB-413 series sheet: 10 mA to 20 mA recommended; held with fresh cells of 1.6 V (AA, from memory)."""
    trial = demo_trial("lighthouse")
    for sheet in lighthouse(12):
        fresh = Variation(((("BT1", "emf"), 1.6),))
        assert measure(simulate(sheet.circuit, trial, fresh), "current", "DS1").value <= 20e-3
        asked = next(q for q in sheet.questions if q.kind == "current")
        assert asked.number is not None
        assert asked.number.value <= 20e-3


def test_a_current_can_be_worked_out_from_the_sheet_alone() -> None:
    """What the sheet gives is all that (V_S - V_F) / R needs (Malvino & Bates, example 5-12)."""
    for sheet in worksheets(demo("mailbox-flag"), [demo_trial("mailbox-flag")], 3):
        question = next(q for q in sheet.questions if q.kind == "current")
        told = question.text.split("Given: ")[1].rstrip(".")
        given = dict(pair.split("\u00a0=\u00a0") for pair in told.split(", "))
        supply, forward = (parse_as(given[name], "V") for name in ("V_S", "V_F"))
        assert question.number is not None
        assert question.number.value == pytest.approx(
            (supply - forward) / parse_as(dict(sheet.values)["R3"], "Ω")
        )
