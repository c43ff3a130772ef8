"""Placing labels where they cover nothing that matters.

Each tag has many places upon or around what it names.  The cheapest set is found by moving one tag,
then two at a time, until nothing gets better.  The same input gives the same places.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from buildalong.drawing import _text
from buildalong.drawing._frame import PITCH, Point
from buildalong.drawing._in_row import Lane, beside_rows, outside_row, places_in_row, row_costs
from buildalong.drawing._label_field import (
    AWAY,
    Field,
    Floats,
    Obstacles,
    Rect,
    gaps,
    on_the_way,
    overlaps,
    reads_on,
)  # fmt: skip
from buildalong.drawing._text import Style

__all__ = ["PAD_X", "Placed", "Tag", "place"]

PAD_X, PAD_Y = 4.0, 3.5
LINE = 0.95
"""From one line of a label to the next, in sizes of its text."""
STACKED = 7.0
"""What it costs to stand in lines."""
APART = 3.0
"""Room between two labels."""
CLEAR = 12.0
"""Nearer than this, one label can be read as a line of the other."""
READ_ON = 60.0
"""What it costs the names of two parts to stand as if they were one."""
STRUCK = 240.0
"""What it costs a leader to run on behind another label, which it would seem to belong to."""
SHUNNED = 600.0
"""What it costs a leader to run over what is to be read on its own part."""
ROUNDS = 8
DEEP = 0.58
"""So far towards the middle of its rectangle a leader goes that has no better place to end."""
FAR, STEP = 110.0, 14.0
"""How far from what it names a label may stand, and from one place to the next beyond the nearest."""
STRANGE, STRANGER, BESIDE = 60.0, 120.0, 40.0
"""What it costs a label with a leader to stand nearer to another body, and more so the nearer it is."""
OF_PART = 1.7
"""How much more that costs the name of a part, which would seem to name the other."""
TWIN = 220.0
"""What it costs the name of a hole, or its leader, to lie over another that it could be taken to name."""
DOT = 7.0
"""Half the room of a leader's dot."""
LEVEL = 4.0
"""What it costs the name of a net to stand beside its strip, rather than upon it."""
LED = 10.0
"""What a leader costs, however short."""
MOST = 48
"""Places of a tag that are compared with those of the others: its best."""


@dataclass(frozen=True)
class Tag:
    """A label to place: its wordings, the best first, and the rectangle that it names.

    A wording with a line break stands in lines.
    """

    key: str
    wordings: tuple[str, ...]
    size: float
    around: Rect
    style: Style = "bold"
    tight: bool = False
    """Stays near: only the nearest places are tried."""
    slack: float = 16.0
    """Further than this from what it names it has a leader."""
    insist: float = 24.0
    """What a shorter wording costs."""
    clear: float = 1.0
    """By so much nearer than to any other body it stands to its own, or it has a leader."""
    upon: tuple[Point, ...] = ()
    """Centres at which it may lie right upon what it names, the best first."""
    pointed: bool = False
    """There it has a leader all the same, so that it is not read as a line of the label above or below it."""
    own: tuple[Rect, ...] = ()
    """Rectangles that cover what it names closely, if ``around`` does not."""
    ends: tuple[Point, ...] = ()
    """Where its leader may end: places of what it names that are in sight."""
    shun: tuple[Rect, ...] = ()
    """What is to be read on what it names: its leader runs over none of it."""
    twins: tuple[Rect, ...] = ()
    """What the name could be taken to name instead: neither it nor its leader lies over it."""
    lane: Lane | None = None
    """Of a hole's name: the row in which it should stand."""
    level: tuple[tuple[Lane, Rect], ...] = ()
    """Of a net's name: its strips with their rows, in which it reads best."""


@dataclass(frozen=True)
class Placed:
    """A tag at its place: the text's centre and the rectangle of its ground."""

    tag: Tag
    text: str
    rect: Rect
    leader: tuple[Point, Point] | None = None


def place(tags: Sequence[Tag], obstacles: Obstacles) -> tuple[Placed, ...]:
    """Find a place for each tag."""
    field = Field(obstacles)
    options = [_options(tag, field, _alike(tag, tags)) for tag in tags]
    out = []
    for tag, choices, at in zip(tags, options, _choose(options), strict=True):
        x0, y0, x1, y1 = map(float, choices.rects[at])
        ends = [(float(x), float(y)) for x, y in choices.lines[at]]
        leader = (ends[0], ends[1]) if ends[0][0] > AWAY else None
        out.append(Placed(tag, choices.texts[at], (x0, y0, x1, y1), leader))
    return tuple(out)


