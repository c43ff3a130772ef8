"""Reading and writing gettext's .po files, as far as they are used here.

Form: GNU gettext manual, "The Format of PO Files".  No line numbers stand beside a message, only where it
comes from, so that two people can change two packages without meeting in a catalogue.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from buildalong.words._messages import BETWEEN

__all__ = ["Entry", "read_po", "write_po"]

_LINE = re.compile(r'(?:(msgctxt|msgid_plural|msgid|msgstr)(?:\[(\d)\])?\s+)?"(.*)"')
_ESCAPE = re.compile(r'\\(["\\nt])')
_LETTERS = {"n": "\n", "t": "\t", '"': '"', "\\": "\\"}


@dataclass(frozen=True, slots=True)
class Entry:
    """A message with its translation: ``forms`` are empty where there is none yet.

    A ``fuzzy`` translation belongs to earlier English and waits for a look; it is not used.
    """

    one: str
    many: str = ""
    context: str = ""
    forms: tuple[str, ...] = ()
    fuzzy: bool = False
    notes: tuple[str, ...] = ()

    @property
    def key(self) -> str:
        """The message with its sense before it."""
        return f"{self.context}{BETWEEN}{self.one}" if self.context else self.one

    @property
    def translated(self) -> bool:
        """Whether there is a whole translation that may be used."""
        return bool(self.one) and bool(self.forms) and all(self.forms) and not self.fuzzy


def read_po(text: str) -> list[Entry]:
    """The messages of a catalogue in their order, without its head.  Raises ValueError for another form."""
    out: list[Entry] = []
    for block in re.split(r"\n\s*\n", text.replace("\r\n", "\n")):
        entry = _entry(block)
        if entry is not None and entry.one:
            out.append(entry)
    return out


def _entry(block: str) -> Entry | None:
    fields: dict[str, str] = {}
    notes: list[str] = []
    fuzzy, name = False, ""
    for line in block.split("\n"):
        if line.startswith("#:"):
            notes.append(line[2:].strip())
        elif line.startswith("#,"):
            fuzzy = fuzzy or "fuzzy" in line
        elif line.strip() and not line.startswith("#"):
            found = _LINE.fullmatch(line.strip())
            if found is None or not (found[1] or name):
                raise ValueError(f"'{line[:60]}' is no line of a .po file")
            if found[1]:
                name = found[1] + (found[2] or "")
            fields[name] = fields.get(name, "") + _ESCAPE.sub(lambda m: _LETTERS[m[1]], found[3])
    if "msgid" not in fields:
        return None
    forms = tuple(fields[key] for key in sorted(fields) if key.startswith("msgstr"))
    many, context = fields.get("msgid_plural", ""), fields.get("msgctxt", "")
    return Entry(fields["msgid"], many, context, forms, fuzzy, tuple(notes))


def write_po(entries: Iterable[Entry], tag: str, plural: str) -> str:
    """A catalogue as text; same entries, same bytes."""
    head = f"Language: {tag}\nContent-Type: text/plain; charset=UTF-8\nContent-Transfer-Encoding: 8bit\n"
    blocks = [f'msgid ""\n{_field("msgstr", f"{head}Plural-Forms: {plural}" + chr(10))}']
    for entry in entries:
        lines = [f"#: {note}" for note in entry.notes]
        lines += ["#, fuzzy"] * entry.fuzzy
        if entry.context:
            lines.append(_field("msgctxt", entry.context))
        lines.append(_field("msgid", entry.one))
        if entry.many:
            lines.append(_field("msgid_plural", entry.many))
            forms = entry.forms if len(entry.forms) > 1 else ("", "")
            lines += [_field(f"msgstr[{index}]", form) for index, form in enumerate(forms)]
        else:
            lines.append(_field("msgstr", entry.forms[0] if entry.forms else ""))
        blocks.append("\n".join(lines))
    return "\n\n".join(blocks) + "\n"


def _field(name: str, text: str) -> str:
    quoted = text.replace("\\", "\\\\").replace('"', '\\"').replace("\t", "\\t").replace("\n", "\\n")
    lines = quoted.split("\\n") if name == "msgstr" and text.endswith("\n") else [quoted]
    if len(lines) > 1:
        return "\n".join([f'{name} ""', *(f'"{line}\\n"' for line in lines[:-1])])
    return f'{name} "{quoted}"'
