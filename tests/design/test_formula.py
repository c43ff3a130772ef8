"""Formulas as trees: values, dimensions, writing as text and MathML, working step by step, inverting.

Reference for values: Python's own arithmetic in ``fractions`` and ``math``, apart from the tree's code.
Element names and counts of children: W3C, MathML Core, sections 2 and 3 (from memory).
"""

from __future__ import annotations

import math
import xml.etree.ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildalong.design import Formula, explain, figures, invert, mathml, plain, sheet, steps, text
from buildalong.design._expr import (
    Difference,
    Exp,
    Expr,
    Log,
    Num,
    Parallel,
    Power,
    Product,
    Quotient,
    Sum,
    Sym,
    ln,
)

from ._circuits import DEMOS, astable, circuit, demo, entry, pair

MATH = "{http://www.w3.org/1998/Math/MathML}"
ARITY = {"mfrac": 2, "msub": 2, "msup": 2, "mtr": 3, "mtd": 1, "mi": 0, "mn": 0, "mo": 0, "mspace": 0}
ROWS = ("math", "mrow", "mtable")

R1, R2 = Sym("R", "1", 56e3, "Ω", part=True), Sym("R", "2", 270e3, "Ω", part=True)
C1 = Sym("C", "1", 10e-6, "F", part=True)
T_ON = Formula(Sym("t", "on", of="s"), Product((ln(2), R1 + R2, C1)))


def test_working_line_by_line() -> None:
    """Symbols, values put in, sum worked out, result: each line follows from the one before by hand."""
    assert [text(step) for step in steps(T_ON)] == [
        "ln 2 · (R1 + R2) · C1",
        "0.693 · (56 kΩ + 270 kΩ) · 10 µF",
        "0.693 · 326 kΩ · 10 µF",
        "2.26 s",
    ]
    assert plain(T_ON).startswith("t_on = ln 2 · (R1 + R2) · C1 = 0.693 · ")


