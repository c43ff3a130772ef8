"""How colours look to other eyes, and how far apart they are: from the literature, apart from our code."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

# Machado, Oliveira, Fernandes, "A Physiologically-based Model for Simulation of Color Vision
# Deficiency", IEEE TVCG 15 (2009) 1291, severity 1.0, for linear RGB; figures from memory.
# Viénot, Brettel, Mollon, "Digital Video Colourmaps for Checking the Legibility of Displays by
# Dichromats", Color Research and Application 24 (1999) 243, reduced to linear sRGB; from memory.
EYES: dict[str, Floats] = {
    "usual": np.eye(3),
    "protanopia, Machado": np.array([
        (0.152286, 1.052583, -0.204868), (0.114503, 0.786281, 0.099216), (-0.003882, -0.048116, 1.051998),
    ]),
    "deuteranopia, Machado": np.array([
        (0.367322, 0.860646, -0.227968), (0.280085, 0.672501, 0.047413), (-0.011820, 0.042940, 0.968881),
    ]),
    "tritanopia, Machado": np.array([
        (1.255528, -0.076749, -0.178779), (-0.078411, 0.930809, 0.147602), (0.004733, 0.691367, 0.303900),
    ]),
    "protanopia, Viénot": np.array([
        (0.11238, 0.88762, 0.0), (0.11238, 0.88762, 0.0), (0.00401, -0.00401, 1.0),
    ]),
    "deuteranopia, Viénot": np.array([
        (0.29275, 0.70725, 0.0), (0.29275, 0.70725, 0.0), (-0.02234, 0.02234, 1.0),
    ]),
    "grey printing": np.array([(0.2126, 0.7152, 0.0722)] * 3),
}  # fmt: skip
COLOUR_EYES = [name for name in EYES if name != "grey printing"]


def linear(colour: str) -> Floats:
    """Linear sRGB of a hex colour (IEC 61966-2-1)."""
    c = np.array([int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)])
    return np.where(c <= 0.04045, c / 12.92, ((c + 0.055) / 1.055) ** 2.4)


def lab(rgb: Floats) -> tuple[float, float, float]:
    """CIE L*a*b*, D65, from linear sRGB."""
    to_xyz = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
    xyz = to_xyz @ np.clip(rgb, 0, 1) / np.array([0.9505, 1.0, 1.089])
    x, y, z = np.where(xyz > 216 / 24389, np.cbrt(xyz), (24389 / 27 * xyz + 16) / 116)
    return float(116 * y - 16), float(500 * (x - y)), float(200 * (y - z))


def ciede2000(one: tuple[float, float, float], other: tuple[float, float, float]) -> float:
    """Colour difference CIEDE2000 (CIE 142-2001; written after Sharma, Wu, Dalal 2005)."""
    (l1, a1, b1), (l2, a2, b2) = one, other
    c_bar = (math.hypot(a1, b1) + math.hypot(a2, b2)) / 2
    g = 0.5 * (1 - math.sqrt(c_bar**7 / (c_bar**7 + 25.0**7)))
    a1, a2 = a1 * (1 + g), a2 * (1 + g)
    c1, c2 = math.hypot(a1, b1), math.hypot(a2, b2)
    h1, h2 = (math.degrees(math.atan2(b, a)) % 360 if a or b else 0.0 for a, b in ((a1, b1), (a2, b2)))
    dl, dc = l2 - l1, c2 - c1
    dh = h2 - h1
    if c1 * c2 == 0:
        dh = 0.0
    elif dh > 180:
        dh -= 360
    elif dh < -180:
        dh += 360
    big = 2 * math.sqrt(c1 * c2) * math.sin(math.radians(dh) / 2)
    l_bar, c_bar = (l1 + l2) / 2, (c1 + c2) / 2
    h_bar = h1 + h2
    if c1 * c2:
        if abs(h1 - h2) > 180:
            h_bar += 360 if h_bar < 360 else -360
        h_bar /= 2
    t = (
        1 - 0.17 * math.cos(math.radians(h_bar - 30)) + 0.24 * math.cos(math.radians(2 * h_bar))
        + 0.32 * math.cos(math.radians(3 * h_bar + 6)) - 0.20 * math.cos(math.radians(4 * h_bar - 63))
    )  # fmt: skip
    s_l = 1 + 0.015 * (l_bar - 50) ** 2 / math.sqrt(20 + (l_bar - 50) ** 2)
    s_c, s_h = 1 + 0.045 * c_bar, 1 + 0.015 * c_bar * t
    turn = 60 * math.exp(-(((h_bar - 275) / 25) ** 2))
    r_t = -math.sin(math.radians(turn)) * 2 * math.sqrt(c_bar**7 / (c_bar**7 + 25.0**7))
    x, y, z = dl / s_l, dc / s_c, big / s_h
    return math.sqrt(x * x + y * y + z * z + r_t * y * z)


def difference(one: str, other: str, eye: str) -> float:
    """CIEDE2000 between two hex colours as an eye (a key of EYES) sees them."""
    see = EYES[eye]
    return ciede2000(lab(see @ linear(one)), lab(see @ linear(other)))
