"""Changing a lesson: edits as data, written into the author's own text by the smallest changes.

Every edit is checked before it counts, says what it did, and can be taken back to the last byte.
"""

from buildalong.edit._apply import edit, edit_all, needs_board, redo, undo
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
from buildalong.edit._journal import Journal, Unsaved, journal_home, take_up, unsaved_edits
from buildalong.edit._outcome import Outcome
from buildalong.edit._past import remember, remembered
from buildalong.edit._save import Conflict, Saved, catch_up, conflicts, replace_file, save

__all__ = [
    "EDITS",
    "AddPart",
    "Change",
    "Conflict",
    "Deed",
    "Edit",
    "Editing",
    "FewestWires",
    "Journal",
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
    "Saved",
    "SetKey",
    "SetPin",
    "SetValue",
    "SourceFile",
    "Tidy",
    "TurnPart",
    "Unsaved",
    "catch_up",
    "conflicts",
    "edit",
    "edit_all",
    "journal_home",
    "needs_board",
    "open_lesson",
    "read_edit",
    "redo",
    "remember",
    "remembered",
    "replace_file",
    "save",
    "take_up",
    "undo",
    "unsaved_edits",
]
