"""CPU time of the engine beside the reference simulator, medians of interleaved repeats.

The lean decks (benchmarks/decks) are the fastest we know to write whose times are right: comparators,
latch and output stages are a few switches, bias currents constant, the counter made of logic elements,
steps as long as the times allow. Their own error is against the same deck run with steps 50 times
shorter; beside it stands their distance from the full deck (tests/engine/reference), which has all
curves of the data sheets. Ours is at the usual tolerance, and its error is the one against the full
deck.

Theirs is a whole batch run less an empty one. Ours is one call of `simulate` from circuit to result, without
waveforms, on caches that the decks have just emptied; events get their names when they are read, which is not
counted; "in a batch" is the cost of one of many variants of `simulate_many`. All times are for
one simulation of the stated time; a ratio above 1 says that ours is faster.

Where nothing from outside moves a circuit, cycles that begin in equal states are computed once and repeated
(docs/engine.md, orbits), so that a ratio depends on the length of the run: the second table has it at 20
and at 200 cycles, and beside it the time with every cycle computed. The cupboard's and the dusk light's
cycles each begin with an input, and are all computed.

The last four columns of the first table set ours beside a deck with the same physics, all curves and bias
currents of the data sheets, with the longest steps and loosest tolerance that keep its times (per second of
circuit time).
"""

from __future__ import annotations

import json
import shutil
import tempfile
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from benchmarks._cases import CASES, DECKS, FULL, Case
from benchmarks._clock import medians, spent
from benchmarks._reference import EMPTY, longer, measures, relaxed, span, tightened, time_of
from benchmarks._report import Report

from _accuracy import differences  # isort: skip - found by the path that _cases sets
from _circuits import CIRCUITS  # isort: skip

from buildalong.engine import Options, simulate, simulate_many

TITLE = "Engine: speed"
REPEATS = 11
CYCLES = (20, 200)
LONG_REPEATS = 3
VARIANTS = 32
OPTIONS = Options(waveforms=False, wakings=False)
COMPUTED = replace(OPTIONS, orbits=False)


def worst(name: str, found: dict[str, float], expected: dict[str, float]) -> float:
    """Largest relative difference of a circuit's times."""
    times = [key for key, what in CIRCUITS[name][2].items() if what[0] == "span"]
    return max(abs(found[key] / expected[key] - 1) for key in times)


def row(case: Case, folder: Path) -> tuple[object, ...]:
    """Measure one case; its ratios to the lean deck are its cells 8 and 9."""
    recorded = json.loads((FULL / "recorded.json").read_text(encoding="utf-8"))[case.name]
    lean_deck, full_deck, tight_deck = DECKS / f"{case.name}.cir", folder / "full.cir", folder / "tight.cir"
    tight_deck.write_text(tightened(lean_deck.read_text(encoding="utf-8")), encoding="utf-8")
    full = (FULL / f"{case.name}.cir").read_text(encoding="utf-8")
    full_deck.write_text(relaxed(full, case.step, case.tolerance), encoding="utf-8")
    found = measures(lean_deck)
    own = worst(case.name, found, measures(tight_deck))
    error = max(d.size for d in differences(case.name, recorded, OPTIONS.rtol) if d.kind == "time")

    circuit, trial, variants = case.circuit, case.trial, case.variants(VARIANTS)
    simulate(circuit, trial, None, OPTIONS)
    simulate_many(circuit, trial, variants[:2], OPTIONS)
    lean, curves, nothing, single, batch = medians(
        REPEATS,
        lambda: time_of(lean_deck),
        lambda: time_of(full_deck),
        lambda: time_of(folder / "empty.cir"),
        lambda: spent(lambda: simulate(circuit, trial, None, OPTIONS)),
        lambda: spent(lambda: simulate_many(circuit, trial, variants, OPTIONS)) / VARIANTS,
    )
    lean, curves = lean - nothing, (curves - nothing) / span(full_deck) * trial.lasts
    return (
        case.name, f"{trial.lasts:g} s", len(circuit.nets),
        f"{lean * 1e3:.1f} ms", f"{own:.3%}", f"{worst(case.name, found, recorded):.3%}",
        f"{single * 1e3:.2f} ms", f"{batch * 1e3:.2f} ms", lean / single, lean / batch, f"{error:.3%}",
        f"{curves * 1e3:.0f} ms", f"{worst(case.name, measures(full_deck), recorded):.3%}", curves / single,
        curves / batch,
    )  # fmt: skip


