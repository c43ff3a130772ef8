"""The fault-finding plan: it ends at one cause, it saves readings, and it never leaves safety behind."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from tests.mistakes._labs import built, lab

from buildalong.build.steps import make_steps
from buildalong.trace import Answer, Given, Node, Plan, all_readings, build_order, make_plan, next_reading

DEMOS = ("cupboard-light", "dusk-light", "lighthouse", "mailbox-flag")


def plan_of(demo: str) -> Plan:
    """The plan of a demo on its layout written out by hand."""
    lesson, layout = built(demo)
    return make_plan(lab(demo), build_order(make_steps(lesson.circuit, layout)))


def nodes(node: Node) -> Iterator[Node]:
    """A node and everything below it."""
    yield node
    for _, below in node.branches:
        yield from nodes(below)


@pytest.mark.parametrize("demo", DEMOS)
def test_plan_needs_at_most_half_the_readings(demo: str) -> None:
    """Expected readings are at most half of those of checking part after part in the order of building."""
    plan = plan_of(demo)
    assert plan.readings <= 0.5 * plan.in_build_order


@pytest.mark.parametrize("demo", DEMOS)
def test_every_mistake_is_at_a_leaf(demo: str) -> None:
    """No mistake is lost on the way down, and each leaf is one cause or states more than one."""
    found = lab(demo)
    at: set[str] = set()
    for root in plan_of(demo).roots:
        for node in nodes(root.node):
            if node.reading is None:
                at |= {identity for identity, _ in node.suspects}
    assert at == {o.mistake.id for o in found.outcomes}


@pytest.mark.parametrize("demo", DEMOS)
def test_no_power_on_a_shorted_supply(demo: str) -> None:
    """A shorted supply gets hot: no reading of that tree needs the supply on."""
    for root in plan_of(demo).roots:
        if root.seen.symptom == "battery-hot":
            assert not any(n.reading.under_power for n in nodes(root.node) if n.reading is not None)


def test_every_reading_says_what_a_right_board_shows() -> None:
    """A learner compares with something: each reading has its expected answer; the supply reads 6 V."""
    readings = all_readings(lab("lighthouse"))
    assert all(reading.expected for reading in readings)
    layout = built("lighthouse")[1]
    plus = layout.board.strip_of[layout.holes["BT1"][0]]
    (found,) = {r.expected for r in readings if r.kind == "volts" and r.strips[0] == plus}
    low, high = (float(word) for word in found.replace(" V", "").split(" to "))
    assert low < 6.0 < high


def test_next_reading_follows_the_tree() -> None:
    """Asked step by step with what a mistake shows, the advice ends at that mistake."""
    found = lab("lighthouse")
    root = next(r for r in plan_of("lighthouse").roots if r.seen.symptom == "nothing")
    node = root.node
    given: list[Given] = []
    while node.reading is not None:
        advice = next_reading(found, "nothing", given)
        assert advice.reading == node.reading
        answer, node = node.branches[0]
        given.append(Given(advice.reading.id, answer))
    left = {identity for identity, _ in next_reading(found, "nothing", given).suspects}
    assert {identity for identity, _ in node.suspects} <= left


def test_what_no_single_mistake_explains_is_said() -> None:
    """Answers that contradict each other leave no suspect, and the readings in the way are named."""
    found = lab("lighthouse")
    first = next_reading(found, "nothing").reading
    assert first is not None
    wrong = Given(first.id, Answer("no such answer", ""))
    advice = next_reading(found, "nothing", [wrong])
    assert advice.suspects == ()
    assert advice.against == (first.id,)
