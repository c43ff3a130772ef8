"""What choosing and spreading give, held against plain loops and a closed form.

The best of 267,325 combinations by the textbook's ln 2 · R · C is looked for by a loop over all of them;
the best of 605 by the simulation, by simulating every one; the quantiles of 2,000 simulated builds of a
one-shot are held against 100,000 values of R · C · ln(V / (V / 3 - d)), d the offset of the comparator.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from benchmarks._report import Report
from buildalong.choose import Candidate, Choice, Free, choose
from buildalong.circuit import Circuit, Part, build_part, parse_supply
from buildalong.design import value_limits
from buildalong.engine import Action, Trial, Variation
from buildalong.lesson import load
from buildalong.parts import catalogue
from buildalong.quantity import Quantity, values_between
from buildalong.spread import Spread, Target, measured, spread

TITLE = "Values: held against every combination and a closed form"
LIGHTHOUSE = Path(__file__).parents[1] / "examples" / "lighthouse"
TRIAL = Trial("run", 14.0)
WANTED = (
    Target("on_time", "DS1", "run", Quantity(0.6, "s"), 0.06),
    Target("off_time", "DS1", "run", Quantity(3.0, "s"), 0.3),
)
LARGE = {
    "R1": values_between(1e3, 3.3e6, "E24"),
    "R2": values_between(1e3, 3.3e6, "E24"),
    "C1": values_between(1e-6, 1e-3, "E12"),
}
SMALL = {
    "R1": values_between(27e3, 180e3, "E12"),
    "R2": values_between(120e3, 820e3, "E12"),
    "C1": (4.7e-6, 6.8e-6, 10e-6, 15e-6, 22e-6),
}
CLOSED = 100_000
BUILDS = 2_000
SLACK = 5e-4
"""The engine's own error of a time, allowed beside the confidence interval."""


@dataclass(frozen=True)
class Best:
    """The least error of a whole grid, by a loop, and what the search found on the same grid."""

    name: str
    combinations: int
    least: float
    values: Sequence[float]
    choice: Choice

    @property
    def found(self) -> float:
        """The least error that the search found."""
        return min(option.error for option in self.choice.options)

    @property
    def same(self) -> bool:
        """Whether nothing in the whole grid is nearer."""
        return self.combinations == self.choice.grid and math.isclose(self.found, self.least, rel_tol=1e-9)


def searched(circuit: Circuit, rooms: dict[str, Sequence[float]], *, ideal: bool) -> Choice:
    """What the search finds."""
    free = [Free(circuit.by_id[name], tuple(Candidate(v, 0.1) for v in room)) for name, room in rooms.items()]
    return choose(circuit, [TRIAL], WANTED, free, ideal=ideal)


def error(on: float, off: float) -> float:
    """The root of the mean square of both distances over what is allowed."""
    return math.sqrt((((on - 0.6) / 0.06) ** 2 + ((off - 3.0) / 0.3) ** 2) / 2.0)


def by_formula(circuit: Circuit) -> Best:
    """Every combination of the large grid by ln 2 · R1 · C1 and ln 2 · R2 · C1."""
    ln2 = math.log(2.0)
    every = itertools.product(*LARGE.values())
    least, values = min((error(ln2 * r1 * c1, ln2 * r2 * c1), (r1, r2, c1)) for r1, r2, c1 in every)
    size = math.prod(len(room) for room in LARGE.values())
    return Best("by the formula", size, least, values, searched(circuit, LARGE, ideal=True))


def by_simulation(circuit: Circuit) -> Best:
    """Every combination of the small grid simulated, but for those that a maker forbids."""
    every = list(itertools.product(*SMALL.values()))
    given = [tuple(((name, "value"), v) for name, v in zip(SMALL, values, strict=True)) for values in every]
    times = measured(circuit, [TRIAL], WANTED, [Variation(pairs) for pairs in given])
    errors = [
        (error(float(on), float(off)), values)
        for values, (on, off) in zip(every, times, strict=True)
        if math.isfinite(on + off) and not value_limits(with_values(circuit, values))
    ]
    least, values = min(errors)
    return Best("by the simulation", len(every), least, values, searched(circuit, SMALL, ideal=False))


