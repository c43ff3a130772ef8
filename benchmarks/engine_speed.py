"""CPU time of the engine beside the reference simulator, medians of interleaved repeats.

The lean decks (benchmarks/decks) are the fastest we know to write whose times are right: comparators,
latch and output stages are a few switches, bias currents constant, the counter made of logic elements,
steps as long as the times allow. Their own error is against the same deck run with steps 50 times
shorter; beside it stands their distance from the full deck (tests/engine/reference), which has all
curves of the data sheets. Ours is at the usual tolerance, and its error is the one against the full
deck.

Theirs is a whole batch run less an empty one. Ours is one call of `simulate` from circuit to result,
without waveforms; "in a batch" is the cost of one of many variants of `simulate_many`. All times are for
one simulation of the stated time; a ratio above 1 says that ours is faster. The last columns set our
single call beside the full deck, per second of circuit time.
"""

from __future__ import annotations

import json
import tempfile
from collections.abc import Iterator
from pathlib import Path

from benchmarks._cases import CASES, DECKS, FULL, Case
from benchmarks._clock import medians, spent
from benchmarks._reference import EMPTY, measures, span, tightened, time_of
from benchmarks._report import Report

from _accuracy import differences  # isort: skip - found by the path that _cases sets
from _circuits import CIRCUITS  # isort: skip

from buildalong.engine import Options, simulate, simulate_many

TITLE = "Engine: speed"
REPEATS = 11
VARIANTS = 32


def errors(case: Case, recorded: dict[str, float]) -> tuple[float, float, float]:
    """Largest relative error of the times: the deck's own, the deck's against the full one, and ours."""
    text = (DECKS / f"{case.name}.cir").read_text(encoding="utf-8")
    lean, tight = measures(text), measures(tightened(text))
    times = [key for key, what in CIRCUITS[case.name][2].items() if what[0] == "span"]
    own = max(abs(lean[k] / tight[k] - 1) for k in times)
    full = max(abs(lean[k] / recorded[k] - 1) for k in times)
    ours = max(d.size for d in differences(case.name, recorded, Options().rtol) if d.kind == "time")
    return own, full, ours


def row(case: Case, empty: Path, report: Report) -> tuple[object, ...]:
    """Measure one case; its ratios are its cells 8 and 9."""
    recorded = json.loads((FULL / "recorded.json").read_text(encoding="utf-8"))[case.name]
    own, apart, error = errors(case, recorded)
    circuit, trial, variants = case.circuit, case.trial, case.variants(VARIANTS)
    options = Options(waveforms=False)
    simulate(circuit, trial, None, options)
    simulate_many(circuit, trial, variants[:2], options)
    lean, full, nothing, single, batch = medians(
        REPEATS,
        lambda: time_of(DECKS / f"{case.name}.cir"),
        lambda: time_of(FULL / f"{case.name}.cir"),
        lambda: time_of(empty),
        lambda: spent(lambda: simulate(circuit, trial, None, options)),
        lambda: spent(lambda: simulate_many(circuit, trial, variants, options)) / VARIANTS,
    )
    lean, full = lean - nothing, (full - nothing) / span(FULL / f"{case.name}.cir") * trial.lasts
    return (
        case.name, f"{trial.lasts:g} s", len(circuit.nets),
        f"{lean * 1e3:.1f} ms", f"{own:.3%}", f"{apart:.3%}",
        f"{single * 1e3:.2f} ms", f"{batch * 1e3:.2f} ms", lean / single, lean / batch, f"{error:.3%}",
        f"{full * 1e3:.0f} ms", full / single,
    )  # fmt: skip


def run(report: Report) -> None:
    """Measure all cases."""
    with tempfile.TemporaryDirectory() as folder:
        empty = Path(folder) / "empty.cir"
        empty.write_text(EMPTY, encoding="utf-8")

        def rows() -> Iterator[tuple[object, ...]]:
            for number, case in enumerate(CASES):
                report.progress(number, len(CASES), "circuits timed")
                yield row(case, empty, report)

        kept = report.table(
            (
                "circuit", "time", "nets", "lean deck", "its own error", "from the full deck", "ours",
                "in a batch", "ratio", "ratio in a batch", "our error", "full deck", "ratio to it",
            ),
            rows(),
        )  # fmt: skip
    for case, cells in zip(CASES, kept, strict=True):
        best = max(float(str(cells[8])), float(str(cells[9])))
        report.target(
            f"{case.name} beside the leanest deck",
            f"{case.wanted} times",
            f"{best:.1f} times",
            best >= case.wanted,
        )
