"""From a lesson to everything that all faces show of it: one pass that tells every finding at once."""

from __future__ import annotations

import os
from collections.abc import Callable, Collection, Mapping, Sequence
from typing import TYPE_CHECKING

from buildalong.finding import Finding
from buildalong.lesson._again import Asked, in_order, not_told
from buildalong.lesson._circuit_checks import HOPELESS, check_circuit
from buildalong.lesson._figures import Figures
from buildalong.lesson._lesson import Basis, Compiled, Lesson, PromiseResult, Section
from buildalong.lesson._load import load
from buildalong.lesson._power_up import power_up_runs
from buildalong.lesson._promises import keep_promises
from buildalong.lesson._prose import weave
from buildalong.lesson._where import located
from buildalong.words import plainly

if TYPE_CHECKING:
    from buildalong.build.steps import Step
    from buildalong.design import Shape, SheetEntry
    from buildalong.engine import Run
    from buildalong.lesson._laying import Laid
    from buildalong.store import Store
    from buildalong.story import Sentence

__all__ = ["STAGES", "compile_lesson"]

STAGES = frozenset({"runs", "board", "words"})
"""What can be asked for: the trials with their promises and stories, the board with its steps, the words."""

Progress = Callable[[float, str], None]
SoFar = Callable[[Sequence[Finding], str], None]


def compile_lesson(
    lesson: str | os.PathLike[str] | Lesson,
    *,
    want: Collection[str] = STAGES,
    progress: Progress | None = None,
    seconds: float = 10.0,
    store: Store | None = None,
    language: str = "",
    before: Compiled | None = None,
    so_far: SoFar | None = None,
) -> Compiled:
    """Compile a lesson folder, or a lesson that was loaded; raises Unreadable as :func:`load` does.

    Errors in the lesson do not raise: they are findings of the result, together with all others.
    ``want`` names the stages that are wanted, out of "runs", "board" and "words"; what the words say is
    compared with the runs, so "words" brings them along.  The circuit is always checked.  ``progress`` is
    called with a share (0..1) and what is being done; ``seconds`` is the amount of work for the board, as
    in :func:`buildalong.build.place.place`; ``store`` keeps boards for the next time.
    ``language`` is that of the words, where it is not the author's own.  ``before`` is what the lesson was
    compiled to earlier: what the same circuit did in the same trials is taken from it.  ``so_far`` is called
    with the findings known by then and what is still to be checked, before something takes long.
    Raises ValueError for an unknown stage.
    """
    if set(want) - STAGES:
        raise ValueError(f"no stage {sorted(set(want) - STAGES)}; known are {', '.join(sorted(STAGES))}")
    say = progress or (lambda share, text: None)
    say(0.0, "reading the lesson")
    read = lesson if isinstance(lesson, Lesson) else load(lesson, language)
    with read.speaking():
        hear = so_far or (lambda findings, left: None)
        return _Compiler(read, frozenset(want), say, seconds, store, before, hear).compiled()


