"""The author's source: reading a lesson folder, checking every claim in it, and compiling it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from buildalong.lazy import lazily

if TYPE_CHECKING:
    from buildalong.lesson._again import weave_again
    from buildalong.lesson._asked import asked_of
    from buildalong.lesson._circuit_checks import check_circuit
    from buildalong.lesson._compile import STAGES, compile_lesson
    from buildalong.lesson._course import COURSE, Course, CourseLesson, is_course, load_course
    from buildalong.lesson._folder import MAX_TEXT, Folder
    from buildalong.lesson._hints import Hint
    from buildalong.lesson._lesson import (
        Basis,
        Block,
        Compiled,
        Figure,
        Image,
        LayoutRequest,
        Lesson,
        Promise,
        PromiseResult,
        Section,
        Source,
        TextFile,
    )
    from buildalong.lesson._load import load
    from buildalong.lesson._positions import Positions
    from buildalong.lesson._read_layout import SMALLEST
    from buildalong.lesson._sections import SLOTS
    from buildalong.lesson._speaking import in_its_language
    from buildalong.lesson._targets import measured_promises, read_target, targets_of
    from buildalong.lesson._toml import read_toml

_HOME = {
    "_again": ("weave_again",),
    "_asked": ("asked_of",),
    "_circuit_checks": ("check_circuit",),
    "_compile": ("STAGES", "compile_lesson"),
    "_course": ("COURSE", "Course", "CourseLesson", "is_course", "load_course"),
    "_folder": ("MAX_TEXT", "Folder"),
    "_hints": ("Hint",),
    "_lesson": (
        "Basis", "Block", "Compiled", "Figure", "Image", "LayoutRequest", "Lesson", "Promise",
        "PromiseResult", "Section", "Source", "TextFile",
    ),
    "_load": ("load",),
    "_read_layout": ("SMALLEST",),
    "_sections": ("SLOTS",),
    "_positions": ("Positions",),
    "_speaking": ("in_its_language",),
    "_targets": ("measured_promises", "read_target", "targets_of"),
    "_toml": ("read_toml",),
}  # fmt: skip

__all__ = [
    "COURSE",
    "MAX_TEXT",
    "SLOTS",
    "SMALLEST",
    "STAGES",
    "Basis",
    "Block",
    "Compiled",
    "Course",
    "CourseLesson",
    "Figure",
    "Folder",
    "Hint",
    "Image",
    "LayoutRequest",
    "Lesson",
    "Positions",
    "Promise",
    "PromiseResult",
    "Section",
    "Source",
    "TextFile",
    "asked_of",
    "check_circuit",
    "compile_lesson",
    "in_its_language",
    "is_course",
    "load",
    "load_course",
    "measured_promises",
    "read_target",
    "read_toml",
    "targets_of",
    "weave_again",
]

__getattr__ = lazily(__name__, _HOME)
"""Weaving words needs little."""
