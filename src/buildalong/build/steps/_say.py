"""A part in words: what to do, what to watch, what to check."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import ceil, floor

from buildalong.board import Layout, hole_words, holes_words, turn_of
from buildalong.build.steps._marks import called, mark_of, position_words, what_of
from buildalong.build.steps._words import (
    CALLOUT,
    CHECK,
    CHECK_PAIR,
    EDGES,
    LEAD,
    LEAD_MARK,
    TAKE,
    TEXT,
    TITLE,
)
from buildalong.circuit import Part
from buildalong.words import capital, in_parts, listed, say

__all__ = ["Marks", "Said", "facts", "say_group", "say_part", "say_things"]

Marks = Callable[[Part], str]


@dataclass(frozen=True)
class Said:
    """The words of a step without its reason."""

    title: str
    text: str
    check: str
    callout: str = ""


def facts(part: Part, layout: Layout) -> dict[str, str]:
    """What the sentences about one part need: its holes, the way its notch or flat face looks."""
    holes = layout.holes.get(part.id, ())
    kind = part.type
    # A button's four legs are named row by row, as one finds their holes.
    named = sorted(holes, key=lambda h: layout.board.holes.get(h, (0.0, 0.0))[::-1])
    words = holes_words(named if kind.body.shape == "tact" else holes)
    out = {"id": part.id, "holes": words, "count": str(len(holes)), "plus": "", "minus": ""}
    for role, gap in (("positive", "plus"), ("anode", "plus"), ("negative", "minus"), ("cathode", "minus")):
        for terminal, hole in zip(kind.leg_terminals, holes, strict=False):
            if kind.terminal(terminal).role == role:
                out[gap] = hole_words(hole)
    out["pairs"] = listed(
        [say(CHECK_PAIR, lead=_lead(part, t), hole=hole_words(h)) for t, h in _legs(part, layout)]
    )
    turn = turn_of(kind, layout.board, holes)
    # The row next to the part: the board's first or last may lie outside the picture of the step.
    rows = [layout.board.holes[hole][1] for hole in holes if hole in layout.board.holes]
    before, after = floor(min(rows, default=1)) - 1, ceil(max(rows, default=1)) + 1
    first, last = (say(EDGES["row"], row=row) for row in (max(1, before), min(after, layout.board.rows)))
    left, right = (say(EDGES["column"], column=column) for column in "aj")
    out["notch"] = {180: last, 90: right, 270: left}.get(turn or 0, first)
    out["face"] = {90: first, 180: right, 270: last}.get(turn or 0, left)
    return out


def say_part(part: Part, layout: Layout, marks: Marks = mark_of) -> Said:
    """Say how one part goes on the board, and how it is turned at first."""
    body, holes, known = part.type.body, layout.holes[part.id], facts(part, layout)
    known["part"] = _take(part, marks)
    if position := position_words(part):
        known["part"] = say(TAKE["turned"], part=known["part"], position=position)
    title = say(TITLE["part"], id=part.id, what=what_of(part))
    known["leads"] = _lead_sentence(part, layout)
    shape = _shape(part)
    callout = say(CALLOUT[shape], **known) if shape in CALLOUT else _slip(part)
    if part.type.family == "supply" or body.kind == "off-board":
        kind = "supply" if part.type.family == "supply" else "off-board"
        return Said(title, say(TEXT[kind], **known), say(CHECK[kind], **known), callout)
    if body.shape == "dip":
        half = len(holes) // 2
        known |= {
            "middle": str(half), "next": str(half + 1), "count": str(len(holes)),
            "first": holes[0], "last": holes[half - 1], "across": holes[half], "back": holes[-1],
        }  # fmt: skip
        return Said(title, say(TEXT["dip"], **known), say(CHECK["dip"], **known), callout)
    if len(holes) == 2 and part.type.swappable and not body.legs:
        text = TEXT["either-way-flat" if body.kind == "axial" else "either-way"]
        return Said(title, say(text, **known), say(CHECK["either-way"], **known), callout)
    if body.shape == "tact":
        return Said(title, say(TEXT["trench"], **known), say(CHECK["tact"]), callout)
    if body.shape == "to92":
        return Said(title, say(TEXT["to92"], **known), say(CHECK["leads"], **known), callout)
    if part.type.polarised or len(holes) <= 3:
        return Said(title, say(TEXT["leads"], **known), say(CHECK["leads"], **known), callout)
    text = TEXT["trench" if body.straddles else "legs"]
    return Said(title, say(text, **known), say(CHECK["legs"]), callout)


def say_group(parts: Sequence[Part], layout: Layout, marks: Marks = mark_of) -> Said:
    """Say how a few parts of one kind go on the board."""
    ids = listed([part.id for part in parts])
    lines = []
    for part in parts:
        legs = _legs(part, layout)
        if part.type.swappable and len(legs) == 2:
            line = say(LEAD["either"], id=part.id, hole=hole_words(legs[0][1]), second=hole_words(legs[1][1]))
        else:
            pairs = [say(CHECK_PAIR, lead=_lead(part, t), hole=hole_words(h)) for t, h in legs]
            position = position_words(part)
            key = "many-turned" if position else "many"
            line = say(LEAD[key], id=part.id, position=position, pairs=listed(pairs))
        lines.append(line)
    text = say(TEXT["leads"], part=_take(parts[0], marks, ids, len(parts)), leads=" ".join(lines))
    shape = _shape(parts[0])
    callout = say(CALLOUT.get(f"{shape}-group", ""))
    return Said(
        say(TITLE["group"], ids=ids, count=len(parts), what=what_of(parts[0])),
        text,
        say(CHECK["group"]),
        callout,
    )


def say_things(said: Sequence[Said]) -> Said:
    """Say several things that go on the board in one step."""
    if len(said) == 1:
        return said[0]
    title = listed([item.title for item in said])
    checks, callouts = (
        " ".join(dict.fromkeys(filter(None, texts)))
        for texts in ([item.check for item in said], [item.callout for item in said])
    )
    return Said(title, " ".join(item.text for item in said), checks, callouts)


def _shape(part: Part) -> str:
    """The key of the sentences about a part's right way round."""
    if part.type.family == "supply":
        return "supply"
    shape = part.type.body.shape
    return shape if shape != "cylinder" or part.type.polarised else ""