def by_cycles(case: Case, cycles: int, folder: Path) -> tuple[object, ...]:
    """Measure one case over so many cycles."""
    circuit, trial, variants = case.circuit, case.over(cycles * case.cycle), case.variants(VARIANTS)
    deck = folder / "long.cir"
    lean_deck = (DECKS / f"{case.name}.cir").read_text(encoding="utf-8")
    deck.write_text(longer(lean_deck, trial.lasts), encoding="utf-8")
    lean, nothing, single, batch, computed = medians(
        LONG_REPEATS,
        lambda: time_of(deck),
        lambda: time_of(folder / "empty.cir"),
        lambda: spent(lambda: simulate(circuit, trial, None, OPTIONS)),
        lambda: spent(lambda: simulate_many(circuit, trial, variants, OPTIONS)) / VARIANTS,
        lambda: spent(lambda: simulate_many(circuit, trial, variants, COMPUTED)) / VARIANTS,
    )
    lean -= nothing
    steps = (int(simulate(circuit, trial, None, o).statistics["steps"]) for o in (OPTIONS, COMPUTED))
    return (
        case.name, cycles, f"{lean * 1e3:.1f} ms", f"{single * 1e3:.2f} ms", f"{batch * 1e3:.2f} ms",
        f"{computed * 1e3:.2f} ms", *steps, lean / single, lean / batch, lean / computed,
    )  # fmt: skip


def run(report: Report) -> None:
    """Measure all cases."""
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        (folder / "empty.cir").write_text(EMPTY, encoding="utf-8")
        for file in FULL.glob("*.inc"):
            shutil.copy(file, folder)

        def rows() -> Iterator[tuple[object, ...]]:
            for number, case in enumerate(CASES):
                report.progress(number, len(CASES), "circuits timed")
                yield row(case, folder)

        kept = report.table(
            (
                "circuit", "time", "nets", "lean deck", "its own error", "from the full deck", "ours",
                "in a batch", "ratio", "ratio in a batch", "our error", "deck with all curves", "its error",
                "ratio to it", "ratio to it in a batch",
            ),
            rows(),
        )  # fmt: skip

        def long_rows() -> Iterator[tuple[object, ...]]:
            for number, case in enumerate(CASES):
                for cycles in CYCLES:
                    report.progress(number, len(CASES), f"circuits timed over {cycles} cycles")
                    yield by_cycles(case, cycles, folder)

        report.table(
            (
                "circuit", "cycles", "lean deck", "ours", "in a batch", "in a batch, all computed", "steps",
                "steps, all computed", "ratio", "ratio in a batch", "ratio in a batch, all computed",
            ),
            long_rows(),
        )  # fmt: skip
    for case, cells in zip(CASES, kept, strict=True):
        best = max(float(str(cells[8])), float(str(cells[9])))
        report.target(
            f"{case.name} beside the leanest deck", f"{case.wanted} times", f"{best:.1f} times",
            best >= case.wanted,
        )  # fmt: skip
    # more than a twentieth would be more than two threads on one core's caches cost
    dearest = max(float(str(cells[8])) / float(str(cells[9])) for cells in kept)
    report.target(
        "one of many variants beside a single run", "at most 1.05 times its time", f"{dearest:.2f} times",
        dearest <= 1.05,
    )  # fmt: skip
