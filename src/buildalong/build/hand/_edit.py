"""Changing a build list where the layout has changed, and nowhere else."""

from __future__ import annotations

import re

from buildalong.board import Layout
from buildalong.build.hand._changes import changed_wires
from buildalong.build.hand._list import BuildList
from buildalong.build.hand._print import item_text, wire_text
from buildalong.circuit import Circuit

__all__ = ["edited"]

_END = re.compile(r"[;|#]|$")


def edited(
    text: str, read: BuildList, bad: frozenset[int], circuit: Circuit, old: Layout, new: Layout
) -> tuple[str, int]:
    """The text for the new layout, and how many lines are not as they were.

    ``read`` is the old list with its places, ``old`` its layout; lines in ``bad`` could not be read and
    are replaced.  Lines of things that stay keep their bytes.
    """
    lines = text.split("\n")
    style = _style(lines)
    fresh: list[str] = []
    lost: set[int] = set()
    change: dict[int, list[tuple[int, str]]] = {}
    for was, now in changed_wires(old, new):
        words = "" if now is None else wire_text(new, now, style)
        place = None if was is None else read.places.get(f"wire {was + 1}")
        if place is not None:
            change.setdefault(place.line, []).append((place.column, words))
        elif words:
            fresh.append(words)
    for name, holes in old.holes.items():
        place = read.places.get(name)
        if place is not None and new.holes.get(name) != holes:
            part = circuit.by_id.get(name)
            words = item_text(part, new) if part is not None and name in new.holes else ""
            change.setdefault(place.line, []).append((place.column, words))
    for number, items in change.items():
        line = lines[number - 1]
        for column, words in sorted(items, reverse=True):
            line = _replaced(line, column - 1, words)
        if not line.split("#")[0].strip(" ;|"):
            lost.add(number)
        lines[number - 1] = line
    missing = [p for p in circuit.parts if p.id in new.holes and p.id not in old.holes]
    unchanged = 0
    for number in sorted(bad):
        head = lines[number - 1].split()[:1]
        part = next((p for p in missing if [p.id] == head), None)
        words = item_text(part, new) if part else fresh.pop(0) if fresh and head == ["wire"] else ""
        missing = [p for p in missing if p is not part]
        if words and set(lines[number - 1].split("#")[0].split()) <= set(words.split()):
            unchanged += 1
            continue
        lines[number - 1] = f"{words}  # was: {lines[number - 1].strip()}".strip()
    added = [*fresh, *(item_text(part, new) for part in missing)]
    at = _insert_at(lines, circuit)
    out = [line for number, line in enumerate(lines[:at], start=1) if number not in lost]
    out += added
    out += [line for number, line in enumerate(lines[at:], start=at + 1) if number not in lost]
    return "\n".join(out), len(change) + len(bad) - unchanged + len(added)


def _replaced(line: str, start: int, words: str) -> str:
    """The line with another item from this letter on, up to the next mark."""
    found = _END.search(line, start)
    end = found.start() if found else len(line)
    old = line[start:end]
    tail = old[len(old.rstrip()) :]
    if words:
        return line[:start] + words + tail + line[end:]
    if end < len(line) and line[end] == ";":
        return line[:start] + line[end + 1 :].lstrip()
    return re.sub(r";\s*$", "", line[:start]).rstrip() + (tail + line[end:] if end < len(line) else "")


def _insert_at(lines: list[str], circuit: Circuit) -> int:
    """The line before which new things go: that of the supply, or the end."""
    supplies = {part.id for part in circuit.parts if part.type.family == "supply"}
    for number, line in enumerate(lines):
        if line.split()[:1] and line.split()[0] in supplies:
            return number
    while lines and not lines[-1].strip():
        return len(lines) - 1
    return len(lines)


def _style(lines: list[str]) -> str:
    """The wire style that the list says; 'formed' without."""
    for line in lines:
        words = line.split("#")[0].split()
        if words[:1] == ["style"] and len(words) == 2:
            return words[1]
    return "formed"
