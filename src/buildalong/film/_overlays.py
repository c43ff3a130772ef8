"""Overlay pictures, each on a clear ground, and the thumbnail."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from buildalong.drawing import Picture, net_colours, to_png
from buildalong.drawing.screen import SHAPES, chip, lower_third, part_tag, thumbnail
from buildalong.film import _words as words
from buildalong.film._storyboard import Storyboard
from buildalong.film._timing import Timeline
from buildalong.lesson import Compiled
from buildalong.publish import Crew, supply_said
from buildalong.words import say

__all__ = ["overlay_files", "overlay_names", "thumbnail_file"]

Tell = Callable[[float, str], None]
TAG_HEIGHT = 2.0
"""Tags and labels are drawn so many times larger than they are designed, to be moved and scaled freely."""


def overlay_names(compiled: Compiled, times: Timeline, shapes: Sequence[str]) -> dict[str, list[str]]:
    """Scene -> the names of the overlays that are made for it, without the folder."""
    out: dict[str, list[str]] = {}
    steps = {step.number: step for step in compiled.steps}
    for timed in times.scenes:
        scene = timed.scene
        names = [f"{scene.id}-{shape}.png" for shape in shapes]
        names += [f"{scene.id}-warning-{shape}.png" for shape in shapes if scene.callout]
        if scene.step:
            names += [f"part-{part}.png" for part in steps[scene.step].parts]
        out[scene.id] = names
    return out


def overlay_files(
    compiled: Compiled, times: Timeline, shapes: Sequence[str], crew: Crew,
    tell: Tell = lambda share, text: None,
) -> dict[str, bytes]:  # fmt: skip
    """The overlays as PNG with opacity: a card for each scene, warnings, a tag for each part, net labels."""
    pictures: list[tuple[str, Picture, int]] = []
    for timed in times.scenes:
        scene = timed.scene
        title = scene.title.partition(". ")[2] if scene.step else scene.title
        for name in shapes:
            shape = SHAPES[name]
            card = lower_third(shape, title, number=scene.step)
            pictures.append((f"{scene.id}-{name}", card, shape.width))
            if scene.callout:
                card = lower_third(shape, scene.title, callout=scene.callout)
                pictures.append((f"{scene.id}-warning-{name}", card, shape.width))
    for part in compiled.circuit.parts:
        tag = part_tag(part)
        pictures.append((f"part-{part.id}", tag, round(tag.width * TAG_HEIGHT)))
    for net, colour in net_colours(compiled.circuit, compiled.layout).items():
        label = chip(net, colour)
        pictures.append((f"net-{net}", label, round(label.width * TAG_HEIGHT)))
    done = crew.map(
        _clear_png,
        [(picture, width) for _, picture, width in pictures],
        lambda count: tell(count / len(pictures), f"overlay {count} of {len(pictures)}"),
    )
    names = [f"overlays/{name}.png" for name, _, _ in pictures]
    return dict(zip(names, done, strict=True))


def _clear_png(sized: tuple[Picture, int]) -> bytes:
    picture, width = sized
    return to_png(picture, width, background="none")


def thumbnail_file(compiled: Compiled, board: Storyboard, finished: Picture) -> bytes:
    """The thumbnail, 1280 by 720."""
    counts = say(words.FACTS, parts=len(compiled.circuit.besides_supply), steps=len(compiled.steps))
    facts = (counts, supply_said(compiled.circuit))
    return to_png(thumbnail(board.title, facts, finished), 1280, 720)
