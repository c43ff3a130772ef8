"""PNG: exact sizes, nothing cut, text really drawn."""

import io
import math
import re
from pathlib import Path

import pytest
from PIL import Image

from buildalong.drawing import Picture, part_picture, to_png
from buildalong.drawing._svg import Svg

from ._demo import part


def picture(width: float = 400, height: float = 100, text: str = "") -> Picture:
    svg = Svg(width, height, title="t", alt="t")
    svg.rect(0, 0, width, height, fill="#0000FF")
    if text:
        svg.text(10, 60, text, 40, fill="#FFFFFF")
    return svg.picture()


@pytest.mark.parametrize("shape", [(400, 100), (100, 400), (16, 9)])
def test_full_hd(shape: tuple[float, float]) -> None:
    """A picture of any proportions comes out at exactly 1920 by 1080, whole and centred on the ground."""
    image = Image.open(io.BytesIO(to_png(picture(*shape), 1920, 1080, background="#FFFFFF"))).convert("RGB")
    assert image.size == (1920, 1080)
    blue = image.point(lambda v: v).split()[0].point(lambda v: 255 if v < 128 else 0).getbbox()
    assert blue is not None
    scale = min(1920 / shape[0], 1080 / shape[1])
    assert blue[2] - blue[0] == pytest.approx(shape[0] * scale, abs=2)
    assert blue[3] - blue[1] == pytest.approx(shape[1] * scale, abs=2)
    assert (blue[0] + blue[2]) / 2 == pytest.approx(960, abs=1.5)
    assert (blue[1] + blue[3]) / 2 == pytest.approx(540, abs=1.5)


def test_height_follows_from_the_width() -> None:
    """Without a height the proportions are kept."""
    assert Image.open(io.BytesIO(to_png(picture(400, 100), 800))).size == (800, 200)


def test_text_is_drawn() -> None:
    """White letters appear: the font is found (a renderer without it drops text silently)."""
    blank, written = to_png(picture(), 400), to_png(picture(text="Hello Ω"), 400)
    white = [sum(Image.open(io.BytesIO(data)).convert("L").histogram()[200:]) for data in (blank, written)]
    assert white[0] == 0
    assert white[1] > 500


def test_same_bytes_again() -> None:
    """The same picture gives the same file."""
    card = part_picture(part("led-red"))
    assert to_png(card, 480) == to_png(card, 480)


@pytest.mark.parametrize("size", [(0, None), (100, 0), (100_000, 100_000)])
def test_senseless_sizes_are_refused(size: tuple[int, int | None]) -> None:
    """Sizes are bounded."""
    with pytest.raises(ValueError, match="pixels"):
        to_png(picture(), *size)


SNAPSHOTS = sorted((Path(__file__).parent / "snapshots").rglob("*.svg"))


@pytest.mark.parametrize("file", SNAPSHOTS, ids=lambda file: file.stem)
@pytest.mark.parametrize("size", [(600, 150), (150, 600)], ids=["wide", "tall"])
def test_nothing_is_drawn_beyond_the_edges(file: Path, size: tuple[int, int]) -> None:
    """Nothing is cut off at a picture's edges, for no picture has anything there: the ground stays clear."""
    svg = file.read_text(encoding="utf-8")
    width, height = (float(found) for found in re.findall(r'viewBox="\S+ \S+ ([\d.]+) ([\d.]+)"', svg)[0])
    image = Image.open(io.BytesIO(to_png(Picture(svg, "", width, height), *size, background="#FF00FF")))
    scale = min(size[0] / width, size[1] / height)
    left, top = (size[0] - width * scale) / 2, (size[1] - height * scale) / 2
    edges = [
        (0, 0, math.floor(left), size[1]), (math.ceil(size[0] - left), 0, *size),
        (0, 0, size[0], math.floor(top)), (0, math.ceil(size[1] - top), *size),
    ]  # fmt: skip
    clear = {(255, 0, 255)}
    for edge in edges:
        if edge[0] < edge[2] and edge[1] < edge[3]:
            assert {color for _, color in image.convert("RGB").crop(edge).getcolors(1_000_000)} == clear
