"""Every picture of a lesson, made once and used by the article and by the PNG files."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Literal

from buildalong.board import Layout
from buildalong.build.steps import Step
from buildalong.circuit import Circuit
from buildalong.drawing import Picture, board_picture, part_picture, rows_in_use, tilted_picture
from buildalong.drawing.motion import Motion, Replay, build_motion
from buildalong.drawing.schematic import (
    STANDARDS,
    SchematicLayout,
    check,
    draw_layout,
    name_nets,
    symbol_picture,
)  # fmt: skip
from buildalong.drawing.schematic import picture as schematic_picture
from buildalong.drawing.screen import thumbnail
from buildalong.guide import Guide
from buildalong.lesson import Compiled, Lesson
from buildalong.publish._closeups import closeups_of, new_wires
from buildalong.publish._rows import rows_of, supply_said
from buildalong.publish._trials import TrialPictures, draw_trials, replay_of_trials
from buildalong.publish._variant import Variant, variant_of
from buildalong.store import Store, kept
from buildalong.words import language

__all__ = [
    "Crop", "Pictures", "crop_of_steps", "draw", "parts_and_symbols", "schematic_layout",
    "schematic_picture_of", "step_picture",
]  # fmt: skip

MOST_ROWS = 30
"""Steps on more rows than this are shown from nearer."""
Crop = Literal["new"] | tuple[int, int] | None


@dataclass(frozen=True)
class Pictures:
    """The pictures by what they show; ``parts`` by type and value as the first part's reference."""

    schematic: Picture | None = None
    board: Picture | None = None
    nets: Picture | None = None
    """The finished board with every net tinted and named."""
    tilted: Picture | None = None
    """The finished board from above and aside."""
    thumbnail: Picture | None = None
    """What stands for the lesson where only one small picture can stand."""
    steps: Mapping[int, Picture] = field(default_factory=dict)
    before: Mapping[int, Picture] = field(default_factory=dict)
    closeups: Mapping[int, tuple[Picture, ...]] = field(default_factory=dict)
    """By step: right and wrong side by side, for what is easily put in wrong there."""
    parts: Mapping[str, Picture] = field(default_factory=dict)
    symbols: Mapping[str, Picture] = field(default_factory=dict)
    """By part type: its graphical symbol."""
    trials: TrialPictures = field(default_factory=TrialPictures)
    build: Motion | None = None
    replay: Replay | None = None
    variant: Variant = field(default_factory=Variant)

    def named(self) -> dict[str, Picture]:
        """File name without ending -> picture, for the PNG and SVG files of a pack."""
        out: dict[str, Picture] = {}
        if self.schematic:
            out["schematic"] = self.schematic
        if self.board:
            out["board"] = self.board
        if self.nets:
            out["board-nets"] = self.nets
        if self.tilted:
            out["board-tilted"] = self.tilted
        if self.thumbnail:
            out["thumbnail"] = self.thumbnail
        for number, picture in self.before.items():
            out[f"step-{number:02d}-before"] = picture
        for number, picture in self.steps.items():
            out[f"step-{number:02d}"] = picture
        for number, pair in self.closeups.items():
            for index, picture in enumerate(pair, start=1):
                out[f"step-{number:02d}-closeup-{index}"] = picture
        for number, picture in enumerate(self.trials.waveforms.values(), start=1):
            out[f"waveforms-{number}"] = picture
        for reference, picture in self.trials.strips.items():
            out[f"inside-{reference}"] = picture
        for reference, picture in self.parts.items():
            out[f"part-{reference}"] = picture
        for kind, picture in self.symbols.items():
            out[f"symbol-{kind}"] = picture
        return out


