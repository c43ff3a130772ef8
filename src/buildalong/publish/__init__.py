"""Publishing: the article, the pictures and the parts list of a compiled lesson, as one folder."""

from __future__ import annotations

from typing import TYPE_CHECKING

from buildalong.lazy import lazily

if TYPE_CHECKING:
    from buildalong.publish._article import article_html, fonts, templates, text_of
    from buildalong.publish._builds import builds_of
    from buildalong.publish._cards import cards_html
    from buildalong.publish._cautions import cautions_of
    from buildalong.publish._course import CourseMade, LessonMade, publish_course
    from buildalong.publish._crew import Crew, cores_here
    from buildalong.publish._csv import spreadsheet
    from buildalong.publish._exercise_pages import exercise_files
    from buildalong.publish._faults import faults_html, guide_for
    from buildalong.publish._kit_sheets import MAX_LABELS, kit_files
    from buildalong.publish._pack import changed_in, write_pack
    from buildalong.publish._pictures import (
        Pictures,
        crop_of_steps,
        draw,
        schematic_layout,
        schematic_picture_of,
        step_picture,
    )
    from buildalong.publish._publish import PRODUCTS, Pack, Published, publish, publish_lesson
    from buildalong.publish._rows import Row, kinds_of, parts_csv, rows_of, supply_said
    from buildalong.publish._sections import formula_view
    from buildalong.publish._shared import shared_once
    from buildalong.publish._trials import work_of
    from buildalong.publish._variant import Variant, variant_of
    from buildalong.publish._worksheet_pages import worksheet_files

_HOME = {
    "_article": (
        "article_html",
        "fonts",
        "templates",
        "text_of",
    ),
    "_builds": ("builds_of",),
    "_cards": ("cards_html",),
    "_cautions": ("cautions_of",),
    "_course": ("CourseMade", "LessonMade", "publish_course"),
    "_crew": ("Crew", "cores_here"),
    "_csv": ("spreadsheet",),
    "_exercise_pages": ("exercise_files",),
    "_faults": (
        "faults_html",
        "guide_for",
    ),
    "_kit_sheets": (
        "MAX_LABELS",
        "kit_files",
    ),
    "_pack": (
        "changed_in",
        "write_pack",
    ),
    "_pictures": (
        "Pictures",
        "crop_of_steps",
        "draw",
        "schematic_layout",
        "schematic_picture_of",
        "step_picture",
    ),
    "_publish": (
        "PRODUCTS",
        "Pack",
        "Published",
        "publish",
        "publish_lesson",
    ),
    "_rows": ("Row", "kinds_of", "parts_csv", "rows_of", "supply_said"),
    "_sections": ("formula_view",),
    "_shared": ("shared_once",),
    "_trials": ("work_of",),
    "_variant": (
        "Variant",
        "variant_of",
    ),
    "_worksheet_pages": ("worksheet_files",),
}

__all__ = [
    "MAX_LABELS",
    "PRODUCTS",
    "CourseMade",
    "Crew",
    "LessonMade",
    "Pack",
    "Pictures",
    "Published",
    "Row",
    "Variant",
    "article_html",
    "builds_of",
    "cards_html",
    "cautions_of",
    "changed_in",
    "cores_here",
    "crop_of_steps",
    "draw",
    "exercise_files",
    "faults_html",
    "fonts",
    "formula_view",
    "guide_for",
    "kinds_of",
    "kit_files",
    "parts_csv",
    "publish",
    "publish_course",
    "publish_lesson",
    "rows_of",
    "schematic_layout",
    "schematic_picture_of",
    "shared_once",
    "spreadsheet",
    "step_picture",
    "supply_said",
    "templates",
    "text_of",
    "variant_of",
    "work_of",
    "worksheet_files",
    "write_pack",
]

__getattr__ = lazily(__name__, _HOME)
"""Putting other words in needs little."""
