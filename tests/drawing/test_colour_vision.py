"""Nets and resistor bands for every eye: apart by colour where colour can, by a label where it cannot."""

from __future__ import annotations

import re
from colorsys import rgb_to_hsv
from dataclasses import replace
from itertools import combinations, pairwise, permutations
from typing import Any

import numpy as np
import pytest

from buildalong.board import Layout, Wire, board, strip_nets
from buildalong.board import net_colours as wire_colours
from buildalong.circuit import Circuit, bands_on
from buildalong.drawing import _palette as palette
from buildalong.drawing import board_picture, net_colours, part_picture, waveforms
from buildalong.drawing._nets import curve_colours
from buildalong.drawing._pen import Pen
from buildalong.drawing._svg import Svg
from buildalong.drawing.motion import work_motion
from buildalong.quantity import COLOURS
from once import once

from ._demo import BOARDS, DEMOS, blink, circuit_of, drawn, layout_of, part
from ._eye import COLOUR_EYES, EYES, ciede2000, difference, lab, linear
from ._measure import Sheet

NETS = (palette.PLUS, palette.GROUND, *palette.NETS)
NETS_SHOWN: dict[str, Any] = {"muted": False, "highlight_holes": False, "net_labels": True, "crop": "auto"}
APART = 8.0
"""Least CIEDE2000 between two colours that must be told apart; our choice, several times what is
just noticed (about 1, common practice), because curves and bands are thin."""

# Sharma, Wu, Dalal, "The CIEDE2000 Color-Difference Formula", Color Research and Application 30
# (2005) 21, table 1: the pairs 1-4, 7, 17-20, 25 and 34; from memory.
SHARMA = [
    ((50, 2.6772, -79.7751), (50, 0, -82.7485), 2.0425),
    ((50, 3.1571, -77.2803), (50, 0, -82.7485), 2.8615),
    ((50, 2.8361, -74.0200), (50, 0, -82.7485), 3.4412),
    ((50, -1.3802, -84.2814), (50, 0, -82.7485), 1.0000),
    ((50, 0, 0), (50, -1, 2), 2.3669),
    ((50, 2.5, 0), (73, 25, -18), 27.1492),
    ((50, 2.5, 0), (61, -5, 29), 22.8977),
    ((50, 2.5, 0), (56, -27, -3), 31.9030),
    ((50, 2.5, 0), (58, 24, 15), 19.4535),
    ((60.2574, -34.0099, 36.2677), (60.4626, -34.1751, 39.4387), 1.2644),
    ((2.0776, 0.0795, -1.1350), (0.9033, -0.0636, -0.5514), 0.9082),
]


@pytest.mark.parametrize(("one", "other", "wanted"), SHARMA)
def test_colour_difference_is_the_published_one(
    one: tuple[float, float, float], other: tuple[float, float, float], wanted: float
) -> None:
    """Our CIEDE2000 gives the published differences to four decimals, in both orders."""
    assert ciede2000(one, other) == pytest.approx(wanted, abs=5e-5)
    assert ciede2000(other, one) == pytest.approx(wanted, abs=5e-5)


@pytest.mark.parametrize("eye", EYES)
def test_every_eye_sees_grey_as_grey(eye: str) -> None:
    """A simulation of colour blindness leaves greys alone: its rows sum to one (to the digits printed)."""
    assert np.sum(EYES[eye], axis=1) == pytest.approx([1, 1, 1], abs=2e-5)


def test_the_two_simulations_agree() -> None:
    """Machado's and Viénot's figures, made by different methods, see red and green alike within 10."""
    for kind in ("protanopia", "deuteranopia"):
        for colour in ("#C83034", "#2E7F4E", "#F78D1E", "#2E71C0"):
            one, other = (lab(EYES[f"{kind}, {who}"] @ linear(colour)) for who in ("Machado", "Viénot"))
            assert ciede2000(one, other) < 10, (kind, colour)


@pytest.mark.parametrize("eye", COLOUR_EYES)
def test_nets_stay_apart(eye: str) -> None:
    """Any two net colours differ by 8 or more for the usual eye and the common colour blindnesses."""
    for one, other in combinations(NETS, 2):
        assert difference(one.hex, other.hex, eye) >= APART, (one.name, other.name)


@pytest.mark.parametrize("eye", COLOUR_EYES)
def test_bands_stay_apart(eye: str) -> None:
    """Any two of the thirteen colours of IEC 60062 differ by 8 or more for each of these eyes."""
    assert set(palette.BANDS) == set(COLOURS)
    for one, other in combinations(palette.BANDS, 2):
        assert difference(palette.BANDS[one], palette.BANDS[other], eye) >= APART, (one, other)


