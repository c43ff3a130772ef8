"""The author's source: reading a lesson folder, checking every claim in it, and compiling it."""

from buildalong.lesson._asked import asked_of
from buildalong.lesson._circuit_checks import check_circuit
from buildalong.lesson._compile import STAGES, compile_lesson
from buildalong.lesson._hints import Hint
from buildalong.lesson._lesson import (
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
from buildalong.lesson._targets import read_target, targets_of

__all__ = [
    "STAGES",
    "Block",
    "Compiled",
    "Figure",
    "Hint",
    "Image",
    "LayoutRequest",
    "Lesson",
    "Promise",
    "PromiseResult",
    "Section",
    "Source",
    "TextFile",
    "asked_of",
    "check_circuit",
    "compile_lesson",
    "load",
    "read_target",
    "targets_of",
]
