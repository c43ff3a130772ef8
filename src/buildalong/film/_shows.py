"""What is seen in each scene, and when: exhibits in their order, the same for every shape of the film."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from buildalong.build.steps import Step
from buildalong.drawing import Picture, board_picture, closeup, part_picture, rows_in_use
from buildalong.drawing.motion import Motion, said_factor
from buildalong.drawing.screen import fitted, listing, parts_table
from buildalong.film._scenes import called, shown_rows
from buildalong.film._storyboard import Moment, Storyboard
from buildalong.film._timing import FRAME, Timed
from buildalong.lesson import Compiled
from buildalong.publish import Variant, crop_of_steps, step_picture, work_of

__all__ = ["Show", "Shows", "just_after"]

FLY_AFTER = 1200
"""What is new comes to the board so long after a step begins [ms]; our choice."""
PLAYED = 4000
"""Longest that the circuit is seen at work between two moments of its story [ms]; our choice."""
TICK = 2 * FRAME
"""Time between two pictures of what moves [ms]: 12.5 in a second."""
LOOPS = 30.0
"""A trial is played for so long at most before it begins again [s]; our choice."""
PAGE, PAGE_LASTS = 5, 9000
"""Points that are shown at once, and for how long at least [ms]."""
LONG = 30
"""More rows than this are shown lying."""
LARGER = 1.36
"""The words of the circuit at work, times their size on a page."""
Box = tuple[float, float, float, float]


@dataclass(frozen=True)
class Show:
    """From ``at`` [ms] on an exhibit is seen; ``draw`` makes it when it is needed.

    ``enter``: it is there at once ("cut"), comes through the one before ("fade"), or ``layer`` comes
    flying to what is there ("fly").  ``key`` is equal where the exhibit is the same.  ``text`` stands
    beside it instead of the scene's own words.
    """

    at: int
    key: str
    draw: Callable[[], Picture]
    enter: Literal["cut", "fade", "fly"] = "fade"
    layer: Callable[[], Picture] | None = None
    text: str = ""
    points: tuple[str, ...] | None = None
    """Instead of the scene's own."""


