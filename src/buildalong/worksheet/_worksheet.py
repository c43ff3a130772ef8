"""Worksheets: each learner gets other values of the lesson's own circuit; answers come from the engine."""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

from buildalong.circuit import Circuit, Part, bands_on, printed_on
from buildalong.design import SheetEntry, recognise, sheet, text, value_limits
from buildalong.engine import MeasureError, Run, Trial, measure, simulate
from buildalong.parts import ValueRule
from buildalong.quantity import Quantity, format_quantity, parse_as, values_between
from buildalong.spread import Target
from buildalong.study import fresh, strained
from buildalong.words import colour_word, say
from buildalong.worksheet import _words as words

__all__ = ["MAX_LEARNERS", "SEED", "Question", "Sheet", "without_values", "worksheets"]

MAX_LEARNERS = 200
SEED = 1
_TRIES = 40
_NEAR = 2.3
"""Other values lie within this factor of the lesson's own."""
_BRIGHT = 20e-3
"""No LED gets more than this [A] with fresh cells: the most that data sheets recommend (GB-413 series)."""

Kind = Literal["bands", "value", "code", "formula", "current", "real", "what-if"]
Progress = Callable[[float, str], None]


@dataclass(frozen=True, slots=True)
class Question:
    """One question with its answer in words, its number where it has one, and the working.

    ``accept`` is the share by which a number may be off to count as right.
    """

    kind: Kind
    text: str
    answer: str
    working: tuple[str, ...] = ()
    number: Quantity | None = None
    accept: float = 0.0


@dataclass(frozen=True)
class Sheet:
    """One learner's sheet: its number, the values given to it, and the questions."""

    number: int
    values: tuple[tuple[str, str], ...]
    questions: tuple[Question, ...]
    circuit: Circuit = field(repr=False)


def worksheets(
    circuit: Circuit,
    trials: Sequence[Trial],
    learners: int,
    *,
    seed: int = SEED,
    progress: Progress | None = None,
) -> tuple[Sheet, ...]:
    """Make one sheet for each learner, each with other values where the circuit has any to change.

    Values come from E12 around the lesson's own; such as would overload a part or pass a maker's limit
    are not given out.  Equal arguments give equal sheets.  Raises ValueError for a senseless count.
    """
    if not 1 <= learners <= MAX_LEARNERS:
        raise ValueError(f"worksheets are made for 1 to {MAX_LEARNERS} learners")
    tell = progress or (lambda share, text: None)
    changing = _changing(circuit)
    seen: set[tuple[float | None, ...]] = set()
    out: list[Sheet] = []
    for number in range(1, learners + 1):
        tell((number - 1) / learners, f"sheet {number} of {learners}")
        rng = random.Random(f"{seed} {number}")  # noqa: S311 - no secret
        made, runs = _other(circuit, trials, changing, rng, seen)
        seen.add(tuple(made.by_id[p.id].value for p in changing))
        questions = tuple(_questions(made, trials, runs, changing, rng))
        out.append(Sheet(number, tuple(_shown(made.by_id[p.id]) for p in changing), questions, made))
    tell(1.0, "done")
    return tuple(out)


def without_values(sheet: Sheet) -> Circuit:
    """The sheet's circuit without the values that differ from sheet to sheet, for a picture for all."""
    names = {name for name, _ in sheet.values}
    return Circuit(tuple(replace(p, value=None) if p.id in names else p for p in sheet.circuit.parts))


def _changing(circuit: Circuit) -> tuple[Part, ...]:
    """The parts whose values the formulas of times and currents use, as far as they have values."""
    used: list[str] = []
    for entry in sheet(circuit):
        if entry.measure is not None:
            used += [s.name for s in entry.formula.expr.symbols() if s.part]
    return tuple(
        p for p in circuit.parts if p.id in used and p.value is not None and p.type.value is not None
    )


def _other(
    circuit: Circuit,
    trials: Sequence[Trial],
    changing: Sequence[Part],
    rng: random.Random,
    seen: set[tuple[float | None, ...]],
) -> tuple[Circuit, dict[str, Run]]:
    """A circuit with other values that works: no part strained, every formula's measure still there.

    The lesson's own values where nothing else works after a number of tries.
    """
    own = {trial.name: simulate(circuit, trial) for trial in trials}
    wanted = [m for m in _measures(circuit, trials) if math.isfinite(m.measured(own))]
    for _ in range(_TRIES if changing else 0):
        taken = _apart(changing, rng, seen)
        made = Circuit(tuple(taken.get(part.id, part) for part in circuit.parts))
        if tuple(made.by_id[p.id].value for p in changing) in seen or value_limits(made):
            continue
        runs = {trial.name: simulate(made, trial) for trial in trials}
        if not all(math.isfinite(m.measured(runs)) for m in wanted) or _too_bright(made, trials):
            continue
        if not strained(made, trials):
            return made, runs
    return circuit, own


