"""Pictures for a screen: frames of a film, overlays for footage, the thumbnail, handles for a page."""

from buildalong.drawing.screen._exhibit import fitted, listing, parts_table
from buildalong.drawing.screen._handles import Handles, Spot, board_handles, schematic_handles
from buildalong.drawing.screen._overlay import chip, lower_third, part_tag
from buildalong.drawing.screen._panel import panel
from buildalong.drawing.screen._shape import EXHIBIT, SHAPES, TALL, WIDE, Rect, Shape
from buildalong.drawing.screen._thumbnail import thumbnail

__all__ = [
    "EXHIBIT", "SHAPES", "TALL", "WIDE", "Handles", "Rect", "Shape", "Spot", "board_handles", "chip",
    "fitted", "listing", "lower_third", "panel", "part_tag", "parts_table", "schematic_handles", "thumbnail",
]  # fmt: skip
