"""The inside of an IC as a block diagram with the live levels of a run, one moment or a strip of them."""

from __future__ import annotations

import re
from collections.abc import Sequence

from buildalong.drawing import _palette as palette
from buildalong.drawing import _text
from buildalong.drawing._palette import Tone
from buildalong.drawing._picture import Picture
from buildalong.drawing._svg import Svg
from buildalong.drawing.inside import _words as words
from buildalong.drawing.inside._moments import Look, looks
from buildalong.drawing.inside._plan import draw_plan, pin_name, plan_size, said_level_of
from buildalong.drawing.inside._state import Moment, State, moment_at, state_at, usual
from buildalong.quantity import format_quantity
from buildalong.words import NO_BREAK, capital, listed, say

__all__ = ["Look", "Moment", "State", "inside_picture", "inside_strip", "inside_words", "looks", "moment_at",
           "state_at", "usual"]  # fmt: skip

CAPTION, LINE = 19.5, 24.5
GAP, MARGIN = 24.0, 8.0
COLUMNS = 2
_IN_BRACKETS = re.compile(r" (?=\(\d\))")


def inside_picture(state: State, *, tone: Tone = palette.PLAIN, live: bool = False) -> Picture:
    """Draw the inside of an IC at a moment (see :func:`state_at`); raises ValueError without a plan.

    With ``live`` a page may change the voltages: each names its net (``data-net``).
    """
    plan = state.part.type.inside
    if plan is None:
        raise ValueError(f"{state.part.type.id} has no plan of its inside")
    width, height = plan_size(plan)
    title = say(words.TITLE, part=state.part.id)
    size = (width + 2 * MARGIN, height + 2 * MARGIN)
    svg = Svg(*size, title=title, alt=inside_words(state, live=live), background=palette.PAPER, tone=tone)
    draw_plan(svg, state, MARGIN, MARGIN, live=live)
    return svg.picture()


def inside_strip(
    found: Sequence[Look], numbers: Sequence[str] = (), *, tone: Tone = palette.PLAIN
) -> Picture:
    """Draw several looks inside one IC, two beside each other, each above its sentence.

    ``numbers`` are those that the story gives the sentences, "" for none.  Raises ValueError for no
    looks, or for a part without a plan.
    """
    part = found[0].state.part if found else None
    if part is None or part.type.inside is None:
        raise ValueError("there is nothing to look into")
    width, height = plan_size(part.type.inside)
    across = min(COLUMNS, len(found))
    captions = [_wrapped(look.caption, width - 44) for look in found]
    rows = [captions[i : i + across] for i in range(0, len(found), across)]
    tall = [height + 14 + LINE * max(map(len, row)) for row in rows]
    spare = len(found) % across > 0
    key = _wrapped(_key(found, numbers), width - 80 if spare else across * width)
    said = [say(words.STRIP, count=len(found), part=part.id, noun=say(part.type.noun))]
    for order, look in enumerate(found, start=1):
        said.append(say(words.LOOK, number=order, caption=look.caption, alt=inside_words(look.state)))
    wide = 2 * MARGIN + across * width + (across - 1) * GAP
    svg = Svg(
        wide, 2 * MARGIN + sum(tall) + GAP * len(rows) + (0 if spare else LINE * len(key)),
        title=say(words.TITLE, part=part.id), alt=" ".join(said), background=palette.PAPER, tone=tone,
    )  # fmt: skip
    y = MARGIN
    for row, space in enumerate(tall):
        for column in range(min(across, len(found) - row * across)):
            index = row * across + column
            x = MARGIN + column * (width + GAP)
            draw_plan(svg, found[index].state, x, y)
            number = numbers[index] if index < len(numbers) else ""
            if number:
                _badge(svg, x + 17, y + height + 14, number)
            for line, text in enumerate(captions[index]):
                svg.text(x + 40, y + height + 20 + line * LINE, text, CAPTION, fill=palette.INK)
        y += space + GAP
    x, y = MARGIN, y + 6
    if spare:  # in the last row's empty place
        x += width + GAP + 40
        y += (height - LINE * len(key)) / 2 - space - GAP
    for line, text in enumerate(key):
        svg.text(x, y + line * LINE, text, CAPTION, fill=palette.INK_SOFT)
    return svg.picture()


def _key(found: Sequence[Look], numbers: Sequence[str]) -> str:
    """What strokes and signs mean, of those that are there; where the nets are that the sentences name."""
    part = found[0].state.part
    forms = {block.form for block in part.type.inside.blocks} if part.type.inside else set()
    bits = [say(words.KEY)]
    if forms & {"comparator", "amplifier"}:
        bits.append(say(words.KEY_BITS))
    if "ring" in forms:
        bits.append(say(words.KEY_PLACES))
    if any(look.state.soon for look in found):
        bits.append(say(words.KEY_SOON))
    pins: dict[str, list[str]] = {}
    for terminal, net in zip(part.type.terminals, part.nets, strict=True):
        if net is not None and any(re.search(rf"\b{re.escape(net)}\b", look.caption) for look in found):
            pins.setdefault(net, []).append(pin_name(terminal.shown))
    bits += [
        say(words.KEY_NETS, net=net, pins=listed(names)) for net, names in pins.items() if names != [net]
    ]
    told = [int(number) for number in numbers if number.isdigit()]
    if told and told != list(range(1, len(told) + 1)):
        bits.append(say(words.KEY_NUMBERS))
    return " ".join(bits)


def inside_words(state: State, *, live: bool = False) -> str:
    """What the picture of the inside shows, in words; with ``live`` without time and volts, which change."""
    part, plan = state.part, state.part.type.inside
    frame = say(words.FRAME, part=part.id, noun=say(part.type.noun), time=_time(state.time))
    bits = [f"{say(words.TITLE, part=part.id)}." if live else frame]
    for block in plan.blocks if plan else ():
        if not block.title or state.idle(block.cell):
            continue
        if block.shows:
            now = state.cells.get(block.shows, "")
            word = say(block.says.get(now, now) or words.OFF)
            bits.append(say(words.BLOCK, title=capital(say(block.title)), word=word))
        elif block.when is not None:
            word = say(block.on if state.holds(block.when) else block.off)
            bits.append(say(words.BLOCK, title=capital(say(block.title)), word=word))
    if live:
        return " ".join(bits)
    pins = [
        say(words.PIN, name=terminal.shown, level=said_level_of(state, terminal.name))
        for terminal in part.type.terminals
    ]
    bits.append(say(words.PINS, pins=", ".join(pins)))
    return " ".join(bits)


def _badge(svg: Svg, x: float, y: float, number: str) -> None:
    """The number that the story gives a sentence."""
    svg.circle(x, y, 15, fill=palette.PAPER, stroke=palette.ACCENT, stroke_width=2)
    svg.text(x, y + 0.334 * CAPTION, number, CAPTION, anchor="middle", style="bold", fill=palette.ACCENT)


def _wrapped(text: str, room: float) -> tuple[str, ...]:
    """Lines of a sentence; a number in brackets stays with its word."""
    return _text.wrap(_IN_BRACKETS.sub(NO_BREAK, text), CAPTION, room)


def _time(seconds: float) -> str:
    return "0 s" if seconds == 0 else format_quantity(seconds, "s", 3)
