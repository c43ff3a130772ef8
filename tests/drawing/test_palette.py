"""Colours: contrast by the formula of WCAG 2.2, and nets that stay apart for every eye and in grey."""

import pytest

from buildalong.drawing import _palette as palette
from buildalong.drawing._look import look_of
from buildalong.parts import catalogue

from ._eye import difference

NETS = (palette.PLUS, palette.GROUND, *palette.NETS)


def test_contrast_formula() -> None:
    """Black on white is 21:1, #767676 on white just passes 4.5:1, #777777 just fails (WCAG 2.2)."""
    assert palette.contrast("#000000", "#FFFFFF") == pytest.approx(21)
    assert palette.contrast("#767676", "#FFFFFF") == pytest.approx(4.54, abs=0.005)
    assert palette.contrast("#FFFFFF", "#777777") == pytest.approx(4.48, abs=0.005)


@pytest.mark.parametrize("ink", [palette.INK, palette.INK_SOFT, palette.ACCENT])
@pytest.mark.parametrize("ground", [palette.PAPER, palette.BOARD, palette.TAG, palette.TRENCH])
def test_text_contrast(ink: str, ground: str) -> None:
    """Text has at least 4.5:1 on each ground it stands on (WCAG 2.2, 1.4.3)."""
    assert palette.contrast(ink, ground) >= 4.5


@pytest.mark.parametrize(
    "colour", [palette.HOLE, palette.HOLE_USED, palette.PLUS_RAIL, palette.MINUS_RAIL, palette.METAL_EDGE,
               palette.BOARD_EDGE, palette.ACCENT]
)  # fmt: skip
def test_seen_on_the_board(colour: str) -> None:
    """What must be seen on the board has at least 3:1 (WCAG 2.2, 1.4.11)."""
    assert palette.contrast(colour, palette.BOARD) >= 3


@pytest.mark.parametrize("net", NETS, ids=lambda net: net.name)
def test_net_colours_seen_on_paper(net: palette.NetColour) -> None:
    """Curves and wires of nets have at least 3:1 on the page (WCAG 2.2, 1.4.11)."""
    assert palette.contrast(net.hex, palette.PAPER) >= 3


@pytest.mark.parametrize("name", palette.WIRES)
def test_wires_seen_by_their_casing(name: str) -> None:
    """Even a white or yellow wire is seen: its dark casing has 3:1 on the board."""
    assert palette.contrast(palette.mix(palette.WIRES[name], "#000000", 0.55), palette.BOARD) >= 3


@pytest.mark.parametrize("kind", list(catalogue()))
def test_bodies_seen_by_their_outline(kind: str) -> None:
    """Each body's outline has 3:1 on the board and what is printed on it 4.5:1 on the body."""
    part_type = catalogue()[kind]
    look = look_of(part_type)
    if part_type.body.shape != "dome":
        assert palette.contrast(look.edge, palette.BOARD) >= 3
    if part_type.marking.kind in ("text", "code") and part_type.family not in ("supply", "diode"):
        assert palette.contrast(look.print, look.body) >= 4.5


@pytest.mark.parametrize("tone", [palette.PLAIN, palette.HIGH_CONTRAST], ids=lambda tone: tone.name)
def test_contrast_of_each_tone(tone: palette.Tone) -> None:
    """Text 4.5:1 (7:1 in high contrast), lines and holes 3:1 (WCAG 2.2, 1.4.3, 1.4.6, 1.4.11)."""
    least = 7.0 if tone is palette.HIGH_CONTRAST else 4.5
    grounds = [tone.colour(ground) for ground in (palette.PAPER, palette.BOARD, palette.TAG)]
    for ground in grounds:
        for ink in (palette.INK, palette.INK_SOFT, palette.INK_QUIET, palette.ACCENT, palette.RIGHT,
                    palette.WRONG):  # fmt: skip
            assert palette.contrast(tone.colour(ink), ground) >= least, (ink, ground)
        for line in (palette.HOLE, palette.HOLE_USED, palette.PLUS_RAIL, palette.MINUS_RAIL,
                     palette.METAL_EDGE, palette.BOARD_EDGE):  # fmt: skip
            assert palette.contrast(tone.colour(line), ground) >= 3, (line, ground)


@pytest.mark.parametrize("tone", [palette.PLAIN, palette.HIGH_CONTRAST], ids=lambda tone: tone.name)
@pytest.mark.parametrize("kind", list(catalogue()))
def test_muted_outlines_are_still_seen(tone: palette.Tone, kind: str) -> None:
    """The outline of a muted body still has 3:1 on the board (WCAG 2.2, 1.4.11)."""
    part_type, look = catalogue()[kind], look_of(catalogue()[kind])
    edges = [look.edge]
    if part_type.body.shape == "dome":
        edges = [palette.mix(look.lens.get(look.colour, look.body), palette.INK, 0.78)]
    ground = tone.colour(palette.BOARD)
    for edge in edges:
        assert palette.contrast(palette.mix(tone.colour(edge), ground, tone.fade_line), ground) >= 3


def test_muted_is_quieter() -> None:
    """A muted red stands out less from the board than the full one, and is still seen against it."""
    muted = palette.mix("#C0281F", palette.BOARD, palette.PLAIN.fade)
    assert palette.contrast(muted, palette.BOARD) < palette.contrast("#C0281F", palette.BOARD)
    assert difference(muted, palette.BOARD, "usual") >= 10


@pytest.mark.parametrize("ground", [*palette.WIRES.values(), *palette.BANDS.values(), "#777777"])
def test_black_or_white_is_always_readable(ground: str) -> None:
    """One of black and white has at least 4.5:1 on any colour (their contrasts multiply to 21)."""
    ink = palette.readable_on(ground)
    assert palette.contrast(ink, ground) >= 4.5
    assert palette.contrast("#000000", ground) * palette.contrast("#FFFFFF", ground) == pytest.approx(21)


@pytest.mark.parametrize("name", palette.WIRES)
def test_high_contrast_outlines_every_wire(name: str) -> None:
    """The casing of a wire has 4.5:1 on the white board, and 3:1 with what it holds unless that is dark."""
    tone, fill = palette.HIGH_CONTRAST, palette.WIRES[name]
    pale = palette.contrast(fill, palette.BOARD) < palette.PALE
    casing = palette.mix(fill, "#000000", tone.casing[pale])
    assert palette.contrast(casing, tone.colour(palette.BOARD)) >= 4.5
    if palette.contrast(fill, "#000000") >= 4.5:
        assert palette.contrast(casing, fill) >= 3


def test_high_contrast_shows_strips_holes_and_bands() -> None:
    """3:1 between board, strip and hole, and between a band's outline and its body (WCAG 2.2, 1.4.11)."""
    board, strip, hole, edge = (
        palette.HIGH_CONTRAST.colour(each)
        for each in (palette.BOARD, palette.STRIP, palette.HOLE, palette.BAND_EDGE)
    )
    for one, other in ((board, strip), (strip, hole), (board, hole)):
        assert palette.contrast(one, other) >= 3
    for kind in catalogue().values():
        if kind.marking.kind == "bands":
            assert palette.contrast(edge, look_of(kind).body) >= 7
