"""Reading labels and their leaders back from a picture, and what they lie on."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

from buildalong.drawing import _palette as palette
from buildalong.drawing._frame import Frame
from buildalong.drawing._marks import rail_places
from buildalong.drawing._scene import Scene

from ._measure import SVG, Point, Sheet, overlap

Rect = tuple[float, float, float, float]
Polygons = Mapping[str, Sequence[Point]]
Led = tuple[str, tuple[Point, Point] | None, Rect]


def labels_of(sheet: Sheet, names: set[str]) -> Iterator[Led]:
    """Of each label: the part that it names, its leader or None, its plate."""
    lines = [e.attrib for e in sheet.root.iter(f"{SVG}line") if e.get("stroke-width") == "1.6"]
    leaders = [((float(a["x1"]), float(a["y1"])), (float(a["x2"]), float(a["y2"]))) for a in lines]
    for e in sheet.root.iter(f"{SVG}rect"):
        if e.get("fill") != palette.TAG or e.get("rx") != "4":
            continue
        x, y, w, h = (float(e.attrib[key]) for key in ("x", "y", "width", "height"))
        plate = (x, y, x + w, y + h)
        said = [
            t.text.split()[0] for t in sheet.texts if overlap(t.box, plate) and t.text.split()[0] in names
        ]
        own = [
            leader for leader in leaders
            if x - 0.1 <= leader[0][0] <= x + w + 0.1 and y - 0.1 <= leader[0][1] <= y + h + 0.1
        ]  # fmt: skip
        if said:
            yield said[0], own[0] if own else None, plate


def clip(line: tuple[Point, Point], polygon: Sequence[Point]) -> float:
    """How much of a line runs within a convex polygon (Cyrus and Beck: cut by each side in turn)."""
    (x0, y0), (x1, y1) = line
    area = sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(polygon, (*polygon[1:], polygon[0]), strict=True))
    enters, leaves = 0.0, 1.0
    for (ax, ay), (bx, by) in zip(polygon, (*polygon[1:], polygon[0]), strict=True):
        side = math.copysign(1.0, area)
        at = side * ((bx - ax) * (y0 - ay) - (by - ay) * (x0 - ax))
        rate = side * ((bx - ax) * (y1 - y0) - (by - ay) * (x1 - x0))
        if abs(rate) < 1e-9:
            if at < 0:
                return 0.0
        elif rate > 0:
            enters = max(enters, -at / rate)
        else:
            leaves = min(leaves, -at / rate)
    return max(0.0, leaves - enters) * math.dist(*line)


def holds(polygon: Sequence[Point], at: Point) -> bool:
    """Whether a place lies in a convex polygon."""
    x, y = at
    return clip(((x - 0.5, y), (x + 0.5, y)), polygon) > 0.4


def distance(rect: Rect, polygon: Sequence[Point]) -> float:
    """From a rectangle to the outline of a polygon, looked at every few units; 0 where they meet."""
    best = math.inf
    for (ax, ay), (bx, by) in zip(polygon, (*polygon[1:], polygon[0]), strict=True):
        count = math.ceil(math.dist((ax, ay), (bx, by)) / 2) + 1
        for k in range(count + 1):
            x, y = ax + (bx - ax) * k / count, ay + (by - ay) * k / count
            best = min(best, math.hypot(max(rect[0] - x, x - rect[2], 0), max(rect[1] - y, y - rect[3], 0)))
    return best


def corners(rect: Rect) -> tuple[Point, ...]:
    """A rectangle as a polygon."""
    x0, y0, x1, y1 = rect
    return (x0, y0), (x1, y0), (x1, y1), (x0, y1)


def faults(sheet: Sheet, bodies: Polygons) -> list[str]:
    """What is wrong with the labels of parts: on another body, led to nothing or over another body."""
    found = []
    for name, leader, plate in labels_of(sheet, set(bodies)):
        inner = (plate[0] + 2, plate[1] + 2, plate[2] - 2, plate[3] - 2)
        rows = [((inner[0], y), (inner[2], y)) for y in (inner[1], (inner[1] + inner[3]) / 2, inner[3])]
        for other, body in bodies.items():
            if other != name and any(clip(row, body) > 1 for row in rows):
                found.append(f"{name} lies on {other}")
            if other != name and leader and clip(leader, body) > 2:
                found.append(f"{name}'s leader runs over {other}")
        gaps = {other: distance(plate, body) for other, body in bodies.items()}
        nearer = [other for other, gap in gaps.items() if other != name and gap < gaps[name]]
        if nearer and not leader:
            found.append(f"{name} stands nearer to {nearer[0]} and has no leader")
        if leader and not holds(bodies[name], leader[1]):
            found.append(f"{name}'s leader ends beside it")
    return found


def outlines(scene: Scene) -> Polygons:
    """The outlines of bodies seen from above, in the picture."""
    return {
        part.id: [scene.poses[part.id].place(corner) for corner in corners(scene.own_rect(part))]
        for part in scene.on_board
    }


def rail_numbers(sheet: Sheet, frame: Frame, sides: set[str]) -> set[tuple[str, int]]:
    """Side and number of each number of these sides' rails that a picture has."""
    found = set()
    for side, number, (x, y) in rail_places(frame):
        texts = [t.box for t in sheet.texts if t.text == str(number)]
        if any(abs((a + c) / 2 - x) < 2 and abs((b + d) / 2 - y) < 3 for a, b, c, d in texts):
            found |= {(side, number)} if side in sides else set()
    return found
