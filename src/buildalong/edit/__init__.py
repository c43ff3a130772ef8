"""Changing a lesson: edits as data, written into the author's own text by the smallest changes.

Every edit is checked before it counts, says what it did, and can be taken back to the last byte.
"""

from buildalong.edit._apply import Outcome, edit, redo, undo
from buildalong.edit._change import Change
from buildalong.edit._editing import Deed, Editing, SourceFile, open_lesson
from buildalong.edit._edits import (
    EDITS,
    AddPart,
    Edit,
    FewestWires,
    KeepThese,
    MoveLead,
    MovePart,
    MoveWire,
    PutPart,
    PutWire,
    RemoveKey,
    RemovePart,
    RemoveWire,
    RenamePart,
    ReplaceText,
    SetKey,
    SetPin,
    SetValue,
    Tidy,
    TurnPart,
    read_edit,
)

__all__ = [
    "EDITS",
    "AddPart",
    "Change",
    "Deed",
    "Edit",
    "Editing",
    "FewestWires",
    "KeepThese",
    "MoveLead",
    "MovePart",
    "MoveWire",
    "Outcome",
    "PutPart",
    "PutWire",
    "RemoveKey",
    "RemovePart",
    "RemoveWire",
    "RenamePart",
    "ReplaceText",
    "SetKey",
    "SetPin",
    "SetValue",
    "SourceFile",
    "Tidy",
    "TurnPart",
    "edit",
    "open_lesson",
    "read_edit",
    "redo",
    "undo",
]
