"""Promises: each is measured in its trial, and in every other state the circuit may wake in."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from buildalong.finding import Finding, Severity
from buildalong.lesson._figures import Figures
from buildalong.lesson._lesson import Lesson, Promise, PromiseResult
from buildalong.lesson._power_up import waking
from buildalong.quantity import Quantity, format_quantity

if TYPE_CHECKING:
    from buildalong.engine import Run

__all__ = ["keep_promises"]


def keep_promises(
    lesson: Lesson, figures: Figures, variants: Mapping[str, tuple[Run, ...]]
) -> tuple[tuple[PromiseResult, ...], list[Finding]]:
    """Measure every promise; a broken one is an error where it stands."""
    results: list[PromiseResult] = []
    found: list[Finding] = []
    for promise in lesson.promises:
        result, faults = _kept(promise, figures)
        results.append(result)
        found += faults
        if result.ok:
            found += _other_wakings(promise, result, figures, variants)
    if not any(finding.code == "power-up-undetermined" for finding in found):
        found += _harmless(variants)
    return tuple(results), found


def _harmless(variants: Mapping[str, tuple[Run, ...]]) -> list[Finding]:
    """Say that a chip's waking is open, and that it does not matter for what is promised."""
    out: list[Finding] = []
    for trial, runs in variants.items():
        parts = sorted({cell.split(".")[0] for run in runs for cell, _ in run.trial.power_up})
        out.append(
            Finding(
                Severity.NOTE,
                "power-up-open",
                f"no data sheet promises in which state {' and '.join(parts)} wakes; in '{trial}' what is "
                f"promised holds from each of the {len(runs) + 1} states",
                "tell the learner that the first moments after switching on may differ",
                about=(parts[0],),
            )
        )
    return out


def _kept(promise: Promise, figures: Figures) -> tuple[PromiseResult, list[Finding]]:
    that = promise.that
    if not figures.runs:
        return PromiseResult(promise, None, False, "nothing was simulated"), []
    trial = promise.trial or next(iter(figures.runs))
    if trial not in figures.runs:
        return PromiseResult(promise, None, False, f"there is no trial '{trial}'"), []
    answer = figures.figure(that) if that.ideal or figures.is_static(that) else figures.measured(that, trial)
    if isinstance(answer, Finding):
        fault = Finding(
            answer.severity,
            f"promise-{answer.code}",
            answer.message,
            answer.hint,
            promise.place,
            answer.about,
        )
        return PromiseResult(promise, None, False, answer.message), [fault]
    quantity = answer[1] if isinstance(answer, tuple) else answer
    if quantity.unit != promise.expected.unit:
        units = f"{promise.expected.unit or 'a plain number'}, but {that} is in {quantity.unit or 'no unit'}"
        fault = Finding(Severity.ERROR, "promise-unit", f"the promise is in {units}", "", promise.place)
        return PromiseResult(promise, quantity, False, fault.message), [fault]
    low, high = promise.limits
    if low <= quantity.value <= high:
        return PromiseResult(promise, quantity, True), []
    unit = quantity.unit or "%"
    message = (
        f"{that} is {format_quantity(quantity.value, unit)}; promised is "
        f"{format_quantity(promise.expected.value, unit)}, between {format_quantity(low, unit)} and "
        f"{format_quantity(high, unit)}"
    )
    hint = "change the parts, or promise what the circuit does"
    return PromiseResult(promise, quantity, False, message), [
        Finding(Severity.ERROR, "promise-broken", message, hint, promise.place)
    ]


def _other_wakings(
    promise: Promise, result: PromiseResult, figures: Figures, variants: Mapping[str, tuple[Run, ...]]
) -> list[Finding]:
    """Say where a promise would not hold because a chip woke in another state."""
    found: list[Finding] = []
    low, high = promise.limits
    for run in variants.get(promise.trial or next(iter(figures.runs)), ()):
        other = figures.measured_in(promise.that, run)
        if isinstance(other, Quantity) and low <= other.value <= high:
            continue
        unit = promise.expected.unit or "%"
        now = format_quantity(other.value, unit) if isinstance(other, Quantity) else "nothing"
        was = format_quantity(result.measured.value, unit) if result.measured else "?"
        found.append(
            Finding(
                Severity.WARNING,
                "power-up-undetermined",
                f"{promise.that} is {now} and not {was} when {waking(run)}, which no data sheet rules out",
                "begin the trial with an action that brings the circuit into a known state, or measure later",
                promise.place,
            )
        )
    return found
