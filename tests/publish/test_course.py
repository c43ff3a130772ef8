"""A course: its lessons, its page, its feed, and what is wrong with it."""

from __future__ import annotations

import json
import re
import xml.etree.ElementTree as ET
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from buildalong.cli import main
from buildalong.cli._new import write_lesson
from buildalong.finding import Unreadable
from buildalong.lesson import compile_lesson, is_course, load_course
from buildalong.publish import publish_course
from buildalong.store import Store

if TYPE_CHECKING:
    from playwright.sync_api import Browser

ATOM = "{http://www.w3.org/2005/Atom}"
FACTS = """title = "Lamps & more"
summary = "Two <lamps>."
author = ["A. Teacher", "B. Teacher"]
link = "https://example.org/lamps"
[[lesson]]
folder = "second lamp"
date = 2026-09-08T10:00:00+02:00
[[lesson]]
folder = "first"
date = 2026-09-01
"""


@pytest.fixture(autouse=True)
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """Place with little work; a PNG is made of its SVG alone."""
    monkeypatch.setattr("buildalong.lesson.compile_lesson", partial(compile_lesson, seconds=0.1))
    monkeypatch.setattr("buildalong.publish._products.to_png", lambda picture, *size: picture.svg.encode())


@pytest.fixture
def course(tmp_path: Path) -> Path:
    """A course of two lessons, with one more folder that is none."""
    folder = tmp_path / "course"
    for name in ("first", "second lamp"):
        write_lesson(folder / name)
    (folder / "notes").mkdir()
    (folder / "course.toml").write_text(FACTS)
    return folder


def content(folder: Path) -> dict[str, bytes]:
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


def break_lesson(folder: Path) -> None:
    facts = folder / "lesson.toml"
    facts.write_text(facts.read_text().replace('"150"', '"150 apples"'))


def test_all_lessons_in_the_order_of_the_course(course: Path, tmp_path: Path) -> None:
    """The page leads to each lesson that was made, in the author's order; all links are relative files."""
    made = publish_course(course, tmp_path / "out", faults=False)
    assert made.ok
    assert [each.lesson.name for each in made.lessons] == ["second lamp", "first"]
    page = (tmp_path / "out" / "index.html").read_text()
    links = re.findall(r'(?:href|src)="([^"#]+)"', page)
    assert [link for link in links if link.endswith("index.html")] == [
        "second%20lamp/index.html", "first/index.html",
    ]  # fmt: skip
    for link in links:
        assert (tmp_path / "out" / link.replace("%20", " ")).is_file(), link
    assert "Two &lt;lamps&gt;." in page
    assert "://" not in page.replace("http://www.w3.org/2000/svg", "")


def test_the_manifest_lists_every_file(course: Path, tmp_path: Path) -> None:
    """Its digests are those of the files; the pack tells the same names."""
    from hashlib import sha256

    made = publish_course(course, tmp_path / "out", faults=False, only=("parts", "article"))
    files = content(tmp_path / "out")
    assert set(made.pack.files) == set(files)
    listed = json.loads(files["pack.json"])["files"]
    assert listed == {n: sha256(body).hexdigest() for n, body in files.items() if n != "pack.json"}


def test_the_feed_is_atom(course: Path, tmp_path: Path) -> None:
    """What RFC 4287 demands: one id, title and date each, absolute ids, authors, a link to itself.

    Sections 4.1.1, 4.1.2, 3.3 (dates as in RFC 3339), 4.2.6 and 4.2.7.2; the newest entry dates the feed.
    """
    publish_course(course, tmp_path / "out", faults=False, only=("parts",))
    root = ET.parse(tmp_path / "out" / "feed.xml").getroot()
    assert root.tag == f"{ATOM}feed"
    entries = root.findall(f"{ATOM}entry")
    assert len(entries) == 2
    for element in (root, *entries):
        for name in ("id", "title", "updated"):
            (found,) = element.findall(f"{ATOM}{name}")
            assert found.text
        identity, updated = element.findtext(f"{ATOM}id"), element.findtext(f"{ATOM}updated")
        assert identity is not None
        assert updated is not None
        assert identity.startswith("https://example.org/lamps/")
        assert re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(Z|[+-]\d\d:\d\d)", updated)
    assert [e.findtext(f"{ATOM}updated") for e in (root, *entries)] == [
        "2026-09-08T10:00:00+02:00", "2026-09-08T10:00:00+02:00", "2026-09-01T00:00:00Z",
    ]  # fmt: skip
    assert [a.findtext(f"{ATOM}name") for a in root.findall(f"{ATOM}author")] == ["A. Teacher", "B. Teacher"]
    links = {link.get("rel"): link.get("href") for link in root.findall(f"{ATOM}link")}
    assert links == {"self": "https://example.org/lamps/feed.xml", "alternate": "https://example.org/lamps/"}
    assert root.findtext(f"{ATOM}title") == "Lamps & more"


