"""Choosing values: against exhaustive search, printed design examples and the makers' limits.

The books are Sh: Sanjay Sharma, Op-amp and Linear ICs; Fr: Franco, Design with Op Amps; To: Tooley,
Electronic Circuits; Be: Bell, Solid State Pulse Circuits.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

import pytest
from tests.design._circuits import astable, circuit, demo, one_shot

from buildalong.choose import Candidate, Free, choose, from_drawer, from_series, total_error
from buildalong.choose._trial import Bench, filled
from buildalong.circuit import Circuit
from buildalong.engine import Trial, Variation
from buildalong.parts import catalogue
from buildalong.quantity import Quantity, values_between
from buildalong.spread import Target

SHORT = Trial("run", 0.05)


def target(
    measure: str, of: str, wanted: float, unit: str, within: float = 0.05, trial: str = "run"
) -> Target:
    return Target(measure, of, trial, Quantity(wanted, unit), within * wanted)


def free(made: Circuit, **series: str) -> tuple[Free, ...]:
    return tuple(Free(made.by_id[n], from_series(made.by_id[n], s)) for n, s in series.items())


def resistor(ohms: float) -> tuple[Candidate, ...]:
    return (Candidate(ohms, 0.05),)


@dataclass(frozen=True)
class Design:
    """A printed design: what is wanted, the capacitor given, and the printed resistors."""

    source: str
    wanted: tuple[tuple[str, float, str], ...]
    farad: str
    printed: tuple[float, float]
    volts: float = 9.0


DESIGNS = [
    Design("Sh 5.7 p189", (("on_time", 3.0, "s"), ("off_time", 1.0, "s")), "10 µF", (288.6e3, 144.3e3)),
    Design("Sh 5.12 p193", (("frequency", 1e3, "Hz"), ("duty", 0.6, "")), "100 nF", (2.88e3, 5.76e3)),
    Design("Sh 5.13 p195", (("frequency", 12e3, "Hz"), ("duty", 0.6667, "")), "10 nF", (4e3, 4e3)),
    Design("Sh 5.15 p196", (("frequency", 2e3, "Hz"), ("duty", 0.75, "")), "100 nF", (3.6e3, 1.8e3)),
    Design("Sh 5.5 p188", (("frequency", 800.0, "Hz"), ("duty", 0.6, "")), "10 nF", (36e3, 72e3)),
    Design("Fr 10.3 p467", (("frequency", 50e3, "Hz"), ("duty", 0.75, "")), "1 nF", (14.4e3, 7.2e3)),
    Design("To 12.3 p223", (("frequency", 10.0, "Hz"), ("duty", 0.6667, "")), "1 µF", (48e3, 48e3)),
]


@pytest.mark.parametrize("design", DESIGNS, ids=lambda d: d.source)
def test_the_books_design_is_found_by_the_formula(design: Design) -> None:
    """From E96, the chosen resistors are the printed ones to within the step of the series (2.4 %)."""
    made = astable("10k", "10k", design.farad, design.volts)
    wanted = [target(name, "OUT", value, unit) for name, value, unit in design.wanted]
    best = choose(made, [SHORT], wanted, free(made, R1="E96", R2="E96"), ideal=True).options[0]
    for name, printed in zip(("R1", "R2"), design.printed, strict=True):
        assert best.candidates[name].value == pytest.approx(printed, rel=0.025)


@pytest.mark.parametrize("design", DESIGNS[1:5], ids=lambda d: d.source)
def test_real_parts_come_near_the_books_design(design: Design) -> None:
    """At 15 V, where drops matter least, the simulated choice from E96 is within 12 % of the printed."""
    made = astable("10k", "10k", design.farad, 15.0)
    trial = Trial("run", 40.0 / design.wanted[0][1])
    wanted = [target(name, "OUT", value, unit, 0.03) for name, value, unit in design.wanted]
    best = choose(made, [trial], wanted, free(made, R1="E96", R2="E96")).options[0]
    assert best.kept
    for name, printed in zip(("R1", "R2"), design.printed, strict=True):
        assert best.candidates[name].value == pytest.approx(printed, rel=0.12)


def test_bells_design_with_the_capacitor_free_too() -> None:
    """Be E2 p243: 2 kHz, 66 %, 18 V with 3.3 kΩ and 2.7 kΩ needs 0.08 µF, in E12 82 nF."""
    made = astable("3k3", "2k7", "10 nF", 18.0)
    wanted = [target("frequency", "OUT", 2e3, "Hz")]
    best = choose(made, [SHORT], wanted, free(made, C1="E12"), ideal=True).options[0]
    assert best.candidates["C1"].value == pytest.approx(82e-9)


@pytest.mark.parametrize(
    ("source", "seconds", "farad", "printed"),
    [("To 12.1 p220", 10e-3, "100 nF", 90.91e3), ("To 12.2 p220", 60.0, "100 µF", 545.45e3),
     ("Sh 5.9 p191", 5e-3, "100 nF", 45.45e3)],
)  # fmt: skip
def test_the_books_one_shot_is_found_by_the_formula(
    source: str, seconds: float, farad: str, printed: float
) -> None:
    """The resistor of a one-shot, from E96, is the printed one to within the step of the series."""
    made = one_shot("10k", farad)
    wanted = [target("pulse_width", "OUT", seconds, "s")]
    best = choose(made, [SHORT], wanted, free(made, R1="E96"), ideal=True).options[0]
    assert best.candidates["R1"].value == pytest.approx(printed, rel=0.025)


def test_ideal_search_is_exhaustive() -> None:
    """Two of E24 and one of E12 for two times: the same optimum as a plain loop over the closed form."""
    made = astable("10k", "10k", "100 nF")
    rooms = [
        values_between(1e3, 1e6, "E24"),
        values_between(1e3, 1e6, "E24"),
        values_between(1e-9, 1e-6, "E12"),
    ]
    frees = tuple(
        Free(made.by_id[n], tuple(Candidate(v, 0.05) for v in room))
        for n, room in zip(("R1", "R2", "C1"), rooms, strict=True)
    )
    wanted = [target("on_time", "OUT", 4.321e-3, "s"), target("off_time", "OUT", 1.234e-3, "s")]
    best = choose(made, [SHORT], wanted, frees, ideal=True).options[0]

    def error(a: float, b: float, c: float) -> float:
        return total_error(wanted, (math.log(2) * (a + b) * c, math.log(2) * b * c))

    least = min(error(*values) for values in itertools.product(*rooms))
    assert best.error == pytest.approx(least, rel=1e-9)


def test_simulated_search_finds_the_optimum_of_a_grid_that_was_simulated_whole() -> None:
    """On 11 x 11 x 5 values no combination is nearer than the one found with a fraction simulated."""
    made, trial = demo("lighthouse"), Trial("run", 14.0)
    rooms = {
        "R1": values_between(27e3, 180e3, "E12"), "R2": values_between(120e3, 820e3, "E12"),
        "C1": (4.7e-6, 6.8e-6, 10e-6, 15e-6, 22e-6),
    }  # fmt: skip
    frees = tuple(Free(made.by_id[n], tuple(Candidate(v, 0.1) for v in room)) for n, room in rooms.items())
    wanted = [
        target("on_time", "DS1", 0.6, "s", 0.1, trial.name),
        target("off_time", "DS1", 3.0, "s", 0.1, trial.name),
    ]  # fmt: skip
    found = choose(made, [trial], wanted, frees)
    every = list(itertools.product(*rooms.values()))
    bench = Bench(made, [trial], wanted)
    variations = [
        Variation(tuple(((n, "value"), v) for n, v in zip(rooms, values, strict=True))) for values in every
    ]
    allowed = [not bench.objections(filled(made, dict(zip(rooms, map(_as, v), strict=True)))) for v in every]
    errors = [total_error(wanted, m) for m, ok in zip(bench.measure(variations), allowed, strict=True) if ok]
    assert found.grid == len(every)
    assert found.simulated < len(every) / 2
    assert found.exact
    assert min(o.error for o in found.options) == pytest.approx(
        min(e for e in errors if math.isfinite(e)), rel=1e-9
    )


def _as(value: float) -> Candidate:
    return Candidate(value, 0.1)


def test_without_a_formula_the_circuit_itself_is_searched() -> None:
    """The base resistor of a lamp switch has no formula for the lamp's current; 10 mA is found anyway."""
    made = circuit("R1 resistor 1k PLUS A\nDS1 led-red A B\nR2 resistor 100 B 0V\nR3 resistor 10k A 0V", 9)
    wanted = [target("current", "DS1", 5e-3, "A", 0.05)]
    found = choose(made, [Trial("run", 0.1)], wanted, free(made, R1="E24", R2="E24"))
    assert found.options[0].kept
    assert found.options[0].error < 0.2


