"""Pictures: board, parts, schematic and waveforms as SVG, each with its text alternative."""

from buildalong.drawing._board import board_picture
from buildalong.drawing._fonts import FontFile, vendored_fonts
from buildalong.drawing._picture import Picture
from buildalong.drawing._png import missing_characters, to_png

__all__ = ["FontFile", "Picture", "board_picture", "missing_characters", "to_png", "vendored_fonts"]
