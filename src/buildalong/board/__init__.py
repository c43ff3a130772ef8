"""The board: tie-points, strips and rails; layouts and the circuit that a layout really makes."""

from buildalong.board._board import Board, board, boards
from buildalong.board._layout import Layout, Wire

__all__ = ["Board", "Layout", "Wire", "board", "boards"]