def test_makers_limits_are_respected() -> None:
    """A least timing resistance of 1 kΩ (TI SLFS022F, timing tests) refuses what would come nearest."""
    made = astable("10k", "10k", "100 nF")
    wanted = [target("on_time", "OUT", 0.0832e-3, "s"), target("off_time", "OUT", 0.0416e-3, "s")]
    frees = (
        Free(made.by_id["R1"], tuple(Candidate(v, 0.05) for v in values_between(100, 10e3, "E24"))),
        Free(made.by_id["R2"], tuple(Candidate(v, 0.05) for v in values_between(100, 10e3, "E24"))),
    )
    found = choose(made, [Trial("run", 0.01)], wanted, frees)
    assert any(refusal.code == "timing-resistance-small" for refusal in found.refused)
    assert all(option.candidates["R1"].value >= 1e3 for option in found.options)


def test_leaking_capacitor_refuses_tooleys_minute() -> None:
    """To 12.2's 545 kΩ leaves 5.5 µA at 9 V; an electrolytic may leak 0.01·C·V = 25 µA (Lelon RGA)."""
    made = circuit(
        """
        U1 timer-555 0V TRIG OUT PLUS - CAP CAP PLUS
        R1 resistor 100k PLUS CAP
        C1 electrolytic 100µF CAP 0V
        R2 resistor 10k PLUS TRIG
        S1 push-button TRIG 0V
        """
    )
    frees = (Free(made.by_id["R1"], resistor(547e3)),)
    found = choose(made, [Trial("run", 1.0)], [target("pulse_width", "OUT", 60.0, "s")], frees)
    assert not found.options
    assert found.refused[0].code == "leakage-stalls"


