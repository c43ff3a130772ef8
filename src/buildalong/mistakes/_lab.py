"""The laboratory: all mistakes of a build, merged, simulated and told."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field

from buildalong.board import Layout, oriented, strip_nets
from buildalong.circuit import Circuit, supply_voltages
from buildalong.engine import GRADES, Trial
from buildalong.mistakes._case import Case, Harm, Shown, Window, case_of, dead_case, lights_of, windows_of
from buildalong.mistakes._danger import HOT_SUPPLY, danger_of
from buildalong.mistakes._generate import mistakes_of
from buildalong.mistakes._looks import Sight, compared, out_of_turn
from buildalong.mistakes._mistake import Mistake, Wishes
from buildalong.mistakes._same import ISLAND, Plain, plain_form
from buildalong.mistakes._symptoms import SYMPTOMS, symptom_words
from buildalong.store import Store, kept

__all__ = ["Lab", "Outcome", "laboratory"]

CHUNK = 48
"""Circuits that are simulated and kept together; a stopped run goes on after the last whole chunk."""
UNSEEN = frozenset({"as-it-should", "overstressed", "battery-hot"})
"""Classes that a contact shares whether it comes and goes or stays open."""
STILL = frozenset({"always-lit", "dark", "once-only"})
"""What lights do that have come to rest."""
Progress = Callable[[float, str], None]


@dataclass(frozen=True)
class Outcome:
    """What a mistake leads to.

    ``symptom`` is a class of SYMPTOMS; ``sights`` how each light differs; ``grade`` the worst damage
    ("" for none); ``danger`` a key of DANGERS or ""; ``same`` names the other mistakes that make the same
    circuit; ``doubts`` say why something is not decided.  ``failing`` is the class while a contact that
    comes and goes is open, "" for all others.  ``volts``: for each window, strip -> for each way to wake
    what a meter shows one after the other [V] against the supply's minus, empty where the strip floats; a
    strip that carries nothing is not in it.  ``joined``: strip -> the net that it carries; ``warm`` names
    parts that are felt to be warm.
    """

    mistake: Mistake
    symptom: str
    failing: str
    sentence: str
    title: str
    """The sentence without numbers."""
    sights: tuple[tuple[str, str], ...]
    factor: float
    harms: tuple[Harm, ...]
    grade: str
    danger: str
    doubts: tuple[str, ...]
    same: tuple[str, ...]
    warm: tuple[str, ...]
    volts: tuple[dict[str, Shown], ...] = field(repr=False)
    joined: dict[str, str] = field(repr=False)


@dataclass(frozen=True)
class Lab:
    """All outcomes of a build, with what readings refer to."""

    circuit: Circuit = field(repr=False)
    layout: Layout = field(repr=False)
    trials: tuple[Trial, ...]
    windows: tuple[Window, ...]
    lights: tuple[str, ...]
    right: tuple[dict[str, Shown], ...] = field(repr=False)
    """What a meter shows on the right board, as in ``Outcome.volts``."""
    outcomes: tuple[Outcome, ...]
    circuits: int
    """How many different circuits the mistakes make."""
    unchanged: int
    """How many mistakes make the right circuit and were left out."""


@dataclass(frozen=True, slots=True)
class _Chunk:
    cases: tuple[Case, ...]


def laboratory(
    circuit: Circuit,
    layout: Layout,
    trials: Sequence[Trial],
    *,
    wishes: Wishes | None = None,
    made: Sequence[Mistake] | None = None,
    store: Store | None = None,
    progress: Progress | None = None,
) -> Lab:
    """Make every single mistake of a build and tell what comes of it.

    ``made`` are the mistakes to simulate in place of those of the layout.  Equal arguments give equal
    results.  What is known is taken from ``store``, so a stopped run goes on.
    """
    say = progress or (lambda share, text: None)
    say(0.0, "thinking of mistakes")
    lights, windows = lights_of(circuit), windows_of(trials)
    right = plain_form(oriented(circuit, layout))  # as the board has a motor, it turns the right way
    made = mistakes_of(circuit, layout, wishes) if made is None else made
    forms: dict[tuple[object, ...], Plain] = {right.key: right}
    of: list[tuple[Mistake, Plain]] = []
    for mistake in made:
        form = plain_form(mistake.circuit)
        forms.setdefault(form.key, form)
        of.append((mistake, form))
    changed = [(m, f) for m, f in of if f.key != right.key]
    keys = list(forms)
    cases = _simulated([forms[k] for k in keys], circuit, tuple(trials), lights, windows, store, say)
    case_by = dict(zip(keys, cases, strict=True))
    groups: dict[tuple[object, ...], list[str]] = {}
    for mistake, form in changed:
        groups.setdefault((form.key, mistake.comes_and_goes), []).append(mistake.id)
    outcomes = tuple(
        _outcome(
            m,
            f,
            case_by[f.key],
            case_by[right.key],
            lights,
            tuple(trials),
            groups[f.key, m.comes_and_goes],
            circuit,
        )
        for m, f in changed
    )
    names = strip_nets(circuit, layout)
    metered = tuple(_at_strips(names, right, dict(window)) for window in case_by[right.key].volts)
    say(1.0, "done")
    return Lab(
        circuit, layout, tuple(trials), windows, lights, metered, outcomes, len(keys) - 1,
        len(of) - len(changed),
    )  # fmt: skip


def _simulated(
    forms: Sequence[Plain], circuit: Circuit, trials: tuple[Trial, ...], lights: tuple[str, ...],
    windows: tuple[Window, ...], store: Store | None, say: Progress,
) -> list[Case]:  # fmt: skip
    cores = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1

    sizes = len(lights), len(trials), len(windows)

    def one(form: Plain) -> Case:
        if form.dead == "shorted":
            return dead_case(*sizes, amps=HOT_SUPPLY)
        if form.dead:
            supplies = [p for p in form.circuit.parts if p.type.family == "supply"]
            return dead_case(*sizes, emf=supply_voltages(supplies[0])[1] if supplies else 0.0)
        return case_of(form.circuit, trials, lights, windows)

    out: list[Case] = []
    types = {part.type.id: part.type for part in circuit.parts}
    pool = ThreadPoolExecutor(cores)
    try:
        for start in range(0, len(forms), CHUNK):
            some = forms[start : start + CHUNK]
            question = [[form.key for form in some], types if store else {}, trials]

            def made(some: Sequence[Plain] = some) -> _Chunk:
                return _Chunk(tuple(pool.map(one, some)))

            def sound(found: _Chunk, size: int = len(some)) -> bool:
                return len(found.cases) == size

            out += kept(store, "mistakes", question, _Chunk, made, sound).cases
            say(0.05 + 0.9 * len(out) / len(forms), f"{len(out)} of {len(forms)} wrong circuits simulated")
    finally:  # stopped in a chunk, the rest of it is not begun
        pool.shutdown(wait=True, cancel_futures=True)
    return out


def _outcome(
    mistake: Mistake, form: Plain, case: Case, right: Case, lights: tuple[str, ...],
    trials: tuple[Trial, ...], same: Sequence[str], circuit: Circuit,
) -> Outcome:  # fmt: skip
    ways = _sights(case, right, len(lights), trials)
    sights = ways[0]
    dead = {h.part for h in case.harms if h.grade == "dies" and h.code in ("overcurrent", "overheats")}
    told = tuple(
        ("burns-out" if light in dead and sight.kind != "dark" else sight.kind, sight.factor)
        for light, sight in zip(lights, sights, strict=True)
    )
    kind = _kind([k for k, _ in told], case, mistake)
    differ = len({tuple(s.kind for s in way) for way in ways}) > 1
    if differ and kind != "battery-hot":
        kind = "undetermined"
    doubts = case.doubts
    if differ:
        chips = ", ".join(case.wakes or right.wakes)
        doubts = (f"No data sheet promises in which state {chips} wakes.", *doubts)
    failing = ""
    if mistake.comes_and_goes and kind not in UNSEEN:
        kind, failing = "comes-and-goes", kind
    which = tuple(light for light, (name, _) in zip(lights, told, strict=True) if name != "same")
    if kind == "wrong-colour":
        which = mistake.subjects
    shown = tuple((light, circuit.by_id[light].type.family) for light in lights)
    sentence, title = (
        symptom_words(kind, failing, shown, told, which, numbers=numbers) for numbers in (True, False)
    )
    grades = [h.grade for h in case.harms]
    order = list(GRADES)
    grade = max(grades, key=lambda g: order.index(g)) if grades else ""  # type: ignore[arg-type]
    names = strip_nets(mistake.circuit, mistake.layout)
    volts = tuple(_at_strips(names, form, dict(window)) for window in case.volts)
    return Outcome(
        mistake, kind, failing, sentence, title,
        tuple((light, name) for light, (name, _) in zip(lights, told, strict=True)),
        next((f for k, f in told if k != "same"), 1.0),
        case.harms, grade, danger_of(mistake, case, circuit), doubts,
        tuple(i for i in same if i != mistake.id),
        case.warm, volts, names,
    )  # fmt: skip


def _sights(case: Case, right: Case, lights: int, trials: tuple[Trial, ...]) -> list[list[Sight]]:
    """For each way to wake, how each light differs: in the first trial in which it does."""
    ways = max(len(looks) for looks in case.looks) if case.looks else 1
    out: list[list[Sight]] = []
    for way in range(ways):
        found = [Sight("same")] * lights
        for trial, wanted, looks in zip(trials, right.looks, case.looks, strict=True):
            seen = looks[min(way, len(looks) - 1)]
            for i in range(lights):
                if found[i].kind == "same":
                    # What may wake in several ways is right when it is like any of the right ones.
                    options = [compared(w[i], seen[i], trial) for w in wanted]
                    found[i] = next((o for o in options if o.kind == "same"), options[0])
            if all(sight.kind == "same" for sight in found):
                shifted = [out_of_turn(w, seen, trial.lasts) for w in wanted]
                for i in () if () in shifted else shifted[0]:
                    found[i] = Sight("out-of-turn")
        out.append(found)
    return out


def _kind(told: list[str], case: Case, mistake: Mistake) -> str:
    """The class of what is seen of all lights together."""
    if case.shorted >= HOT_SUPPLY:
        return "battery-hot"
    kinds = set(told)
    if kinds <= {"same"}:
        return "overstressed" if case.harms else "as-it-should"
    if kinds == {"dark"}:
        return "nothing"
    if mistake.kind == "wrong-colour" and kinds <= {"same", "dim", "bright"}:
        return "wrong-colour"
    if kinds == {"dark", "same"}:
        return "some-dark"
    if len(kinds - {"same"}) == 1:
        (kind,) = kinds - {"same"}
        return kind if kind in SYMPTOMS else "other"
    return "stands-still" if kinds <= STILL else "mixed"


def _at_strips(names: dict[str, str], form: Plain, volts: dict[str, Shown]) -> dict[str, Shown]:
    """Strip -> what a meter shows there against the supply's minus; empty where that is left to chance."""
    known = {**volts, ISLAND: ((0.0,),)}
    return {strip: known.get(form.net_of.get(net, ISLAND), ()) for strip, net in names.items()}
