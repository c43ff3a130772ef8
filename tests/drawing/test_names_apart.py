"""Names of parts on a board that could be read as one."""

from itertools import combinations

from buildalong.drawing import _palette as palette
from buildalong.drawing._frame import PITCH

from ._demo import BOARDS, layout_of
from ._leaders import Rect, labels_of
from ._measure import SVG, Sheet
from .test_board import picture


def alike(one: Rect, other: Rect) -> bool:
    """Whether one can be read as going on in the other: less than a hole apart on a line, or below it."""
    dx = max(one[0], other[0]) - min(one[2], other[2])
    dy = max(one[1], other[1]) - min(one[3], other[3])
    return (dx < PITCH and dy < -8) or (dy < PITCH / 3 and dx < -8)


def test_no_two_names_read_as_one() -> None:
    """Names end to end, or one right below another, are one label to a reader (common practice)."""
    found = []
    for name in BOARDS:
        sheet = Sheet(picture(name).svg)
        plates = [(part, plate) for part, _, plate in labels_of(sheet, set(layout_of(name).holes))]
        rimmed = {
            tuple(float(e.attrib[key]) for key in ("x", "y"))
            for e in sheet.root.iter(f"{SVG}rect")
            if e.get("fill") == palette.TAG and e.get("stroke")
        }  # fmt: skip
        for (one, a), (other, b) in combinations(plates, 2):
            if alike(a, b) and not {a[:2], b[:2]} <= rimmed:
                found.append((name, one, other))
    assert not found, found