def _choose(options: Sequence[_Options]) -> list[int]:
    """Which place of each tag: one tag after another, then pairs that are in each other's way."""
    count = len(options)
    reach = [_reach(each) for each in options]
    clash = {
        (i, j): _clash(options[i], options[j])
        for i, (left, top, right, bottom) in enumerate(reach)
        for j, other in enumerate(reach)
        if i != j and left < other[2] and top < other[3] and other[0] < right and other[1] < bottom
    }
    """Of tags that can be in each other's way at all."""
    costs, chosen = _settled(options, clash, range(count))
    if _torn(clash, chosen):  # another beginning may lead out of it
        again, other = _settled(options, clash, range(count)[::-1])
        chosen = other if round(again, 6) < round(costs, 6) else chosen
    return chosen


def _torn(clash: Mapping[tuple[int, int], Floats], chosen: Sequence[int]) -> bool:
    """Whether a tag is still much in the way of another."""
    return any(each[chosen[i], chosen[j]] >= STRUCK for (i, j), each in clash.items())


def _settled(
    options: Sequence[_Options], clash: Mapping[tuple[int, int], Floats], order: Sequence[int]
) -> tuple[float, list[int]]:
    """What all places cost together, and which each tag has, where the first ones choose first."""
    found: dict[int, int] = {}

    def costs_of(index: int, without: int = -1) -> Floats:
        near = ((at, c) for at, c in sorted(found.items()) if (index, at) in clash and at != without)
        others = [clash[index, at][:, c] for at, c in near if at != index]
        return np.asarray(options[index].costs + sum(others))

    for index in order:
        found[index] = int(np.argmin(np.round(costs_of(index), 6)))
    count = len(options)
    for _ in range(ROUNDS):
        before = dict(found)
        for index in range(count):
            found[index] = int(np.argmin(np.round(costs_of(index), 6)))
        for one in range(count):
            for other in range(one + 1, count):
                if (one, other) not in clash or not clash[one, other].any():
                    continue
                both = costs_of(one, other)[:, None] + costs_of(other, one)[None, :] + clash[one, other]
                best = np.unravel_index(int(np.argmin(np.round(both, 6))), both.shape)
                found[one], found[other] = int(best[0]), int(best[1])
        if found == before:
            break
    chosen = [found[index] for index in range(count)]
    alone = sum(float(each.costs[at]) for each, at in zip(options, chosen, strict=True))
    pairs = sum(float(each[chosen[i], chosen[j]]) for (i, j), each in clash.items())
    return alone + pairs / 2, chosen


def _reach(options: _Options) -> Floats:
    """The rectangle around all places of a tag and their leaders, and the room beside them."""
    lines = options.lines[options.lines[:, 0, 0] > AWAY].reshape(-1, 2)
    least = np.concatenate([options.rects[:, :2], lines]).min(axis=0)
    most = np.concatenate([options.rects[:, 2:], lines]).max(axis=0)
    room = max(APART, CLEAR, DOT, PITCH)
    return np.concatenate([least - room, most + room])


def _clash(one: _Options, other: _Options) -> Floats:
    """What each place of one tag costs beside each of another, shape (len(one), len(other))."""
    areas, close = (
        overlaps(one.rects + np.array([-room, -room, room, room]), other.rects) for room in (APART, CLEAR)
    )
    led = on_the_way(one.lines, other.rects) | on_the_way(other.lines, one.rects).T
    return np.asarray(
        areas
        + 400.0 * (areas > 0)
        + 25.0 * (close > 0) * (not (one.rows and other.rows))  # these stand apart as their rows do
        + READ_ON * reads_on(one.rects, other.rects) * (one.part and other.part)
        + STRUCK * led
        + 150.0 * _crossed(one.lines, other.lines)
        + STRUCK * (_through(one.lines, other.lines) | _through(other.lines, one.lines).T)
    )


def _through(lines: Floats, others: Floats) -> NDArray[np.bool_]:
    """Whether each leader runs through where each of the others ends, shape (leaders, others)."""
    ends = others[:, 1]
    return on_the_way(lines, np.hstack([ends - DOT, ends + DOT])) & (ends[:, 0] > AWAY / 2)


@dataclass(frozen=True)
class _Options:
    texts: tuple[str, ...]
    rects: Floats
    lines: Floats
    """The ends of each leader, shape (n, 2, 2); AWAY where there is none."""
    costs: Floats
    rows: bool = False
    """Whether it stands in a row of its own, or points to what it names."""
    part: bool = False


