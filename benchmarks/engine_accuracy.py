"""Every circuit of the accuracy table beside the reference simulator, which runs here and now.

Its decks stand in tests/engine/reference; they were written by hand from schematics and data sheets, not
generated from our tables. Given is the largest difference of each circuit, at a tight tolerance of ours and
at the one that is used when nothing is said.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator, Sequence
from pathlib import Path

from benchmarks._report import Report

HERE = Path(__file__).parents[1] / "tests" / "engine"
sys.path[:0] = [str(HERE), str(HERE / "reference")]

from _accuracy import RELATIVE, VOLTS, Difference, differences  # noqa: E402
from _circuits import CIRCUITS  # noqa: E402
from record import run_deck  # noqa: E402

from buildalong.engine import Options  # noqa: E402

TITLE = "Engine: accuracy"
TIGHT = 1e-5
CIRCUITS_WANTED = 16


def worst(found: Sequence[Difference], kind: str) -> float | None:
    """The largest difference of a kind; None where there is none."""
    return max((d.size for d in found if d.kind == kind), default=None)


def shown(time: float | None, volt: float | None) -> tuple[str | None, str | None]:
    """The two as text."""
    return (
        None if time is None else f"{time * 100:.4f} %",
        None if volt is None else f"{volt * 1e3:.2f} mV",
    )


def run(report: Report) -> None:
    """Compare all circuits at two tolerances."""
    usual = Options().rtol
    right: list[str] = []
    times: list[float] = []
    volts: list[float] = []

    def rows() -> Iterator[tuple[object, ...]]:
        for name in CIRCUITS:
            reference = run_deck(name)
            tight, plain = (differences(name, reference, rtol) for rtol in (TIGHT, usual))
            if all(d.right for d in (*tight, *plain)):
                right.append(name)
            times.extend(d.size for d in plain if d.kind == "time")
            volts.extend(d.size for d in plain if d.kind == "volt")
            yield (
                name, sum(d.kind == "time" for d in plain), sum(d.kind == "volt" for d in plain),
                *shown(worst(tight, "time"), worst(tight, "volt")),
                *shown(worst(plain, "time"), worst(plain, "volt")),
            )  # fmt: skip

    report.table(
        (
            "circuit", "times", "voltages", f"times, rtol {TIGHT:.0e}", f"voltages, rtol {TIGHT:.0e}",
            f"times, rtol {usual:.0e}", f"voltages, rtol {usual:.0e}",
        ),
        rows(),
    )  # fmt: skip
    report.target(
        "circuits that agree in every measure at both tolerances", f"at least {CIRCUITS_WANTED}",
        f"{len(right)} of {len(CIRCUITS)}", CIRCUITS_WANTED <= len(right) == len(CIRCUITS),
    )  # fmt: skip
    report.target(
        "times at the usual tolerance", f"within {RELATIVE:.2%}", f"{max(times):.4%}", max(times) <= RELATIVE
    )
    report.target(
        "voltages at the usual tolerance", f"within {VOLTS * 1e3:.0f} mV", f"{max(volts) * 1e3:.2f} mV",
        max(volts) <= VOLTS,
    )  # fmt: skip
