"""Pictures: board, parts, schematic and waveforms as SVG, each with its text alternative."""

from buildalong.drawing._picture import Picture
from buildalong.drawing._png import missing_characters, to_png

__all__ = ["Picture", "missing_characters", "to_png"]