def _apart(
    changing: Sequence[Part], rng: random.Random, seen: set[tuple[float | None, ...]]
) -> dict[str, Part]:
    """Other values of which more than half differ from those of every sheet so far, if such turn up."""
    for _ in range(_TRIES):
        taken = {part.id: _drawn(part, rng) for part in changing}
        values = [part.value for part in taken.values()]
        if all(2 * sum(a != b for a, b in zip(values, one, strict=True)) > len(values) for one in seen):
            break
    return taken


def _too_bright(circuit: Circuit, trials: Sequence[Trial]) -> bool:
    """Whether any LED would carry more than is recommended, with fresh cells or by the book's formula."""
    lamps = [part.id for part in circuit.parts if part.type.family == "led"]
    by_formula = [e.result for e in sheet(circuit) if e.measure is not None and e.measure[1] in lamps]
    if any(result.unit == "A" and result.value > _BRIGHT for result in by_formula):
        return True
    most = 0.0
    for run in (simulate(circuit, trial, fresh(circuit)) for trial in trials):
        for lamp in lamps:
            try:
                most = max(most, measure(run, "current", lamp).value)
            except MeasureError:
                continue
    return most > _BRIGHT


def _drawn(part: Part, rng: random.Random) -> Part:
    rule = part.type.value
    if rule is None or part.value is None:
        return part
    low = max(part.value / _NEAR, parse_as(rule.least, rule.unit))
    high = min(part.value * _NEAR, parse_as(rule.most, rule.unit))
    coarse = "E12" if rule.unit == "Ω" else "E6"
    value = rng.choice(values_between(low, high, coarse) or (part.value,))
    return replace(part, type=part.type.sized(value), value=value)


def _measures(circuit: Circuit, trials: Sequence[Trial]) -> list[Target]:
    """The measure of each formula, in the first trial."""
    entries = [e for e in sheet(circuit) if e.measure is not None]
    return [_target(entry, trials[0].name) for entry in entries if trials]


def _target(entry: SheetEntry, trial: str) -> Target:
    name, of = (entry.measure or ("", ""))[:2]
    return Target(name, of, trial, entry.result, 1.0)


def _shown(part: Part) -> tuple[str, str]:
    return part.id, format_quantity(part.value or 0.0, part.type.value.unit if part.type.value else "")


# -- questions ------------------------------------------------------------------------------------------


def _questions(
    circuit: Circuit,
    trials: Sequence[Trial],
    runs: dict[str, Run],
    changing: Sequence[Part],
    rng: random.Random,
) -> Iterator[Question]:
    mine = [circuit.by_id[part.id] for part in changing]
    resistors = [part for part in mine if bands_on(part)] or [p for p in circuit.parts if bands_on(p)]
    if resistors:
        first = rng.choice(resistors)
        yield _bands(first)
        # the second question must not give away the answer to the first, nor the first that to the second
        others = [p for p in circuit.parts if bands_on(p) and p.value != first.value]
        if others:
            yield _bands_back(rng.choice(others))
    coded = [part for part in circuit.parts if part.type.marking.kind == "code" and printed_on(part)]
    if coded:
        yield _code(rng.choice(coded))
    entries = [e for e in sheet(circuit, recognise(circuit)) if e.measure is not None]
    timed = [e for e in entries if e.result.unit in ("s", "Hz")]
    for entry in timed[:2]:
        yield _formula(entry)
    for entry in [e for e in entries if e.result.unit == "A"][:1]:
        yield _current(entry)
    if timed and trials:
        yield from _real(circuit, trials, runs, timed[0], mine, rng)


def _bands(part: Part) -> Question:
    part_, value = _shown(part)
    ratio = part.tolerance if part.tolerance is not None else parse_as(_rule(part).tolerance, "")
    tolerance = format_quantity(ratio, "%")
    bands = ", ".join(map(colour_word, bands_on(part)))
    asked = say(words.BANDS, part=part_, value=value, tolerance=tolerance)
    return Question("bands", asked, bands, (say(words.BANDS_WORKING, bands=bands),))