class _Compiler:
    """One compilation; findings are collected on the way."""

    def __init__(
        self, lesson: Lesson, want: frozenset[str], say: Progress, seconds: float, store: Store | None,
        before: Compiled | None, so_far: SoFar,
    ) -> None:  # fmt: skip
        self.lesson = lesson
        self.want = want
        self.store = store
        self.circuit = lesson.circuit
        self.say = say
        self.seconds = seconds
        self.before = before if before is not None and _does_the_same(before.lesson, lesson) else None
        self.so_far = so_far
        self.findings: list[Finding] = list(lesson.findings)
        self.basis: Basis | None = None

    def add(self, findings: list[Finding]) -> None:
        """Keep findings, each with the best place that can be told."""
        self.findings += located(findings, self.circuit, self.lesson.places, self.lesson.layout.holes)

    def compiled(self) -> Compiled:
        """Do everything that can be done."""
        lesson, circuit = self.lesson, self.circuit
        whole = lesson.sound
        if whole:
            with plainly():
                found = check_circuit(circuit, lesson.places)
            self.add(found)
            whole = not any(finding.code in HOPELESS for finding in found)
        shapes, sheet = self.design() if whole else ((), ())
        measured = bool(self.want & {"runs", "words"})
        runs = self.simulate() if whole and measured else {}
        variants = self.variants(runs)
        stories = self.stories(runs, shapes)
        laid = self.lay_out() if whole and "board" in self.want else None
        steps = self.steps(laid, shapes) if laid is not None else ()
        laid = laid.built(steps) if laid is not None else None
        figures = Figures(lesson, circuit, runs, sheet)
        promises: tuple[PromiseResult, ...] = ()
        if measured:
            promises, found = keep_promises(lesson, figures, variants)
            self.add(found)
            figures.add_promises(promises)
        sections = self.words(figures, whole and (bool(runs) or not lesson.findings))
        self.say(1.0, "done")
        return Compiled(
            lesson=lesson if laid is None else laid.on_its_board(lesson),
            circuit=circuit,
            runs=runs,
            power_up_runs=variants,
            promises=promises,
            figures=dict(figures.known),
            placement=laid.placement if laid is not None else None,
            optimum=laid.optimum if laid is not None else None,
            steps=steps,
            shapes=shapes,
            sheet=sheet,
            stories=stories,
            prose=sections,
            findings=in_order(self.findings),
            basis=self.basis,
        )

    # -- the stages -------------------------------------------------------------------------------

    def design(self) -> tuple[tuple[Shape, ...], tuple[SheetEntry, ...]]:
        """The known shapes of the circuit and their formulas."""
        from buildalong.design import recognise, sheet, value_limits

        self.say(0.02, "recognising the circuit")
        before = self.before
        shapes = before.shapes if before is not None else recognise(self.circuit)
        with plainly():
            self.add(value_limits(self.circuit, shapes))
        return shapes, before.sheet if before is not None else sheet(self.circuit, shapes)

    def simulate(self) -> dict[str, Run]:
        """One run for each trial, with the ratings checked."""
        from buildalong.engine import Options, check_ratings, simulate, verdict_findings

        runs: dict[str, Run] = {}
        told = {(f.code, f.about[:1]) for f in self.findings}
        for number, trial in enumerate(self.lesson.trials):
            self.say(0.05 + 0.35 * number / len(self.lesson.trials), f"simulating '{trial.name}'")
            options = Options(bounce=self.lesson.bounces.get(trial.name, 0.0))
            known = self.before.runs.get(trial.name) if self.before is not None else None
            run = runs[trial.name] = known or simulate(self.circuit, trial, None, options)
            # What may wake in several states is told together with what that changes.
            with plainly():
                verdicts = [f for f in verdict_findings(run) if f.code != "power-up-undetermined"]
                ratings = [f for f in check_ratings(run) if (f.code, f.about[:1]) not in told]
            self.add([*verdicts, *ratings])
        return runs

    def variants(self, runs: Mapping[str, Run]) -> dict[str, tuple[Run, ...]]:
        """Runs from the other power-up states that no data sheet rules out."""
        if self.before is not None and runs:
            return dict(self.before.power_up_runs)

        def going_on() -> None:
            self.say(0.4, "waking the circuit in its other states")

        if any(run.undetermined for run in runs.values()):
            self.so_far(in_order(self.findings), "what is promised, and the words")
        bounces = self.lesson.bounces
        found = {name: power_up_runs(run, bounces.get(name, 0.0), going_on) for name, run in runs.items()}
        return {name: variants for name, variants in found.items() if variants}

    def stories(self, runs: Mapping[str, Run], shapes: tuple[Shape, ...]) -> dict[str, tuple[Sentence, ...]]:
        """The story of each run."""
        from buildalong.story import tell

        if self.before is not None and runs:
            return dict(self.before.stories)
        return {name: tell(run, self.circuit, shapes) for name, run in runs.items()}

    def lay_out(self) -> Laid:
        """The board as the author wants it."""
        from buildalong.lesson._laying import lay_out

        def say(share: float, text: str) -> None:
            self.say(0.5 + 0.4 * share, text)

        laid = lay_out(self.lesson, self.circuit, self.store, self.seconds, say)
        self.findings += laid.findings
        return laid

    def steps(self, laid: Laid, shapes: tuple[Shape, ...]) -> tuple[Step, ...]:
        """The steps of the build, each proved safe."""
        from buildalong.build.steps import check_steps, make_steps, order_findings
        from buildalong.design import reasons, shared_reason

        def shared(parts: Sequence[str]) -> str:
            return "" if any(part in self.lesson.does for part in parts) else shared_reason(shapes, parts)

        if laid.placement is None:
            return ()
        self.say(0.92, "writing the steps")
        why = {**reasons(shapes), **self.lesson.does}
        trials = () if laid.misbuilt else self.lesson.trials
        layout = laid.placement.layout
        steps = make_steps(self.circuit, layout, reasons=why, shared=shared, order=laid.order, trials=trials)
        if not laid.misbuilt:  # a wrong board makes wrong steps: its slips have been told
            self.add(check_steps(self.circuit, steps))
            if laid.order:
                self.add(order_findings(self.circuit, laid.placement.layout, laid.order, trials))
        return tuple(steps)

    def words(self, figures: Figures, check: bool) -> tuple[Section, ...]:
        """The words with their figures, and every claim in them checked."""
        if "words" not in self.want:
            return ()
        self.say(0.97, "checking the words")
        lesson = self.lesson
        before = Asked(dict(figures.known), figures)
        sections, found = weave(
            lesson.prose,
            lesson.prose_file,
            figures.known,
            before.ask,
            lesson.images,
            figures.value_of,
            check=check,
            language=lesson.language,
        )
        self.basis = before.basis(lesson, self.findings, found) if check else None
        self.findings += not_told(found, self.findings)
        return sections


def _does_the_same(one: Lesson, other: Lesson) -> bool:
    """Whether two lessons have one circuit and put it through the same trials, told in one language."""

    def form(lesson: Lesson) -> object:
        return lesson.circuit, lesson.trials, lesson.bounces, lesson.language

    return one.sound and other.sound and form(one) == form(other)
