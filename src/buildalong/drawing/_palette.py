"""Colours: a quiet printed page.  All are sRGB hex; contrast after WCAG 2.2 is checked by tests.

Net colours are told apart by lightness as well as by hue, so that they survive grey printing and
the common colour blindnesses; the pictures write the net's name beside it all the same.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

__all__ = [
    "BANDS",
    "HIGH_CONTRAST",
    "NETS",
    "PALE",
    "PAPER",
    "PLAIN",
    "NetColour",
    "Tone",
    "contrast",
    "grey",
    "luminance",
    "mix",
    "plates_vanish",
    "quiet_on",
    "readable_on",
    "rim_on",
    "seen_on",
    "wire_colour",
]

PAPER = "#FFFDF7"
"""The page."""
BOARD = "#F4ECDA"
"""The body of the board: warm paper."""
GRID = "#EBE4D5"
"""Grid lines of waveforms."""
CHIP = "#F9F4E7"
"""The ground of an IC whose inside is shown."""
PRESSED = "#6E7480"
"""The bar of a pressed button."""
BOARD_EDGE = "#8A7F68"
TRENCH = "#E4D8BF"
TAG = "#FFFBF0"
"""The ground of labels on the board."""
HOLE = "#8C826F"
"""A free hole."""
HOLE_USED = "#2B2A28"
INK = "#23262B"
"""Text and outlines."""
INK_SOFT = "#5C564B"
"""Secondary text: row numbers, axes."""
INK_QUIET = "#6F675A"
"""Numbers of the rails, between those of the rows."""
LINE_SOFT = "#C9BEA6"
"""Hair lines that need not be seen to understand the picture."""
STRIP = "#E6DBC3"
"""A faint bar behind the holes of one strip."""
ACCENT = "#B3261E"
"""Rings around the holes of the step; events."""
VOLTAGE = "#1C63AC"
"""Voltages written on a schematic."""
PLUS_RAIL = "#B3261E"
MINUS_RAIL = "#23418F"
RIGHT, WRONG = "#1F5A33", "#9C1C14"
"""Frames and signs of what is right and what is wrong; words and shapes say the same."""
WARNING = "#F0C34A"
"""Fill of the warning triangle, which has a dark edge and sign."""
BAND_EDGE = "#5A4A33"
"""Outline of a band."""
METAL = "#9A9A96"
METAL_EDGE = "#56565A"


@dataclass(frozen=True, slots=True)
class NetColour:
    """A colour for a net: ``name`` for words, ``hex`` to draw.

    ``bars`` tells it from others of the same colour: so many lie across its strips between two holes.
    """

    name: str
    hex: str
    bars: int = 0


PLUS = NetColour("red", "#C0281F")
GROUND = NetColour("black", "#26292E")
NETS: tuple[NetColour, ...] = (
    NetColour("blue", "#1F6DB5"),
    NetColour("orange", "#C2620C"),
    NetColour("green", "#0B6B4F"),
    NetColour("purple", "#8E3A86"),
    NetColour("teal", "#0AA0C2"),
    NetColour("brown", "#462008"),
)
"""Colours for nets other than the supply's two, in order of use."""

WIRES = {
    "red": "#C0281F", "black": "#2A2C31", "blue": "#1F6DB5", "yellow": "#E9BE2B", "green": "#2E8B57",
    "orange": "#E07B1A", "white": "#F7F4EC", "grey": "#8E9094", "brown": "#553014", "violet": "#943E8E",
    "purple": "#8E3A86", "teal": "#0AA0C2", "pink": "#D77C9B",
}  # fmt: skip
"""Insulation colours by the name that a layout gives a wire; those given in turn differ for every eye."""

BANDS = {
    "black": "#1D1D1F", "brown": "#7E3F0A", "red": "#C83034", "orange": "#F78D1E", "yellow": "#F4D22E",
    "green": "#2E7F4E", "blue": "#2E71C0", "violet": "#943E8E", "grey": "#8B8D90", "white": "#FFFFFF",
    "gold": "#AF7E0D", "silver": "#C3C6CA", "pink": "#E3A0A4",
}  # fmt: skip
"""Colours of resistor bands by their names in IEC 60062; every band has a dark outline besides.

Chosen near the usual paints so that any two differ for the common colour blindnesses too
(at least 8 by CIEDE2000); in grey only their names beside them tell them apart.
"""


BLACK = 0.03
"""A wire of less luminance (WCAG 2.2) is black; the darkest other, brown, has more."""
PALE = 1.3
"""What has less contrast than this with its ground is told by its outline alone, which is heavier then."""


def wire_colour(name: str) -> str:
    """The colour to draw a wire in; a name not known is drawn grey."""
    return WIRES.get(name, WIRES["grey"])