def draw(
    compiled: Compiled,
    tell: Callable[[str], None] = lambda what: None,
    store: Store | None = None,
    variant: Variant | None = None,
    guide: Guide | None = None,
    schematic: Callable[[], SchematicLayout] | None = None,
    drawn: Callable[[Picture], None] = lambda picture: None,
) -> Pictures:
    """Draw everything that a compiled lesson has; ``tell`` hears what is being drawn.

    ``variant`` is what the lesson asks for where nothing else is asked; with a ``guide`` dangerous slips
    are shown beside their steps.  ``schematic`` gives the schematic's layout where it was begun before.
    """
    variant = variant or variant_of(compiled.lesson)
    view, tone = variant.view, variant.tone
    circuit, layout = compiled.circuit, compiled.layout
    tell("schematic")
    plan = replay = None
    if circuit.parts:
        shape = schematic() if schematic is not None else schematic_layout(compiled.lesson, store)
        plan = schematic_picture_of(compiled.lesson, store, variant, lambda: shape)
        replay = replay_of_trials(compiled, shape, view, tone)
    tell("board")
    board = nets = tilted = small = None
    if layout is not None:
        board = board_picture(
            circuit, layout, muted=False, highlight_holes=False, crop="auto", view=view, tone=tone
        )
        nets = board_picture(
            circuit,
            layout,
            muted=False,
            highlight_holes=False,
            net_labels=True,
            crop="auto",
            view=view,
            tone=tone,
        )
        tilted = tilted_picture(circuit, layout, view=view, tone=tone)
        small = thumbnail(compiled.lesson.title, (supply_said(compiled.circuit),), board, tone)
        for picture in (board, nets, tilted, small):
            drawn(picture)
    crop = crop_of_steps(layout) if layout is not None else None
    steps: dict[int, Picture] = {}
    before: dict[int, Picture] = {}
    for step in compiled.steps:
        tell(f"step {step.number} of {len(compiled.steps)}")
        steps[step.number] = step_picture(circuit, step, crop, variant)
        drawn(steps[step.number])
        if step.parts or step.wires:
            before[step.number] = step_picture(circuit, step, crop, variant, hide_new=True)
            drawn(before[step.number])
    tell("parts")
    parts, symbols = parts_and_symbols(compiled.lesson, variant)
    trials = draw_trials(compiled, tell, tone)
    tell("build")
    build = None
    if layout is not None:
        build = build_motion(circuit, layout, compiled.steps, "b", view=view, tone=tone)
    closeups = closeups_of(circuit, compiled.steps, guide, view=view, tone=tone)
    for pair in closeups.values():
        for picture in pair:
            drawn(picture)
    return Pictures(
        plan, board, nets, tilted, small, steps, before, closeups, parts, symbols, trials, build, replay,
        variant,
    )  # fmt: skip


def parts_and_symbols(lesson: Lesson, variant: Variant) -> tuple[dict[str, Picture], dict[str, Picture]]:
    """A picture of each row of the parts list by its first part, and the symbol of each type."""
    circuit, tone, standard = lesson.circuit, variant.tone, STANDARDS[lesson.symbols]
    parts = {row.parts[0].id: part_picture(row.parts[0], tone=tone) for row in rows_of(circuit)}
    return parts, {part.type.id: symbol_picture(part, standard, tone=tone) for part in circuit.parts}


def schematic_layout(
    lesson: Lesson, store: Store | None, going_on: Callable[[], None] = lambda: None
) -> SchematicLayout:
    """The schematic's layout; one in the store saves the search, and is checked like any other.

    ``going_on`` is called again and again during the search; what it raises ends it.
    """
    circuit, standard = lesson.circuit, STANDARDS[lesson.symbols]

    def sound(layout: SchematicLayout) -> bool:
        return not check(circuit, layout)

    def made() -> SchematicLayout:
        return draw_layout(circuit, standard=standard, hints=lesson.hints, going_on=going_on)

    question = (circuit, standard, [list(hint) for hint in lesson.hints], language())
    return kept(store, "schematic", question, SchematicLayout, made, sound)


def schematic_picture_of(
    lesson: Lesson, store: Store | None, variant: Variant | None = None,
    begun: Callable[[], SchematicLayout] | None = None,
) -> Picture:  # fmt: skip
    """The schematic of a lesson with the names of its nets, as on the board and beside the waveforms.

    Its layout is kept in the store, or was ``begun`` before.
    """
    layout = begun() if begun is not None else schematic_layout(lesson, store)
    tone = (variant or variant_of(lesson)).tone
    named = name_nets(lesson.circuit, layout)
    return schematic_picture(lesson.circuit, named, STANDARDS[lesson.symbols], tone=tone)


def step_picture(
    circuit: Circuit, step: Step, crop: Crop, variant: Variant, *, hide_new: bool = False, alone: bool = False
) -> Picture:
    """The board with what a step brings, or before it, or what it brings alone on a clear ground.

    A step that brings nothing asks to compare the whole board: all of it is in full colour, and all rows
    in use are shown.
    """
    supply = [name for name in step.shows if name not in step.before.holes]  # of a test
    compare = not (step.parts or step.wires)
    return board_picture(
        circuit, step.after, new_parts=step.parts or supply, new_wires=new_wires(step), muted=not compare,
        crop="auto" if compare and crop == "new" else crop, hide_new=hide_new, alone=alone, labels=not alone,
        highlight_holes=not alone, view=variant.view, tone=variant.tone,
    )  # fmt: skip


def crop_of_steps(layout: Layout) -> Crop:
    """The rows in use and one more, the same in every step; on a long board those around what is new."""
    first, last = rows_in_use(layout)
    return (first, last) if last - first < MOST_ROWS else "new"
