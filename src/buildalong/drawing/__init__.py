"""Pictures: board, parts, schematic and waveforms as SVG, each with its text alternative."""

from buildalong.drawing._band import Band, tolerance_band
from buildalong.drawing._board import board_picture
from buildalong.drawing._closeup import bridge_closeup, closeup, slip_closeup
from buildalong.drawing._fonts import FontFile, vendored_fonts
from buildalong.drawing._frame import View
from buildalong.drawing._histogram import histogram
from buildalong.drawing._icon import part_icon
from buildalong.drawing._ideal import Ideal, usual_ideals
from buildalong.drawing._nets import net_colours
from buildalong.drawing._palette import HIGH_CONTRAST, PLAIN, Tone
from buildalong.drawing._part import part_picture
from buildalong.drawing._picture import Picture
from buildalong.drawing._png import missing_characters, to_png
from buildalong.drawing._scene import rows_in_use
from buildalong.drawing._slips import shown_slips, with_bends
from buildalong.drawing._study import sweep_curves, sweep_waves
from buildalong.drawing._tilted import tilted_picture
from buildalong.drawing._watch import Threshold, usual_traces
from buildalong.drawing._waves import Mark, waveforms
from buildalong.drawing._words import band_meaning

__all__ = [
    "HIGH_CONTRAST",
    "PLAIN",
    "Band",
    "FontFile",
    "Ideal",
    "Mark",
    "Picture",
    "Threshold",
    "Tone",
    "View",
    "band_meaning",
    "board_picture",
    "bridge_closeup",
    "closeup",
    "histogram",
    "missing_characters",
    "net_colours",
    "part_icon",
    "part_picture",
    "rows_in_use",
    "shown_slips",
    "slip_closeup",
    "sweep_curves",
    "sweep_waves",
    "tilted_picture",
    "to_png",
    "tolerance_band",
    "usual_ideals",
    "usual_traces",
    "vendored_fonts",
    "waveforms",
    "with_bends",
]
