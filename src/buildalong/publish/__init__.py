"""Publishing: the article, the pictures and the parts list of a compiled lesson, as one folder."""

from buildalong.publish._article import article_html, fonts
from buildalong.publish._cards import cards_html
from buildalong.publish._kit_sheets import MAX_LABELS, kit_files
from buildalong.publish._pack import write_pack
from buildalong.publish._pictures import Pictures, draw, schematic_layout
from buildalong.publish._publish import Pack, publish
from buildalong.publish._rows import parts_csv
from buildalong.publish._worksheet_pages import worksheet_files

__all__ = [
    "MAX_LABELS",
    "Pack",
    "Pictures",
    "article_html",
    "cards_html",
    "draw",
    "fonts",
    "kit_files",
    "parts_csv",
    "publish",
    "schematic_layout",
    "worksheet_files",
    "write_pack",
]
