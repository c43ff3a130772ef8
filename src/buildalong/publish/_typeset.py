"""Setting a PDF: a fixed template, the data beside it as JSON, so that no text can run as markup.

PDF/UA-1 (ISO 14289-1) with our own fonts; the same input gives the same bytes.
"""

from __future__ import annotations

import json
import shutil
import tempfile
from collections.abc import Mapping
from importlib import resources
from pathlib import Path
from typing import Any

from buildalong.drawing import vendored_fonts

__all__ = ["typeset"]


def typeset(template: str, data: Mapping[str, Any], pictures: Mapping[str, bytes] | None = None) -> bytes:
    """Set the template of this name with ``data``; ``pictures`` (name -> SVG or PNG) can be shown by name.

    Raises RuntimeError where the template itself is wrong.
    """
    import typst

    folder = Path(tempfile.mkdtemp(prefix="buildalong-"))
    try:
        shipped = resources.files("buildalong.publish") / "print"
        for entry in shipped.iterdir():
            if entry.name.endswith(".typ"):
                (folder / entry.name).write_bytes(entry.read_bytes())
        (folder / "data.json").write_text(json.dumps(data, ensure_ascii=False), encoding="utf-8")
        for name, content in (pictures or {}).items():
            (folder / Path(name).name).write_bytes(content)
        fonts = folder / "fonts"
        fonts.mkdir()
        for number, font in enumerate(vendored_fonts()):
            (fonts / f"{number}.ttf").write_bytes(font.data)
        made = typst.compile(
            str(folder / f"{template}.typ"),
            root=str(folder),
            font_paths=[str(fonts)],
            ignore_system_fonts=True,
            format="pdf",
            pdf_standards=["ua-1"],
            timestamp=0,
        )
    finally:
        shutil.rmtree(folder, ignore_errors=True)
    if not isinstance(made, bytes):
        raise RuntimeError(f"the template {template} gave no PDF")
    return made
