"""Wrongly wired circuits: recognition, sheet and reasons always answer, and never with a wrong part.

Mistakes of learners make such circuits; they are random here, drawn from the demos.
"""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from buildalong.circuit import Circuit
from buildalong.design import explain, figures, mathml, reasons, recognise, sheet

from ._circuits import DEMOS, demo


@st.composite
def spoilt(draw: st.DrawFn, made: Circuit) -> Circuit:
    """A circuit with up to four terminals moved or opened, and perhaps a part left out."""
    for _ in range(draw(st.integers(1, 4))):
        part = draw(st.sampled_from([p for p in made.parts if p.type.family != "supply"]))
        index = draw(st.integers(0, len(part.nets) - 1))
        net = draw(st.sampled_from([*made.nets, "NEW", None]))
        made = made.with_part(
            replace(part, nets=tuple(net if i == index else n for i, n in enumerate(part.nets)))
        )
    if draw(st.booleans()):
        made = made.without(draw(st.sampled_from([p.id for p in made.parts if p.type.family != "supply"])))
    return made


@pytest.mark.parametrize("name", DEMOS)
@settings(max_examples=30, deadline=None)
@given(data=st.data())
def test_spoilt_circuits_are_answered(name: str, data: st.DataObject) -> None:
    """Any wiring is answered: shapes name parts and nets that exist, figures are finite, words complete."""
    made = data.draw(spoilt(demo(name)))
    shapes = recognise(made)
    for shape in shapes:
        assert set(shape.parts) <= set(made.by_id)
        assert set(shape.nets.values()) <= {*made.nets, ""}
        assert "{" not in shape.does + "".join(shape.reasons.values())
    assert set(reasons(shapes)) <= set(made.by_id)
    for one in sheet(made, shapes):
        assert math.isfinite(one.result.value)
        assert explain(one, 1.2 * one.result.value)
        assert mathml(one.formula).startswith("<math")
        for correction in one.corrections:
            assert "nan" not in correction.cause
    assert all(math.isfinite(q.value) for q in figures(made).values())
