"""What is written beside the holes, parts and nets of a board, before it has its place."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Mapping, Sequence

from buildalong.board import hole_name, strip_nets
from buildalong.circuit import Part
from buildalong.drawing import _text
from buildalong.drawing._frame import Point
from buildalong.drawing._in_row import Lane
from buildalong.drawing._labels import Tag
from buildalong.drawing._look import marking_of, value_of
from buildalong.drawing._palette import NetColour
from buildalong.drawing._scene import Scene
from buildalong.drawing._wires import Rect
from buildalong.drawing._words import leg_words
from buildalong.drawing.bodies._radial import PRINT, print_room

__all__ = ["LABEL", "BoardTags", "wordings_of"]

LABEL, HOLE_TAG, NET_TAG = 22.0, 20.0, 20.0
TIP = 0.42
"""From the outer hole of a strip to the end of its tint, pitches."""
FEW = 3
"""Of nets that share a colour, one with more strips is told from the others by being everywhere."""
PRINTED = ("to92", "dip", "cylinder")
"""Shapes of bodies whose type is named with them, where they have no value."""


def wordings_of(name: str, value: str) -> tuple[str, ...]:
    """A reference with its value beside it, with its value below it, alone."""
    return (f"{name} {value}", f"{name}\n{value}", name) if value else (name,)


class BoardTags:
    """The tags of one picture; ``muting`` says whether what is not new is muted."""

    def __init__(
        self,
        scene: Scene,
        parts: Collection[str],
        wires: Collection[int],
        *,
        muting: bool,
        values: bool,
    ) -> None:
        self.scene, self.frame = scene, scene.frame
        self.new_parts, self.new_wires = parts, wires
        self.muting, self.values = muting, values

    def new_holes(self) -> tuple[str, ...]:
        """The holes shown into which something new goes."""
        layout = self.scene.layout
        holes = [h for part, hs in layout.holes.items() if part in self.new_parts for h in hs]
        for index in sorted(self.new_wires):
            holes += [layout.wires[index].start, layout.wires[index].end]
        return tuple(dict.fromkeys(hole for hole in holes if self.frame.shows(hole)))

    def _named_holes(self, holes: tuple[str, ...]) -> tuple[str, ...]:
        """Of a part with many legs only those at the corners are named; all are ringed."""
        skip: set[str] = set()
        for part, hs in self.scene.layout.holes.items():
            if part in self.new_parts and len(hs) > 4:
                half = len(hs) // 2
                skip |= set(hs) - {hs[0], hs[half - 1], hs[half], hs[-1]}
        return tuple(hole for hole in holes if hole not in skip)

    def of_holes(self, holes: tuple[str, ...]) -> list[Tag]:
        """Names of the new holes, with the leg that goes there where the direction matters."""
        legs = self._legs()
        tags = []
        for hole in self._named_holes(holes):
            x, y = self.frame.hole(hole)
            name = hole_name(hole)
            wordings = (f"{name} {legs[hole]}", name) if hole in legs else (name,)
            insist = 520.0  # the word on the direction is dear, and more than the place in the row
            around = (x - 10, y - 10, x + 10, y + 10)
            lane = self._lane(hole)
            twins = self._twins(hole)
            tags.append(
                Tag(f"hole {hole}", wordings, HOLE_TAG, around, insist=insist, twins=twins, lane=lane)
            )
        return tags

    def _twins(self, hole: str) -> tuple[Rect, ...]:
        """Of a hole of a rail, that of the same number in the rail beside it: the name all but fits."""
        if hole[0] not in "LR":
            return ()
        x, y = self.frame.hole(f"{hole[0]}{'-' if hole[1] == '+' else '+'}{hole[2:]}")
        return ((x - 8, y - 8, x + 8, y + 8),)

    def _lane(self, hole: str) -> Lane | None:
        """The row of a hole in the middle of the board."""
        if hole[0] in "LR":
            return None
        axis = 1 if self.frame.view == "turned" else 0
        ends = [self.frame.hole(f"{letter}{hole[1:]}")[axis] for letter in "aj"]
        gap = [self.frame.hole(f"{letter}{hole[1:]}")[axis] for letter in "ef"]
        return Lane(axis, min(ends), max(ends), (min(gap) + 4.0, max(gap) - 4.0))

    def _legs(self) -> dict[str, str]:
        """Hole -> the word for the leg that goes there, where it matters which."""
        out: dict[str, str] = {}
        for part in self.scene.on_board:
            either_way = len(part.type.leg_terminals) > len(part.type.terminals)  # a button
            if part.id not in self.new_parts or either_way:
                continue
            legs = zip(self.scene.layout.holes[part.id], leg_words(part), strict=True)
            out.update({hole: word for hole, word in legs if word})
        return out

    def of_parts(self) -> list[Tag]:
        """References with values: in full for what is new, the reference alone for what is muted."""
        tags = []
        for part in self.scene.on_board:
            pose = self.scene.poses[part.id]
            if not self.frame.inside(pose.x, pose.y) or self._bears_its_name(part):
                continue
            new = part.id in self.new_parts
            value = value_of(part) or (marking_of(part) if new or part.type.body.shape in PRINTED else "")
            short = (self.muting and not new) or not self.values
            printed = "" if short else self._lacking_print(part)
            full = (
                (f"{part.id} {value} ({printed})", f"{part.id} {value}\n({printed})",
                 f"{part.id}\n{value} ({printed})", f"{part.id}\n{value}\n({printed})")
                if printed else ()
            )  # fmt: skip
            wordings = (part.id,) if short else (*full, *wordings_of(part.id, value))
            insist = 40.0 if self.muting and not new else 560.0 if printed else 420.0
            tags.append(
                Tag(
                    f"part {part.id}", wordings, LABEL, self.scene.body_rect(part), insist=insist, clear=9.0,
                    own=tuple(self.scene.body_pieces(part)), ends=self.scene.in_sight(part),
                    shun=self.scene.signs(part),
                )
            )  # fmt: skip
        return tags

    def _lacking_print(self, part: Part) -> str:
        """What is printed on a disc or block that stands so that its picture has no room for it."""
        if part.type.body.shape not in ("disc", "block"):
            return ""
        words, room = marking_of(part), print_room(part, self.scene.poses[part.id].legs)
        return "" if _text.width(words, PRINT, "bold") <= room else words

    def _bears_its_name(self, part: Part) -> bool:
        """Whether the part's reference stands on its body, and no wire runs over it."""
        left, top, right, bottom = self.scene.body_rect(part)
        wires = zip(self.scene.layout.wires, self.scene.lines, strict=False)
        over = [line for wire, line in wires if wire.style == "flexible"]
        return part.type.body.shape == "dip" and not any(
            left < x < right and top < y < bottom for line in over for x, y in line
        )

    def of_nets(self, colours: Mapping[str, NetColour]) -> list[Tag]:
        """The name of each net, once: upon one of its strips, or else led to the first of them.

        Where two nets have one of the ``colours``, which happens where there are more nets than colours, each
        strip of theirs is named, of one that has no more than ``FEW``.
        """
        strips: dict[str, list[tuple[str, ...]]] = {}
        for strip, net in strip_nets(self.scene.circuit, self.scene.layout).items():
            holes = self.frame.board.strips[strip]
            if strip[0] not in "LR" and self.frame.shows(holes[0]):
                strips.setdefault(net, []).append(holes if strip.endswith("L") else holes[::-1])
        tags: list[Tag] = []
        often = Counter(colours[net].hex for net in strips)
        named: list[tuple[str, list[tuple[str, ...]]]] = []
        for net, found in strips.items():
            each = often[colours[net].hex] > 1 and len(found) <= FEW
            named += [(net, [holes]) for holes in found] if each else [(net, found)]
        for net, found in named:
            upon = [at for holes in found for at in self._along(holes)]
            places = [self.frame.hole(hole) for holes in found for hole in holes]
            bare = ([at for at in points if self.scene.bare(at)] for points in (places, upon))
            ends = next((seen for seen in bare if seen), places[:1])
            ends += map(self._tip, found)  # under a body too: the row tells which strip is meant
            own = tuple((x - 6, y - 6, x + 6, y + 6) for x, y in ends)
            level = tuple((lane, self._over(holes)) for holes in found if (lane := self._lane(holes[0])))
            tags.append(
                Tag(f"net {net}", (net,), NET_TAG, own[0], slack=1.0, upon=tuple(upon), own=own,
                    ends=tuple(ends), level=level)
            )  # fmt: skip
        return tags

    def _tip(self, holes: Sequence[str]) -> Point:
        """The outer end of a strip, where its tint begins."""
        (x0, y0), (x1, y1) = self.frame.hole(holes[0]), self.frame.hole(holes[1])
        return x0 + (x0 - x1) * TIP, y0 + (y0 - y1) * TIP

    def _over(self, holes: Sequence[str]) -> Rect:
        """The rectangle of a strip."""
        (x0, y0), (x1, y1) = self.frame.hole(holes[0]), self.frame.hole(holes[-1])
        return min(x0, x1) - 12, min(y0, y1) - 12, max(x0, x1) + 12, max(y0, y1) + 12

    def _along(self, holes: Sequence[str]) -> list[Point]:
        """Places along a strip, each half pitch from its outer end."""
        (x0, y0), (x1, y1) = self.frame.hole(holes[0]), self.frame.hole(holes[-1])
        count = 2 * len(holes) - 2
        return [(x0 + (x1 - x0) * i / count, y0 + (y1 - y0) * i / count) for i in range(count + 1)]
