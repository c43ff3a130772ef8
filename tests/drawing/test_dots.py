"""What the names on a board and the dots of their leaders lie on."""

from dataclasses import replace
from itertools import pairwise

import pytest

from buildalong.board import strip_nets
from buildalong.drawing import _palette as palette
from buildalong.drawing import rows_in_use
from buildalong.drawing._frame import View
from buildalong.drawing._label_field import Obstacles
from buildalong.drawing._labels import Tag, place
from buildalong.drawing._look import marking_of
from buildalong.drawing._scene import Scene
from buildalong.drawing._written import DOT

from ._demo import BOARDS, DEMOS, circuit_of, layout_of
from ._leaders import clip, corners, distance, holds, labels_of
from ._measure import SVG, Sheet, apply, matrix, overlap
from .test_board import VIEWS, picture


def crossed_nets(name: str, view: View) -> list[tuple[str, str]]:
    """On a board with names of nets: each name that lies on a strip or wire of another, with that."""
    circuit, layout = circuit_of(name), layout_of(name)
    scene = Scene(circuit, layout, view, rows_in_use(layout))
    strips, strip_of = strip_nets(circuit, layout), layout.board.strip_of
    lines = [
        (net, [scene.frame.hole(hole) for hole in layout.board.strips[strip]])
        for strip, net in strips.items()
    ]
    lines += [
        (strips[strip_of[wire.start]], list(line))
        for wire, line in zip(layout.wires, scene.lines, strict=False)
    ]
    sheet = Sheet(picture(name, view=view, net_labels=True).svg)
    framed = [
        (float(e["x"]), float(e["y"]), float(e["x"]) + float(e["width"]), float(e["y"]) + float(e["height"]))
        for e in (element.attrib for element in sheet.root.iter(f"{SVG}rect"))
        if e.get("stroke-width") == "2.4" and e.get("fill") == palette.TAG
    ]
    found = []
    for plate in framed:
        (said,) = {t.text for t in sheet.texts if t.text in circuit.nets and overlap(t.box, plate, 5.0)}
        found += [
            (said, net) for net, line in lines
            if net != said and any(clip(piece, corners(plate)) > 0 for piece in pairwise(line))
        ]  # fmt: skip
    return found


@pytest.mark.parametrize("view", VIEWS)
def test_the_name_of_a_net_lies_on_no_other_net(view: View) -> None:
    """A name upon a wire or strip names that wire or strip (common practice)."""
    names = BOARDS if view == "top" else DEMOS
    found = {name: crossed for name in names if (crossed := crossed_nets(name, view))}
    assert not found, found


def stripes(sheet: Sheet) -> list[list[tuple[float, float]]]:
    """The corners of bands and of rings of diodes, in the picture."""
    found = []
    for group in sheet.root.iter(f"{SVG}g"):
        if "translate" in group.get("transform", ""):
            for a in (element.attrib for element in group.iter(f"{SVG}rect")):
                if a.get("stroke") == "#5A4A33" or (a.get("stroke-width") == "1.2" and "rx" not in a):
                    x, y, w, h = (float(a[key]) for key in ("x", "y", "width", "height"))
                    at = matrix(group.attrib["transform"])
                    found.append([apply(at, *corner) for corner in corners((x, y, x + w, y + h))])
    return found


@pytest.mark.parametrize("view", VIEWS)
def test_dots_of_leaders_hide_nothing_that_is_read(view: View) -> None:
    """No dot lies on a band (IEC 60062), on the ring at a cathode or on a printed code.

    One may: a flexible wire runs over the plain stretch of its resistor.
    """
    found = []
    for name in BOARDS:
        sheet = Sheet(picture(name, view=view).svg)
        scene = Scene(circuit_of(name), layout_of(name), view, rows_in_use(layout_of(name)))
        codes = {marking_of(part) for part in scene.on_board if part.type.body.shape in ("disc", "block")}
        to_read = [*stripes(sheet), *(corners(text.box) for text in sheet.texts if text.text in codes)]
        dots = [dot for dot in sheet.circles if dot.r == DOT and dot.fill == palette.INK]
        assert dots
        found += [
            (name, dot.x, dot.y) for dot in dots for shape in to_read
            if holds(shape, (dot.x, dot.y)) or distance((dot.x, dot.y, dot.x, dot.y), shape) < DOT
        ]  # fmt: skip
    assert len(found) <= 1, found


@pytest.mark.parametrize("view", VIEWS)
def test_no_leader_runs_over_the_sign_of_a_can(view: View) -> None:
    """Minus with a line across it reads as plus, at the minus lead (common practice)."""
    found, seen = [], 0
    for name in BOARDS if view == "top" else DEMOS:
        circuit, layout = circuit_of(name), layout_of(name)
        scene = Scene(circuit, layout, view, rows_in_use(layout))
        sheet = Sheet(picture(name, view=view).svg)
        for part, leader, _ in labels_of(sheet, set(layout.holes)):
            if leader and circuit.by_id[part].type.body.shape == "can":
                pose, radius = scene.poses[part], circuit.by_id[part].type.body.length * 5
                sign = [pose.place((radius * x, radius * y)) for x, y in
                        ((0.55, -0.3), (0.95, -0.3), (0.95, 0.3), (0.55, 0.3))]  # fmt: skip
                seen += 1
                found += [(name, part)] if clip(leader, sign) > 2 else []
    assert seen
    assert not found, found


def test_a_leader_comes_from_the_side_where_it_runs_over_nothing_to_be_read() -> None:
    """What a tag shuns turns its label to the other side."""
    tag = Tag("part C1", ("C1",), 20.0, (0.0, 0.0, 60.0, 60.0), slack=0.0, ends=((30.0, 30.0),))
    room = Obstacles((-300.0, -300.0, 300.0, 300.0))
    shunned = replace(tag, shun=((35.0, -5.0, 60.0, 65.0),))
    (free,), (turned,) = place([tag], room), place([shunned], room)
    assert free.leader
    assert turned.leader
    assert free.rect[0] > 30.0
    assert turned.rect[2] < 30.0
