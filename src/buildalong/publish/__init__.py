"""Publishing: the article, the pictures and the parts list of a compiled lesson, as one folder."""

from buildalong.publish._article import article_html
from buildalong.publish._pack import write_pack
from buildalong.publish._pictures import Pictures, draw, schematic_layout
from buildalong.publish._publish import Pack, publish
from buildalong.publish._rows import parts_csv

__all__ = [
    "Pack",
    "Pictures",
    "article_html",
    "draw",
    "parts_csv",
    "publish",
    "schematic_layout",
    "write_pack",
]
