"""Values and keys as TOML 1.0 writes them, in the manner of what stood there before."""

from __future__ import annotations

import re
from collections.abc import Mapping

__all__ = ["key_text", "literal"]

_BARE = re.compile(r"[A-Za-z0-9_-]+")
_NUMBER = re.compile(r"[+-]?(0|[1-9]\d*)(\.\d+)?")
_SHORT = {"\b": r"\b", "\t": r"\t", "\n": r"\n", "\f": r"\f", "\r": r"\r", '"': r"\"", "\\": r"\\"}
_CONTROL = re.compile(r'[\x00-\x1f\x7f"\\]')


def key_text(name: str) -> str:
    """A key: bare where it may be, else in quotes."""
    return name if _BARE.fullmatch(name) else _basic(name)


def literal(value: object, like: str = "", lines: bool = False) -> str:
    """A value as TOML; ``like`` is what stood there, ``lines`` gives each member of a list its own line.

    A text takes the quotes of the text it replaces where it can stand in them; one that replaces a bare
    number and is one stays bare.  Raises TypeError for what a lesson has no use for.
    """
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | float):
        return repr(value)
    if isinstance(value, str):
        return _text(value, like)
    if isinstance(value, list | tuple):
        members = [literal(member) for member in value]
        if lines and members:
            return "[\n" + "".join(f"  {member},\n" for member in members) + "]"
        return f"[{', '.join(members)}]"
    if isinstance(value, Mapping):
        pairs = [f"{key_text(str(key))} = {literal(entry)}" for key, entry in value.items()]
        return f"{{ {', '.join(pairs)} }}" if pairs else "{}"
    raise TypeError(f"{type(value).__name__} has no form in a lesson")


def _text(text: str, like: str) -> str:
    if _NUMBER.fullmatch(text) and _NUMBER.fullmatch(like):
        return text
    if like.startswith('"""') and "\n" in text:
        return '"""\n' + "\n".join(_basic(line)[1:-1] for line in text.split("\n")) + '"""'
    plain = "'" not in text and not any(letter < " " or letter == "\x7f" for letter in text)
    if like.startswith("'") and plain:
        return f"'{text}'"
    return _basic(text)


def _basic(text: str) -> str:
    return '"' + _CONTROL.sub(lambda m: _SHORT.get(m[0], f"\\u{ord(m[0]):04X}"), text) + '"'
