"""Finding the messages in the sources of a package: Python, page templates and part data.

A message is

* the first argument of ``say("...")``, or both of ``Many("...", "...")``, or both of ``sense("...", "...")``;
  a third of ``Many`` is a sense in which the message is translated once more,
* in a module called ``_words.py`` or ``_..._words.py``: every text in the value of a constant in capitals
  (keys of dictionaries and arguments of other calls are none),
* in a template: the argument of ``{{ say("...") }}``,
* in a part's TOML: the value of a key in ``SPOKEN`` of :mod:`buildalong.parts`.
"""

from __future__ import annotations

import ast
import tomllib
from collections.abc import Iterator
from pathlib import Path

from buildalong.parts import SPOKEN, spoken_texts
from buildalong.words._po import Entry

SOURCE = Path(__file__).parents[2] / "src" / "buildalong"

PACKAGES = (
    "board",
    "build",
    "design",
    "drawing",
    "engine",
    "exercise",
    "film",
    "guide",
    "kit",
    "mistakes",
    "parts",
    "publish",
    "spread",
    "story",
    "study",
    "trace",
    "words",
    "worksheet",
)
"""Packages whose words are said in the reader's language; a package enters when it is converted."""


def messages(package: str) -> list[Entry]:
    """The messages of a package in the order of its files, each once, with the places it stands at."""
    found: dict[str, Entry] = {}
    for path in sorted((SOURCE / package).rglob("*")):
        where = path.relative_to(SOURCE).as_posix()
        for name, entry in _of_file(path):
            note = f"{where} {name}".strip()
            known = found.get(entry.key)
            if known is None:
                found[entry.key] = Entry(entry.one, entry.many, entry.context, notes=(note,))
            else:
                notes = tuple(dict.fromkeys((*known.notes, note)))
                many = entry.many or known.many
                found[entry.key] = Entry(entry.one, many, entry.context, notes=notes)
    return list(found.values())


def _of_file(path: Path) -> Iterator[tuple[str, Entry]]:
    """(name of what holds it, message) of each message in a file."""
    if path.suffix == ".py":
        yield from of_python(path.read_text(encoding="utf-8"), constants=path.name.endswith("_words.py"))
    elif path.suffix in (".html", ".jinja"):
        yield from of_template(path.read_text(encoding="utf-8"))
    elif path.suffix == ".toml":
        yield from of_toml(path.read_text(encoding="utf-8"))


def of_python(source: str, *, constants: bool) -> Iterator[tuple[str, Entry]]:
    """The messages of a module; with ``constants`` those of its constants in capitals too."""
    tree = ast.parse(source)
    found = [
        (node.lineno, node.col_offset, entry)
        for node in ast.walk(tree)
        if isinstance(node, ast.Call)
        for entry in _of_call(node)
    ]
    holders = [(node, name) for node in tree.body if (name := _capitals(node))]
    if constants:
        found += [item for node, _ in holders for item in _of_value(node.value)]
    for line, _, entry in sorted(found, key=lambda item: item[:2]):
        names = [name for node, name in holders if node.lineno <= line <= (node.end_lineno or 0)]
        yield (names or [""])[0], entry


def _capitals(node: ast.stmt) -> str:
    """The name that a statement gives a constant in capitals; of several the first; "" for other ones."""
    targets = node.targets if isinstance(node, ast.Assign) else [getattr(node, "target", None)]
    names = [
        name.id for target in targets if target for name in ast.walk(target) if isinstance(name, ast.Name)
    ]
    given = bool(names) and getattr(node, "value", None) is not None
    return names[0] if given and all(name.isupper() for name in names) else ""


def _of_call(node: ast.Call) -> Iterator[Entry]:
    name = node.func.id if isinstance(node.func, ast.Name) else getattr(node.func, "attr", "")
    texts = [a.value for a in node.args if isinstance(a, ast.Constant) and isinstance(a.value, str)]
    if name == "say" and node.args and texts and node.args[0].value == texts[0]:  # type: ignore[attr-defined]
        yield Entry(texts[0])
    if name == "Many" and len(texts) >= 2:
        yield from (Entry(*texts[:2], context=meaning) for meaning in dict.fromkeys(("", *texts[2:])))
    if name == "sense" and len(texts) == 2:
        yield Entry(texts[1], context=texts[0])


def _of_value(node: ast.expr) -> Iterator[tuple[int, int, Entry]]:
    """(line, column, message) of each text in the value of a constant."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str) and node.value:
        yield node.lineno, node.col_offset, Entry(node.value)
    inner = node.values if isinstance(node, ast.Dict) else getattr(node, "elts", [])
    for value in inner:
        yield from _of_value(value)


def of_template(source: str) -> Iterator[tuple[str, Entry]]:
    """The messages of a page template."""
    from jinja2 import Environment
    from jinja2.nodes import Call, Const, Name

    for call in Environment(autoescape=True).parse(source).find_all(Call):
        if isinstance(call.node, Name) and call.node.name == "say" and call.args:
            first = call.args[0]
            if isinstance(first, Const) and isinstance(first.value, str):
                yield "", Entry(first.value)


def of_toml(source: str) -> Iterator[tuple[str, Entry]]:
    """The messages of a part's data."""
    for path, text in spoken_texts(tomllib.loads(source)):
        yield next(str(key) for key in path if key in SPOKEN), Entry(text)
