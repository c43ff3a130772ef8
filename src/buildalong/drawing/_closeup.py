"""Close-ups: what is easily put in wrong, right and wrong side by side."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

from buildalong.board import Layout, hole_words
from buildalong.circuit import Circuit, Part
from buildalong.drawing import _palette as palette
from buildalong.drawing import _text
from buildalong.drawing._closeup_key import KEY, draw_key, keys_of
from buildalong.drawing._closeup_labels import Labelled, draw_labels
from buildalong.drawing._closeup_panel import draw_panel
from buildalong.drawing._closeup_window import Pane, Panel, window_of
from buildalong.drawing._frame import Point, View
from buildalong.drawing._ground import MARK
from buildalong.drawing._nets import net_colours
from buildalong.drawing._palette import NetColour, Tone
from buildalong.drawing._picture import Picture
from buildalong.drawing._scene import Scene
from buildalong.drawing._slip_words import slip_words
from buildalong.drawing._slips import misplaced, two_wires, without_bridge
from buildalong.drawing._svg import Svg
from buildalong.drawing._words import BRIDGE_RIGHT, BRIDGE_WRONG, FROM_TO, placed_words
from buildalong.parts import Slip
from buildalong.words import say

__all__ = ["bridge_closeup", "closeup", "slip_closeup"]

WIDE, GUTTER, HEAD, GAP = 240.0, 32.0, 36.0, 8.0
"""Width of one panel, room at the side with numbers, for its heading, between and around panels."""
MOST_TALL = 320.0
"""Height of a window at most; a longer part is shown smaller."""
LARGEST = 1.7
"""Enlargement at most."""


def closeup(
    circuit: Circuit, layout: Layout, part: str, slip: Slip, *, danger: bool = False, view: View = "top",
    tone: Tone = palette.PLAIN,
) -> Picture | None:  # fmt: skip
    """Show a part as it stands in ``layout`` beside the same part put in wrong.

    ``slip`` is one of the part type's slips; None where it moves no lead of the part.  ``danger`` puts a
    warning sign beside the wrong one.
    """
    item = circuit.by_id[part]
    wrong = misplaced(item, layout, slip.kind)
    if wrong is None:
        return None
    alone = Circuit((item,))
    # Only the part itself is shown: what stands around it would hide what matters.
    layouts = [replace(each, holes={part: each.holes[part]}, wires=()) for each in (layout, wrong)]
    holes = [hole for each in layouts for hole in each.holes[part]]
    words = (placed_words(item, layout), slip_words(item, layout, wrong, slip, view))
    return _pair(
        say("Right and wrong: {part}", part=part),
        alone,
        layouts,
        item,
        holes,
        words,
        view,
        tone,
        danger,
        net_colours(circuit, layout),
        moved=slip.kind == "off-by-one",
    )


def slip_closeup(
    circuit: Circuit, right: Layout, wrong: Layout, subject: str, sentence: str, *, danger: bool = False,
    view: View = "top", tone: Tone = palette.PLAIN,
) -> Picture | None:  # fmt: skip
    """Show a part ("R1") or a wire ("wire 2") of the right board beside the same on a wrong one.

    ``sentence`` says what is wrong; None where both boards hold it in the same way.
    """
    item: Part | None = None
    if subject.startswith("wire "):
        wire, other = two_wires(right, wrong, int(subject[5:]) - 1)
        layouts = [replace(right, holes={}, wires=(each,) if each else ()) for each in (wire, other)]
        ends = [(wire.start, (other or wire).start), (wire.end, (other or wire).end)]
        # Where one end has moved, only that end is shown.
        holes = [hole for end in ends if other is None or end[0] != end[1] for hole in end]
        words = (say(FROM_TO, first=hole_words(wire.start), last=hole_words(wire.end)), sentence)
        alone, title = circuit, say("a wire")
    else:
        item = circuit.by_id.get(subject)
        if item is None or subject not in right.holes:
            return None
        stand = [{subject: each.holes[subject]} if subject in each.holes else {} for each in (right, wrong)]
        layouts = [replace(right, holes=here, wires=()) for here in stand]
        holes = [hole for here in stand for hole in here.get(subject, ())]
        words = (placed_words(item, right), sentence)
        alone, title = Circuit((item,)), subject
    if layouts[0] == layouts[1] or not all(hole in right.board.holes for hole in holes):
        return None
    return _pair(
        say("Right and wrong: {part}", part=title), alone, layouts, item, holes, words, view, tone, danger,
        net_colours(circuit, right),
    )  # fmt: skip


def bridge_closeup(
    circuit: Circuit, layout: Layout, wire: int, *, view: View = "top", tone: Tone = palette.PLAIN
) -> Picture | None:
    """Show a wire that joins the two halves of a rail beside the gap left open; None for other wires."""
    if without_bridge(layout, wire) is None:
        return None
    link = layout.wires[wire]
    layouts = [replace(layout, holes={}, wires=wires) for wires in ((link,), ())]
    words = say(BRIDGE_RIGHT), say(BRIDGE_WRONG)
    holes = [link.start, link.end]
    return _pair(
        say("Right and wrong: {part}", part=say("the gap in the rail")),
        circuit,
        layouts,
        None,
        holes,
        words,
        view,
        tone,
    )


def _pair(
    title: str, circuit: Circuit, layouts: Sequence[Layout], part: Part | None, holes: Sequence[str],
    words: tuple[str, str], view: View, tone: Tone, danger: bool = False,
    colours: Mapping[str, NetColour] | None = None, moved: bool = False,
) -> Picture:  # fmt: skip
    """``colours`` are those of nets; where the whole part has ``moved``, the wrong board shows its place."""
    board = layouts[0].board
    ys = [board.holes[hole][1] for hole in holes]
    rows = (max(1, math.floor(min(ys)) - 4), min(board.rows, math.ceil(max(ys)) + 4))
    tints = _tints(part, layouts, colours or {})
    right, wrong = (Scene(circuit, each, view, rows) for each in layouts)
    panels = [
        Panel(True, right, part, tints, None, tuple(holes), moved),
        Panel(False, wrong, part, tints, right if moved else None, tuple(holes), moved),
    ]
    gutter = 0.0 if view == "turned" else GUTTER
    room = WIDE - gutter
    window = window_of(panels, holes, room)
    scale = min(room / (window[2] - window[0]), MOST_TALL / (window[3] - window[1]), LARGEST)
    scale = round(scale, 2)  # as it is written, so that what is drawn beside the panel meets what is in it
    tall = (window[3] - window[1]) * scale
    lines = _text.wrap(words[1], MARK, 2 * WIDE + GAP - 8)
    width = 2 * WIDE + 3 * GAP
    keys = keys_of(part, moved=moved)
    below = HEAD + MARK + 8 + tall + 14
    height = below + KEY * len(keys) + len(lines) * MARK * 1.25 + GAP
    alt = say("Right: {right}. Wrong: {wrong}", right=words[0].removesuffix("."), wrong=words[1])
    svg = Svg(width, height, title=title, alt=alt, background=palette.PAPER, tone=tone)
    shown = (window[2] - window[0]) * scale
    boards = []
    for index, panel in enumerate(panels):
        left = GAP + index * (WIDE + GAP)
        pane = Pane(window, scale, (left + gutter + (room - shown) / 2, HEAD + MARK + 8))
        _heading(svg, panel, left, danger and not panel.good)
        boards.append(Labelled(panel, pane, draw_panel(svg, panel, pane)))
    draw_labels(svg, boards)
    for index, key in enumerate(keys):
        draw_key(svg, key, GAP + 4, below + KEY * index)
    for index, line in enumerate(lines):
        y = below + KEY * len(keys) + (index + 0.8) * MARK * 1.25
        svg.text(GAP + 4, y, line, MARK, fill=palette.WRONG)  # it is said of the wrong one
    return svg.picture()


def _tints(
    part: Part | None, layouts: Sequence[Layout], colours: Mapping[str, NetColour]
) -> dict[str, NetColour]:
    """Colours of strips, where the mistake is that leads share one, or that legs of one piece bridge two.

    They are those that the nets have in every picture of the circuit.  Both boards have those of the right
    one, where legs of one piece stand in strips of one colour.
    """
    if part is None:
        return {}
    strip_of, legs = layouts[0].board.strip_of, part.type.leg_terminals
    held = [[strip_of[hole] for hole in each.holes.get(part.id, ())] for each in layouts]
    if len({len(set(strips)) for strips in held if strips}) < 2 and len(set(legs)) == len(legs):
        return {}
    nets = zip(part.type.terminals, part.nets, strict=True)
    net_of = {terminal.name: net or "" for terminal, net in nets}
    tints: dict[str, NetColour] = {}
    for strips in held:
        for strip, leg in zip(strips, legs, strict=False):
            net = net_of[leg]
            if net in colours:
                tints.setdefault(strip, colours[net])
    return tints


def _heading(svg: Svg, panel: Panel, left: float, danger: bool) -> None:
    """A tick in a disc or a cross in a square, the word and which part it is; a warning sign for danger."""
    colour = palette.RIGHT if panel.good else palette.WRONG
    x, y = left + 14, 20.0
    strokes: tuple[tuple[Point, ...], ...]
    if panel.good:
        svg.circle(x, y, 12, fill=colour)
        strokes = (((x - 6, y), (x - 2, y + 5), (x + 6.5, y - 5)),)
    else:
        svg.rect(x - 11.5, y - 11.5, 23, 23, rx=3, fill=colour)
        strokes = (((x - 6, y - 6), (x + 6, y + 6)), ((x - 6, y + 6), (x + 6, y - 6)))
    for points in strokes:
        svg.polyline(
            points, fill="none", stroke="#FFFFFF", stroke_width=3.4, stroke_linecap="round",
            stroke_linejoin="round",
        )  # fmt: skip
    word = say("Right") if panel.good else say("Wrong")
    svg.text(x + 20, y + 7.5, word, 23, style="bold", fill=colour)
    end = x + 20 + _text.width(word, 23, "bold")
    if panel.part:
        svg.text(end + 12, y + 7.5, panel.part.id, 23, fill=palette.INK)
        end += 12 + _text.width(panel.part.id, 23, "regular")
    if danger:
        _warning(svg, end + 22, y)


def _warning(svg: Svg, x: float, y: float) -> None:
    """A triangle with an exclamation mark, the general warning sign's shape (ISO 7010, W001)."""
    corners = ((x, y - 13), (x + 15, y + 12), (x - 15, y + 12), (x, y - 13))
    svg.polyline(corners, fill=palette.WARNING, stroke=palette.INK, stroke_width=2.4, stroke_linejoin="round")
    svg.line(x, y - 4, x, y + 4, stroke=palette.INK, stroke_width=2.8, stroke_linecap="round")
    svg.circle(x, y + 8.2, 1.7, fill=palette.INK)