def _bands_back(part: Part) -> Question:
    _, value = _shown(part)
    bands = ", ".join(map(colour_word, bands_on(part)))
    number = Quantity(part.value or 0.0, _rule(part).unit)
    working = (say(words.BANDS_WORKING, bands=bands),)
    return Question("value", say(words.BANDS_BACK, bands=bands), value, working, number, 0.001)


def _code(part: Part) -> Question:
    _, value = _shown(part)
    number = Quantity(part.value or 0.0, _rule(part).unit)
    code = printed_on(part).split()[0]
    return Question("code", say(words.CODE, code=code), value, (say(words.CODE_WORKING),), number, 0.001)


def _formula(entry: SheetEntry) -> Question:
    asked = say(words.FORMULA_VALUE, title=entry.title, formula=text(entry.formula.expr)) + _given(entry)
    return Question("formula", asked, _quantity(entry.result), entry.lines, entry.result, 0.02)


def _current(entry: SheetEntry) -> Question:
    asked = say(words.CURRENT, title=entry.title) + _given(entry)
    return Question("current", asked, _quantity(entry.result), entry.lines, entry.result, 0.02)


def _given(entry: SheetEntry) -> str:
    """What a formula needs besides the values of parts, as a sentence behind the question."""
    needed = {s.name: s for s in entry.formula.expr.symbols() if not s.part and math.isfinite(s.number)}
    given = [f"{name}\u00a0=\u00a0{format_quantity(s.number, s.of)}" for name, s in needed.items()]
    return " " + say(words.GIVEN, given=", ".join(given)) if given else ""


def _real(
    circuit: Circuit,
    trials: Sequence[Trial],
    runs: dict[str, Run],
    entry: SheetEntry,
    mine: Sequence[Part],
    rng: random.Random,
) -> Iterator[Question]:
    """What real parts make of it, and what would become of it with another value."""
    target = _target(entry, trials[0].name)
    before = Quantity(target.measured(runs), entry.result.unit)
    if not math.isfinite(before.value):
        return
    percent = format_quantity(before.value / entry.result.value - 1.0, "%", 2)
    answer = f"{_quantity(before)}, {percent}"
    working = say(words.REAL_WORKING, real=_quantity(before), ideal=_quantity(entry.result), percent=percent)
    asked = say(words.REAL, title=entry.title)
    yield Question("real", asked, answer, (working, say(words.REAL_BUILT)), before, 0.05)
    used = {s.name for s in entry.formula.expr.symbols() if s.part}
    changeable = [part for part in mine if part.id in used]
    if not changeable:
        return
    part = rng.choice(changeable)
    rule = _rule(part)
    low, high = parse_as(rule.least, rule.unit), parse_as(rule.most, rule.unit)
    choices = [v for v in ((part.value or 0.0) * 10, (part.value or 0.0) / 10) if low <= v <= high]
    value = rng.choice(choices) if choices else (part.value or 0.0)
    other = replace(part, type=part.type.sized(value), value=value)
    changed = Circuit(tuple(other if p.id == part.id else p for p in circuit.parts))
    after = target.measured({target.trial: simulate(changed, _longer(trials[0], value, part))})
    if not choices or not math.isfinite(after):
        return
    result = Quantity(after, entry.result.unit)
    asked = say(
        words.WHAT_IF,
        title=entry.title,
        part=part.id,
        value=format_quantity(value, rule.unit),
        was=_shown(part)[1],
    )
    shown = say(
        words.WHAT_IF_WORKING,
        value=format_quantity(value, rule.unit),
        after=_quantity(result),
        before=_quantity(before),
    )
    yield Question("what-if", asked, _quantity(result), (shown,), result, 0.1)


def _longer(trial: Trial, value: float, part: Part) -> Trial:
    """The trial, ten times as long where a value of ten times makes everything slower."""
    slower = part.value is not None and value > part.value
    return replace(trial, lasts=min(trial.lasts * 10, 3600.0)) if slower else trial


def _rule(part: Part) -> ValueRule:
    if part.type.value is None:
        raise ValueError(f"{part.id} takes no value")
    return part.type.value


def _quantity(quantity: Quantity) -> str:
    return format_quantity(quantity.value, quantity.unit or "%", 3)
