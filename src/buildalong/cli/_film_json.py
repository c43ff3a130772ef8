"""JSON of the film."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from buildalong.cli._json import SCHEMA, finding_object

if TYPE_CHECKING:
    from buildalong.film import Film, Slide, Timed
    from buildalong.finding import Finding

__all__ = ["film_document", "slides_document"]


def film_document(
    made: Film, output: str, files: Sequence[str], findings: Sequence[Finding]
) -> dict[str, Any]:
    """The storyboard in its times, and the files."""
    return {
        "schema": SCHEMA,
        "title": made.board.title,
        "lasts": made.times.end / 1000,
        "scenes": [_scene(timed) for timed in made.times.scenes],
        "output": output,
        "files": list(files),
        "findings": [finding_object(finding) for finding in findings],
    }


def _scene(timed: Timed) -> dict[str, Any]:
    scene = timed.scene
    return {
        "id": scene.id,
        "kind": scene.kind,
        "title": scene.title,
        "step": scene.step,
        "trial": scene.trial,
        "start": timed.start / 1000,
        "end": timed.end / 1000,
        "points": list(scene.points),
        "callout": scene.callout,
        "captions": [
            {"start": cue.start / 1000, "end": cue.end / 1000, "lines": list(cue.lines), "says": cue.says}
            for cue in timed.cues
        ],
    }


def slides_document(
    made: Sequence[Slide], output: str, files: Sequence[str], findings: Sequence[Finding]
) -> dict[str, Any]:
    """What stands on each slide, and the files."""
    return {
        "schema": SCHEMA,
        "slides": [
            {
                "kind": slide.kind,
                "title": slide.title,
                "step": slide.number,
                "text": slide.text,
                "points": list(slide.points),
                "callout": slide.callout,
                "rows": [list(row) for row in slide.rows],
                "notes": [note for note in slide.notes if note],
            }
            for slide in made
        ],
        "output": output,
        "files": list(files),
        "findings": [finding_object(finding) for finding in findings],
    }