def test_bands_still_look_like_their_names() -> None:
    """Each band is nearest to the colour of its own name in CSS Color 4 (royalblue for blue)."""
    plain = {
        "black": "#000000", "brown": "#8B4513", "red": "#FF0000", "orange": "#FFA500", "yellow": "#FFFF00",
        "green": "#008000", "blue": "#4169E1", "violet": "#800080", "grey": "#808080", "white": "#FFFFFF",
    }  # fmt: skip
    for name in plain:
        nearest = min(plain, key=lambda other: difference(palette.BANDS[name], plain[other], "usual"))
        assert nearest == name


def test_neighbouring_nets_differ_in_grey() -> None:
    """In grey printing ground and the first three signal nets differ in lightness by 5 or more."""
    colours = [palette.GROUND, *palette.NETS[:3]]
    lightness = [lab(EYES["grey printing"] @ linear(net.hex))[0] for net in colours]
    for one, other in combinations(lightness, 2):
        assert abs(one - other) >= 5


def test_grey_needs_labels() -> None:
    """In grey printing neither nets nor bands can all be told by lightness alone: what follows is needed."""
    nets = [difference(a.hex, b.hex, "grey printing") for a, b in combinations(NETS, 2)]
    bands = [difference(a, b, "grey printing") for a, b in combinations(palette.BANDS.values(), 2)]
    assert min(nets) < APART
    assert min(bands) < APART


@pytest.mark.parametrize("ohm", [12.0, 4700.0, 560e3, 1e6, 3.9])
def test_bands_are_named_beside_the_resistor(ohm: float) -> None:
    """The card writes the name of every band's colour and what it says, so that no colour need be seen."""
    resistor = part("resistor", ohm)
    picture = part_picture(resistor)
    texts = " ".join(text.text for text in Sheet(picture.svg).texts)
    for colour in bands_on(resistor):
        assert re.search(rf"\b{colour}\b", texts), colour
        assert re.search(rf"\b{colour}\b", picture.alt), colour


@pytest.mark.parametrize("name", DEMOS)
def test_resistors_on_the_board_bear_their_reference(name: str) -> None:
    """On a finished board each resistor is told by its reference, which the parts list reads out."""
    circuit = circuit_of(name)
    picture = drawn(name, muted=False, highlight_holes=False, crop="auto")
    texts = [text.text for text in Sheet(picture.svg).texts]
    for resistor in circuit.parts:
        if resistor.type.family == "resistor":
            assert any(text.split(" ")[0] == resistor.id for text in texts), resistor.id


@pytest.mark.parametrize("name", DEMOS)
def test_nets_bear_their_names(name: str) -> None:
    """With net labels each net that a strip carries is named, so that its tint alone need not tell it."""
    circuit = circuit_of(name)
    picture = drawn(name, **NETS_SHOWN)
    texts = {text.text for text in Sheet(picture.svg).texts}
    assert texts >= _on_strips(circuit, name)


@pytest.mark.parametrize("eye", COLOUR_EYES)
@pytest.mark.parametrize("name", DEMOS)
def test_tinted_strips_stay_apart(name: str, eye: str) -> None:
    """Strips of different nets differ by 8 or more, rim or middle, unless there are more nets than colours.

    As drawn: what is measured are the strokes of the picture.  Nets that must share a colour share it fully.
    """
    picture = drawn(name, **NETS_SHOWN)
    signals = len(circuit_of(name).nets) - 2
    strokes = re.findall(r'stroke="(#\w+)" stroke-width="(17|12\.6)"', picture.svg)
    looks = {(rim, middle) for (rim, a), (middle, b) in pairwise(strokes) if (a, b) == ("17", "12.6")}
    assert len(looks) >= min(signals + 2, 8)
    for one, other in combinations(sorted(looks), 2):
        assert max(difference(a, b, eye) for a, b in zip(one, other, strict=True)) >= APART


def coloured(name: str) -> tuple[Circuit, Layout]:
    """A demo whose wires have the colours of their nets, as the placer gives them."""
    circuit, layout = circuit_of(name), layout_of(name)
    nets, colours = strip_nets(circuit, layout), wire_colours(circuit, layout)
    owners = [nets[layout.board.strip_of[wire.start]] for wire in layout.wires]
    wires = (
        replace(wire, net=net, colour=colours[net])
        for wire, net in zip(layout.wires, owners, strict=True)
    )  # fmt: skip
    return circuit, replace(layout, wires=tuple(wires))


NAMED = pytest.mark.parametrize("name", [name for name in BOARDS if "-170-" not in name])