def _alike(tag: Tag, tags: Sequence[Tag]) -> Floats:
    """What the other tags of its sort name: a hole's name must not stand at another ringed hole."""
    sort = tag.key.split()[0]
    found = [other.around for other in tags if other.key.split()[0] == sort and other is not tag]
    return np.array(found, float).reshape(-1, 4)


def _options(tag: Tag, field: Field, alike: Floats) -> _Options:
    texts: list[str] = []
    rects: list[Floats] = []
    costs: list[Floats] = []
    upon: list[NDArray[np.bool_]] = []
    shorter = 0.0
    for rank, text in enumerate(tag.wordings):
        lines_of = text.split("\n")
        stacked = len(lines_of) > 1
        shorter += tag.insist * (rank > 0 and not stacked)
        w = max(_text.width(line, tag.size, tag.style) for line in lines_of) + 2 * PAD_X
        h = tag.size * (0.72 + LINE * (len(lines_of) - 1)) + 2 * PAD_Y
        centres, worse = _centres(tag, w, h)
        half = np.array([w / 2, h / 2])
        rects.append(np.hstack([centres - half, centres + half]))
        costs.append(worse + shorter + STACKED * stacked)
        upon.append(np.arange(len(centres)) < len(tag.upon))
        texts += [text] * len(centres)
    placed = np.concatenate(rects)
    own = np.array(tag.own or (tag.around,))
    near = gaps(placed, own).min(axis=1)
    strangers = field.strangers(tag.key, own)
    away = gaps(placed, strangers).min(axis=1) if len(strangers) else np.full(len(placed), np.inf)
    led = near >= tag.slack
    if tag.lane:
        led |= outside_row(tag.lane, tag.around, placed)
    if tag.ends:  # The body next to a label must be its own, and clearly so where no leader tells it.
        led |= away < near + tag.clear
        led |= field.over_wires(placed)  # without one it would name the wire
        led |= field.to_leads(tag.key, placed) < near - 1.0  # or what the lead is of
        led |= _off_corner(placed, tag.around)
    lines = _leaders(placed, tag)
    if tag.ends and not tag.lane:
        led |= field.behind_wires(lines)  # what lies on the far side of a wire is not beside it
    led &= ~np.concatenate(upon)
    lines[~led] = AWAY
    long = np.where(led, np.hypot(*(lines[:, 1] - lines[:, 0]).T), 0.0)
    total = np.concatenate(costs) + LED * led + 0.5 * long + field.costs(placed)
    total += field.foreign(tag.key, placed)
    if tag.lane:
        total += row_costs(tag.lane, tag.around, placed, field.used)
    if tag.shun:
        total += SHUNNED * on_the_way(lines, np.array(tag.shun)).any(axis=1)
    if tag.twins:
        twins = np.array(tag.twins)
        total += TWIN * ((overlaps(placed, twins) > 0) | on_the_way(lines, twins)).any(axis=1)
    if tag.level:
        total += beside_rows(tag.level, placed)
    total += field.crossed(tag.key, lines, strangers, tag.around)
    total += ~led * (50.0 * (away < near + 1.0) + 25.0 * (away < near + tag.clear))
    strange = OF_PART if tag.key.startswith("part ") else 1.0
    total += strange * led * (away < near) * (STRANGE + STRANGER * (1.0 - away / BESIDE).clip(0.0))
    alike = alike[overlaps(alike, own).sum(axis=1) <= 0]
    if len(alike):
        total += 50.0 * (~led & (gaps(placed, alike).min(axis=1) < near + 0.5))
    coarse = np.argsort(np.round(total, 6), kind="stable")[: 4 * MOST]
    total[coarse] += field.fine.costs(placed[coarse])
    best = coarse[np.argsort(np.round(total[coarse], 6), kind="stable")][:MOST]
    said, of_part = tuple(texts[at] for at in best), tag.key.startswith("part ")
    return _Options(said, placed[best], lines[best], total[best], bool(tag.lane) or tag.pointed, of_part)


def _off_corner(rects: Floats, around: Rect) -> NDArray[np.bool_]:
    """Which of the places lie neither beside nor above nor below a rectangle, but off a corner."""
    least, most = np.array(around[:2]), np.array(around[2:])
    return np.asarray(((rects[:, :2] > most - 1.0) | (rects[:, 2:] < least + 1.0)).all(axis=1))


