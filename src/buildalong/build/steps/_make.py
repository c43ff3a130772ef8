"""Making the steps of a build from a circuit and its layout."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from types import MappingProxyType
from typing import TYPE_CHECKING

from buildalong.board import Layout, strip_nets
from buildalong.build.hand import ListStep
from buildalong.build.steps._final import final_checks
from buildalong.build.steps._joint import joint_words
from buildalong.build.steps._marks import mark_of
from buildalong.build.steps._order import kind_of
from buildalong.build.steps._plan import Plan, best_plan, completed, partial, with_sights
from buildalong.build.steps._rails import rails_words, whole_rails
from buildalong.build.steps._say import Marks, facts, say_group, say_part, say_things
from buildalong.build.steps._say_wire import ends_words, say_wires
from buildalong.build.steps._see import sight_words
from buildalong.build.steps._sight import Spell
from buildalong.build.steps._step import Kind, Step
from buildalong.build.steps._subject import with_subject
from buildalong.build.steps._why import net_words, part_why, wire_why
from buildalong.build.steps._words import CALLOUT, CHECK, TEXT, TITLE, WHY
from buildalong.circuit import Circuit, Part
from buildalong.words import say

if TYPE_CHECKING:
    from buildalong.engine import Trial

__all__ = ["make_steps"]

_NO_REASONS: Mapping[str, str] = MappingProxyType({})


def _apart(parts: Sequence[str]) -> str:
    """No reason that parts share."""
    return ""


def make_steps(
    circuit: Circuit,
    layout: Layout,
    *,
    reasons: Mapping[str, str] = _NO_REASONS,
    shared: Callable[[Sequence[str]], str] = _apart,
    marks: Marks = mark_of,
    order: Sequence[ListStep] = (),
    trials: Sequence[Trial] = (),
) -> tuple[Step, ...]:
    """Give the steps that build the layout, in the author's ``order`` or else in the best that is found.

    ``reasons``: part id or "wire 1", "wire 2", ... -> why it is there, in place of what the nets
    tell; ``shared``: the reason that several parts share, said of all of them, '' where they share none;
    ``marks``: what is printed on a part.  With ``trials`` there are tests: steps of the kind
    "test" say what the first trial, or the one that a test names, shows on the board as it then is.
    Parts that the layout does not hold have no step; what ``order`` leaves out comes at its end.
    """
    if order:
        plan = with_sights(circuit, layout, completed(circuit, layout, order), trials)
    else:
        plan = best_plan(circuit, layout, trials)
    return _Maker(circuit, layout, reasons, shared, marks, plan).steps()


class _Maker:
    """The words of all steps of one plan."""

    def __init__(
        self, circuit: Circuit, layout: Layout, reasons: Mapping[str, str],
        shared: Callable[[Sequence[str]], str], marks: Marks, plan: Plan,
    ) -> None:  # fmt: skip
        self.circuit, self.reasons, self.shared, self.marks = circuit, reasons, shared, marks
        self.plan = plan
        self.layout = layout.stacked(planned.wires for planned in plan.steps)
        self.strips = strip_nets(circuit, layout)
        self.nets = {strip: net_words(circuit, net) for strip, net in self.strips.items()}
        self.whole = whole_rails(circuit, layout)
        self.supply = tuple(p.id for p in circuit.parts if kind_of(p) == "supply" and p.id in layout.holes)

    def steps(self) -> tuple[Step, ...]:
        """Make all steps, with the look over the board before the supply goes on for good."""
        out: list[Step] = []
        done: list[ListStep] = []
        before = partial(self.layout, ())
        checked = False
        for index, planned in enumerate(self.plan.steps):
            parts = tuple(self.circuit.by_id[name] for name in planned.parts if name in self.layout.holes)
            spells = self.plan.sights.get(index, ())
            if any(kind_of(part) == "supply" for part in parts) and not checked:
                out.append(self.look_over(len(out) + 1, before))
                checked = True
            number = len(out) + 1
            if parts or planned.wires:
                done.append(planned)
                after = partial(self.layout, done)
                out.append(
                    self.thing(
                        number, planned, parts, before, after, () if planned.test is not None else spells
                    )
                )
                before, number = after, number + 1
            if planned.test is not None and spells:
                out.append(self.test(number, before, spells))
        if not checked:
            out.append(self.look_over(len(out) + 1, before))
        return tuple(out)

    def thing(
        self,
        number: int,
        planned: ListStep,
        parts: Sequence[Part],
        before: Layout,
        after: Layout,
        spells: Sequence[Spell],
    ) -> Step:
        """A step that puts something down."""
        wires = planned.wires
        names = tuple(part.id for part in parts)
        if len(parts) > 1 and len({(part.type.id, part.value) for part in parts}) == 1:
            pieces = [say_group(parts, self.layout, self.marks)]
        else:
            pieces = [say_part(part, self.layout, self.marks) for part in parts]
        said = say_things([*pieces, *say_wires(self.circuit, self.layout, wires, before)])
        why = planned.why or " ".join(
            dict.fromkeys(filter(None, (self.whys(parts) if parts else "", *self.wire_whys(wires))))
        )
        callout = said.callout
        if self.whole & (self.rails(after) - self.rails(before)) and not self.whole & self.rails(before):
            callout = f"{callout} {rails_words(self.whole)}".strip()
        check = said.check
        if spells and (seen := sight_words(self.circuit, spells)):
            check = say(CHECK["seen"], check=check, seen=seen)
        kind: Kind = kind_of(parts[0]) if parts else "wire"
        return Step(number, kind, said.title, said.text, why, check, callout, names, wires, before, after)

    def test(self, number: int, before: Layout, spells: Sequence[Spell]) -> Step:
        """A step that switches on, looks, and switches off again."""
        holes = {**before.holes, **{name: self.layout.holes[name] for name in self.supply}}
        powered = Layout(before.board, holes, before.wires)
        on = bool(set(self.supply) & set(before.holes))
        key = "look" if on else "test"
        known = facts(self.circuit.supply, self.layout)
        known["seen"] = sight_words(self.circuit, spells)
        hands = [spell.cause.part for spell in spells if spell.cause]
        lights = [sight.part for spell in spells for sight in spell.sights]
        return Step(
            number, "test", say(TITLE[key]), say(TEXT[key], **known), say(WHY["test"]),
            say(CHECK["test"]), "" if on else say(CALLOUT["supply"]), (), (), before, powered,
            tuple(dict.fromkeys((*self.supply, *hands, *lights))),
        )  # fmt: skip

    def look_over(self, number: int, board: Layout) -> Step:
        """The look over the finished board."""
        check = " ".join(final_checks(self.circuit, self.layout))
        return Step(
            number,
            "check",
            say(TITLE["check"]),
            say(TEXT["check"]),
            say(WHY["check"]),
            check,
            "",
            (),
            (),
            board,
            board,
        )

    def rails(self, board: Layout) -> frozenset[str]:
        """The rails in which something stands."""
        return frozenset(rail for hole, _ in board.used() if (rail := board.board.rail_of(hole)))

    def wire_whys(self, wires: Sequence[int]) -> list[str]:
        """The reasons of the wires of one step; of several each with its wire."""
        said = [
            self.reasons.get(f"wire {index + 1}") or wire_why(self.circuit, self.layout, index, self.strips)
            for index in wires
        ]
        if len(set(said)) < 2:
            return said
        return [
            say(WHY["each"], id=ends_words(self.layout.wires[index]), why=why)
            for index, why in zip(wires, said, strict=True)
        ]

    def whys(self, batch: Sequence[Part]) -> str:
        """The reasons of the parts of one step, and what hangs on legs that are joined inside them."""
        joints = [joint_words(self.circuit, self.layout, part, self.nets) for part in batch]
        return " ".join(filter(None, (self.reasons_of(batch), *joints)))

    def reasons_of(self, batch: Sequence[Part]) -> str:
        """The reasons of the parts of one step: one for all, or each with its part."""
        if len(batch) > 1 and (one := self.shared([part.id for part in batch])):
            return one
        said = {
            part.id: with_subject(part.id, self.reasons.get(part.id, "")) or part_why(self.circuit, part)
            for part in batch
        }
        if len(set(said.values())) == 1:
            return said[batch[0].id]
        return " ".join(
            why if why.startswith(f"{name} ") else say(WHY["each"], id=name, why=why)
            for name, why in said.items()
            if why
        )
