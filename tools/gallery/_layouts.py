"""Each demo on each board that it fits, in each wire style."""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import dataclass

from tools.gallery._desk import Desk
from tools.gallery._exhibit import Exhibit

from buildalong.board import board
from buildalong.build.place import Placement, place, verify
from buildalong.drawing import board_picture
from buildalong.finding import Severity
from buildalong.store import kept

__all__ = ["layouts"]


@dataclass(frozen=True, slots=True)
class Timed:
    """A placement and the processor time that it took [s]."""

    placement: Placement
    seconds: float


def layouts(desk: Desk) -> Iterator[Exhibit]:
    """Place each demo; what does not fit is told in the table only."""
    for demo in desk.choice.demos:
        for size in desk.choice.boards:
            for style in desk.choice.styles:
                yield _exhibit(desk, demo, size, style)


def _exhibit(desk: Desk, demo: str, size: str, style: str) -> Exhibit:
    circuit = desk.lesson(demo).circuit
    title = f"{demo}, board {size}, {style}"
    desk.tell(title)
    timed = _placed(desk, demo, size, style)
    placement = timed.placement
    where = (("demo", demo), ("board", size), ("wires are", style))
    wrong = [
        f for f in (*placement.findings, *verify(circuit, placement.layout)) if f.severity >= Severity.ERROR
    ]
    if wrong:
        return Exhibit(title, "", None, (*where, ("result", f"does not fit: {wrong[0].message}")))
    count, bound = placement.wire_count, placement.lower_bound
    arches = sum(wire.style == "flexible" for wire in placement.layout.wires) if style != "flexible" else 0
    verdict = "proved the fewest" if placement.proved else f"gap {count - bound}"
    facts = (
        *where, ("wires", str(count)), ("lower bound", str(bound)), ("result", verdict),
        ("arching over", str(arches)), ("tidiness", f"{placement.score.total:.0f}"),
        ("CPU time", f"{timed.seconds:.1f} s"),
    )  # fmt: skip
    caption = f"{count} wires, lower bound {bound}: {verdict}; {timed.seconds:.1f} s of processor time."
    said = " ".join(finding.message for finding in placement.findings)
    picture = board_picture(circuit, placement.layout, muted=False, highlight_holes=False, crop="auto")
    return Exhibit(title, f"{caption} {said}".strip(), picture, facts)


def _placed(desk: Desk, demo: str, size: str, style: str) -> Timed:
    circuit, on = desk.lesson(demo).circuit, board(size)
    seconds = desk.choice.seconds

    def make() -> Timed:
        def progress(share: float, text: str) -> None:
            desk.tell(f"{demo}, board {size}, {style}: {share:4.0%} {text}")

        began = time.process_time()
        found = place(circuit, on, style=style, seconds=seconds, progress=progress)
        return Timed(found, round(time.process_time() - began, 2))

    def sound(timed: Timed) -> bool:
        cut_short = any(finding.code == "placing-cut-short" for finding in timed.placement.findings)
        return timed.placement.layout.board == on and not cut_short

    return kept(desk.store, "gallery", (circuit, on, style, seconds), Timed, make, sound)