def test_without_dates_there_is_no_feed(course: Path, tmp_path: Path) -> None:
    """A feed needs dates, and none is made up: a note says so. Without a course.toml nobody asks for one."""
    facts = course / "course.toml"
    facts.write_text(re.sub("date = .*", "", FACTS))
    made = publish_course(course, tmp_path / "out", faults=False, only=("parts",))
    assert [finding.code for finding in made.findings] == ["no-feed"]
    assert not (tmp_path / "out" / "feed.xml").exists()
    facts.unlink()
    made = publish_course(course, tmp_path / "out", faults=False, only=("parts",))
    assert made.findings == ()
    assert [each.lesson.name for each in made.lessons] == ["first", "second lamp"]
    assert made.course.title == "course"


def test_a_bad_lesson_does_not_stop_the_others(
    course: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Its findings are told, the others are published, the exit code is 2; without errors it is 0."""
    command = ["publish", str(course), "--output", str(tmp_path / "out"), "--no-faults", "--cores", "1"]
    command += ["--only", "parts,article"]
    break_lesson(course / "second lamp")
    with pytest.raises(SystemExit) as caught:
        main(command)
    said = capsys.readouterr().out
    assert caught.value.code == 2
    assert "second lamp/lesson.toml:13" in said
    assert "second lamp: left out, mend its errors first" in said
    assert "1 of 2 lessons" in said
    assert {name.partition("/")[0] for name in content(tmp_path / "out")} == {
        "first", "index.html", "feed.xml", "pack.json",
    }  # fmt: skip
    with pytest.raises(SystemExit) as caught:
        main([*command, "--json"])
    told = json.loads(capsys.readouterr().out)
    assert caught.value.code == 2
    assert [(each["folder"], each["published"]) for each in told["lessons"]] == [
        ("second lamp", False), ("first", True),
    ]  # fmt: skip
    assert told["changed"] == []
    write_lesson(course / "third")
    (course / "course.toml").write_text('title = "Lamps"\n[[lesson]]\nfolder = "first"\n')
    with pytest.raises(SystemExit) as caught:
        main(command)
    assert caught.value.code == 0


def test_with_nothing_to_publish_all_stays(course: Path, tmp_path: Path) -> None:
    """Where no lesson can be published, the earlier course stands whole, and nothing is beside it."""
    publish_course(course, tmp_path / "out" / "c", faults=False, only=("parts",))
    before = content(tmp_path / "out" / "c")
    for name in ("first", "second lamp"):
        break_lesson(course / name)
    with pytest.raises(Unreadable) as caught:
        publish_course(course, tmp_path / "out" / "c", faults=False, only=("parts",))
    assert caught.value.findings[-1].code == "course-empty"
    assert content(tmp_path / "out" / "c") == before
    assert [path.name for path in (tmp_path / "out").iterdir()] == ["c"]


def test_warm_and_with_two_processes_the_same_bytes(course: Path, tmp_path: Path) -> None:
    """With a store or without, by one process or by two: the same course; only what changed is made again."""
    store = Store(tmp_path / "store")
    publish_course(course, tmp_path / "out", faults=False, store=store)
    words = course / "first" / "lesson.md"
    words.write_text(words.read_text().replace("You build", "You now build"))
    warm = publish_course(course, tmp_path / "out", faults=False, store=store)
    booklets = ("first/handout/learner-a4.pdf", "first/handout/teacher-a4.pdf")
    assert warm.pack.changed == (*booklets, "first/index.html")
    publish_course(course, tmp_path / "cold", faults=False)
    assert content(tmp_path / "out") == content(tmp_path / "cold")
    publish_course(course, tmp_path / "one", faults=False, only=("parts", "cards"))
    publish_course(course, tmp_path / "two", faults=False, only=("parts", "cards"), cores=2)
    assert content(tmp_path / "one") == content(tmp_path / "two")


def test_only_some_products_of_a_course(course: Path, tmp_path: Path) -> None:
    """The other files of each lesson stay as they are."""
    publish_course(course, tmp_path / "out", faults=False, only=("parts", "cards"))
    old = tmp_path / "out" / "first" / "cards.html"
    old.write_text("old")
    publish_course(course, tmp_path / "out", faults=False, only=("parts",))
    assert old.read_text() == "old"


WRONG: dict[str, tuple[str, str]] = {
    "no title": ('author = "x"', "missing"),
    "no lesson": ('title = "x"\n[[lesson]]\nfolder = "nothing"', "lesson-missing"),
    "out of the folder": ('title = "x"\n[[lesson]]\nfolder = "../course/first"', "lesson-missing"),
    "absolute": ('title = "x"\n[[lesson]]\nfolder = "/etc"', "lesson-missing"),
    "a link": ('title = "x"\n[[lesson]]\nfolder = "linked"', "lesson-missing"),
    "twice": ('title = "x"\n[[lesson]]\nfolder = "first"\n[[lesson]]\nfolder = "first"', "lesson-twice"),
    "bad date": ('title = "x"\n[[lesson]]\nfolder = "first"\ndate = "soon"', ""),
    "bad link": ('title = "x"\nlink = "javascript:alert(1)"', "link-unsafe"),
    "too many": ('title = "x"\n' + '[[lesson]]\nfolder = "first"\n' * 101, ""),
    "no TOML": ("title = ", ""),
    "unknown key": ('title = "x"\ncolour = "red"', ""),
}


@pytest.mark.parametrize("case", WRONG)
def test_what_is_wrong_with_a_course_is_a_finding(case: str, course: Path) -> None:
    """Each fault has its place in course.toml and a way to mend it; no path leads out of the course."""
    text, code = WRONG[case]
    (course / "linked").symlink_to(course / "first")
    (course / "course.toml").write_text(text)
    try:
        found = load_course(course).findings
    except Unreadable as error:
        found = error.findings
    assert found
    assert found[0].place is not None
    assert found[0].place.file == (course / "course.toml").as_posix()
    assert found[0].hint or "such as 2026-09-01" in found[0].message
    if code and code != "missing":
        assert found[0].code == code


def test_too_many_lessons_are_refused(tmp_path: Path) -> None:
    """At most a hundred lessons; folders with the names of the course's own files are no lessons."""
    for number in range(101):
        (tmp_path / "c" / f"lesson-{number}").mkdir(parents=True)
        (tmp_path / "c" / f"lesson-{number}" / "lesson.toml").touch()
    with pytest.raises(Unreadable, match="101 lessons"):
        load_course(tmp_path / "c")
    (tmp_path / "d" / "index.html").mkdir(parents=True)
    (tmp_path / "d" / "index.html" / "lesson.toml").touch()
    assert not is_course(tmp_path / "d")


def test_a_lesson_is_no_course(course: Path, tmp_path: Path) -> None:
    """A folder with a lesson.toml is a lesson, whatever else it holds; an empty one is neither."""
    assert is_course(course)
    assert not is_course(course / "first")
    assert not is_course(course / "notes")
    assert not is_course(tmp_path / "nowhere")


@pytest.mark.debian("chromium")
@pytest.mark.parametrize("width", [1280, 390])
def test_the_page_in_a_browser(
    width: int, course: Path, tmp_path: Path, browser: Browser, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Pictures are shown from files, nothing is wider than the window, and the whole card is a link."""
    from buildalong.drawing import to_png

    monkeypatch.setattr(
        "buildalong.publish._products.to_png", lambda picture, *size: to_png(picture, 192, 108)
    )
    publish_course(course, tmp_path / "out", faults=False, only=("pictures", "article"))
    page = browser.new_page(viewport={"width": width, "height": 900})
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    page.goto((tmp_path / "out" / "index.html").as_uri())
    for image in page.locator("img").all():
        image.scroll_into_view_if_needed()
    page.wait_for_function("[...document.images].every(i => i.complete && i.naturalWidth === 192)")
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.getAttribute('href')") == "second%20lamp/index.html"
    page.locator("img").first.click(force=True)
    assert page.url.endswith("/second%20lamp/index.html")
    assert said == []
    page.close()
