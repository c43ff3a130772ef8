"""Icons and cards in pixels and in numbers: whole, in the middle, and each told from the others."""

from __future__ import annotations

import io
import re
from itertools import pairwise

import numpy as np
import pytest
from PIL import Image

from buildalong.circuit import Part, printed_on
from buildalong.drawing import Picture, part_icon, part_picture, to_png
from buildalong.drawing import _palette as palette
from buildalong.parts import catalogue

from ._demo import every_part, part
from ._measure import Sheet

EVERY = every_part()
TRANSISTORS = [p for p in EVERY if p.type.family == "transistor"]


def inked(picture: Picture) -> tuple[float, float, float, float]:
    """Left, top, right, bottom of all that is not paper, in units."""
    data = to_png(picture, round(picture.width), round(picture.height))
    pixels = np.asarray(Image.open(io.BytesIO(data)).convert("RGB"), int)
    rows, columns = np.nonzero(np.abs(pixels - pixels[0, 0]).sum(axis=2) > 24)
    return columns.min(), rows.min(), columns.max() + 1, rows.max() + 1


@pytest.mark.parametrize("shown", EVERY, ids=lambda p: p.type.id)
def test_an_icon_is_whole_and_in_the_middle(shown: Part) -> None:
    """Nothing of a part is cut off: paper is seen all round it, and as much on one side as on the other."""
    picture = part_icon(shown)
    left, top, right, bottom = inked(picture)
    assert min(left, top, picture.width - right, picture.height - bottom) >= 2
    assert abs(left - (picture.width - right)) <= 14
    assert abs(top - (picture.height - bottom)) <= 8


@pytest.mark.parametrize("shown", EVERY, ids=lambda p: p.type.id)
def test_a_part_stands_in_the_middle_of_its_card(shown: Part) -> None:
    """The picture with its words has as much paper left as right, and above as below."""
    picture = part_picture(shown)
    left, top, right, bottom = inked(picture)
    assert abs(left - (picture.width - right)) <= 72
    assert abs(top - (picture.height - bottom)) <= 40


@pytest.mark.parametrize("shown", TRANSISTORS, ids=lambda p: p.type.id)
def test_a_transistor_icon_bears_its_type(shown: Part) -> None:
    """Packages that look alike are told by their print (docs/pictures.md)."""
    words = "".join(t.text for t in Sheet(part_icon(shown).svg).texts)
    assert words == printed_on(shown)
    assert not Sheet(part_icon(shown, words=False).svg).texts


@pytest.mark.parametrize("kind", ["led-red", "electrolytic"])
def test_an_icon_shows_the_longer_lead(kind: str) -> None:
    """The plus lead ends further right than the minus lead (common practice of LED and capacitor makers)."""
    from buildalong.drawing.bodies._hand import LONG, SHORT

    picture = part_icon(part(kind, 1e-5 if kind == "electrolytic" else None))
    pixels = np.asarray(Image.open(io.BytesIO(to_png(picture, 720, 360))).convert("RGB"), int)
    drawn = np.abs(pixels - pixels[0, 0]).sum(axis=2) > 24
    ends = [np.nonzero(half.any(axis=0))[0].max() for half in (drawn[:180], drawn[180:])]
    assert ends[1] - ends[0] > 0.6 * (LONG - SHORT) * 4


@pytest.mark.parametrize(
    ("kind", "lines"),
    [("npn-2n3904", ["2N", "3904"]), ("npn-p2n2222a", ["P2N2", "222A"]), ("npn-bc547", ["BC547"])],
)
def test_the_print_of_a_transistor_keeps_off_the_edges(kind: str, lines: list[str]) -> None:
    """In as many lines as the maker prints (onsemi, marking diagrams, from memory); the face is 36.8 wide."""
    sheet = Sheet(part_picture(part(kind)).svg)
    printed = [t for t in sheet.texts if t.text in lines]
    assert [t.text for t in printed] == lines
    for text in printed:
        assert text.box[2] - text.box[0] < 0.9 * 36.8 * 1.9


