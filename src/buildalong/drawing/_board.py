"""The picture of a board with parts and wires."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from contextlib import contextmanager, nullcontext
from functools import cached_property
from typing import Literal

from buildalong.board import Layout, strip_nets
from buildalong.circuit import Circuit
from buildalong.drawing import _palette as palette
from buildalong.drawing import _text
from buildalong.drawing._active import draw_active
from buildalong.drawing._extent import extent, widened
from buildalong.drawing._frame import View
from buildalong.drawing._ground import MARK, draw_ground, draw_taken
from buildalong.drawing._label_field import Obstacles
from buildalong.drawing._labels import Placed, Tag, place
from buildalong.drawing._look import look_of, marking_of
from buildalong.drawing._marks import (
    PlacedMark,
    counted,
    draw_mark,
    guides,
    ink,
    placed_marks,
    rail_numbers,
    torn_marks,
    whole_marks,
    write_rail_number,
)  # fmt: skip
from buildalong.drawing._nets import net_colours
from buildalong.drawing._obstacles import obstacles, with_room
from buildalong.drawing._palette import NetColour, Tone
from buildalong.drawing._pen import Pen
from buildalong.drawing._picture import Picture
from buildalong.drawing._scene import Scene, rows_around, rows_in_use, wide_enough
from buildalong.drawing._svg import Svg
from buildalong.drawing._tags import LABEL, BoardTags
from buildalong.drawing._text import Style
from buildalong.drawing._wires import draw_flexible, draw_formed
from buildalong.drawing._words import board_words
from buildalong.drawing._written import write_label
from buildalong.drawing.bodies import Body, draw_body
from buildalong.drawing.bodies._beside import BESIDE, Beside, draw_beside, lead_colour
from buildalong.words import say

__all__ = ["board_picture"]

ON_BOARD, ON_BODY = (10.0, 5.6, 2.6), (4.8, 3.8, 2.0)
"""A ring around a hole: its radius, its light rim, which tells it from a body of the same colour, itself."""


def board_picture(
    circuit: Circuit,
    layout: Layout,
    *,
    new_parts: Collection[str] = (),
    new_wires: Collection[int] = (),
    muted: bool = True,
    labels: bool = True,
    values: bool = True,
    net_labels: bool = False,
    view: View = "top",
    highlight_holes: bool = True,
    crop: Literal["auto", "new"] | tuple[int, int] | None = None,
    hide_new: bool = False,
    alone: bool = False,
    active: Collection[str] = (),
    tone: Tone = palette.PLAIN,
    stages: Mapping[str | int, int] | None = None,
    live: bool = False,
) -> Picture:
    """Draw a board as the learner sees it from above, true to size (10 units to the millimetre).

    ``new_parts`` (ids) and ``new_wires`` (indices into ``layout.wires``) are in full colour, with
    their holes ringed and named if ``highlight_holes``; everything else is muted if ``muted`` and
    anything is new.  Parts of the circuit that the layout does not hold are not drawn.
    Without ``values`` the labels name the parts only.  ``net_labels`` tints the strips in use and names
    their nets.  ``view`` "turned" lays the rows from left to right; "half-turned" shows the board as it
    lies for a left hand, row 1 at the bottom.
    ``crop`` shows some rows only: "auto" those in use; "new" those around what is new (what lies
    beyond is cut off at a torn edge); or (first, last), widened to whatever is in use.
    What is new stands in groups of the class "fresh", so that a page can hide it; ``hide_new``
    leaves it out, for the same picture of the board before the step; ``alone`` draws only what is new,
    on a clear ground, to be laid over that picture.  ``active`` names parts that are at work: LEDs that
    shine, buttons that are pressed; with ``live`` what shows it stands in a group of the class "at-work"
    that names its part (``data-part``), so that a page can show and hide it.  ``tone`` is ``PLAIN`` or
    ``HIGH_CONTRAST``.  ``stages`` numbers parts (by id) and wires (by index) in the order in which
    they come: each stands in a group of the class "stage" with that number as ``--n``, so that a
    page can let them come one after the other.
    """
    rows = (1, layout.board.rows)
    if crop == "auto":
        rows = rows_in_use(layout)
    elif crop == "new":
        rows = rows_around(layout, new_parts, new_wires)
    elif crop is not None:
        rows = wide_enough(layout, crop)
    scene = Scene(circuit, layout, view, rows)
    new = frozenset(new_parts), frozenset(new_wires)
    drawing = _Drawing(
        scene, *new, muted, hide_new, alone, frozenset(active), tone, stages or {}, values, live
    )
    return drawing.draw(labels, net_labels, highlight_holes)


class _Drawing:
    def __init__(
        self, scene: Scene, parts: frozenset[str], wires: frozenset[int],
        muted: bool, hide: bool, alone: bool, active: frozenset[str], tone: Tone,
        stages: Mapping[str | int, int], values: bool, live: bool,
    ) -> None:  # fmt: skip
        self.values, self.live = values, live
        self.tone, self.stages = tone, stages
        self.scene, self.frame = scene, scene.frame
        self.hide, self.alone, self.active = hide, alone, active
        self.new_parts, self.new_wires = parts, wires
        self.any_new = bool(parts or wires)
        self.muting = muted and self.any_new

    def faded(self, new: bool) -> bool:
        return self.muting and not new

    @contextmanager
    def _fresh(self, svg: Svg, new: bool, what: str | int = "") -> Iterator[None]:
        """Put what is new, or what comes in a stage, into a group of its own, which a page may hide."""
        if new:
            with svg.group(class_="fresh"):
                yield
        elif what in self.stages:
            with svg.group(class_="stage", style=f"--n:{self.stages[what]}"):
                yield
        else:
            yield

    def draw(self, labels: bool, net_labels: bool, highlight: bool) -> Picture:
        scene, layout = self.scene, self.scene.layout
        words = BoardTags(scene, self.new_parts, self.new_wires, muting=self.muting, values=self.values)
        new_holes = words.new_holes() if highlight else ()
        tags = words.of_holes(new_holes)
        if labels:
            tags += words.of_parts()
        if net_labels:
            tags += words.of_nets(self._net_colours)
        placed = self._placed(tags, new_holes)
        strong = {int(hole[1:]) for hole in new_holes if hole[0] not in "LR"}
        marks = whole_marks(scene, self._marks, placed, new_holes)
        shown = [*(label.rect for label in placed), *(ink(mark) for mark in marks)]
        left, top, right, bottom = widened(extent(scene, self.active), shown)
        title = say("Breadboard")
        alt = board_words(scene.circuit, layout, self.new_parts, self.new_wires)
        svg = Svg(
            right - left,
            bottom - top,
            title=title,
            alt=alt,
            x=left,
            y=top,
            background=None if self.alone else palette.PAPER,
            tone=self.tone,
        )
        nets = self._strip_colours() if net_labels else {}
        if not self.alone:
            staged = self._staged_holes()
            later = {hole for holes in staged.values() for hole in holes}
            draw_ground(svg, self.frame, scene.used.keys() - later, nets)
            for stage, holes in sorted(staged.items()):
                with svg.group(class_="stage", style=f"--n:{stage}"):
                    draw_taken(svg, self.frame, holes)
            for start, end in guides(scene, marks):
                svg.line(*start, *end, stroke=palette.BOARD_EDGE, stroke_width=1.0, stroke_dasharray="1.5 4")
            self._draw_marks(svg, marks, strong, plates=False)
            for number, at in rail_numbers(scene, placed):
                write_rail_number(svg, number, at, plate=bool(nets))
        for beside in scene.beside:
            if not self._hidden(beside.part.id in self.new_parts):
                with self._fresh(svg, beside.part.id in self.new_parts, beside.part.id):
                    self._beside(svg, beside)
        self._say_cut(svg)
        self._laid(svg, new=False, rings=new_holes)
        self._laid(svg, new=True)
        if not self.alone:
            self._draw_marks(svg, marks, strong, plates=True)
        for part in scene.on_board:
            if part.id in self.active:
                with svg.group(class_="at-work", data_part=part.id) if self.live else nullcontext():
                    draw_active(svg, part, scene.poses[part.id])
        if not self.hide:
            self._ring(svg, [hole for hole in new_holes if hole in self._under])
        self._write(svg, placed)
        return svg.picture()

    def _hidden(self, new: bool) -> bool:
        return self.hide if new else self.alone

    @contextmanager
    def _cut(self, svg: Svg) -> Iterator[None]:
        """Cut off what lies beyond the rows shown, if anything does, before the letters there."""
        if not self.scene.frame.sliced:
            yield
            return
        with svg.group(clip_path=svg.ref("rows")):
            yield

    def _say_cut(self, svg: Svg) -> None:
        """Say once where that is."""
        if self.scene.frame.sliced:
            with svg.group("clipPath", id=svg.id("rows")):
                svg.polygon(self.frame.ragged)

    def _staged_holes(self) -> dict[int, set[str]]:
        """The holes that are taken in each stage: before it they are free."""
        layout = self.scene.layout
        out: dict[int, set[str]] = {}
        for what, stage in self.stages.items():
            wire = layout.wires[what] if isinstance(what, int) else None
            holes = (wire.start, wire.end) if wire else layout.holes.get(str(what), ())
            out.setdefault(stage, set()).update(holes)
        return out

    def _placed(self, tags: Sequence[Tag], ringed: Sequence[str]) -> tuple[Placed, ...]:
        """The tags placed, and again where that leaves fewer rows without a whole number."""
        placed = place(tags, self._obstacles(ringed))
        first = torn = torn_marks(self.scene, self._marks, placed, ringed)
        named = any(tag.key.startswith("net ") for tag in tags)  # these want their own rows more
        for firm in (False, True):
            if torn and firm and named:
                moved = whole_marks(self.scene, self._marks, placed, ringed)
                torn = torn_marks(self.scene, moved, placed, ringed)
            if torn:
                again = place(tags, self._obstacles(ringed, first, firm))
                lost = torn_marks(self.scene, self._marks, again, ringed)
                placed, torn = (again, lost) if len(lost) < len(torn) else (placed, torn)
        return placed

    def _obstacles(
        self, ringed: Collection[str], kept: Collection[str] = (), firm: bool = False
    ) -> Obstacles:
        limits = widened(extent(self.scene, self.active), [ink(mark) for mark in self._marks])
        everything = {*(part.id for part in self.scene.on_board), *range(len(self.scene.lines))}
        leads = [beside.part.id for beside in self.scene.beside for _ in beside.leads]
        first = len(self.scene.runs)
        fresh = {first + index for index, part in enumerate(leads) if part in self.new_parts}
        old = everything - self.new_parts - self.new_wires - fresh if self.muting else ()
        found = obstacles(self.scene, limits, self._marks, old, kept, firm)
        found.never += counted(self.frame, ringed)
        return with_room(found, self.frame.view)

    def _write(self, svg: Svg, placed: tuple[Placed, ...]) -> None:
        of_parts = [item for item in placed if item.tag.key.startswith("part ")]
        framed = palette.plates_vanish(self.tone)
        for item in placed:
            hole = item.tag.key.startswith("hole")
            net = item.tag.key.startswith("net")
            fresh = hole or item.tag.key.removeprefix("part ") in self.new_parts
            if self._hidden(fresh):
                continue
            new = fresh or not self.muting
            colour = palette.ACCENT if hole else palette.INK if new and not net else palette.INK_SOFT
            with self._fresh(svg, fresh, item.tag.key.removeprefix("part ")):
                rim = self._net_colours.get(item.text) if net else None
                style: Style = "bold" if new and not net else "regular"
                edge = palette.seen_on(palette.rim_on(rim.hex, palette.TAG), palette.TAG) if rim else None
                write_label(
                    svg,
                    item,
                    fill=colour,
                    style=style,
                    rim=edge,
                    bars=rim.bars if rim else 0,
                    over=self.scene.lines,
                    framed=framed,
                    beside=of_parts if item in of_parts else (),
                )

    @cached_property
    def _marks(self) -> tuple[PlacedMark, ...]:
        return placed_marks(self.scene)

    def _draw_marks(
        self, svg: Svg, marks: Sequence[PlacedMark], strong: Collection[int], plates: bool
    ) -> None:
        for placed in marks:
            if placed.plate is plates:
                draw_mark(svg, placed, placed.mark.row in strong)

    # -- drawing -----------------------------------------------------------------------------

    @cached_property
    def _net_colours(self) -> Mapping[str, NetColour]:
        return net_colours(self.scene.circuit, self.scene.layout)

    def _strip_colours(self) -> Mapping[str, NetColour]:
        colours = self._net_colours
        nets = strip_nets(self.scene.circuit, self.scene.layout)
        return {strip: colours[net] for strip, net in nets.items() if net in colours}

    def _laid(self, svg: Svg, new: bool, rings: Sequence[str] = ()) -> None:
        """What was there before, or what is new: that lies on top, as it does where it is drawn alone.

        Rings lie below bodies and flexible wires, for they must hide nothing of a part.
        """
        if self._hidden(new):
            return
        with self._cut(svg):
            self._wires(svg, new, flexible=False)
        if rings and not self.hide:
            self._ring(svg, [hole for hole in rings if hole not in self._under])
        with self._cut(svg):
            for part in self.scene.on_board:
                if (part.id in self.new_parts) is not new:
                    continue
                pose = self.scene.poses[part.id]
                with (
                    self._fresh(svg, new, part.id),
                    Pen(svg, self.faded(new)).body(pose) as pen,
                ):
                    draw_body(Body(pen, part, look_of(part.type), pose.legs))
            self._wires(svg, new, flexible=True)
        for beside in self.scene.beside:
            if (beside.part.id in self.new_parts) is not new:
                continue
            pen = Pen(svg, self.faded(new))
            with self._fresh(svg, new, beside.part.id):
                for lead, terminal in zip(beside.leads, beside.part.type.terminals, strict=False):
                    draw_flexible(pen, lead, lead_colour(terminal.role), bare_start=False)

    @cached_property
    def _under(self) -> frozenset[str]:
        """The holes that lie below a body."""
        scene = self.scene
        return frozenset(
            hole
            for hole in scene.used
            if any(scene.covers(part, self.frame.hole(hole)) for part in scene.on_board)
        )

    def _ring(self, svg: Svg, holes: Sequence[str]) -> None:
        """A ring around each hole in which something new stands; upon a body closely round the lead."""
        if not holes:
            return
        with self._fresh(svg, True):
            for hole in holes:
                x, y = self.frame.hole(hole)
                radius, *rings = ON_BODY if hole in self._under else ON_BOARD
                for colour, wide in zip((palette.TAG, palette.ACCENT), rings, strict=True):
                    svg.circle(x, y, radius, fill="none", stroke=colour, stroke_width=wide)

    def _wires(self, svg: Svg, new: bool, flexible: bool) -> None:
        for index, wire in self.scene.layout.stack:
            if (wire.style == "flexible") is not flexible or (index in self.new_wires) is not new:
                continue
            places = [self.frame.place(*at)[1] for at in self.scene.lines[index]]
            if not self.frame.reaches(places):
                continue
            pen, run = Pen(svg, self.faded(new)), self.scene.runs[index]
            with self._fresh(svg, new, index):
                if flexible:
                    draw_flexible(pen, run, wire.colour)
                else:
                    draw_formed(pen, self.frame, run, wire.colour)

    def _beside(self, svg: Svg, beside: Beside) -> None:
        part = beside.part
        faded = self.faded(part.id in self.new_parts)
        draw_beside(Pen(svg, faded, ground=palette.PAPER), beside)
        middle = beside.left + BESIDE[0] / 2
        top = beside.caption
        colour = palette.INK_SOFT if faded else palette.INK
        svg.text(middle, top + 22, part.id, LABEL, anchor="middle", style="bold", fill=colour)
        words = marking_of(part) or part.type.noun
        shown, size = _text.fit(words, MARK, BESIDE[0] + 16, least=MARK)
        svg.text(middle, top + 44, shown, size, anchor="middle", fill=colour)
