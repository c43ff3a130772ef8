"""Pictures as pixels: drawn by our own renderer, turned into the colours of video (ITU-R BT.709)."""

from __future__ import annotations

import io

import numpy as np
from numpy.typing import NDArray

from buildalong.drawing import Picture, to_png

__all__ = ["Bytes", "clear_pixels", "laid_in", "pixels", "planes"]

Bytes = NDArray[np.uint8]


def pixels(picture: Picture, width: int, height: int) -> Bytes:
    """A picture as red, green, blue; shape (height, width, 3)."""
    return _decoded(to_png(picture, width, height), "RGB")


def clear_pixels(picture: Picture, width: int, height: int) -> Bytes:
    """A picture on a clear ground as red, green, blue, opacity; shape (height, width, 4)."""
    return _decoded(to_png(picture, width, height, background="none"), "RGBA")


def _decoded(png: bytes, mode: str) -> Bytes:
    from PIL import Image

    with Image.open(io.BytesIO(png)) as image:
        return np.asarray(image.convert(mode))


def planes(rgb: Bytes) -> Bytes:
    """Pixels as planes of YUV 4:2:0 in the limited range of BT.709; shape (1.5 height, width)."""
    import av

    frame = av.VideoFrame.from_ndarray(np.ascontiguousarray(rgb), format="rgb24")
    turned = frame.reformat(format="yuv420p", dst_colorspace="ITU709")
    return np.asarray(turned.to_ndarray())


def laid_in(frame: Bytes, piece: Bytes, x: int, y: int) -> Bytes:
    """Planes with those of a smaller picture in their place; all sizes and places are even numbers."""
    out = frame.copy()
    for whole, part, scale in zip(_each(out), _each(piece), (1, 2, 2), strict=True):
        high, wide = part.shape
        whole[y // scale : y // scale + high, x // scale : x // scale + wide] = part
    return out


def _each(planes: Bytes) -> tuple[Bytes, Bytes, Bytes]:
    """Brightness, and the two planes of colour at half the width and height, as views."""
    high, wide = planes.shape[0] * 2 // 3, planes.shape[1]
    colours = planes[high:].reshape(2, high // 2, wide // 2)
    return planes[:high], colours[0], colours[1]