@pytest.mark.parametrize("farads", [1e-6, 1e-5, 2.2e-4, 1e-3])
def test_an_electrolytic_bears_value_and_rated_voltage(farads: float) -> None:
    """Both are printed on the sleeve of every size, in two lines or along it (common practice)."""
    shown = part("electrolytic", farads)
    for picture in (part_picture(shown), part_icon(shown)):
        words = "".join(t.text for t in Sheet(picture.svg).texts)
        value, unit, rated, volt = printed_on(shown).split()
        assert f"{value}{unit}" in words
        assert f"{rated}{volt}" in words


@pytest.mark.parametrize("kind", ["led-red", "electrolytic", "npn-bc547"])
def test_leaders_run_level_and_are_cased(kind: str) -> None:
    """A leader is level, and paper round its dot shows it on a dark body as on the page."""
    svg = part_picture(part(kind, 1e-5 if kind == "electrolytic" else None)).svg
    leaders = re.findall(
        rf'<line x1="[-\d.]+" y1="([-\d.]+)" x2="([-\d.]+)" y2="([-\d.]+)" stroke="{palette.INK_SOFT}"', svg
    )
    assert leaders
    for start, x, end in leaders:
        assert start == end
        dots = re.findall(rf'<circle cx="{x}" cy="{end}" r="([\d.]+)" fill="(#\w+)"', svg)
        assert [fill for _, fill in dots] == [palette.PAPER, palette.INK_SOFT]
        assert float(dots[0][0]) > float(dots[1][0])


@pytest.mark.parametrize(("kind", "word"), [("supply-9v", "9 V"), ("supply-usb", "5 V")])
def test_what_is_printed_on_a_supply_is_written_once(kind: str, word: str) -> None:
    """No line below the body repeats the print on it."""
    assert [t.text for t in Sheet(part_picture(part(kind)).svg).texts].count(word) == 1


def test_the_minus_stud_of_a_block_battery_is_the_larger() -> None:
    """IEC 60086-2, 6LR61: plus on the smaller, round stud, minus on the larger, six-sided one."""
    svg = part_picture(part("supply-9v")).svg
    round_one = re.search(rf'<circle cx="150" cy="([\d.]+)" r="([\d.]+)" fill="{palette.METAL}"', svg)
    six = re.search(rf'<path d="M ?([^"]*)Z"? ?fill="{palette.METAL}"', svg) or re.search(
        rf'<path d="M([^"]*)Z" fill="{palette.METAL}"', svg
    )
    assert round_one
    assert six
    ys = [float(y) for y in re.findall(r"[-\d.]+[ ,]([-\d.]+)", six[1])]
    assert len(ys) == 6
    assert max(ys) - min(ys) > 2.5 * float(round_one[2])
    assert float(round_one[1]) < min(ys)  # the red lead is the upper one


def test_a_trimmer_bears_its_code() -> None:
    """10 kΩ is printed 103 (figures and power of ten in ohms, common practice of makers of trimmers)."""
    shown = part("potentiometer", 1e4)
    assert printed_on(shown) == "103"
    for picture in (part_picture(shown), part_icon(shown)):
        assert "103" in [t.text for t in Sheet(picture.svg).texts]