def test_two_capacitors_where_the_drawer_lacks_the_one() -> None:
    """A second needs about 20 µF with 68 kΩ; the drawer has 10 µF and 47 µF: two of 10 µF in parallel."""
    kind = catalogue()["capacitor-film"]
    made = astable("1k", "68k", "10 µF")
    stock = [(kind, Candidate(v, 0.1)) for v in (1e-6, 2.2e-6, 10e-6)]
    frees = (Free(made.by_id["C1"], from_drawer(made.by_id["C1"], stock)),)
    wanted = [target("period", "OUT", 1.9, "s", 0.05)]
    found = choose(made, [Trial("run", 12.0)], wanted, frees)
    best = found.options[0].candidates["C1"]
    assert best.pair == (10e-6, 10e-6)
    assert best.joined == "in parallel"
    assert found.options[0].kept


def test_one_piece_is_not_used_twice() -> None:
    """With one 10 kΩ in the drawer, two places do not both get it."""
    kind = catalogue()["resistor"]
    stock = [(kind, Candidate(10e3, 0.05, count=1)), (kind, Candidate(12e3, 0.05, count=1))]
    made = astable("10k", "10k", "100 nF")
    frees = tuple(Free(made.by_id[n], from_drawer(made.by_id[n], stock)) for n in ("R1", "R2"))
    found = choose(made, [SHORT], [target("on_time", "OUT", 1.4e-3, "s", 0.5)], frees, pairs=False)
    assert {tuple(c.value for c in o.candidates.values()) for o in found.options} == {
        (10e3, 12e3), (12e3, 10e3),
    }  # fmt: skip


def test_same_question_same_answer() -> None:
    """Two searches give equal tables."""
    made = astable("10k", "10k", "100 nF")
    wanted = [target("frequency", "OUT", 440.0, "Hz")]
    one, other = (choose(made, [SHORT], wanted, free(made, R1="E12", R2="E12")) for _ in range(2))
    assert one == other


def test_refuses_what_makes_no_sense() -> None:
    """No target, and nothing to choose from, are errors in words."""
    made = astable("10k", "10k", "100 nF")
    with pytest.raises(ValueError, match="at least one target"):
        choose(made, [SHORT], [], free(made, R1="E12"))
    with pytest.raises(ValueError, match="nothing to choose from for R1"):
        choose(made, [SHORT], [target("frequency", "OUT", 1.0, "Hz")], (Free(made.by_id["R1"], ()),))