def _centres(tag: Tag, w: float, h: float) -> tuple[Floats, Floats]:
    """Where the centre of a label may lie, and what that costs: upon, close around, then further off."""
    left, top, right, bottom = tag.around
    cx, cy = (left + right) / 2, (top + bottom) / 2
    places: list[Point] = list(tag.upon)
    costs = [order * 0.2 for order in range(len(places))]
    for gap in (3, 9, 16) if tag.tight else (4, 10, 18):
        right_x, left_x = right + gap + w / 2, left - gap - w / 2
        over_y, under_y = top - gap - h / 2, bottom + gap + h / 2
        around = [
            (right_x, cy), (left_x, cy), (cx, over_y), (cx, under_y),
            (right_x, top + h / 2 - gap / 2), (right_x, bottom - h / 2 + gap / 2),
            (left_x, top + h / 2 - gap / 2), (left_x, bottom - h / 2 + gap / 2),
            (right_x, top), (right_x, bottom), (left_x, top), (left_x, bottom),
            (right - w / 2, over_y), (left + w / 2, over_y), (right - w / 2, under_y),
            (left + w / 2, under_y), (cx - w / 4, over_y), (cx + w / 4, over_y),
            (cx - w / 4, under_y), (cx + w / 4, under_y), (right_x, over_y), (left_x, over_y),
            (right_x, under_y), (left_x, under_y),
        ]  # fmt: skip
        places += around
        costs += [gap * 0.35 + order * 0.4 for order in range(len(around))]
    if tag.lane:
        in_row, worse = places_in_row(tag.lane, tag.around, w, h)
        places += [(float(x), float(y)) for x, y in in_row]
        costs += worse.tolist()
    for lane, strip in tag.level:
        in_row, worse = places_in_row(lane, strip, w, h)
        places += [(float(x), float(y)) for x, y in in_row]
        costs += (worse + LEVEL).tolist()
    if tag.tight:
        return np.array(places), np.array(costs)
    for x0, y0, x1, y1 in tag.own:  # close to a body that does not fill its rectangle
        for off in (4.0, 10.0):
            beside = [(x1 + off + w / 2, (y0 + y1) / 2), (x0 - off - w / 2, (y0 + y1) / 2)]
            beside += [((x0 + x1) / 2, y0 - off - h / 2), ((x0 + x1) / 2, y1 + off + h / 2)]
            places += beside
            costs += [off * 0.35 + 4.0] * len(beside)
    wide, high = (right - left + w) / 2, (bottom - top + h) / 2
    across, along = (np.arange(-(half + FAR), half + FAR, STEP) for half in (wide, high))
    grid = np.stack(np.meshgrid(across, along), axis=-1).reshape(-1, 2)
    apart = np.hypot(*(np.abs(grid) - np.array([wide, high])).clip(0.0).T)
    beyond = (apart > 18.0) & (apart <= FAR)
    return (
        np.concatenate([np.array(places), grid[beyond] + np.array([cx, cy])]),
        np.concatenate([np.array(costs), apart[beyond] * 0.35 + 4.0]),
    )


def _leaders(rects: Floats, tag: Tag) -> Floats:
    """The ends of a thin line from each label to what it names, to the nearest place in sight.

    A place further off serves where the line to the nearest would run over what is to be read.
    """
    if tag.ends:
        ends = np.array(tag.ends)
        starts = np.clip(ends[None, :, :], rects[:, None, :2], rects[:, None, 2:])
        far = np.hypot(*(starts - ends).T).T
        if tag.shun:
            lines = np.stack([starts, np.broadcast_to(ends, starts.shape)], axis=2).reshape(-1, 2, 2)
            far = far + SHUNNED * on_the_way(lines, np.array(tag.shun)).any(axis=1).reshape(far.shape)
        best = far.argmin(axis=1)
        return np.stack([starts[np.arange(len(rects)), best], ends[best]], axis=1)
    least, most = np.array(tag.around[:2]), np.array(tag.around[2:])
    middle = (least + most) / 2
    start = np.clip(middle, rects[:, :2], rects[:, 2:])
    end = np.clip(start, least, most)
    return np.stack([start, end + (middle - end) * DEEP], axis=1)


def _crossed(one: Floats, other: Floats) -> NDArray[np.bool_]:
    """Whether leaders cross, shape (leaders of one, leaders of the other)."""
    a, b = one[:, None, 0], one[:, None, 1]
    c, d = other[None, :, 0], other[None, :, 1]
    return np.asarray((_side(a, b, c) * _side(a, b, d) < 0) & (_side(c, d, a) * _side(c, d, b) < 0))


def _side(a: Floats, b: Floats, p: Floats) -> Floats:
    """On which side of a line through two points a third lies: positive, negative, or 0."""
    return np.asarray(
        (b[..., 0] - a[..., 0]) * (p[..., 1] - a[..., 1]) - (b[..., 1] - a[..., 1]) * (p[..., 0] - a[..., 0])
    )
