"""Buildalong compiles a plain-text electronics lesson into a checked build-along.

A module imports only from floors below its own (``tests/test_architecture.py`` enforces it)::

    cli                                                      6  faces
    bench                                                    6  faces: the local page
    film                                                     5  products: made of other products
    publish                                                  5  products
    drawing   edit                                           4  pictures; changing the source
    lesson                                                   3  the author's source
    exercise   guide   trace   mistakes                      2  reasoning
    design   build   story   study
    engine   board                                           1  physics and geometry
    circuit  parts  quantity  finding  lazy  store  words    0  ground

The public Python API is what the packages re-export.  In a notebook::

    import buildalong

    lesson = buildalong.compile_lesson("examples/lighthouse")
    lesson.promises, lesson.figures, lesson.findings

    from buildalong.publish import publish
    publish(lesson, "pack")
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from buildalong.lazy import lazily

if TYPE_CHECKING:
    from buildalong.finding import Finding, Place, Severity, Unreadable
    from buildalong.lesson import Compiled, Lesson, compile_lesson, load

__version__ = "0.1.0"

__all__ = [
    "Compiled",
    "Finding",
    "Lesson",
    "Place",
    "Severity",
    "Unreadable",
    "__version__",
    "compile_lesson",
    "load",
]

_HOME = {
    "finding": ("Finding", "Place", "Severity", "Unreadable"),
    "lesson": ("Compiled", "Lesson", "compile_lesson", "load"),
}

__getattr__ = lazily(__name__, _HOME)
"""A package is loaded only when something of it is asked for."""


def __dir__() -> list[str]:
    """Names of the public API."""
    return sorted(__all__)