@NAMED
def test_nets_that_share_a_colour_differ_by_bars(name: str) -> None:
    """On the picture that names nets no two look alike, neither their strips nor the edges of their names."""
    circuit, layout = coloured(name)
    svg = once(f"coloured-{name}", lambda: board_picture(circuit, layout, **NETS_SHOWN)).svg
    nets = strip_nets(circuit, layout)
    places = {
        layout.board.holes[holes[0]]: nets[strip]
        for strip, holes in layout.board.strips.items()
        if strip in nets and strip[0] not in "LR"
    }
    line = r'<line x1="(\S+)" y1="(\S+)" x2="\S+" y2="\S+" stroke="(#\w+)" stroke-width="(17|12\.6)"[^/]*?'
    strips: dict[str, set[tuple[str, ...]]] = {}
    found = re.findall(line + r'(?:stroke-dasharray="([^"]*)")?/>', svg)
    rows = [((float(x) / 25.4, float(y) / 25.4 + 1), colour, dashes) for x, y, colour, _, dashes in found]
    for place, net in places.items():
        near_by = [row for row in rows if abs(row[0][1] - place[1]) < 0.1 and 0 <= row[0][0] - place[0] < 1]
        strips.setdefault(net, set()).add(tuple(f"{colour} {dashes}" for _, colour, dashes in near_by))
    edges: dict[str, set[str]] = {}
    for rect, net in re.findall(r'<rect ([^>]*stroke-width="2\.4"[^>]*)/>\s*<text [^>]*>([^<]*)</text>', svg):
        edges.setdefault(net, set()).add(rect[rect.index("stroke=") :])
    assert set(strips) == set(edges) == set(places.values())
    for looks in (strips, edges):
        assert all(len(each) == 1 for each in looks.values()), looks
        assert len({min(each) for each in looks.values()}) == len(looks), looks


def test_names_of_nets_of_two_colours_have_two_edges() -> None:
    """A white net's is as dark as the casing of its wires, not as grey as a grey net's: 8 and more apart.

    These two are so for every eye, all others for the usual one: there the strips tell them.
    """
    circuit, layout = coloured("runway-lights")
    svg = once("coloured-runway-lights", lambda: board_picture(circuit, layout, **NETS_SHOWN)).svg
    framed = r'<rect [^>]*stroke="(#\w+)" stroke-width="2\.4"[^>]*/>\s*<text [^>]*>([^<]*)</text>'
    colours = net_colours(circuit, layout)
    edges = {colours[net].name: edge for edge, net in re.findall(framed, svg)}
    assert {"white", "grey", "black", "yellow"} <= set(edges)
    for one, other in combinations(edges, 2):
        assert difference(edges[one], edges[other], "usual") >= APART, (one, other)
    for eye in COLOUR_EYES:
        assert difference(edges["white"], edges["grey"], eye) >= APART, eye


@NAMED
def test_numbers_of_rails_lie_on_no_tint(name: str) -> None:
    """Behind each is a plate of the board's colour, wider than the number."""
    circuit, layout = coloured(name)
    svg = once(f"coloured-{name}", lambda: board_picture(circuit, layout, **NETS_SHOWN)).svg
    plated = rf'<rect x="(\S+)" y="(\S+)" width="(\S+)" height="(\S+)" rx="3" fill="{palette.BOARD}"/>'
    plates = [(x, y, x + w, y + h) for x, y, w, h in (map(float, each) for each in re.findall(plated, svg))]
    for text in (text for text in Sheet(svg).texts if text.italic):
        x0, y0, x1, y1 = text.box
        assert any(a < x0 and b < y0 and x1 < c and y1 < d for a, b, c, d in plates), text


@pytest.mark.parametrize("eye", COLOUR_EYES)
def test_wires_stay_apart(eye: str) -> None:
    """The colours that wires are given in turn differ by 8 or more for each of these eyes."""
    circuit = circuit_of("runway-lights")
    used = set(wire_colours(circuit).values())
    assert len(used) == 10
    for one, other in combinations(sorted(used), 2):
        assert difference(palette.WIRES[one], palette.WIRES[other], eye) >= APART, (one, other)


def _on_strips(circuit: Circuit, name: str) -> set[str]:
    return {net for strip, net in strip_nets(circuit, layout_of(name)).items() if strip[0] not in "LR"}


def test_curves_and_tanks_bear_their_names() -> None:
    """Every curve and every tank has the name of its net beside it."""
    run = blink()
    for picture in (waveforms(run), work_motion(run, (0.0, 5.0), "w").picture):
        texts = {text.text for text in Sheet(picture.svg).texts}
        assert {"CAP", "OUT", "DS1", "S1"} <= texts


def test_no_two_nets_of_a_lesson_share_a_colour_among_the_first_six() -> None:
    """A circuit's nets take the six colours in turn before one comes again."""
    for name in DEMOS:
        circuit = circuit_of(name)
        signals = [net for net in circuit.nets if net not in (circuit.plus, circuit.ground)][:6]
        colours = [net_colours(circuit)[net].hex for net in signals]
        assert len(set(colours)) == len(colours)


