"""Storyboard: the scenes of a lesson's film, each with what is said and shown; no times yet."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

__all__ = ["Kind", "Moment", "Scene", "Storyboard"]

Kind = Literal[
    "title", "parts", "cautions", "step", "test", "check", "supply", "work", "how", "wrong", "end"
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class Moment:
    """With the sentence of this index something else is seen: a time of the trial [s], or a part's slip."""

    sentence: int
    text: str
    time: float = 0.0
    part: str = ""
    slip: str = ""


@dataclass(frozen=True, slots=True)
class Scene:
    """One scene.

    ``id`` is unique and fit for a file name; ``says`` are the narrator's sentences; ``points`` are short
    lines to be read on the screen; ``callout`` is a warning shown large, of several dangers the gravest;
    ``step`` is the number of the build step (0 for none), ``trial`` the name of the trial seen at work.
    """

    id: str
    kind: Kind
    title: str
    says: tuple[str, ...]
    points: tuple[str, ...] = ()
    text: str = ""
    callout: str = ""
    step: int = 0
    trial: str = ""
    moments: tuple[Moment, ...] = ()
    """What changes within the scene, in order."""


@dataclass(frozen=True, slots=True)
class Storyboard:
    """The scenes in order, with what the description needs besides."""

    title: str
    summary: str
    scenes: tuple[Scene, ...]
    needs: tuple[str, ...]
    """What is to be laid out: parts, board, wires."""
    cautions: tuple[str, ...]
    links: tuple[tuple[str, str, str], ...] = ()
    """The author's sources: title, by whom, address."""
    authors: tuple[str, ...] = ()
    licence: str = ""
