"""Reading what commands are given: lessons, drawers and other files, each bounded, and refusing it."""

from __future__ import annotations

from contextlib import contextmanager
from typing import TYPE_CHECKING, NoReturn

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from buildalong.choose import Drawer
    from buildalong.finding import Finding
    from buildalong.lesson import Lesson

__all__ = ["bounded_text", "read_drawer_file", "read_lesson", "refused", "telling"]


def refused(code: str, message: str, hint: str = "") -> NoReturn:
    """Raise Unreadable with one finding."""
    from buildalong.finding import Finding, Severity, Unreadable

    raise Unreadable(Finding(Severity.FATAL, code, message, hint))


@contextmanager
def telling(faults: Sequence[Finding]) -> Iterator[None]:
    """Where the work inside cannot be done, tell the faults found before it too: they may be why."""
    from buildalong.finding import Finding, Severity, Unreadable

    try:
        yield
    except Unreadable as error:
        raise Unreadable(*error.findings, *faults) from None
    except ValueError as error:
        raise Unreadable(Finding(Severity.FATAL, "cannot-do", str(error)), *faults) from None


def bounded_text(path: str, most: int) -> str:
    """The text of a file of at most ``most`` bytes.  Raises Unreadable."""
    try:
        with open(path, "rb") as stream:
            data = stream.read(most + 1)
    except OSError as error:
        refused("file-unreadable", f"{path} cannot be read: {error.strerror or error}", "check its name")
    if len(data) > most:
        refused("file-too-large", f"{path} is larger than {most // 1_000_000} MB", "leave some of it out")
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as error:
        refused(
            "file-unreadable", f"{path} is no UTF-8 text (byte {error.start + 1})", "save it as UTF-8 text"
        )


def read_drawer_file(path: str) -> tuple[Drawer, list[Finding]]:
    """The drawer in a CSV file, with what was wrong in it.  Raises Unreadable."""
    from buildalong.choose import read_drawer
    from buildalong.parts import catalogue

    return read_drawer(bounded_text(path, 2_000_000), path, catalogue())


def read_lesson(folder: str, *, open_values: bool = False, language: str = "") -> Lesson:
    """A lesson that can be simulated, with all that is found of its circuit.

    With ``open_values`` some values may still be to be chosen.

    Its words are in a language ("": the author's own).

    Raises Unreadable with the lesson's errors.
    """
    from dataclasses import replace

    from buildalong.finding import Severity, Unreadable
    from buildalong.lesson import check_circuit, load

    lesson = load(folder, language)
    found = [*lesson.findings, *check_circuit(lesson.circuit, lesson.places)]
    wrong = [
        f for f in found
        if f.severity >= Severity.ERROR and not (open_values and f.code == "value-open")
    ]  # fmt: skip
    if wrong:
        raise Unreadable(*wrong)
    return replace(lesson, findings=tuple(found))
