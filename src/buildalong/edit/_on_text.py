"""Edits of what a lesson says: values, keys, parts, and the text itself."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

from buildalong.edit import _edits as e
from buildalong.edit import _moves as moves
from buildalong.edit._board import standing, written
from buildalong.edit._change import Change
from buildalong.edit._rename import renamed_in_sheet, renamed_in_words
from buildalong.edit._sentences import refused, told
from buildalong.edit._work import Way, Work

__all__ = ["ON_TEXT"]

_NAME = re.compile(r"[A-Za-z][A-Za-z0-9_]{0,15}")


def set_value(work: Work, wanted: e.SetValue) -> str:
    """Set a value."""
    sheet = work.sheet()
    supply = sheet.get("supply")
    name = supply.get("id", "BT1") if isinstance(supply, dict) else "BT1"
    if wanted.part == name and not sheet.has("parts", name):
        sheet.put(("supply", "kind") if isinstance(supply, dict) else ("supply",), wanted.value)
    else:
        work.part_named(sheet, wanted.part)
        sheet.put(("parts", wanted.part, "value"), wanted.value, after="part")
    work.take(sheet.changes)
    return told("set-value", part=wanted.part, value=wanted.value)


def set_key(work: Work, wanted: e.SetKey) -> str:
    """Set any key."""
    sheet = work.sheet(wanted.file)
    value = list(wanted.value) if isinstance(wanted.value, tuple) else wanted.value
    sheet.put(wanted.path, value)
    work.take(sheet.changes)
    return told("set-key", key=_dotted(wanted.path))


def remove_key(work: Work, wanted: e.RemoveKey) -> str:
    """Take out any key."""
    sheet = work.sheet(wanted.file)
    sheet.take(wanted.path)
    work.take(sheet.changes)
    return told("remove-key", key=_dotted(wanted.path))


def add_part(work: Work, wanted: e.AddPart) -> str:
    """Add a part."""
    sheet = work.sheet()
    if sheet.has("parts", wanted.name) or wanted.name in work.lesson.circuit.by_id:
        raise refused("name-taken", wanted.name, name=wanted.name[:40])
    _fit(wanted.name)
    table: dict[str, object] = {"part": wanted.part}
    if wanted.value:
        table["value"] = wanted.value
    sheet.put(("parts", wanted.name), {**table, "pins": list(wanted.pins)})
    work.take(sheet.changes)
    return told("add-part", part=wanted.name)


def remove_part(work: Work, wanted: e.RemovePart) -> str:
    """Take a part out."""
    sheet = work.sheet()
    work.part_named(sheet, wanted.part)
    lesson = work.lesson
    if lesson.layout.build_list is not None:
        own = standing(lesson, None).own
        holes = {name: holes for name, holes in own.holes.items() if name != wanted.part}
        work.take(written(sheet, work.texts, lesson, own, replace(own, holes=holes)))
    elif sheet.has("layout", wanted.part):
        sheet.take(("layout", wanted.part))
    sheet.take(("parts", wanted.part))
    work.take(sheet.changes)
    return told("remove-part", part=wanted.part)


def rename_part(work: Work, wanted: e.RenamePart) -> str:
    """Give a part another name everywhere."""
    sheet = work.sheet()
    if wanted.part == wanted.name:
        raise refused("no-change")
    if sheet.get("supply", "id") != wanted.part:
        work.part_named(sheet, wanted.part)
    if sheet.has("parts", wanted.name) or wanted.name in work.lesson.circuit.by_id:
        raise refused("name-taken", wanted.name, name=wanted.name[:40])
    _fit(wanted.name)
    renamed_in_sheet(sheet, wanted.part, wanted.name)
    work.take(sheet.changes)
    for file, text in list(work.texts.items()):
        if not file.endswith(".toml"):
            work.take(renamed_in_words(file, text, wanted.part, wanted.name))
    return told("rename-part", part=wanted.part, name=wanted.name)


def set_pin(work: Work, wanted: e.SetPin) -> str:
    """Put a terminal on another net."""
    sheet = work.sheet()
    work.part_named(sheet, wanted.part)
    part = moves.part_of(work.lesson.circuit, wanted.part)
    names = [terminal.name for terminal in part.type.terminals]
    try:
        name = part.type.terminal(wanted.pin).name
    except KeyError:
        raise moves.no_lead(part, wanted.pin, names) from None
    at: tuple[str | int, ...] = ("parts", part.id, "pins")
    pins = sheet.get(*at)
    if isinstance(pins, dict):
        written_as = next((key for key in pins if _same_terminal(part.type, key, name)), name)
        sheet.put((*at, written_as), wanted.net)
    else:
        sheet.put((*at, names.index(name)), wanted.net)
    work.take(sheet.changes)
    return told("open-pin" if wanted.net == "-" else "set-pin", part=part.id, pin=name, net=wanted.net)


def replace_text(work: Work, wanted: e.ReplaceText) -> str:
    """Put a text in the place of another."""
    text = work.text_of(wanted.file)
    if not 0 <= wanted.start <= wanted.end <= len(text):
        raise refused("text-differs")
    old = text[wanted.start : wanted.end]
    if wanted.old is not None and wanted.old != old:
        raise refused("text-differs")
    if old != wanted.text:
        work.take([Change(wanted.file, wanted.start, old, wanted.text)])
    line = text.count("\n", 0, wanted.start) + 1
    return told("replace-text", file=wanted.file, line=line)


def _fit(name: str) -> None:
    """Refuse what is no name."""
    if not _NAME.fullmatch(name):
        raise refused("name-unfit", name=name[:40])


def _same_terminal(kind: Any, key: str, name: str) -> bool:
    try:
        return bool(kind.terminal(key).name == name)
    except KeyError:
        return False


def _dotted(path: tuple[str | int, ...]) -> str:
    """A path for people, who count from 1."""
    return ".".join(str(step + 1) if isinstance(step, int) else step for step in path)


ON_TEXT: dict[type[Any], Way] = {
    e.SetValue: set_value,
    e.SetKey: set_key,
    e.RemoveKey: remove_key,
    e.AddPart: add_part,
    e.RemovePart: remove_part,
    e.RenamePart: rename_part,
    e.SetPin: set_pin,
    e.ReplaceText: replace_text,
}
"""How each of them is done."""
