"""What is seen of a motor."""

from __future__ import annotations

import pytest

from buildalong.board import Layout, board
from buildalong.circuit import Circuit, Part
from buildalong.engine import Action, Trial
from buildalong.mistakes import Mistake, Outcome, laboratory
from buildalong.parts import catalogue

PRESS = Trial("press", 3.0, (Action(0.5, "S1", "pressed", 1.0), Action(2.0, "S1", "pressed", 0.0)))


def loop(supply: tuple[str, str] = ("PLUS", "0V"), motor: tuple[str | None, ...] = ("IN", "0V")) -> Circuit:
    """Two cells, a button and a motor in one loop."""
    return Circuit(
        (
            Part("BT1", catalogue()["supply-aa"], supply, settings=(("count", 2.0),)),
            Part("S1", catalogue()["push-button"], ("PLUS", "IN")),
            Part("M1", catalogue()["motor-3v"], motor),
        )
    )


def seen(right: Circuit, wrong: Circuit) -> Outcome:
    """What comes of building one circuit in place of another."""
    bare = Layout(board("400"), {})
    slip = Mistake("slip", "own", "Something is turned.", "", ("M1",), 1.0, wrong, bare)
    return laboratory(right, bare, (PRESS,), made=[slip]).outcomes[0]


@pytest.mark.parametrize("wrong", [loop(("0V", "PLUS")), loop(motor=("0V", "IN"))])
def test_a_motor_with_its_current_reversed_turns_the_wrong_way_round(wrong: Circuit) -> None:
    """The sense of a permanent-magnet motor's turning is that of its current (any textbook of machines)."""
    outcome = seen(loop(), wrong)
    assert (outcome.symptom, outcome.sights) == ("backwards", (("M1", "backwards"),))
    assert outcome.sentence == "M1 turns the wrong way round."


def test_a_motor_that_should_turn_back_is_right_so() -> None:
    """A motor that turns the way that its lesson says is right, whichever way that is; forwards is not."""
    back = loop(motor=("0V", "IN"))
    assert seen(back, loop()).symptom == "backwards"
    assert seen(back, loop(motor=("0V", "OPEN"))).symptom == "nothing"


def test_a_motor_without_current_stands_still() -> None:
    """An open loop carries nothing (Kirchhoff): the motor never turns."""
    outcome = seen(loop(), loop(motor=("IN", "OPEN")))
    assert outcome.symptom == "nothing"
    assert outcome.sentence == "Nothing happens: M1 never turns."


@pytest.mark.parametrize("motor", [("c5", "c10"), ("c10", "c5")])
def test_whichever_way_the_board_has_a_motor_is_right(motor: tuple[str, str]) -> None:
    """Nothing on a motor says which lead is which (common practice); the supply's reversal turns it back."""
    circuit = Circuit(
        (
            Part("BT1", catalogue()["supply-aa"], ("PLUS", "0V"), settings=(("count", 2.0),)),
            Part("R1", catalogue()["resistor"], ("PLUS", "IN"), 1.0),
            Part("M1", catalogue()["motor-3v"], ("IN", "0V")),
        )
    )
    layout = Layout(board("400"), {"BT1": ("a1", "a10"), "R1": ("b1", "b5"), "M1": motor})
    found = laboratory(circuit, layout, [Trial("run", 3.0)])
    back = {o.mistake.id for o in found.outcomes if "backwards" in dict(o.sights).values()}
    assert "part-reversed-BT1-1" in back or any(name.startswith("supply-reversed") for name in back)
    assert all("BT1" in name for name in back)
