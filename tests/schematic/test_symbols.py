"""Single symbols, measured: marks that touch nothing, lines that meet, links that are even."""

from __future__ import annotations

import math
import re
from itertools import pairwise

import pytest
from _netlists import NETLISTS

from buildalong.circuit import Part
from buildalong.drawing.schematic import symbol_picture
from buildalong.drawing.schematic._draw import BAR, LINE
from buildalong.drawing.schematic._layout import Stroke
from buildalong.drawing.schematic._shape import Variant, drawn_variants
from buildalong.drawing.schematic._structure import read_structure
from buildalong.parts import catalogue

Point = tuple[float, float]
STANDARDS = ("iec", "ieee")


def upright(identity: str, standard: str) -> Variant:
    return drawn_variants(catalogue()[identity].symbol, standard, "X1", "", [(0, False, "right", 0.0)])[0]


def points(stroke: Stroke) -> list[Point]:
    """Points along a stroke, a tenth of a line's breadth apart or nearer."""
    at = stroke.at
    corners = list(zip(at[::2], at[1::2], strict=True))
    if stroke.kind in ("rect", "block"):
        (x0, y0), (x1, y1) = corners
        corners = [(x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0)]
    elif stroke.kind in ("polygon", "outline"):
        corners.append(corners[0])
    return [
        (a[0] + (b[0] - a[0]) * share / 200, a[1] + (b[1] - a[1]) * share / 200)
        for a, b in pairwise(corners)
        for share in range(201)
    ]


def apart(one: list[Point], other: list[Point]) -> float:
    return min(math.dist(a, b) for a in one for b in other)


@pytest.mark.parametrize("standard", STANDARDS)
@pytest.mark.parametrize("identity", ["led-red", "ldr-5mm"])
def test_arrows_of_light_touch_nothing(identity: str, standard: str) -> None:
    """IEC 60617 (radiation, from memory): two arrows beside the symbol; paper is seen all round them."""
    shape = upright(identity, standard)
    arrows = len(catalogue()[identity].symbol["arrows"])
    own = [p for stroke in (*shape.leads, *shape.strokes[:-arrows]) for p in points(stroke)]
    for stroke in shape.strokes[-arrows:]:
        edge = LINE if stroke.kind == "line" else LINE / 2
        assert apart(points(stroke)[::4], own) > edge + 0.5, stroke
    first, second = shape.strokes[-arrows : -arrows // 2], shape.strokes[-arrows // 2 :]
    assert apart([p for s in first for p in points(s)], [p for s in second for p in points(s)]) > LINE


@pytest.mark.parametrize("standard", STANDARDS)
def test_the_wiper_touches_the_track(standard: str) -> None:
    """A moving contact (IEC 60617, IEEE 315, from memory) touches the resistor it slides on."""
    shape = upright("potentiometer", standard)
    track, arrow = shape.strokes
    assert apart([(arrow.at[0], arrow.at[1])], points(track)) <= LINE / 2


def test_the_link_of_a_push_button_is_even() -> None:
    """Mechanical link (IEC 60617, from memory): dashes from the lever to the actuator, gaps alike."""
    shape = upright("push-button", "iec")
    level = [s.at for s in shape.strokes if s.kind == "line" and s.at[1] == s.at[3] == 0]
    gaps = [b[0] - a[2] - LINE for a, b in pairwise(level)]
    assert len(level) == 3
    assert gaps[0] > 0.5 * LINE
    assert max(gaps) - min(gaps) < 1e-6


def test_a_switch_points_at_its_contact() -> None:
    """The lever of a change-over contact lies on the line from one contact to the other."""
    shape = upright("slide-switch", "iec")
    throw, _, common = (s.at[:2] for s in shape.strokes if s.kind == "ring")
    lever = next(s.at for s in shape.strokes if s.kind == "line")
    for end in (lever[:2], lever[2:]):
        across = (end[0] - common[0]) * (throw[1] - common[1]) - (end[1] - common[1]) * (throw[0] - common[0])
        assert abs(across) < 1e-6


@pytest.mark.parametrize("identity", ["npn-bc547", "buzzer-5v", "diode-1n4148"])
def test_a_lead_is_as_broad_as_the_lines_it_meets(identity: str) -> None:
    """Lines of one symbol have one breadth, so that no joint shows; only plates are bolder."""
    kind = catalogue()[identity]
    picture = symbol_picture(Part("X1", kind, tuple(t.name for t in kind.terminals)))
    assert picture is not None
    widths = {float(width) for width in re.findall(r'stroke-width="([\d.]+)"', picture.svg)}
    assert LINE in widths
    assert widths <= {LINE, BAR}


def test_the_clock_bears_the_mark_of_an_edge() -> None:
    """CD4017B (TI SCHS027): it counts on the rising edge of CLK, pin 14, alone of its inputs.

    IEC 60617-12 (dynamic input, from memory): a triangle inside the box at the pin, clear of its name.
    """
    kind = catalogue()["counter-4017"]
    picture = symbol_picture(Part("X1", kind, tuple(t.name for t in kind.terminals)))
    found = re.findall(r'<polyline points="([^"]+)"', picture.svg)
    assert len(found) == 1
    upper, tip, lower = (tuple(map(float, point.split(","))) for point in found[0].split())
    name = re.search(r'<text x="([-\d.]+)" y="([-\d.]+)"[^>]*>CLK<', picture.svg)
    lead = re.search(rf'<line x1="-20" y1="{tip[1]:g}" x2="0" y2="{tip[1]:g}"/>', picture.svg)
    assert name
    assert lead
    assert upper[0] == lower[0] == 0
    assert upper[1] + lower[1] == 2 * tip[1]
    assert LINE < tip[0] < float(name[1]) - LINE


@pytest.mark.parametrize("name", ["switched-supply", "six-in-parallel", "two-lights"])
def test_a_contact_left_open_bears_a_cross(name: str) -> None:
    """As a pin of an IC that leads nowhere (common practice); a contact that is used bears none."""
    found = read_structure(NETLISTS[name], "iec")
    items = [*found.items, *(feed.item for feed in found.feed)]
    (switch,) = [item for item in items if item.part.id == "S1"]
    for variant in switch.variants:
        middles = [
            ((s.at[0] + s.at[2]) / 2, (s.at[1] + s.at[3]) / 2)
            for s in variant.strokes
            if s.kind == "line" and abs(s.at[0] - s.at[2]) == abs(s.at[1] - s.at[3]) == 7.0
        ]
        ends = {terminal: (x * 20.0, y * 20.0) for terminal, x, y, _ in variant.terminals}
        free = [at for terminal, at in ends.items() if switch.part.net(terminal) is None]
        assert sorted(middles) == sorted(2 * free)
        assert len(free) == (name != "two-lights")
