"""Setting a PDF: a fixed template, the data beside it as JSON, so that no text can run as markup.

PDF/UA-1 (ISO 14289-1) with our own fonts; the same input gives the same bytes.
"""

from __future__ import annotations

import json
import re
import shutil
import tempfile
import unicodedata
from collections.abc import Mapping
from importlib import resources
from pathlib import Path
from typing import Any, Literal

from buildalong.drawing import stretches_apart, uncovered, vendored_fonts
from buildalong.words import shapeless, tied

__all__ = ["page_count", "printable", "typeset", "typeset_pages", "unprintable"]

UNKNOWN = "□"
"""Stands for a letter that no font of ours has."""
_TREE = re.compile(rb"/Type/Pages/Count (\d+)")
_PROBE = """#set document(title: "probe", date: none)
#image(read("picture", encoding: none), width: 1cm, alt: "picture")"""


def typeset(
    template: str,
    data: Mapping[str, Any],
    pictures: Mapping[str, bytes] | None = None,
    *,
    tagged: bool = True,
) -> bytes:
    """Set the template of this name with ``data``; ``pictures`` (name -> SVG, PNG, PDF) can be shown by name.

    Letters that no font has are set as ``UNKNOWN``.  Pages of a PDF can be shown only where ``tagged`` is
    off, which gives a plain PDF in place of PDF/UA-1.  Raises RuntimeError where the template is wrong.
    """
    made = _compiled(f"{template}.typ", _files(data, pictures), tagged=tagged)
    if len(made) != 1:
        raise RuntimeError(f"the template {template} gave no PDF")
    return made[0]


def typeset_pages(
    template: str, data: Mapping[str, Any], pictures: Mapping[str, bytes] | None = None
) -> tuple[bytes, ...]:
    """The same pages to look at on a screen, each an SVG whose letters are shapes."""
    return _compiled(f"{template}.typ", _files(data, pictures), form="svg")


def _files(data: Mapping[str, Any], pictures: Mapping[str, bytes] | None) -> dict[str, bytes]:
    """Data, pictures and all templates by the names under which the template reads them."""
    files = {
        name: stretches_apart(printable(content.decode())).encode() if name.endswith(".svg") else content
        for name, content in (pictures or {}).items()
    }
    files["data.json"] = json.dumps(_printable(data), ensure_ascii=False).encode()
    shipped = resources.files("buildalong.publish") / "print"
    templates = {e.name: e.read_bytes() for e in shipped.iterdir() if e.name.endswith(".typ")}
    return {**files, **templates}


def _compiled(
    main: str, files: Mapping[str, bytes], *, tagged: bool = True, form: Literal["pdf", "svg"] = "pdf"
) -> tuple[bytes, ...]:
    """One PDF, or the SVG of each page."""
    import typst

    folder = Path(tempfile.mkdtemp(prefix="buildalong-"))
    try:
        for name, content in files.items():
            (folder / Path(name).name).write_bytes(content)
        fonts = folder / "fonts"
        fonts.mkdir()
        for number, font in enumerate(vendored_fonts()):
            (fonts / f"{number}.ttf").write_bytes(font.data)
        made: Any = typst.compile(
            str(folder / main),
            root=str(folder),
            font_paths=[str(fonts)],
            ignore_system_fonts=True,
            format=form,
            pdf_standards=["ua-1"] if tagged and form == "pdf" else [],
            timestamp=0,
        )
    finally:
        shutil.rmtree(folder, ignore_errors=True)
    return (made,) if isinstance(made, bytes) else tuple(made)


def page_count(pdf: bytes) -> int:
    """How many pages a PDF of ours has, by its page tree (ISO 32000-1, 7.7.3); RuntimeError for others."""
    counts = [int(count) for count in _TREE.findall(pdf)]
    if not counts:
        raise RuntimeError("this PDF shows no page tree")
    return max(counts)


def printable(text: str) -> str:
    """The text in composed letters; what no font has becomes ``UNKNOWN``, marks without a shape go."""
    if text.isascii() and text.isprintable():
        return text
    text = unicodedata.normalize("NFC", text)
    letters = set(text)
    table = dict.fromkeys(map(ord, filter(shapeless, letters)), "")
    for letter in uncovered("".join(letters)):
        if not letter.isspace():
            table.setdefault(ord(letter), UNKNOWN)
    return text.translate(table) if table else text


def unprintable(picture: bytes) -> str:
    """Why a raster picture cannot be set, "" where it can."""
    import typst

    try:
        _compiled("probe.typ", {"probe.typ": _PROBE.encode(), "picture": picture})
    except typst.TypstError as error:
        return str(error).splitlines()[0][:200]
    return ""


def _printable(data: Any) -> Any:
    """Plain values with every text made printable; a number keeps its unit on its line."""
    if isinstance(data, str):
        return tied(printable(data))
    if isinstance(data, Mapping):
        return {key: _printable(value) for key, value in data.items()}
    return [_printable(value) for value in data] if isinstance(data, (list, tuple)) else data