def test_signs_of_polarity_are_whole() -> None:
    """Plus and minus on a block battery keep off its studs, a leader off the minus signs of a can."""
    svg = part_picture(part("supply-9v")).svg
    lines = re.findall(r'<line x1="([-\d.]+)" y1="[-\d.]+" x2="([-\d.]+)"[^>]*stroke="#1E1F22"', svg)
    assert len(lines) == 3
    assert all(150 - float(end) > 13 + 1.3 + 2 for _, end in lines)
    assert all(float(start) > 150 - 34 + 1.3 + 1 for start, _ in lines)
    svg = part_picture(part("electrolytic", 1e-5)).svg
    (placed,) = re.findall(r"translate\([\d.]+ ([\d.]+)\) scale\(([\d.]+)\)", svg)
    down, scale = map(float, placed)
    signs = [
        down + scale * float(y)
        for y, end in re.findall(r'<line x1="[-\d.]+" y1="([-\d.]+)" x2="[-\d.]+" y2="([-\d.]+)"', svg)
        if y == end and abs(float(y)) < 56
    ]
    dots = [float(y) for y in re.findall(r'<circle cx="[\d.]+" cy="([\d.]+)" r="4.4"', svg)]
    assert len(signs) == 3
    assert min(abs(dot - sign) for dot in dots for sign in signs) > 4.4 + 1.1 * scale


def test_an_aaa_cell_is_the_smaller() -> None:
    """IEC 60086-2: R6 is 50.5 by 14.5 mm, R03 is 44.5 by 10.5 mm."""
    found = []
    for kind in ("supply-aa", "supply-aaa"):
        svg = part_picture(part(kind)).svg
        cell = re.search(
            r'<rect x="[\d.]+" y="[\d.]+" width="([\d.]+)" height="([\d.]+)"[^>]*fill="#C9A24A"', svg
        )
        assert cell
        found.append((float(cell[1]), float(cell[2])))
    (long, thick), (less, slim) = found
    assert less / long == pytest.approx(44.5 / 50.5, abs=0.01)
    assert slim / thick == pytest.approx(10.5 / 14.5, abs=0.01)


@pytest.mark.parametrize("count", [1, 2, 3, 4, 6, 8])
def test_a_holder_shows_every_cell(count: int) -> None:
    """As many cells as the lesson sets, in the middle of the holder, clear of one another."""
    assert catalogue()["supply-aa"].settings["count"].most == "8"
    svg = part_picture(part("supply-aa", count=float(count))).svg
    cells = re.findall(r'<rect x="[\d.]+" y="([\d.]+)" width="122" height="([\d.]+)"', svg)
    rows = [(float(y), float(y) + float(high)) for y, high in cells]
    assert len(rows) == count
    assert rows[0][0] + rows[-1][1] == pytest.approx(110)
    assert all(below[0] - above[1] > 2 for above, below in pairwise(rows))


def test_one_band_has_no_first() -> None:
    """A link of 0 Ω has one black band (IEC 60062, common practice): there is no first one."""
    texts = [t.text for t in Sheet(part_picture(part("resistor", 0.0)).svg).texts]
    assert not any("left" in text for text in texts)


def test_what_the_legs_are_is_said() -> None:
    """A swappable part says so; of three legs the middle one is named."""
    said = {p.type.id: [t.text for t in Sheet(part_picture(p).svg).texts] for p in EVERY}
    for kind in ("capacitor-ceramic", "capacitor-film", "ldr-5mm"):
        assert any("either way round" in text for text in said[kind]), kind
    assert any("W wiper" in text for text in said["potentiometer"])
    assert any("C  common contact" in text for text in said["slide-switch"])


def test_the_wiper_leg_of_a_trimmer_keeps_off_its_rotor() -> None:
    """The ring of each leg, seen through the case, is clear of the rotor."""
    svg = part_picture(part("potentiometer", 1e5)).svg
    circles = [
        (float(x), float(y), float(r), fill)
        for x, y, r, fill in re.findall(
            r'<circle cx="([-\d.]+)" cy="([-\d.]+)" r="([\d.]+)" fill="(#\w+|none)"', svg
        )
    ]
    rotor = max(circles, key=lambda c: c[2])
    rings = sorted({c for c in circles if c[3] == "none"})
    assert len(rings) == 3
    for x, y, r, _ in rings:
        assert ((x - rotor[0]) ** 2 + (y - rotor[1]) ** 2) ** 0.5 - r - rotor[2] > 3
