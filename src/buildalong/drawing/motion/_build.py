"""The build: parts and wires come to the board in the order of the steps."""

from __future__ import annotations

from collections.abc import Sequence

from buildalong.board import Layout
from buildalong.build.steps import Step
from buildalong.circuit import Circuit
from buildalong.drawing._board import board_picture
from buildalong.drawing._frame import View
from buildalong.drawing._palette import PLAIN, Tone
from buildalong.drawing._svg import number
from buildalong.drawing.motion._motion import PLAYING, Motion

__all__ = ["build_motion"]

EACH = 1.6
"""How long each step is shown [s]; our choice."""
COMING = 0.6
"""How long a part takes to appear [s]."""


def build_motion(
    circuit: Circuit,
    layout: Layout,
    steps: Sequence[Step],
    key: str,
    *,
    view: View = "top",
    tone: Tone = PLAIN,
) -> Motion | None:
    """Let a board fill step by step; the still picture is the finished board.

    The captions of the page's list ``.titles`` show in turn (``--n`` counts them from 0).  ``key``
    makes the names of the style sheet unique in a page.  None without steps.
    """
    if not steps:
        return None
    stages: dict[str | int, int] = {}
    for index, step in enumerate(steps):
        stages.update(dict.fromkeys((*step.parts, *step.wires), index))
    picture = board_picture(
        circuit, layout, muted=False, highlight_holes=False, crop="auto", stages=stages, view=view, tone=tone
    )
    come, say = f"{key}-come", f"{key}-say"
    each = number(EACH)
    css = (
        "@media (prefers-reduced-motion:no-preference){\n"
        f"@keyframes {come}{{from{{opacity:0}}}}\n"
        f"@keyframes {say}{{from,to{{opacity:1}}}}\n"
        f"{PLAYING} .stage{{animation:{come} {number(COMING)}s ease-out calc(var(--n)*{each}s) backwards}}\n"
        f"{PLAYING}~.titles>*{{animation:{say} {each}s linear calc(var(--n)*{each}s)}}\n"
        "}\n"
    )
    return Motion(picture, css, EACH * len(steps))
