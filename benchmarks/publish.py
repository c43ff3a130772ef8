"""How long an author waits for a pack and for a film, and how large its article is.

Wall-clock time of the command in a process of its own; kernels and modules were compiled before, as an
installation has them. Cold: nothing in the store. Warm: the store has the lesson, one word of lesson.md is
another each time; what starting Python alone takes is taken off. The film: all of its material with four
videos, nothing in the store. The course: thirty small lessons with other values each, nothing in the store,
by one process and by two.
"""

from __future__ import annotations

import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from benchmarks._report import Report

ROOT = Path(__file__).parents[1]
TITLE = "Publish: waiting for a pack"
LESSON = "lighthouse"
DEMOS = ("mailbox-flag", "cupboard-light", "dusk-light", "lighthouse", "level-crossing", "runway-lights")
COLD, WARM, LESSONS = 2, 9, 30
COLD_WANTED, WARM_WANTED, FILM_WANTED, SIZE_WANTED, SCALE_WANTED = 20.0, 1.0, 60.0, 1.5e6, 1.6


class Bench:
    """A folder with a store of its own, and the command that publishes from it."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.env = {
            **os.environ, "PYTHONPATH": str(ROOT / "src"), "BUILDALONG_STORE": "",
            "XDG_CACHE_HOME": str(folder / "cache"),
        }  # fmt: skip
        self.env.pop("PYTHONDONTWRITEBYTECODE", None)

    def forget(self) -> None:
        """Empty the store."""
        shutil.rmtree(self.folder / "cache", ignore_errors=True)

    def published(self, lesson: Path, *more: str) -> float:
        """Wall-clock time of publishing a lesson or a course [s]; raises where that fails."""
        output = str(self.folder / f"{lesson.name}-pack")
        command = [sys.executable, "-m", "buildalong", "publish", str(lesson), "--output", output, *more]
        return self.timed(command)

    def timed(self, command: list[str]) -> float:
        """Wall-clock time of a command [s]; raises where it fails."""
        start = time.perf_counter()
        subprocess.run(command, env=self.env, check=True, capture_output=True, timeout=3600)
        return time.perf_counter() - start

    def lesson(self, name: str) -> Path:
        """A copy of a demo lesson."""
        return Path(shutil.copytree(ROOT / "examples" / name, self.folder / name))


def course(folder: Path) -> Path:
    """A course of small lessons, each with another resistor."""
    from buildalong.cli._new import write_lesson

    for number in range(LESSONS):
        lesson = folder / "course" / f"lesson-{number + 1:02}"
        write_lesson(lesson)
        facts = (lesson / "lesson.toml").read_text(encoding="utf-8")
        facts = facts.replace('"150"', f'"{150 + 5 * number}"')
        (lesson / "lesson.toml").write_text(facts, encoding="utf-8")
    return folder / "course"


def run(report: Report) -> None:
    """Measure a lesson cold and warm, a course, and the sizes of the articles."""
    with tempfile.TemporaryDirectory() as folder:
        bench = Bench(Path(folder))
        bench.published(bench.lesson("mailbox-flag"))  # compiles the kernels
        start = statistics.median(bench.timed([sys.executable, "-c", "pass"]) for _ in range(WARM))
        lesson = bench.lesson(LESSON)
        cold: list[float] = []
        for number in range(COLD):
            report.progress(number, COLD, "cold packs")
            bench.forget()
            cold.append(bench.published(lesson))
        files = sum(path.is_file() for path in (bench.folder / f"{LESSON}-pack").rglob("*"))
        words = lesson / "lesson.md"
        text = words.read_text(encoding="utf-8")
        warm: list[float] = []
        for number in range(WARM):
            words.write_text(f"{text}\nLook a {number}th time.\n", encoding="utf-8")
            warm.append(bench.published(lesson) - start)
        _film(report, bench, lesson)
        _course(report, bench, cold, warm, files)
        report.table(("article without film", "bytes"), _sizes(report, bench))


def _film(report: Report, bench: Bench, lesson: Path) -> None:
    bench.forget()
    output = bench.folder / "film"
    taken = bench.timed([sys.executable, "-m", "buildalong", "film", str(lesson), "--output", str(output)])
    files = sum(path.is_file() for path in output.rglob("*"))
    report.target(f"film, {files} files", f"under {FILM_WANTED:g} s", f"{taken:.1f} s", taken < FILM_WANTED)


def _course(report: Report, bench: Bench, cold: list[float], warm: list[float], files: int) -> None:
    lessons = course(bench.folder)
    taken = []
    for cores in (1, 2):
        report.progress(cores - 1, 2, "courses")
        bench.forget()
        taken.append(bench.published(lessons, "--cores", str(cores)))
    words = lessons / "lesson-07" / "lesson.md"
    words.write_text(words.read_text(encoding="utf-8") + "\nLook again.\n", encoding="utf-8")
    again = bench.published(lessons)
    scale = taken[0] / taken[1]
    report.table(
        ("what", "seconds"),
        [
            (f"{LESSON}, {files} files, cold, best of {COLD}", min(cold)),
            (f"{LESSON}, a word changed, median of {WARM}", statistics.median(warm)),
            (f"course of {LESSONS} lessons, one process", taken[0]),
            (f"course of {LESSONS} lessons, two processes", taken[1]),
            (f"course of {LESSONS} lessons, a word of one changed", again),
        ],
    )
    report.target("cold", f"at most {COLD_WANTED:g} s", f"{min(cold):.1f} s", min(cold) <= COLD_WANTED)
    middle = statistics.median(warm)
    report.target("a word changed", f"under {WARM_WANTED:g} s", f"{middle:.2f} s", middle < WARM_WANTED)
    wanted = f"{SCALE_WANTED:g} times as fast"
    report.target("two processes", f"at least {wanted}", f"{scale:.2f} times", scale >= SCALE_WANTED)


def _sizes(report: Report, bench: Bench) -> list[tuple[str, int]]:
    out: list[tuple[str, int]] = []
    for name in DEMOS:
        folder = bench.folder / name
        lesson = folder if folder.exists() else bench.lesson(name)
        bench.published(lesson, "--only", "article")
        out.append((name, (bench.folder / f"{name}-pack" / "index.html").stat().st_size))
    largest = max(size for _, size in out)
    wanted = f"at most {SIZE_WANTED / 1e6:g} MB"
    report.target("largest article", wanted, f"{largest / 1e6:.2f} MB", largest <= SIZE_WANTED)
    return out
