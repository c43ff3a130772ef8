"""The board: tie-points, strips and rails; layouts and the circuit that a layout really makes."""

from buildalong.board._area import Area, area_from
from buildalong.board._author import coloured, layout_from, uncoloured
from buildalong.board._board import PITCH_MM, TRENCH_X, Board, board, boards, split_twin
from buildalong.board._bodies import outline_of
from buildalong.board._check import check_change, check_layout
from buildalong.board._colours import WIRE_COLOURS, colour_conflicts, net_colours, spread_colours
from buildalong.board._compare import compare
from buildalong.board._footprint import TURNS, footprint, turn_of
from buildalong.board._layout import Layout, Wire
from buildalong.board._oriented import oriented
from buildalong.board._points import point_at, point_name
from buildalong.board._readback import equal, joined_strips, read_back, strip_nets
from buildalong.board._strays import strip_capacitances
from buildalong.board._wire_words import STYLES, Style, wire_words
from buildalong.board._words import (
    a_wire,
    hole_name,
    hole_words,
    holes_words,
    pin_words,
    strip_words,
    swappable_lead,
    the_wire,
    the_wire_alone,
    turned_words,
)

__all__ = [
    "PITCH_MM",
    "STYLES",
    "TRENCH_X",
    "TURNS",
    "WIRE_COLOURS",
    "Area",
    "Board",
    "Layout",
    "Style",
    "Wire",
    "a_wire",
    "area_from",
    "board",
    "boards",
    "check_change",
    "check_layout",
    "colour_conflicts",
    "coloured",
    "compare",
    "equal",
    "footprint",
    "hole_name",
    "hole_words",
    "holes_words",
    "joined_strips",
    "layout_from",
    "net_colours",
    "oriented",
    "outline_of",
    "pin_words",
    "point_at",
    "point_name",
    "read_back",
    "split_twin",
    "spread_colours",
    "strip_capacitances",
    "strip_nets",
    "strip_words",
    "swappable_lead",
    "the_wire",
    "the_wire_alone",
    "turn_of",
    "turned_words",
    "uncoloured",
    "wire_words",
]