def with_values(circuit: Circuit, values: Sequence[float]) -> Circuit:
    """The circuit with one combination of the small grid."""
    at = dict(zip(SMALL, values, strict=True))
    return Circuit(tuple(replace(p, value=at[p.id]) if p.id in at else p for p in circuit.parts))


def one_shot() -> Circuit:
    """A CMOS timer as one-shot on 9 V: 100 kΩ, 100 nF film."""
    kind, settings = parse_supply("9 V block", catalogue())
    parts = [Part("BT1", kind, ("PLUS", "0V"), settings=settings)]
    for name, type_, value, pins in (
        ("U1", "timer-555-cmos", None, ("0V", "TRIG", "OUT", "PLUS", "-", "CAP", "CAP", "PLUS")),
        ("R1", "resistor", "100k", ("PLUS", "CAP")),
        ("C1", "capacitor-film", "100 nF", ("CAP", "0V")),
        ("R2", "resistor", "10k", ("PLUS", "TRIG")),
        ("S1", "push-button", None, ("TRIG", "0V")),
    ):
        part, findings = build_part(name, catalogue()[type_], pins, value)
        assert part is not None, findings
        parts.append(part)
    return Circuit(tuple(parts))


def closed_form(found: Spread) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """Times by the closed form, drawn independently; what the real chip adds at the nominal values stays."""
    factors = {f.part: f for f in found.factors if f.name == "value"}
    rng = np.random.Generator(np.random.PCG64(99))
    r, c = (rng.uniform(factors[n].low, factors[n].high, CLOSED) for n in ("R1", "C1"))
    offset = next(f for f in found.factors if f.name == "threshold").high / 9.0
    d = rng.triangular(-offset, 0.0, offset, CLOSED)
    ideal = math.log(3.0) * 1e5 * 1e-7
    return np.asarray(-np.log(1.0 / 3.0 - d) * r * c * (found.outcomes[0].nominal / ideal))


def run(report: Report) -> None:
    """Both grids, then the quantiles."""
    lighthouse = load(LIGHTHOUSE).circuit
    bests = [by_formula(lighthouse), by_simulation(lighthouse)]
    report.table(
        ("least error", "combinations", "simulated by the search", "by the loop", "by the search"),
        [(b.name, b.combinations, b.choice.simulated, f"{b.least:.6f}", f"{b.found:.6f}") for b in bests],
    )
    for b in bests:
        report.target(
            f"nothing in the whole grid is nearer, {b.name}", f"{b.least:.6f}", f"{b.found:.6f}", b.same
        )

    press = (Action(1e-3, "S1", "pressed", 1.0), Action(2e-3, "S1", "pressed", 0.0))
    wanted = Target("pulse_width", "OUT", "press", Quantity(math.log(3.0) * 1e-2, "s"), 5e-4)
    found = spread(one_shot(), [Trial("press", 0.03, press)], [wanted], samples=BUILDS)
    times = closed_form(found)
    rows = []
    held = True
    for level, (value, least, most) in found.outcomes[0].quantiles.items():
        truth = float(np.quantile(times, level))
        inside = least * (1.0 - SLACK) <= truth <= most * (1.0 + SLACK)
        held = held and inside
        rows.append((f"{level:.1%}", *(f"{v * 1e3:.3f} ms" for v in (value, least, most, truth)), inside))
    report.table(
        (f"of {BUILDS:,} builds", "quantile", "95 % from", "to", f"of {CLOSED:,} closed forms", "inside"),
        rows,
    )
    report.target(
        "all quantiles agree with the closed form within their confidence interval", "yes",
        "yes" if held else "no", held,
    )  # fmt: skip
