"""The board at true scale, measured in the PDF's own vector coordinates; tiles and folded booklets."""

from __future__ import annotations

import io
import math
from collections.abc import Callable
from itertools import pairwise

import pikepdf
import pytest

from buildalong.board import board
from buildalong.lesson import Compiled
from buildalong.publish._pictures import Pictures
from buildalong.publish.handout import Material, poster_pdf, sheets_pdf
from buildalong.publish.handout._poster import EDGE, LAP, POSTER_PAPERS, tiling_of
from buildalong.publish.handout._sheets import sides_of
from publish._pdf import Line, elements, strokes, tagged, text_of

MM = 72 / 25.4
"""Points in a millimetre (ISO 32000-1, 8.3.2.3: a unit is 1/72 inch)."""
STRIP, INK = "E6DBC3", "23262B"
"""Colours of the line that joins the holes of a strip, from the middle of its first hole to that of its last,
and of the ruler."""


@pytest.fixture(scope="module")
def poster(compiled_demo: Callable[[str], Compiled]) -> Callable[..., bytes]:
    """Give the poster of a demo on a paper."""

    def of(name: str, paper: str = "a4", scale: int | None = None) -> bytes:
        return poster_pdf(Material(compiled_demo(name), Pictures()), paper, scale)

    return of


def _strips(page: pikepdf.Page) -> list[Line]:
    return strokes(page).get(STRIP, [])


@pytest.mark.parametrize(
    ("name", "paper", "scale"),
    [
        ("mailbox-flag", "a4", 1),
        ("lighthouse", "letter", 1),
        ("lighthouse", "a3", 3),
        ("mailbox-flag", "a2", 6),
    ],
)
def test_holes_are_at_their_true_distance(
    poster: Callable[..., bytes], name: str, paper: str, scale: int, compiled_demo: Callable[[str], Compiled]
) -> None:
    """Five holes of a strip span four times 2.54 mm, and so do five rows (0.1 inch: the pitch of a DIP)."""
    pdf = pikepdf.open(io.BytesIO(poster(name, paper)))
    page = pdf.pages[0]
    strips = _strips(page)
    layout = compiled_demo(name).layout
    assert layout is not None
    assert len(strips) == 2 * layout.board.rows
    pitch = 2.54 * scale * MM
    for (x0, y0), (x1, y1) in strips:
        assert math.hypot(x1 - x0, y1 - y0) == pytest.approx(4 * pitch, abs=1e-3)
    heights = sorted({round(line[0][1], 3) for line in strips})
    assert [b - a for a, b in pairwise(heights)] == pytest.approx([pitch] * (layout.board.rows - 1), abs=2e-3)
    # over the trench, columns e and f are three pitches apart (0.3 inch: the width of a DIP)
    row = [line for line in strips if round(line[0][1], 3) == heights[0]]
    (left, right) = sorted(row)
    assert right[0][0] - left[1][0] == pytest.approx(3 * pitch, abs=1e-3)


def test_the_ruler_is_a_hundred_millimetres_long(poster: Callable[..., bytes]) -> None:
    """101 marks stand one millimetre apart, on a line of 100 mm."""
    pdf = pikepdf.open(io.BytesIO(poster("mailbox-flag", "a4")))
    lines = strokes(pdf.pages[0])[INK]
    level = [line for line in lines if abs(line[0][0] - line[-1][0] + 100 * MM) < 0.01]
    assert len(level) == 1
    ((left, y), _) = level[0]
    marks = sorted(
        line[0][0] for line in lines if len(line) == 2 and line[0][0] == line[1][0] and line[0][1] == y
    )
    assert len(marks) == 101
    assert marks == pytest.approx([left + MM * at for at in range(101)], abs=1e-3)


@pytest.mark.debian("pdftotext")
@pytest.mark.parametrize(("name", "paper"), [("lighthouse", "a4"), ("mailbox-flag", "a3")])
def test_a_poster_says_how_to_check_it(
    poster: Callable[..., bytes], compiled_demo: Callable[[str], Compiled], name: str, paper: str
) -> None:
    """Tagged as PDF/UA-1, on one page, with each part's holes and how to print it."""
    data = poster(name, paper)
    pdf = tagged(data)
    assert len(pdf.pages) == 1
    assert all(str(e.get("/Alt", "")) for kind, e in elements(pdf) if kind == "Figure")
    text = " ".join(text_of(data, "-layout").split())
    assert "Print at 100 %" in text
    layout = compiled_demo(name).layout
    assert layout is not None
    for part, holes in layout.holes.items():
        assert part in text
        assert holes[-1] in text
    assert data == poster(name, paper)


def test_a_factor_must_be_sensible(poster: Callable[..., bytes]) -> None:
    """Only whole factors from 1 to 8."""
    for scale in (0, 9):
        with pytest.raises(ValueError, match="factor"):
            poster("mailbox-flag", "a4", scale)


# -- several sheets -----------------------------------------------------------------------------


