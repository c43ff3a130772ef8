"""Pictures held byte for byte: a changed one fails, and is shown as an image difference.

To renew them after a change that was meant, look at the new pictures, then::

    RENEW_SNAPSHOTS=1 pytest tests/drawing/test_snapshots.py tests/schematic/test_schematic_snapshots.py

and commit the files.  Where a picture differs, a PNG with the kept one, the new one and their difference is
written to ``build/snapshots`` and its path is told.
"""

from __future__ import annotations

import os
import re
from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image, ImageChops, ImageOps

from buildalong.drawing import Picture, to_png

__all__ = ["difference", "unchanged"]

DIFFERENCES = Path(__file__).parents[2] / "build" / "snapshots"


def unchanged(folder: Path, name: str, svg: str) -> None:
    """Fail where a picture differs from the kept one; with RENEW_SNAPSHOTS set, keep it instead."""
    file = folder / f"{name}.svg"
    if os.environ.get("RENEW_SNAPSHOTS"):
        folder.mkdir(exist_ok=True)
        file.write_text(svg, encoding="utf-8")
    kept = file.read_text(encoding="utf-8")
    if svg != kept:
        pytest.fail(f"the picture changed; look at {difference(name, kept, svg)}")


def difference(name: str, kept: str, new: str) -> Path:
    """Write a PNG with the kept picture, the new one, and where they differ in red; give its path."""
    images = []
    for svg in (kept, new):
        width, height = map(float, re.search(r'viewBox="\S+ \S+ (\S+) (\S+)"', svg).groups())  # type: ignore[union-attr]
        images.append(Image.open(BytesIO(to_png(Picture(svg, "", width, height), 900))).convert("RGB"))
    size = (900, max(image.height for image in images))
    plain = [Image.new("RGB", size, "white") for _ in images]
    for ground, image in zip(plain, images, strict=True):
        ground.paste(image, (0, 0))
    changed = ImageChops.difference(*plain).convert("L").point(lambda value: 255 if value > 8 else 0)
    shown = ImageOps.colorize(ImageOps.grayscale(plain[1]), "#888888", "#FFFFFF")
    shown.paste("#D00000", mask=changed)
    sheet = Image.new("RGB", (3 * size[0] + 20, size[1]), "#404040")
    for index, image in enumerate((*plain, shown)):
        sheet.paste(image, (index * (size[0] + 10), 0))
    DIFFERENCES.mkdir(parents=True, exist_ok=True)
    sheet.save(DIFFERENCES / f"{name}.png")
    return DIFFERENCES / f"{name}.png"
