"""Publishing: the article, the pictures and the parts list of a compiled lesson, as one folder."""

from buildalong.publish._article import article_html, fonts, templates, text_of
from buildalong.publish._cards import cards_html
from buildalong.publish._cautions import cautions_of
from buildalong.publish._csv import spreadsheet
from buildalong.publish._exercise_pages import exercise_files
from buildalong.publish._fault_plan import fault_plan_pdf
from buildalong.publish._faults import faults_html, guide_for
from buildalong.publish._kit_sheets import MAX_LABELS, kit_files
from buildalong.publish._pack import write_pack
from buildalong.publish._pictures import (
    Pictures,
    crop_of_steps,
    draw,
    schematic_layout,
    schematic_picture_of,
    step_picture,
)
from buildalong.publish._publish import Pack, publish
from buildalong.publish._rows import Row, kinds_of, parts_csv, rows_of, upper
from buildalong.publish._sections import formula_view
from buildalong.publish._shared import shared_once
from buildalong.publish._trials import work_of
from buildalong.publish._variant import Variant, variant_of
from buildalong.publish._worksheet_pages import worksheet_files

__all__ = [
    "MAX_LABELS",
    "Pack",
    "Pictures",
    "Row",
    "Variant",
    "article_html",
    "cards_html",
    "cautions_of",
    "crop_of_steps",
    "draw",
    "exercise_files",
    "fault_plan_pdf",
    "faults_html",
    "fonts",
    "formula_view",
    "guide_for",
    "kinds_of",
    "kit_files",
    "parts_csv",
    "publish",
    "rows_of",
    "schematic_layout",
    "schematic_picture_of",
    "shared_once",
    "spreadsheet",
    "step_picture",
    "templates",
    "text_of",
    "upper",
    "variant_of",
    "work_of",
    "worksheet_files",
    "write_pack",
]
