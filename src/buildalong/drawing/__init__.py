"""Pictures: board, parts, schematic and waveforms as SVG, each with its text alternative."""

from __future__ import annotations

from typing import TYPE_CHECKING

from buildalong.lazy import lazily

if TYPE_CHECKING:
    from buildalong.drawing._apart import stretches_apart
    from buildalong.drawing._axes import Axis
    from buildalong.drawing._band import Band, tolerance_band
    from buildalong.drawing._board import board_picture
    from buildalong.drawing._closeup import bridge_closeup, closeup, slip_closeup
    from buildalong.drawing._fonts import FontFile, vendored_fonts
    from buildalong.drawing._frame import View
    from buildalong.drawing._histogram import histogram, histogram_axis
    from buildalong.drawing._icon import part_icon
    from buildalong.drawing._ideal import Ideal, usual_ideals
    from buildalong.drawing._nets import net_colours
    from buildalong.drawing._palette import HIGH_CONTRAST, PAPER, PLAIN, Tone
    from buildalong.drawing._part import part_picture
    from buildalong.drawing._picture import Picture
    from buildalong.drawing._png import missing_characters, to_png
    from buildalong.drawing._scene import rows_in_use
    from buildalong.drawing._slips import shown_slips, with_bends
    from buildalong.drawing._study import sweep_curves, sweep_waves
    from buildalong.drawing._text import uncovered
    from buildalong.drawing._tilted import tilted_picture
    from buildalong.drawing._watch import Threshold, usual_traces
    from buildalong.drawing._waves import Mark, waveforms
    from buildalong.drawing._words import band_meaning, leg_words, said_at_rest, said_at_work

_HOME = {
    "_apart": ("stretches_apart",),
    "_axes": ("Axis",),
    "_band": ("Band", "tolerance_band"),
    "_board": ("board_picture",),
    "_closeup": ("bridge_closeup", "closeup", "slip_closeup"),
    "_fonts": ("FontFile", "vendored_fonts"),
    "_frame": ("View",),
    "_histogram": ("histogram", "histogram_axis"),
    "_icon": ("part_icon",),
    "_ideal": ("Ideal", "usual_ideals"),
    "_nets": ("net_colours",),
    "_palette": ("HIGH_CONTRAST", "PAPER", "PLAIN", "Tone"),
    "_part": ("part_picture",),
    "_picture": ("Picture",),
    "_png": ("missing_characters", "to_png"),
    "_scene": ("rows_in_use",),
    "_slips": ("shown_slips", "with_bends"),
    "_study": ("sweep_curves", "sweep_waves"),
    "_text": ("uncovered",),
    "_tilted": ("tilted_picture",),
    "_watch": ("Threshold", "usual_traces"),
    "_waves": ("Mark", "waveforms"),
    "_words": ("band_meaning", "leg_words", "said_at_rest", "said_at_work"),
}

__all__ = [
    "HIGH_CONTRAST",
    "PAPER",
    "PLAIN",
    "Axis",
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
    "histogram_axis",
    "leg_words",
    "missing_characters",
    "net_colours",
    "part_icon",
    "part_picture",
    "rows_in_use",
    "said_at_rest",
    "said_at_work",
    "shown_slips",
    "slip_closeup",
    "stretches_apart",
    "sweep_curves",
    "sweep_waves",
    "tilted_picture",
    "to_png",
    "tolerance_band",
    "uncovered",
    "usual_ideals",
    "usual_traces",
    "vendored_fonts",
    "waveforms",
    "with_bends",
]

__getattr__ = lazily(__name__, _HOME)
"""Who sets type needs the fonts alone."""
