"""Growth of the engine's cost with circuit size up to 200 nets.

CPU time of one simulation of 1 s, median of five. Four families: RC ladders and ladders with a diode at
each rung, driven by one astable; several independent astables of the same frequency on one supply (events
grow with size too); and a chain of one-shots, each triggered by the one before. Growth is the exponent p of
cost ~ nets^p, by least squares over the logarithms; the cost of each event and step is stated beside it,
because larger circuits have more of both.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from benchmarks import _cases  # noqa: F401 - sets the path
from benchmarks._clock import growth, medians, spent
from benchmarks._report import Report

from _demo import part, supply  # isort: skip

from buildalong.circuit import Circuit, Part
from buildalong.engine import Options, Trial, simulate

TITLE = "Engine: growth with circuit size"
REPEATS = 5
SIZES = (10, 25, 50, 100, 200)
OPTIONS = Options(waveforms=False, wakings=False, orbits=False)
REPEATING = replace(OPTIONS, orbits=True)


def astable(n: int, out: str) -> list[Part]:
    """An astable of some 12 Hz; stage n's parts and nets bear its number."""
    return [
        part(f"U{n}", "timer-555", ("0V", f"CAP{n}", out, "PLUS", f"CTRL{n}", f"CAP{n}", f"DIS{n}", "PLUS")),
        part(f"RA{n}", "resistor", ("PLUS", f"DIS{n}"), "10k"),
        part(f"RB{n}", "resistor", (f"DIS{n}", f"CAP{n}"), "47k"),
        part(f"CT{n}", "capacitor-film", (f"CAP{n}", "0V"), 1e-6 * (1 + 0.003 * n)),
        part(f"CC{n}", "capacitor-film", (f"CTRL{n}", "0V"), "10n"),
    ]


def ladder(nets: int, diodes: bool) -> Circuit:
    """An astable that drives rungs of 1 k and 100 n, with a diode back to the input at every rung."""
    parts = [supply("9 V block"), *astable(0, "X0")]
    rungs = nets - 6
    for i in range(rungs):
        parts += [
            part(f"R{i}", "resistor", (f"X{i}", f"X{i + 1}"), "1k"),
            part(f"C{i}", "capacitor-film", (f"X{i + 1}", "0V"), "100n"),
        ]
        if diodes:
            parts.append(part(f"D{i}", "diode-1n4148", (f"X{i + 1}", "X0")))
    return Circuit(tuple(parts))


def rc(nets: int) -> Circuit:
    """A ladder of resistors and capacitors."""
    return ladder(nets, False)


def rcd(nets: int) -> Circuit:
    """The same with diodes."""
    return ladder(nets, True)


def astables(nets: int) -> Circuit:
    """Independent astables, four nets each, with a light."""
    parts = [supply("9 V block")]
    for n in range(max(1, (nets - 2) // 5)):
        parts += astable(n, f"OUT{n}")
        parts += [
            part(f"RL{n}", "resistor", (f"OUT{n}", f"LED{n}"), "470"),
            part(f"DS{n}", "led-red", (f"LED{n}", "0V")),
        ]
    return Circuit(tuple(parts))


def chain(nets: int) -> Circuit:
    """An astable, then one-shots of 5 ms, each triggered by the end of the one before."""
    parts = [supply("9 V block"), *astable(0, "OUT0")]
    for n in range(1, max(2, (nets - 2) // 4)):
        timer = ("0V", f"TRIG{n}", f"OUT{n}", "PLUS", f"CTRL{n}", f"CAP{n}", f"CAP{n}", "PLUS")
        parts += [
            part(f"U{n}", "timer-555", timer),
            part(f"RT{n}", "resistor", ("PLUS", f"CAP{n}"), "47k"),
            part(f"CT{n}", "capacitor-film", (f"CAP{n}", "0V"), "100n"),
            part(f"CC{n}", "capacitor-film", (f"CTRL{n}", "0V"), "10n"),
            part(f"RP{n}", "resistor", ("PLUS", f"TRIG{n}"), "10k"),
            part(f"CP{n}", "capacitor-film", (f"OUT{n - 1}", f"TRIG{n}"), "10n"),
        ]  # fmt: skip
    return Circuit(tuple(parts))


FAMILIES: tuple[tuple[str, Callable[[int], Circuit], float], ...] = (
    ("RC ladder", rc, 1.0),
    ("RC ladder with diodes", rcd, 1.0),
    ("astables", astables, 1.0),
    ("chain of one-shots", chain, 1.0),
)


def run(report: Report) -> None:
    """Measure each family at each size."""
    exponents: list[tuple[str, float, float]] = []

    def rows() -> Iterator[tuple[object, ...]]:
        for title, build, lasts in FAMILIES:
            nets, costs, steps = [], [], []
            for size in SIZES:
                circuit, trial = build(size), Trial("growth", lasts)
                found = simulate(circuit, trial, None, OPTIONS)
                seconds, repeating = medians(
                    REPEATS,
                    lambda c=circuit, t=trial: spent(lambda: simulate(c, t, None, OPTIONS)),
                    lambda c=circuit, t=trial: spent(lambda: simulate(c, t, None, REPEATING)),
                )
                nets.append(len(circuit.nets))
                costs.append(seconds)
                taken = int(found.statistics["steps"])
                steps.append(seconds / taken)
                yield (
                    title, nets[-1], f"{seconds * 1e3:.2f} ms", taken, len(found.events),
                    f"{steps[-1] * 1e6:.1f} µs", f"{repeating * 1e3:.2f} ms",
                )  # fmt: skip
            exponents.append((title, growth(nets, costs), growth(nets, steps)))

    report.table(
        ("family", "nets", "CPU time", "steps", "events", "each step", "CPU time, cycles repeated"), rows()
    )
    report.table(("family", "exponent of the cost", "exponent of a step"), exponents)
