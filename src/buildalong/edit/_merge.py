"""Two people's changes of one text put together, line by line, where they do not meet."""

from __future__ import annotations

import difflib
from itertools import pairwise

__all__ = ["difference", "merged"]

MOST_LINES = 4000
"""Lines that differ, beyond which no merge is tried."""
MOST_SHOWN = 200
"""Lines of a difference that are shown."""

Hunk = tuple[int, int, list[str]]


def merged(base: str, mine: str, theirs: str) -> str | None:
    """The text with both changes; None where they touch the same lines."""
    if mine in (base, theirs):
        return theirs
    if theirs == base:
        return mine
    lines = base.splitlines(keepends=True)
    ours, others = _hunks(lines, mine), _hunks(lines, theirs)
    if ours is None or others is None:
        return None
    todo = sorted([*ours, *(hunk for hunk in others if hunk not in ours)], key=lambda hunk: hunk[:2])
    for (start, end, _), (then, until, _) in pairwise(todo):
        if then < end or start == end == then == until:
            return None
    out: list[str] = []
    at = 0
    for start, end, new in todo:
        out += [*lines[at:start], *new]
        at = end
    return "".join([*out, *lines[at:]])


def difference(old: str, new: str, was: str, now: str) -> tuple[str, ...]:
    """What differs, as lines of a unified difference, cut where it is long."""
    before, after = old.splitlines(), new.splitlines()
    if max(len(before), len(after)) > 4 * MOST_LINES:
        return ()
    lines = tuple(difflib.unified_diff(before, after, was, now, lineterm="", n=1))
    return lines if len(lines) <= MOST_SHOWN else (*lines[:MOST_SHOWN], "...")


def _hunks(lines: list[str], text: str) -> list[Hunk] | None:
    """What became of which lines; None where too many differ."""
    other = text.splitlines(keepends=True)
    head = 0
    while head < min(len(lines), len(other)) and lines[head] == other[head]:
        head += 1
    tail = 0
    while tail < min(len(lines), len(other)) - head and lines[-1 - tail] == other[-1 - tail]:
        tail += 1
    middle, new = lines[head : len(lines) - tail], other[head : len(other) - tail]
    if max(len(middle), len(new)) > MOST_LINES:
        return None
    match = difflib.SequenceMatcher(None, middle, new, autojunk=False)
    return [(head + i, head + j, new[k:m]) for tag, i, j, k, m in match.get_opcodes() if tag != "equal"]