@pytest.mark.parametrize(
    ("tree", "written"),
    [
        ((R1 // R2) * C1, "(R1 ∥ R2) · C1"),
        (R1 + (R2 // R1), "R1 + (R2 ∥ R1)"),
        (Quotient(R1, R1 + R2), "R1 / (R1 + R2)"),
        (Quotient(Num(1), Product((Num(2), R1))), "1 / (2 · R1)"),
        (R1 - (R2 - R1), "R1 − (R2 − R1)"),
        (R1 - Product((Num(2), R2)), "R1 − 2 · R2"),
        (Log(Quotient(R1, R2)), "ln(R1 / R2)"),
        (Exp(Quotient(R1, R2)), "e^(−R1 / R2)"),
        (Power(Quotient(R1, R2), Num(2)), "(R1 / R2)^2"),
        (Num(-0.5, "V"), "−0.5 V"),
        (Num(0.44, "Hz"), "0.44 Hz"),
        (Sym("V", "F"), "V_F"),
    ],
)
def test_brackets_and_signs(tree: Expr, written: str) -> None:
    """Brackets stand exactly where the order of operations needs them (ISO 80000-2, from memory)."""
    assert text(tree) == written


@pytest.mark.parametrize(
    "build",
    [
        lambda: R1 + C1,
        lambda: R1 - Num(1),
        lambda: R1 // C1,
        lambda: Log(R1),
        lambda: Exp(C1),
        lambda: Power(R1, Num(2)),
        lambda: Formula(Sym("t", of="s"), R1),
    ],
)
def test_nonsense_cannot_be_built(build: object) -> None:
    """Ohm plus farad, the logarithm of an ohm, seconds that are ohms: refused when built."""
    with pytest.raises(ValueError, match=r"\w"):
        build()  # type: ignore[operator]


ohms = st.floats(1.0, 1e7)


@given(st.lists(ohms, min_size=2, max_size=5))
def test_parallel_is_the_reciprocal_of_reciprocals(values: list[float]) -> None:
    """Kirchhoff's current law for resistors side by side, and never more than the smallest."""
    got = Parallel(tuple(Num(v, "Ω") for v in values)).value()
    assert 1.0 / got == pytest.approx(sum(1.0 / v for v in values))
    assert got <= min(values)


@given(ohms, ohms, st.floats(1e-9, 1e-2))
def test_inverse_undoes_the_formula(r1: float, r2: float, c: float) -> None:
    """Solving for R1 from the value at R1 gives R1 back, where R1 carries weight in the sum."""
    made = T_ON.with_values({"R1": r1, "R2": r2, "C1": c})
    if r1 > 1e-3 * r2:
        assert invert(made, "R1", made.value()) == pytest.approx(r1, rel=1e-9)
    assert invert(made, "C1", made.value()) == pytest.approx(c, rel=1e-12)


def test_inverse_refuses_what_cannot_be() -> None:
    """No resistance makes a negative time; an unknown symbol is an error of its own kind."""
    with pytest.raises(ValueError, match="no R1"):
        invert(T_ON, "R1", -1.0)
    with pytest.raises(KeyError):
        invert(T_ON, "R9", 1.0)


def _check(node: ET.Element) -> None:
    name = node.tag.removeprefix(MATH)
    assert node.tag.startswith(MATH), node.tag
    assert name in ARITY or name in ROWS, name
    if name in ARITY:
        assert len(node) == ARITY[name], ET.tostring(node)
    if name in ("mi", "mn", "mo"):
        assert (node.text or "").strip()
    for child in node:
        _check(child)


def every_formula() -> list[Formula]:
    out = []
    for name in DEMOS:
        for one in sheet(demo(name)):
            out.append(one.formula)
            out.extend(correction.formula for correction in one.corrections)
    return out


def test_mathml_is_well_formed_and_obeys_the_content_model() -> None:
    """Every formula of every demo, corrections too, is XML with MathML elements of the right arity."""
    formulas = every_formula()
    assert len(formulas) > 40
    for formula in formulas:
        for worked in (True, False):
            _check(ET.fromstring(mathml(formula, worked=worked)))


def test_symbols_italic_units_upright() -> None:
    """ISO 80000-1: a one-letter symbol is a plain mi (italic), a unit an upright mi after a space."""
    root = ET.fromstring(mathml(T_ON))
    symbols = [e for e in root.iter(f"{MATH}mi") if e.text in ("t", "R", "C")]
    units = [e for e in root.iter(f"{MATH}mi") if e.text in ("kΩ", "µF", "s")]
    assert symbols
    assert units
    assert all("mathvariant" not in e.attrib for e in symbols)
    assert all(e.get("mathvariant") == "normal" for e in units)
    numbers = [list(row) for row in root.iter(f"{MATH}mrow")]
    spaced = [row for row in numbers if [e.tag.removeprefix(MATH) for e in row] == ["mn", "mspace", "mi"]]
    assert len(spaced) == len(units)


@pytest.mark.parametrize("name", DEMOS)
def test_last_line_is_the_value(name: str) -> None:
    """The last line of the working is the value of the formula in its own unit, for every entry."""
    for one in sheet(demo(name)):
        last = steps(one.formula)[-1]
        assert isinstance(last, Num)
        assert last.number == one.result.value
        assert last.of == one.result.unit
        assert one.lines[0] == text(one.formula.expr)
        assert one.source
        assert one.title


@pytest.mark.parametrize("name", DEMOS)
def test_figures_carry_the_sheet(name: str) -> None:
    """Figures are the sheet's results under "ideal" and the name of the measure they stand beside."""
    made = demo(name)
    known = figures(made)
    assert all(key.startswith("ideal ") for key in known)
    for one in sheet(made):
        assert f"ideal {one.name}" in known
        if one.measure is not None:
            target = one.measure[1]
            assert target in made.by_id or target in made.nets


# beside the simulation


def test_explain_says_the_numbers() -> None:
    """Ideal, simulated and percentage are in the sentence: 54.1 ms against 59.5 ms is 10 % more."""
    one = entry(astable("10k", "68k", "1 µF"), "on_time")
    ideal = math.log(2) * 78e3 * 1e-6
    said = explain(one, 1.10 * ideal)
    assert "54.1 ms" in said
    assert "59.5 ms, 10 % more" in said
    assert "they agree" in explain(one, 1.001 * ideal)
    assert "no figure" in explain(one, math.nan)


def test_explain_names_the_diode_and_what_is_left() -> None:
    """With the corrected value as measurement the diode explains all; far from it the rest is told."""
    made = demo("lighthouse")
    one = entry(made, "on_time")
    last = one.corrections[-1].result.value
    assert "D1 keeps about" in explain(one, last)
    assert explain(one, last).endswith("That explains the difference.")
    assert "the rest" in explain(one, 1.2 * last)


def test_corrections_build_on_each_other() -> None:
    """A LED on a bipolar timer's output loses the output's drop first, then gains by its lower V_F."""
    one = entry(demo("lighthouse"), "current")
    results = [one.result.value, *(c.result.value for c in one.corrections)]
    assert results[0] > results[2] > results[1]
    assert "high output of U1" in one.corrections[0].cause
    assert "DS1 needs only" in one.corrections[1].cause


def test_parts_without_value_leave_no_empty_entry() -> None:
    """A light-dependent resistor has no value: its divider is named, but no number is made up."""
    made = circuit("R1 resistor 10k PLUS T\nR2 ldr-5mm T 0V\nU1 comparator-lm393 O T J 0V 0V 0V - PLUS")
    assert not [e for e in sheet(made) if e.shape.kind == "light-divider"]


def test_node_kinds_are_all_written() -> None:
    """Every kind of node has a text and a MathML form."""
    trees = (
        Sum((R1, R2)),
        Difference(R1, R2),
        Product((R1, C1)),
        Quotient(R1, R2),
        Parallel((R1, R2)),
        ln(2),
    )
    for tree in (*trees, Exp(Num(1)), Exp(Num(1), 1), Power(Num(2), Num(3))):
        assert text(tree)
        if tree.dim in ((1, -1, 0, 0), (0, 0, 0, 0)):
            unit = "Ω" if tree.dim[0] else ""
            _check(ET.fromstring(mathml(Formula(Sym("x", of=unit), tree))))


def test_reverse_base_voltage_is_noted() -> None:
    """On 9 V the base of the pair is pushed beyond the 6 V of VEBO (BC547, Fairchild 547ABC rev B)."""
    lasting = entry(pair("33k", "10 µF", "33k", "10 µF", 9.0), "on_time")
    assert "breaks down" in lasting.note
    assert "6 V that it bears" in lasting.note
    assert "breaks down" not in entry(pair("33k", "10 µF", "33k", "10 µF", 5.0), "on_time").note