@dataclass(frozen=True)
class Tone:
    """How a picture is coloured: colours put in the place of others, and how far muted ones fade.

    ``fade``, ``fade_wire`` and ``fade_line`` are shares of the ground in muted fills, muted wires, which are
    told by their colour alone, and outlines; ``fade_black`` is that of black wires, half-way to a grey one
    that is new.  ``line`` multiplies the width of outlines.  ``casing`` is the share of black in the casing
    of a wire, and in that of one as pale as the board.  A curve has a contrast of ``curve`` on the page.
    """

    name: str
    fade: float = 0.62
    fade_wire: float = 0.5
    fade_black: float = 0.27
    fade_line: float = 0.31
    line: float = 1.0
    swaps: Mapping[str, str] = field(default_factory=dict)
    casing: tuple[float, float] = (0.55, 0.7)
    curve: float = 3.05

    def colour(self, colour: str) -> str:
        """The colour to draw with."""
        return self.swaps.get(colour, colour)

    def muted_wire(self, colour: str, ground: str) -> str:
        """The colour of a muted wire; a black one keeps more, or it were as grey as a new grey one."""
        share = self.fade_black if luminance(colour) < BLACK else self.fade_wire
        return mix(self.colour(colour), self.colour(ground), share)


PLAIN = Tone("plain")
HIGH_CONTRAST = Tone(
    "high-contrast", 0.8, 0.58, 0.24, 0.25, 1.5,
    {
        PAPER: "#FFFFFF", BOARD: "#FFFFFF", TAG: "#FFFFFF", TRENCH: "#E4E4E4", STRIP: "#8E8E8E",
        HOLE: "#333333", HOLE_USED: "#000000", INK: "#000000", INK_SOFT: "#000000", LINE_SOFT: "#6E6E6E",
        INK_QUIET: "#4A4A4A", BOARD_EDGE: "#000000", VOLTAGE: "#003A80", METAL_EDGE: "#1E1E20",
        ACCENT: "#A30000", RIGHT: "#004A1C", WRONG: "#8E0000", PLUS_RAIL: "#A30000", PLUS.hex: "#9E0000",
        MINUS_RAIL: "#00247A", GRID: "#C4C4C4", CHIP: "#FFFFFF", PRESSED: "#3A3E46",
        BAND_EDGE: "#000000",
    },
    (0.85, 0.9), 5.3,
)  # fmt: skip
"""White ground, black lines, text of at least 7:1 (WCAG 2.2, 1.4.6), curves of 3:1 with grid lines."""


def plates_vanish(tone: Tone) -> bool:
    """Whether plates of labels have the colour of the board: without an edge they cut what is on it."""
    return tone.colour(TAG) == tone.colour(BOARD)


def _channels(colour: str) -> tuple[float, float, float]:
    return tuple(int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5))  # type: ignore[return-value]


def _hex(channels: tuple[float, float, float]) -> str:
    return "#" + "".join(f"{round(min(max(c, 0.0), 1.0) * 255):02X}" for c in channels)


def luminance(colour: str) -> float:
    """Relative luminance, 0 to 1 (WCAG 2.2, definition of relative luminance)."""
    r, g, b = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in _channels(colour))
    return 0.2126 * r + 0.7152 * g + 0.0722 * b


def contrast(one: str, other: str) -> float:
    """Contrast ratio, 1 to 21 (WCAG 2.2, definition of contrast ratio)."""
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def readable_on(ground: str) -> str:
    """Black or white, whichever reads better; one of them has at least 4.58:1 on any colour."""
    return max("#000000", "#FFFFFF", key=lambda ink: contrast(ink, ground))


def quiet_on(ground: str) -> str:
    """The palest grey of the ground's own kind that still has 4.5:1 on it."""
    ink = readable_on(ground)
    shares = (share / 20 for share in range(14, -1, -1))
    return next((found for s in shares if contrast(found := mix(ink, ground, s), ground) >= 4.55), ink)


def seen_on(colour: str, ground: str, least: float = PLAIN.curve) -> str:
    """The colour, or the palest darker one of that contrast, 3:1 and a little (WCAG 2.2, 1.4.11)."""
    darker = (mix(colour, "#000000", step / 20) for step in range(20))
    return next((found for found in darker if contrast(found, ground) >= least), "#000000")


def rim_on(colour: str, ground: str) -> str:
    """The colour itself for the rim of a surface, since a darker yellow is an orange.

    One that is pale has the casing of a wire: the palest one to be seen would be the rim of a grey surface.
    """
    return colour if contrast(colour, ground) >= PALE else mix(colour, "#000000", PLAIN.casing[True])


def mix(colour: str, other: str, share: float) -> str:
    """Mix two colours in sRGB; ``share`` of the second."""
    return _hex(tuple(a + (b - a) * share for a, b in zip(_channels(colour), _channels(other), strict=True)))  # type: ignore[arg-type]


def grey(colour: str) -> str:
    """The grey of the same luminance."""
    y = luminance(colour)
    c = y * 12.92 if y <= 0.0031308 else 1.055 * y ** (1 / 2.4) - 0.055
    return _hex((c, c, c))
