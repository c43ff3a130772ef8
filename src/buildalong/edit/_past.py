"""What was written into a lesson before, so that a command that ends can be taken back by the next one."""

from __future__ import annotations

import json
from dataclasses import replace
from hashlib import sha256
from pathlib import Path
from typing import Any

from buildalong.edit._change import Change
from buildalong.edit._editing import Deed, Editing
from buildalong.edit._journal import mark
from buildalong.edit._save import replace_file

__all__ = ["remember", "remembered"]

_MOST_BYTES = 30_000_000


def remember(editing: Editing, home: Path) -> None:
    """Keep what can be undone and done again of a lesson that has just been saved.  Raises OSError."""
    home.mkdir(mode=0o700, parents=True, exist_ok=True)
    document = {
        "texts": _digests(editing),
        "done": [_plain(deed) for deed in editing.done],
        "undone": [_plain(deed) for deed in editing.undone],
    }
    replace_file(home, _name(editing), json.dumps(document, ensure_ascii=True))


def remembered(editing: Editing, home: Path) -> Editing:
    """The lesson with what can be undone and done again; as it is where its texts have changed since."""
    try:
        with open(home / _name(editing), "rb") as stream:
            document = json.loads(stream.read(_MOST_BYTES))
        if document["texts"] != _digests(editing):
            return editing
        return replace(
            editing,
            done=tuple(_deed(deed) for deed in document["done"]),
            undone=tuple(_deed(deed) for deed in document["undone"]),
        )
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return editing


def _name(editing: Editing) -> str:
    return f"{mark(editing.folder)}.past"


def _digests(editing: Editing) -> dict[str, str]:
    return {name: sha256(text.encode()).hexdigest() for name, text in editing.texts.items()}


def _plain(deed: Deed) -> list[Any]:
    return [deed.says, [[c.file, c.start, c.old, c.new] for c in deed.changes]]


def _deed(plain: Any) -> Deed:
    says, changes = plain
    return Deed(str(says), tuple(Change(*change) for change in changes))