@pytest.mark.parametrize("name", DEMOS)
def test_a_net_keeps_the_colour_of_the_board_in_its_curve(name: str) -> None:
    """A curve has the hue of the net on the finished board, and 3:1 on the page (WCAG 2.2, 1.4.11)."""
    circuit, layout = circuit_of(name), layout_of(name)
    curves = curve_colours(circuit, layout)
    for net, colour in net_colours(circuit, layout).items():
        assert palette.contrast(curves[net], palette.PAPER) >= 3
        if palette.contrast(colour.hex, palette.PAPER) >= palette.PALE:
            assert abs((hue(curves[net]) - hue(colour.hex) + 0.5) % 1 - 0.5) < 0.03


def hue(colour: str) -> float:
    """Hue of a colour in turns, by the standard library."""
    red, green, blue = (int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5))
    return rgb_to_hsv(red, green, blue)[0]


def test_waveforms_and_levels_take_the_colours_of_the_layout() -> None:
    """With wires named yellow and violet the curves of their nets are so, not as without a board."""
    run = blink()
    wires = (Wire("a1", "a3", "yellow", net="CAP"), Wire("a5", "a7", "violet", net="OUT"))
    layout = Layout(board("170"), {}, wires)
    own, plain = curve_colours(run.circuit, layout), curve_colours(run.circuit)
    for picture in (waveforms(run, layout=layout), work_motion(run, (0.0, 5.0), "w", layout=layout).picture):
        for net in ("CAP", "OUT"):
            assert f'stroke="{own[net]}"' in picture.svg
            assert f'stroke="{plain[net]}"' not in picture.svg


@pytest.mark.parametrize("colour", [name for name in palette.WIRES if name != "black"])
def test_curves_of_high_contrast(colour: str) -> None:
    """4.5:1 with the page, 3:1 with grid lines (WCAG 2.2, 1.4.3 and 1.4.11), whatever the wires' colour."""
    run, tone = blink(), palette.HIGH_CONTRAST
    layout = Layout(board("170"), {}, (Wire("a1", "a3", colour, net="CAP"),))
    moving = work_motion(run, (0.0, 5.0), "w", layout=layout, tone=tone).picture
    curve = curve_colours(run.circuit, layout, tone)["CAP"]
    assert palette.contrast(curve, tone.colour(palette.PAPER)) >= 4.5
    assert palette.contrast(curve, tone.colour(palette.GRID)) >= 3
    for picture in (waveforms(run, layout=layout, tone=tone), moving):
        assert f'stroke="{curve}"' in picture.svg


TONES = pytest.mark.parametrize("tone", [palette.PLAIN, palette.HIGH_CONTRAST], ids=lambda tone: tone.name)


def muted_and_full(tone: palette.Tone) -> tuple[dict[str, str], dict[str, str]]:
    """The colours in which a pen draws each wire, muted and in full."""
    pen = Pen(Svg(10, 10, title="", alt="", tone=tone), muted=True)
    return (
        {name: pen.wire(colour) for name, colour in palette.WIRES.items()},
        {name: tone.colour(colour) for name, colour in palette.WIRES.items()},
    )


@TONES
def test_muted_wires_stay_apart(tone: palette.Tone) -> None:
    """What differs by 8 for the usual eye in full does when both are muted, and when only one of them is.

    Each differs by 8 from the same colour in full, white apart, which its outline tells; none has more than
    half the contrast of a new black one.
    """
    muted, full = muted_and_full(tone)
    pairs = [(a, b) for a, b in permutations(full, 2) if difference(full[a], full[b], "usual") >= APART]
    assert len(pairs) == 13 * 12 - 2  # all but violet and purple, which are no two colours to one layout
    for one, other in pairs:
        assert difference(muted[one], muted[other], "usual") >= APART, (one, other)
        assert difference(muted[one], full[other], "usual") >= APART, (one, other)
    ground = tone.colour(palette.BOARD)
    for name in set(full) - {"white"}:
        assert difference(muted[name], full[name], "usual") >= APART, name
        assert palette.contrast(muted[name], ground) <= palette.contrast(full["black"], ground) / 2, name


@TONES
@pytest.mark.parametrize("eye", EYES)
def test_an_old_black_wire_is_darker_than_a_grey_one(tone: palette.Tone, eye: str) -> None:
    """By a whole step of Munsell's value, 10 of L* (common practice), and lighter than a new black one so."""
    muted, full = muted_and_full(tone)
    old, new, grey = (lab(EYES[eye] @ linear(c))[0] for c in (muted["black"], full["black"], full["grey"]))
    assert new + 10 <= old <= grey - 10