def paged(points: Sequence[str]) -> list[tuple[str, ...]]:
    """Points a few at a time, as even as can be."""
    count = -(-len(points) // PAGE)
    each = -(-len(points) // count) if count else 1
    return [tuple(points[at : at + each]) for at in range(0, len(points), each)]


def just_after(motion: Motion, time: float) -> float:
    """A hair after a moment, so that what it changes is seen; within what is played [s]."""
    start, end = motion.span
    return min(max(time, start) + 0.004 * (end - start), end)


class Shows:
    """The exhibits of one lesson."""

    def __init__(self, compiled: Compiled, variant: Variant) -> None:
        self.compiled, self.variant = compiled, variant
        self.circuit, self.layout = compiled.circuit, compiled.layout
        self.steps = {step.number: step for step in compiled.steps}
        self._works: dict[str, Motion] = {}

    def of(self, timed: Timed) -> Iterator[Show]:
        """The exhibits of a scene, in order of time; the first one from its start."""
        scene = timed.scene
        if scene.step:
            yield from self._step(timed, self.steps[scene.step])
        elif scene.kind == "parts":
            yield Show(timed.start, "parts", self._parts)
        elif scene.kind == "cautions":
            yield Show(timed.start, "cautions", lambda: listing(scene.points, warn=True))
        elif scene.kind == "work" and scene.trial in self.compiled.runs:
            yield from self._work(timed, self.work(scene.trial))
        elif scene.kind == "how" and scene.trial in self.compiled.runs:
            yield from self._how(timed, self.work(scene.trial))
        elif scene.kind == "wrong":
            yield from self._wrong(timed)
        else:
            yield self._finished(timed.start, frozenset(self._lights))

    def least(self, board: Storyboard) -> dict[str, int]:
        """Least lengths of scenes [ms]: a trial at work is seen once as a whole, each page of points read."""
        out = {
            scene.id: len(paged(scene.points)) * PAGE_LASTS for scene in board.scenes if scene.kind == "check"
        }
        for scene in board.scenes:
            if scene.kind == "work" and scene.trial in self.compiled.runs:
                out[scene.id] = round(min(self.work(scene.trial).seconds, LOOPS) * 1000)
        return out

    def glowing(self) -> Picture:
        """The finished board with all its lights."""
        return self.finished(frozenset(self._lights))

    def work(self, trial: str) -> Motion:
        """The circuit at work in a trial."""
        if trial not in self._works:
            self._works[trial] = work_of(
                self.compiled, trial, "w", text=LARGER, tone=self.variant.tone, paced=False
            )
        return self._works[trial]

    def finished(self, active: frozenset[str] = frozenset()) -> Picture:
        """The finished board, with what is at work."""
        if self.layout is None:
            return listing(())
        first, last = rows_in_use(self.layout)
        # A long board is easier to see lying; nobody builds after these pictures.
        lying = last - first > LONG and self.variant.hand == "right"
        return board_picture(
            self.circuit, self.layout, muted=False, highlight_holes=False, crop="auto", active=active,
            view="turned" if lying else self.variant.view, tone=self.variant.tone,
        )  # fmt: skip

    @cached_property
    def _lights(self) -> tuple[str, ...]:
        """Lights that shine in some trial."""
        names = [name for trial in self.compiled.runs for name, on in self.work(trial).on.items() if on]
        return tuple(n for n in dict.fromkeys(names) if self.circuit.by_id[n].type.family == "led")

    def _finished(
        self,
        at: int,
        active: frozenset[str],
        enter: Literal["cut", "fade"] = "fade",
        points: tuple[str, ...] | None = None,
    ) -> Show:
        def draw() -> Picture:
            return fitted(self.finished(active), self._whole)

        return Show(at, f"board {sorted(active)}", draw, enter, points=points)

    @cached_property
    def _whole(self) -> Box:
        """What the finished board takes up whatever is at work."""
        on = (name for trial in self.compiled.runs for name in self.work(trial).on)
        return self.finished(frozenset(on)).box

    def _parts(self) -> Picture:
        rows, rest = shown_rows(self.circuit)
        return parts_table([(row.parts[0], called(row), row.name) for row in rows], rest)

    # -- the steps -------------------------------------------------------------------------------

    @cached_property
    def _frame(self) -> Box | None:
        """What all steps together show of the board's plane; None where they are shown piece by piece."""
        if self.layout is None or crop_of_steps(self.layout) == "new":
            return None
        boxes = [self._drawn(step).box for step in self.steps.values()]
        left, top = min(b[0] for b in boxes), min(b[1] for b in boxes)
        right, bottom = max(b[0] + b[2] for b in boxes), max(b[1] + b[3] for b in boxes)
        return left, top, right - left, bottom - top

    def _drawn(self, step: Step, *, hide_new: bool = False, alone: bool = False) -> Picture:
        assert self.layout is not None
        crop = crop_of_steps(self.layout)
        return step_picture(self.circuit, step, crop, self.variant, hide_new=hide_new, alone=alone)

    def _step(self, timed: Timed, step: Step) -> Iterator[Show]:
        number = step.number

        def after() -> Picture:
            return fitted(self._drawn(step), self._frame)

        if not (step.parts or step.wires):
            pages = paged(timed.scene.points) or [()]
            for index, page in enumerate(pages):
                at = timed.start + index * (timed.end - timed.start) // len(pages) // FRAME * FRAME
                yield Show(at, f"step {number}", after, points=page)
            return
        yield Show(
            timed.start, f"before {number}", lambda: fitted(self._drawn(step, hide_new=True), self._frame)
        )
        comes = min(timed.start + FLY_AFTER, timed.end - 2 * FRAME)
        yield Show(
            comes, f"step {number}", after, "fly",
            lambda: fitted(self._drawn(step, alone=True), self._frame, clear=True),
        )  # fmt: skip

    # -- at work ---------------------------------------------------------------------------------

    def _work(self, timed: Timed, motion: Motion) -> Iterator[Show]:
        """The finished board, its lights as simulated, over and over, as slowly as they must be."""
        start, end = motion.span
        factor = motion.factor or 1.0
        points = (*timed.scene.points, said_factor(factor))
        loop = min(motion.seconds, LOOPS)
        changes = {0.0}
        for on in motion.on.values():
            changes |= {(t - start) * factor for spell in on for t in spell}
        times = sorted(t for t in changes if 0 <= t < loop)
        at, turn = timed.start, 0
        last: frozenset[str] | None = None
        while at < timed.end:
            for time in times:
                at = timed.start + round((turn * loop + time) * 1000 / FRAME) * FRAME
                if at >= timed.end:
                    return
                now = start + time / factor + 1e-9 * (end - start)
                active = frozenset(n for n, on in motion.on.items() if any(a <= now < b for a, b in on))
                if active != last:
                    yield self._finished(at, active, "cut" if last is not None else "fade", points)
                    last = active
            turn += 1

    def _how(self, timed: Timed, motion: Motion) -> Iterator[Show]:
        """Lights and levels move on to each moment of the story while it is told."""
        start, end = motion.span
        was = start
        moments = timed.scene.moments or (Moment(0, "", start),)
        for index, moment in enumerate(moments):
            begins = timed.begins(moment.sentence) if index else timed.start
            until = timed.begins(moments[index + 1].sentence) if index + 1 < len(moments) else timed.end
            time = min(max(moment.time, start), end)
            lasts = min(PLAYED, until - begins) if time > was else 0
            after = just_after(motion, moment.time)
            yield self._held(begins, motion, was if lasts else after, moment.text, "fade")
            for tick in range(TICK, lasts, TICK):
                yield self._held(begins + tick, motion, was + (time - was) * tick / lasts, moment.text)
            was = after
            if lasts:
                yield self._held(begins + lasts, motion, was, moment.text)

    def _held(
        self, at: int, motion: Motion, time: float, text: str, enter: Literal["cut", "fade"] = "cut"
    ) -> Show:
        return Show(at, f"{motion.picture.alt} {time:.9g}", lambda: fitted(motion.at(time)), enter, text=text)

    # -- what goes wrong -------------------------------------------------------------------------

    def _wrong(self, timed: Timed) -> Iterator[Show]:
        for index, moment in enumerate(timed.scene.moments):
            at = timed.begins(moment.sentence) if index else timed.start
            yield Show(at, f"slip {moment.part} {moment.slip}", lambda moment=moment: self._slip(moment),  # type: ignore[misc]
                       text=moment.text)  # fmt: skip

    def _slip(self, moment: Moment) -> Picture:
        """Right and wrong side by side, where that can be shown on the board; the part otherwise."""
        part = self.circuit.by_id[moment.part]
        if self.layout is not None:
            for slip in part.type.slips:
                if slip.kind == moment.slip:
                    shown = closeup(
                        self.circuit,
                        self.layout,
                        part.id,
                        slip,
                        view=self.variant.view,
                        tone=self.variant.tone,
                    )
                    if shown is not None:
                        return fitted(shown)
        return fitted(part_picture(part, tone=self.variant.tone))
