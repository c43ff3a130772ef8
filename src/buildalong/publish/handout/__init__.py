"""Handouts as PDF: learner's booklet, teacher's edition, and the board at true scale."""

from __future__ import annotations

from typing import TYPE_CHECKING

from buildalong.lazy import lazily

if TYPE_CHECKING:
    from buildalong.publish.handout._booklet import Material
    from buildalong.publish.handout._handout import (
        EDITIONS,
        PAPERS,
        Edition,
        Handouts,
        Paper,
        booklet_pdf,
        booklet_setting,
        editions_on,
        handouts,
        material_of,
    )
    from buildalong.publish.handout._poster import MAX_SCALE, poster_pdf
    from buildalong.publish.handout._setting import Setting
    from buildalong.publish.handout._sheets import sheets_pdf

_HOME = {
    "_booklet": ("Material",),
    "_handout": (
        "EDITIONS",
        "PAPERS",
        "Edition",
        "Handouts",
        "Paper",
        "booklet_pdf",
        "booklet_setting",
        "editions_on",
        "handouts",
        "material_of",
    ),
    "_poster": ("MAX_SCALE", "poster_pdf"),
    "_setting": ("Setting",),
    "_sheets": ("sheets_pdf",),
}

__all__ = [
    "EDITIONS",
    "MAX_SCALE",
    "PAPERS",
    "Edition",
    "Handouts",
    "Material",
    "Paper",
    "Setting",
    "booklet_pdf",
    "booklet_setting",
    "editions_on",
    "handouts",
    "material_of",
    "poster_pdf",
    "sheets_pdf",
]

__getattr__ = lazily(__name__, _HOME)
"""Putting other words in needs little."""
