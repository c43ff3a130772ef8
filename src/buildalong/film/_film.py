"""All files of a film's material, made in memory; who asks for them writes them."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from buildalong.film._captions import captions_vtt, chapters_vtt
from buildalong.film._description import description
from buildalong.film._scenes import storyboard
from buildalong.film._script import narration_txt, script_html, shots_csv
from buildalong.film._shots import shots
from buildalong.film._storyboard import Storyboard
from buildalong.film._timing import Timeline, timeline
from buildalong.lesson import Compiled

__all__ = ["PRODUCTS", "Film", "film"]

PRODUCTS = ("script", "captions")
"""What can be asked for."""


@dataclass(frozen=True)
class Film:
    """What was made: storyboard, times, and files (name -> content)."""

    board: Storyboard
    times: Timeline
    files: dict[str, bytes]


def film(compiled: Compiled, only: Collection[str] = PRODUCTS) -> Film:
    """Make the film's material of a compiled lesson: those of ``PRODUCTS`` that are asked for."""
    board = storyboard(compiled)
    times = timeline(board)
    files: dict[str, bytes] = {}
    if "script" in only:
        taken = shots(compiled.circuit, compiled.steps, times, {})
        files["script.html"] = script_html(board, times, taken, compiled.lesson.language).encode()
        files["narration.txt"] = narration_txt(times).encode()
        files["shots.csv"] = shots_csv(taken)
        files["description.txt"] = description(board, times).encode()
    if "captions" in only:
        files["captions.vtt"] = captions_vtt(times).encode()
        files["chapters.vtt"] = chapters_vtt(times).encode()
    return Film(board, times, files)
