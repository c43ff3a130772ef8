"""A course: a folder of lesson folders, in the order of its course.toml or of their names."""

from __future__ import annotations

import datetime as dt
import os
import re
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field

from buildalong.finding import Finding, Place, Severity, Unreadable
from buildalong.lesson._address import folder_address
from buildalong.lesson._folder import Folder
from buildalong.lesson._toml import read_toml
from buildalong.lesson._validate import nearest, validate

if TYPE_CHECKING:
    from buildalong.lesson._positions import Positions

__all__ = ["COURSE", "MAX_LESSONS", "Course", "CourseLesson", "is_course", "load_course"]

COURSE, FACTS = "course.toml", "lesson.toml"
MAX_LESSONS = 100
"""Most lessons of a course."""
MAX_ENTRIES = 2000
"""Most files and folders among which lessons are looked for."""
RESERVED = ("index.html", "feed.xml", "pack.json")
"""What a course is published as; no lesson may have its name."""
_NAME = re.compile(r"[^\x00-\x1f/\\:*?\"<>|.~][^\x00-\x1f/\\:*?\"<>|]{0,99}")


@dataclass(frozen=True, slots=True)
class CourseLesson:
    """One lesson of a course: the name of its folder, and the day it came out as RFC 3339, "" for unknown."""

    name: str
    date: str = ""


@dataclass(frozen=True)
class Course:
    """What the author says of a course.

    ``link`` is the address where it will stand, ending in a slash; "" where it is not known.
    ``findings`` are those on the course alone.
    """

    folder: Path
    title: str
    lessons: tuple[CourseLesson, ...]
    summary: str = ""
    authors: tuple[str, ...] = ()
    link: str = ""
    language: str = "en"
    findings: tuple[Finding, ...] = ()


def _day(value: Any) -> Any:
    """A TOML date, time or text as RFC 3339; a day begins at 0 h, a time without offset is UTC."""
    if isinstance(value, str):
        try:
            value = dt.datetime.fromisoformat(value)
        except ValueError:
            raise ValueError(f"'{value[:40]}' is no date such as 2026-09-01") from None
    if isinstance(value, dt.datetime):
        at = value if value.tzinfo is not None else value.replace(tzinfo=dt.UTC)
        return at.isoformat(timespec="seconds").replace("+00:00", "Z")
    if isinstance(value, dt.date):
        return f"{value.isoformat()}T00:00:00Z"
    return value


Words = Annotated[str, Field(max_length=2000)]
Day = Annotated[str, BeforeValidator(_day)]


class _Table(BaseModel):
    model_config = ConfigDict(extra="forbid", str_strip_whitespace=True)


class _LessonOfCourse(_Table):
    folder: Words
    date: Day = ""


class CourseTable(_Table):
    """The shape of course.toml."""

    title: Annotated[str, Field(min_length=1, max_length=120)]
    summary: Words = ""
    author: Words | Annotated[list[Words], Field(max_length=20)] = ""
    link: Words = ""
    language: Annotated[str, Field(pattern=r"^[a-z]{2,3}(-[A-Za-z0-9]{2,8})*$")] = "en"
    lesson: Annotated[list[_LessonOfCourse], Field(max_length=MAX_LESSONS)] = []


def is_course(folder: str | os.PathLike[str]) -> bool:
    """Whether a folder is no lesson, but holds a course.toml or a lesson."""
    root = Path(folder)
    if not root.is_dir() or os.path.lexists(root / FACTS):
        return False
    return os.path.lexists(root / COURSE) or bool(_lessons_in(root))


def load_course(folder: str | os.PathLike[str]) -> Course:
    """Read a course; raises Unreadable where nothing can be made of it.

    Without a course.toml, or where that lists no lessons, they come in the order of their names.
    """
    source = Folder(folder, whole=False)
    if not source.has(COURSE):
        names = _lessons_in(source.root)
        return Course(source.path, source.name, tuple(map(CourseLesson, _few(names, source))))
    document = read_toml(source.text(COURSE), source.shown(COURSE))
    table, wrong = validate(CourseTable, document.values, document.places)
    if table is None:
        raise Unreadable(*wrong)
    places = document.places
    findings: list[Finding] = []
    lessons = _listed(table, source, places, findings)
    if not table.lesson:
        lessons = [CourseLesson(name) for name in _few(_lessons_in(source.root), source)]
    if not lessons:
        raise Unreadable(*findings, _finding("course-empty", "the course has no lesson", places.key("lesson"),
                                             "put lesson folders into it", Severity.FATAL))  # fmt: skip
    link = folder_address(table.link)
    if link is None:
        findings.append(_finding("link-unsafe", f"'{table.link[:60]}' is no web address of a folder",
                                 places.value("link"), "such as https://example.org/course/"))  # fmt: skip
    authors = [table.author] if isinstance(table.author, str) else table.author
    return Course(
        folder=source.path, title=table.title, lessons=tuple(lessons), summary=table.summary,
        authors=tuple(author for author in authors if author),
        link=link or "", language=table.language, findings=tuple(findings),
    )  # fmt: skip


def _listed(
    table: CourseTable, source: Folder, places: Positions, findings: list[Finding]
) -> list[CourseLesson]:
    """The lessons that the course lists, each once, without those that are none."""
    out: list[CourseLesson] = []
    known = _lessons_in(source.root)
    for number, entry in enumerate(table.lesson):
        place = places.value("lesson", number, "folder")
        if entry.folder in [lesson.name for lesson in out]:
            findings.append(
                _finding("lesson-twice", f"'{entry.folder}' is listed twice", place, "list it once")
            )
        elif entry.folder in known:
            out.append(CourseLesson(entry.folder, entry.date))
        else:
            near = nearest(entry.folder, known)
            hint = f"did you mean '{near}'?" if near else "name a folder in the course's that is a lesson"
            message = f"'{entry.folder[:60]}' is no lesson of this course"
            findings.append(_finding("lesson-missing", message, place, hint))
    return out


def _lessons_in(root: Path) -> list[str]:
    """Names of the plain folders in a folder that hold a lesson.toml, sorted."""
    out = []
    try:
        with os.scandir(root) as entries:
            for count, entry in enumerate(entries):
                if count >= MAX_ENTRIES:
                    break
                if (
                    _NAME.fullmatch(entry.name)
                    and entry.name not in RESERVED
                    and entry.is_dir(follow_symlinks=False)
                    and os.path.lexists(os.path.join(entry.path, FACTS))
                ):
                    out.append(entry.name)
    except OSError:
        return []
    return sorted(out)


def _few(names: list[str], source: Folder) -> list[str]:
    """The names, where there are not too many."""
    if len(names) > MAX_LESSONS:
        message = f"the course has {len(names)} lessons; at most {MAX_LESSONS} are made"
        place = Place(source.path.as_posix())
        raise Unreadable(_finding("course-too-long", message, place, "split it in two", Severity.FATAL))
    return names


def _finding(
    code: str, message: str, place: Place, hint: str, severity: Severity = Severity.ERROR
) -> Finding:
    return Finding(severity, code, message, hint, place)
