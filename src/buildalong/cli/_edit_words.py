"""What an author types after the options of ``buildalong edit``, read into edits."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from buildalong.cli._reading import refused

if TYPE_CHECKING:
    from collections.abc import Callable

    from buildalong.edit import Edit

__all__ = ["EXAMPLES", "edit_of"]

EXAMPLES = {
    "value": "R1=62k",
    "key": "promise.1.is=0.6 s",
    "unset": "promise.2",
    "add": "R4 resistor 1k on OUT, LAMP",
    "remove": "R4",
    "rename": "R1 to R7",
    "pin": "R1.2 on OUT",
    "move": "R1 to c7, c11",
    "turn": "U1 by 180",
    "wire": "a4 j9 black",
    "unwire": "2",
    "keep": "U1, wire 2",
}
"""One example of what each option takes."""

_NAME = r"(?P<part>[^\s.,=]+)"
_FORMS = {
    "value": re.compile(rf"{_NAME}\s*=\s*(?P<value>.+)"),
    "key": re.compile(r"(?P<path>[^=]+?)\s*=\s*(?P<value>.*)"),
    "unset": re.compile(r"(?P<path>[^=]+)"),
    "add": re.compile(r"(?P<name>\S+)\s+(?P<kind>\S+)(?:\s+(?P<value>.+?))?\s+on\s+(?P<nets>.+)"),
    "remove": re.compile(_NAME),
    "rename": re.compile(rf"{_NAME}\s+to\s+(?P<name>\S+)"),
    "pin": re.compile(rf"{_NAME}\.(?P<pin>\S+)\s+on\s+(?P<net>.+)"),
    "move": re.compile(rf"{_NAME}(?:\.(?P<lead>\S+))?\s+to\s+(?P<holes>.+)"),
    "turn": re.compile(rf"{_NAME}(?:\s+by\s+(?P<turn>90|180|270))?"),
    "wire": re.compile(r"(?P<words>.+)"),
    "unwire": re.compile(r"(?:wire\s+)?(?P<wire>\d{1,4})"),
    "keep": re.compile(r"(?P<names>.+)"),
}
_WIRE_END = re.compile(r"wire\s+(?P<wire>\d{1,4})\s+(?P<end>start|end)\s+to\s+(?P<hole>\S+)")


def edit_of(option: str, text: str) -> Edit:
    """The edit that an option asks for.  Raises Unreadable where its words are not understood."""
    wanted = text.strip()
    wire = _WIRE_END.fullmatch(wanted) if option == "move" else None
    if wire is not None:
        from buildalong.edit import MoveWire

        return MoveWire(int(wire["wire"]), int(wire["end"] == "end"), wire["hole"])
    found = _FORMS[option].fullmatch(wanted)
    if found is None:
        refused(
            "edit-unreadable",
            f"--{option} does not understand '{text[:60]}'",
            f'write it like --{option} "{EXAMPLES[option]}"'
            + ('; an end of a wire moves by --move "wire 2 end to j9"' if option == "move" else ""),
        )
    return _MADE[option](found)


def _several(text: str) -> tuple[str, ...]:
    return tuple(word for word in re.split(r"\s*,\s*|\s+", text.strip()) if word)


def _path(text: str) -> tuple[str | int, ...]:
    """A path as people write it, counting from 1."""
    return tuple(
        max(int(step) - 1, 0) if re.fullmatch(r"\d{1,4}", step) else step for step in text.strip().split(".")
    )


def _moved(found: re.Match[str]) -> Edit:
    from buildalong.edit import MoveLead, MovePart, PutPart

    holes = _several(found["holes"])
    if found["lead"] is not None:
        return MoveLead(found["part"], found["lead"], " ".join(holes))
    return MovePart(found["part"], holes[0]) if len(holes) == 1 else PutPart(found["part"], holes)


def _set(found: re.Match[str]) -> Edit:
    from buildalong.edit import SetKey

    words = found["value"]
    value: str | bool = {"true": True, "false": False}.get(words, words)
    return SetKey(_path(found["path"]), value)


def _added(found: re.Match[str]) -> Edit:
    from buildalong.edit import AddPart

    return AddPart(found["name"], found["kind"], _several(found["nets"]), found["value"] or "")


def _kept(found: re.Match[str]) -> Edit:
    from buildalong.edit import KeepThese

    names = (" ".join(name.split()) for name in found["names"].split(","))
    return KeepThese(tuple(name for name in names if name))


def _plainly(name: str, *keys: str) -> Callable[[re.Match[str]], Edit]:
    """An edit of this name from the words under these keys."""

    def made(found: re.Match[str]) -> Edit:
        from buildalong.edit import EDITS

        edit: Edit = EDITS[name](*(found[key].strip() for key in keys))
        return edit

    return made


def _turned(found: re.Match[str]) -> Edit:
    from buildalong.edit import TurnPart

    return TurnPart(found["part"], int(found["turn"] or 180))


def _laid(found: re.Match[str]) -> Edit:
    from buildalong.edit import PutWire

    return PutWire(_several(found["words"]))


def _unlaid(found: re.Match[str]) -> Edit:
    from buildalong.edit import RemoveWire

    return RemoveWire(int(found["wire"]))


def _unset(found: re.Match[str]) -> Edit:
    from buildalong.edit import RemoveKey

    return RemoveKey(_path(found["path"]))


_MADE: dict[str, Callable[[re.Match[str]], Edit]] = {
    "value": _plainly("set-value", "part", "value"),
    "key": _set,
    "unset": _unset,
    "add": _added,
    "remove": _plainly("remove-part", "part"),
    "rename": _plainly("rename-part", "part", "name"),
    "pin": _plainly("set-pin", "part", "pin", "net"),
    "move": _moved,
    "turn": _turned,
    "wire": _laid,
    "unwire": _unlaid,
    "keep": _kept,
}
