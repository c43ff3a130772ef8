"""Publishing a course: all its lessons over all cores, a page that leads to them, and a feed."""

from __future__ import annotations

import os
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from hashlib import file_digest
from pathlib import Path
from typing import TYPE_CHECKING, Any

from buildalong.finding import Finding, Place, Severity, Unreadable
from buildalong.lesson import COURSE, Course, CourseLesson, load_course
from buildalong.publish._crew import Crew
from buildalong.publish._pack import MANIFEST, copy_pack, digests_in, manifest, replaced
from buildalong.publish._publish import PRODUCTS, Pack, Published, publish_lesson, recalled_lesson
from buildalong.store import Store
from buildalong.words import speaking, spoken

if TYPE_CHECKING:
    from buildalong.publish._variant import Contrast, Hand

__all__ = ["CourseMade", "LessonMade", "publish_course"]

INDEX, FEED = "index.html", "feed.xml"
SHOWN = "pictures/board-tilted.png"
"""The picture that stands for a lesson."""
Tell = Callable[[str], None]


@dataclass(frozen=True, slots=True)
class LessonMade:
    """One lesson of a course: its findings, and what was published; None where an error stood against it."""

    lesson: CourseLesson
    findings: tuple[Finding, ...]
    published: Published | None


@dataclass(frozen=True, slots=True)
class CourseMade:
    """A course that was published: its lessons, the findings on itself, and its folder as a pack."""

    course: Course
    lessons: tuple[LessonMade, ...]
    findings: tuple[Finding, ...]
    pack: Pack

    @property
    def ok(self) -> bool:
        """Whether every lesson was published."""
        wrong = any(finding.severity >= Severity.ERROR for finding in self.findings)
        return not wrong and all(made.published is not None for made in self.lessons)


@dataclass(frozen=True, slots=True)
class _Job:
    """A lesson to publish, as another process is told of it."""

    lesson: CourseLesson
    folder: Path
    output: Path
    options: Mapping[str, Any]
    """What else :func:`publish_lesson` takes."""


def publish_course(
    folder: str | os.PathLike[str],
    output: Path | str,
    *,
    only: Collection[str] = PRODUCTS,
    hand: Hand | None = None,
    contrast: Contrast | None = None,
    faults: bool = True,
    store: Store | None = None,
    cores: int = 1,
    progress: Tell | None = None,
    language: str = "",
) -> CourseMade:
    """Publish all lessons of a course into folders of their names, with a page that leads to them.

    Arguments as in :func:`publish_lesson`; each lesson is made by one process.  A lesson with errors is
    left out and does not stop the others.  A feed (Atom, RFC 4287) is written where the author tells the
    link, the author and the dates.  Raises Unreadable where the course cannot be read or not be written.
    """
    tell = progress or (lambda what: None)
    course = load_course(folder)
    if language:
        course = replace(course, language=language)
    output = Path(output)
    wanted = tuple(name for name in PRODUCTS if name in only)
    with replaced(output) as beside:
        options = {
            "only": wanted, "hand": hand, "contrast": contrast, "faults": faults, "store": store,
            "language": language,
        }  # fmt: skip
        jobs = [
            _Job(lesson, course.folder / lesson.name, beside / lesson.name, options)
            for lesson in course.lessons
        ]
        if wanted != PRODUCTS:
            for job in jobs:
                copy_pack(output / job.lesson.name, job.output)
        made = _made(jobs, cores, tell)
        told = list(course.findings)
        good = [each for each in made if each.published is not None]
        if not good:
            raise Unreadable(*(finding for each in made for finding in each.findings), _nothing(course))
        tell("the page of the course")
        with speaking(spoken(course.language) or "en"):
            _write_pages(course, good, beside, told)
        known, now = digests_in(output), _digests(beside)
        (beside / MANIFEST).write_text(manifest(now), encoding="utf-8")
    changed = tuple(
        name for name in now if known.get(name) != now[name] and not name.endswith(f"/{MANIFEST}")
    )
    pack = Pack(output, tuple(sorted([*now, MANIFEST])), changed)
    return CourseMade(course, tuple(made), tuple(told), pack)


def _made(jobs: Sequence[_Job], cores: int, tell: Tell) -> list[LessonMade]:
    """All lessons: what only needs other words is done here, the rest by all cores."""
    done: dict[int, LessonMade] = {}
    for index, job in enumerate(jobs):
        tell(f"lesson {index + 1} of {len(jobs)}")
        known = _recalled(job)
        if known is not None:
            done[index] = known
    rest = [index for index in range(len(jobs)) if index not in done]
    with Crew(min(cores, len(rest)), leads=True) as crew:
        found = crew.map(
            _published, [jobs[index] for index in rest],
            lambda count: tell(f"lesson {len(done) + count} of {len(jobs)}"),
        )  # fmt: skip
    done |= dict(zip(rest, found, strict=True))
    return [done[index] for index in range(len(jobs))]


def _recalled(job: _Job) -> LessonMade | None:
    try:
        known = recalled_lesson(job.folder, job.output, **job.options)
    except Unreadable as error:
        return LessonMade(job.lesson, error.findings, None)
    return None if known is None else _told(job, known)


def _published(job: _Job) -> LessonMade:
    try:
        return _told(job, publish_lesson(job.folder, job.output, **job.options))
    except Unreadable as error:
        return LessonMade(job.lesson, error.findings, None)


def _told(job: _Job, published: Published) -> LessonMade:
    return LessonMade(job.lesson, published.findings, published if published.pack is not None else None)


def _write_pages(course: Course, good: Sequence[LessonMade], beside: Path, told: list[Finding]) -> None:
    """Write the page and, where all that it takes is known, the feed."""
    from buildalong.publish._course_pages import feed_xml, index_html

    cards = [(each.lesson, each.published.card) for each in good if each.published is not None]
    feed = feed_xml(course, cards)
    if feed:
        (beside / FEED).write_text(feed, encoding="utf-8")
    elif course.link or any(lesson.date for lesson in course.lessons):
        told.append(_no_feed(course))
    pictured = {lesson.name for lesson, _ in cards if (beside / lesson.name / SHOWN).is_file()}
    (beside / INDEX).write_text(index_html(course, cards, pictured, feed=bool(feed)), encoding="utf-8")


def _digests(folder: Path) -> Mapping[str, str]:
    """SHA-256 of all files, by name."""
    out: dict[str, str] = {}
    for path in sorted(folder.rglob("*")):
        if path.is_file():
            with path.open("rb") as stream:
                out[path.relative_to(folder).as_posix()] = file_digest(stream, "sha256").hexdigest()
    return out


def _no_feed(course: Course) -> Finding:
    return Finding(
        Severity.NOTE, "no-feed", "there is no feed: it takes a link, an author and the date of a lesson",
        f"say them in {COURSE}; see docs/course.md", Place((course.folder / COURSE).as_posix()),
    )  # fmt: skip


def _nothing(course: Course) -> Finding:
    return Finding(
        Severity.FATAL, "course-empty", "no lesson of the course could be published",
        "mend the errors above", Place(course.folder.as_posix()),
    )  # fmt: skip