def _slip(part: Part) -> str:
    """The warning of a polarised part whose shape has no sentence of its own: from its slips."""
    said = (slip.sentence for slip in part.type.slips if slip.kind in ("reversed", "leg-order", "rotated"))
    sentence = next(said, "") if part.type.polarised else ""
    return say(CALLOUT["slip"], slip=say(sentence)) if sentence else ""


def _legs(part: Part, layout: Layout) -> list[tuple[str, str]]:
    return list(zip(part.type.leg_terminals, layout.holes.get(part.id, ()), strict=False))


def _lead(part: Part, terminal: str) -> str:
    return say(part.type.terminal(terminal).title)


def _named(part: Part, terminal: str) -> str:
    """A lead with its article; 'end A' is a name and has none."""
    title = part.type.terminal(terminal).title
    return (
        say(title) if title[-1:].isupper() and title[-2:-1] == " " else say(LEAD["named"], title=say(title))
    )


def _lead_sentence(part: Part, layout: Layout) -> str:
    said: list[str] = []
    for terminal, hole in _legs(part, layout):
        mark = LEAD_MARK.get((_shape(part), part.type.terminal(terminal).role), "")
        key = "next" if said else "first"
        key += "-free" if hole in ("", "-") else "-marked" if mark else ""
        lead = _named(part, terminal)
        said.append(say(LEAD[key], lead=lead, mark=say(mark), hole=hole_words(hole)))
    return f"{capital(in_parts(said))}."


def _take(part: Part, marks: Marks, ids: str = "", count: int = 1) -> str:
    mark = "" if part.type.body.kind == "off-board" else marks(part)
    kind = "plus" if mark == "+" else part.type.marking.kind if mark else "plain"
    key = f"group-{kind}" if ids else kind
    return say(TAKE[key], id=part.id, ids=ids, count=count, what=called(part, mark), mark=mark)