def test_tiles_together_show_the_whole(
    poster: Callable[..., bytes], compiled_demo: Callable[[str], Compiled]
) -> None:
    """On each sheet holes are true to the factor, each sheet a window less the lap after the one before."""
    pdf = pikepdf.open(io.BytesIO(poster("lighthouse", "a4", 4)))
    width, height = POSTER_PAPERS["a4"]
    tiles = list(pdf.pages)[1:]
    assert len(tiles) >= 2
    firsts = []
    for page in tiles:
        strips = _strips(page)
        for (x0, y0), (x1, y1) in strips:
            assert math.hypot(x1 - x0, y1 - y0) == pytest.approx(4 * 4 * 2.54 * MM, abs=1e-2)
        tall = float(page.mediabox[3])
        firsts.append((strips[0][0][0], tall - strips[0][0][1]))
    flipped = float(tiles[0].mediabox[2]) > float(tiles[0].mediabox[3])
    across, along = (height, width) if flipped else (width, height)
    step = (across - 2 * EDGE - LAP) * MM, (along - 2 * EDGE - LAP - LAP) * MM
    moves = {
        (round((firsts[0][0] - x) / step[0], 3), round((firsts[0][1] - y) / step[1], 3)) for x, y in firsts
    }
    assert len(moves) == len(tiles)
    assert all(x == int(x) and y == int(y) for x, y in moves)


@pytest.mark.parametrize("wide", [100.0, 186.0, 187.0, 300.0, 900.0])
@pytest.mark.parametrize("tall", [100.0, 265.0, 266.0, 900.0])
def test_tiles_cover_any_picture(wide: float, tall: float) -> None:
    """The windows, each a lap over the next, reach to the end of the picture, and no row is for nothing."""
    made = tiling_of(wide, tall, POSTER_PAPERS["a4"])
    for size, window, count in ((wide, made.window[0], made.columns), (tall, made.window[1], made.rows)):
        assert count * window - (count - 1) * LAP >= size - 1e-9
        assert count == 1 or (count - 1) * window - (count - 2) * LAP < size


def test_the_longest_board_fits_a_sheet() -> None:
    """165 mm of a board with 830 tie-points fit on A4 at true scale, with the words above it."""
    assert board("830").rows * 2.54 < 165 < POSTER_PAPERS["a4"][1] - 2 * EDGE - 52


# -- folded booklets ----------------------------------------------------------------------------


def test_pages_lie_as_a_folded_booklet_needs_them() -> None:
    """Saddle-stitched booklets of four and eight pages, by folding paper: common practice of printers."""
    assert sides_of(4) == ((4, 1), (2, 3))
    assert sides_of(8) == ((8, 1), (2, 7), (6, 3), (4, 5))
    assert sides_of(5) == ((0, 1), (2, 0), (0, 3), (4, 5))


@pytest.mark.parametrize("pages", range(1, 41))
def test_a_folded_stack_reads_from_front_to_back(pages: int) -> None:
    """Folding and turning leaf by leaf gives 1, 2, 3, ...: the paper is followed, not the formula."""
    sides = sides_of(pages)
    assert len(sides) % 2 == 0
    sheets = list(zip(sides[::2], sides[1::2], strict=True))
    # a sheet's front is (left, right); turned over its short edge, its left lies behind the front's right
    right_leaves = [(front[1], back[0]) for front, back in sheets]
    left_leaves = [(back[1], front[0]) for front, back in reversed(sheets)]
    read = [page for leaf in (*right_leaves, *left_leaves) for page in leaf]
    assert read == [page if page <= pages else 0 for page in range(1, len(read) + 1)]


@pytest.mark.debian("pdftotext")
def test_sheets_hold_the_pages_of_the_booklet() -> None:
    """Each half of each side shows the page that belongs there, at its own size; A4 lying."""
    from buildalong.publish._typeset import _compiled

    source = '#set document(title: "t", date: none)\n#set page(paper: "a5")\n' + "#pagebreak()\n".join(
        f"leaf {number} of it\n" for number in range(1, 7)
    )
    (booklet,) = _compiled("pages.typ", {"pages.typ": source.encode()})
    data = sheets_pdf(booklet, "A lamp", "en")
    assert data == sheets_pdf(booklet, "A lamp", "en")
    pdf = pikepdf.open(io.BytesIO(data))
    sizes = {tuple(round(float(x) / MM) for x in page.mediabox[2:]) for page in pdf.pages}  # type: ignore[index]
    assert sizes == {(297, 210)}
    for number, (left, right) in enumerate(sides_of(6), start=1):
        for page, half in ((left, 0), (right, 1)):
            box = (
                "-f",
                str(number),
                "-l",
                str(number),
                "-x",
                str(421 * half),
                "-y",
                "0",
                "-W",
                "421",
                "-H",
                "596",
            )
            assert text_of(data, *box).split()[:2] == (["leaf", str(page)] if page else [])
