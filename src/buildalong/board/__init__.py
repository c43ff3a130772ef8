"""The board: tie-points, strips and rails; layouts and the circuit that a layout really makes."""

from buildalong.board._area import Area, area_from
from buildalong.board._author import layout_from
from buildalong.board._board import PITCH_MM, TRENCH_X, Board, board, boards
from buildalong.board._bodies import outline_of
from buildalong.board._check import check_layout
from buildalong.board._compare import compare
from buildalong.board._footprint import turn_of
from buildalong.board._layout import Layout, Wire
from buildalong.board._readback import equal, joined_strips, read_back, strip_nets
from buildalong.board._strays import strip_capacitances
from buildalong.board._words import and_list, hole_words, holes_words, pin_words, strip_words, turned_words

__all__ = [
    "PITCH_MM",
    "TRENCH_X",
    "Area",
    "Board",
    "Layout",
    "Wire",
    "and_list",
    "area_from",
    "board",
    "boards",
    "check_layout",
    "compare",
    "equal",
    "hole_words",
    "holes_words",
    "joined_strips",
    "layout_from",
    "outline_of",
    "pin_words",
    "read_back",
    "strip_capacitances",
    "strip_nets",
    "strip_words",
    "turn_of",
    "turned_words",
]
