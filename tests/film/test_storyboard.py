"""Storyboard, script, shots and description of a demo."""

from __future__ import annotations

import csv
import io
import re
from dataclasses import replace
from html.parser import HTMLParser
from types import SimpleNamespace
from typing import cast

from buildalong.film import Film, film, shots, storyboard, timeline
from buildalong.film._overlays import overlay_names
from buildalong.guide import Caution, Guide
from buildalong.lesson import Compiled, Source
from buildalong.publish._sections import card_of
from buildalong.words import speaking


def test_every_step_is_a_scene_in_order(mailbox: Compiled, written: Film) -> None:
    """Title, parts, cautions; each step of the build once; then at work, slips, end."""
    scenes = written.board.scenes
    assert [s.kind for s in scenes[:3]] == ["title", "parts", "cautions"]
    assert [s.step for s in scenes if s.step] == [step.number for step in mailbox.steps]
    assert [s.kind for s in scenes if not s.step][3:] == ["work", "how", "wrong", "end"]
    assert len({s.id for s in scenes}) == len(scenes)
    tests = [s for s in scenes if s.kind == "test"]
    assert len(tests) == sum(step.kind == "test" for step in mailbox.steps) == 1


def test_what_can_hurt_is_said(mailbox: Compiled, written: Film) -> None:
    """The mains, heat, and each step's warning are spoken; every caution stands in the description."""
    said = " ".join(sentence for scene in written.board.scenes for sentence in scene.says)
    assert "Never connect a breadboard to the mains." in said
    assert "If a part gets hot" in said
    for step in mailbox.steps:
        assert step.callout in said
    text = written.files["description.txt"].decode()
    for caution in written.board.cautions:
        assert caution in text
    assert "Cut leads can fly" in text


def test_parts_are_counted_as_on_the_card_and_at_the_check(mailbox: Compiled, written: Film) -> None:
    """Film, card of the lesson and check before the supply give one number: all parts but the supply."""
    title = written.board.scenes[0]
    check = next(step for step in mailbox.steps if step.kind == "check")
    assert f"{dict(card_of(mailbox).facts)['Parts']} parts, {len(mailbox.steps)} steps" in title.points
    assert "8 parts" in title.points[0]
    assert "8 parts are on the board" in str(check)


def test_french_puts_a_space_before_a_colon(mailbox: Compiled) -> None:
    """Also in what is joined: Imprimerie nationale, Lexique des règles typographiques (2002)."""
    with speaking("fr"):
        told = storyboard(mailbox).scenes
    slips = [point for scene in told if scene.kind == "wrong" for point in scene.points]
    assert slips
    assert not [text for text in slips if re.search(r"[^\u00a0\d]: ", text)]


def test_what_is_told_of_a_run_is_what_happens(mailbox: Compiled) -> None:
    """A latch is explained by the presses that turn it: S1 at 2 s, S2 at 6 s."""
    (how,) = [scene for scene in storyboard(mailbox).scenes if scene.kind == "how"]
    assert [round(moment.time) for moment in how.moments] == [2, 6]


def test_measured_figures_are_spoken(written: Film) -> None:
    """The promise is told with what was measured, not with what was hoped for."""
    work = next(scene for scene in written.board.scenes if scene.kind == "work")
    assert work.points == ("The light stays on from the post until it is fetched: 4 s.",)
    assert work.points[0] in work.says


def test_description_has_chapters_parts_and_links(mailbox: Compiled) -> None:
    """Chapters from 0:00 upwards, all parts, and the author's links as they are."""
    source = Source("A book on latches", "A. Writer", "https://example.org/latch")
    lesson = replace(mailbox.lesson, sources=(source,), authors=("Ada",), licence="CC BY 4.0")
    made = film(replace(mailbox, lesson=lesson), ("script",))
    text = made.files["description.txt"].decode()
    marks = re.findall(r"^(\d+:\d\d) (.+)$", text, re.MULTILINE)
    assert marks[0] == ("0:00", mailbox.lesson.title)
    seconds = [int(m) * 60 + int(s) for m, s in (mark.split(":") for mark, _ in marks)]
    assert seconds == sorted(set(seconds))
    assert [title for _, title in marks] == [scene.title for scene in made.board.scenes]
    for part in mailbox.circuit.parts:
        assert re.search(rf"\b{part.id}\b", text)
    assert "A book on latches, A. Writer · https://example.org/latch" in text
    assert "By Ada" in text
    assert "CC BY 4.0" in text


def test_one_shot_for_each_scene(mailbox: Compiled, written: Film) -> None:
    """Each shot says what, from where and how long; together they last as long as the film."""
    taken = shots(mailbox.circuit, mailbox.steps, written.times, {})
    assert [shot.scene for shot in taken] == [scene.id for scene in written.board.scenes]
    assert round(sum(shot.seconds for shot in taken) * 1000) == written.times.end
    assert all(shot.shows and shot.camera for shot in taken)
    rows = list(csv.reader(io.StringIO(written.files["shots.csv"].decode("utf-8-sig"))))
    assert len(rows) == len(taken) + 1
    assert {len(row) for row in rows} == {9}


def test_the_left_hand_hears_its_own_words(mailbox: Compiled) -> None:
    """For a left hand the narrator's left and right are those of the turned board, as in the article."""
    step = replace(mailbox.steps[0], text="It goes into the left plus rail.")
    said = []
    for hand in ("right", "left"):
        lesson = replace(mailbox.lesson, hand=hand)  # type: ignore[arg-type]
        scenes = storyboard(replace(mailbox, lesson=lesson, steps=(step,))).scenes
        said.append(next(scene.says[1] for scene in scenes if scene.step))
    assert said == ["It goes into the left plus rail.", "It goes into the right plus rail."]


def test_narration_has_no_digits_but_in_its_times(written: Film) -> None:
    """What is read out is written out; only the clock and the chapter titles keep digits."""
    for line in written.files["narration.txt"].decode().split("\n"):
        if line and not line.startswith("["):
            assert not re.search(r"\d", line.split("  ", 1)[1].lstrip("0123456789: ")), line


class _Page(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.links: list[str] = []
        self.tags: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.links += [value or "" for name, value in attrs if name in ("src", "href")]


def test_the_script_page_needs_nothing_else(written: Film) -> None:
    """No script, no address, one heading of the first rank; hostile titles stay text."""
    page = _Page()
    page.feed(written.files["script.html"].decode())
    assert page.links == []
    assert "script" not in page.tags
    assert page.tags.count("h1") == 1


def test_hostile_words_stay_words(mailbox: Compiled) -> None:
    """Markup and control characters in a title end up as text in every product."""
    title = "<script>x</script> &\n\n00:00 --> 00:09\n=1+1"
    lesson = replace(mailbox.lesson, title=title, summary="a" * 300)
    made = film(replace(mailbox, lesson=lesson), ("script", "captions"))
    assert "<script>" not in made.files["script.html"].decode()
    chapters = made.files["chapters.vtt"].decode()
    assert "<script>" not in chapters
    assert chapters.count("-->") == len(made.board.scenes)
    assert made.files["description.txt"].decode().split("\n")[0] == " ".join(title.split())


def test_same_lesson_same_bytes(mailbox: Compiled, written: Film) -> None:
    """Everything written is the same the second time."""
    assert film(mailbox, ("script", "captions")).files == written.files


def test_scenes_can_be_made_longer(mailbox: Compiled) -> None:
    """A picture that needs more time than its words gets it; what follows moves on."""
    board = storyboard(mailbox)
    short, long = timeline(board), timeline(board, {"work-1": 60_000})
    work = next(timed for timed in long.scenes if timed.scene.id == "work-1")
    assert work.end - work.start == 60_000
    assert long.end > short.end


def test_the_danger_of_a_slip_is_told_at_its_step(mailbox: Compiled) -> None:
    """Said, shown, and laid over the camera's picture, as article and handout tell it; nowhere else."""
    caution = Caution(5, "heat", "If R1 stands in the wrong row, a part gets hot.", ())
    board = storyboard(mailbox, guide=cast(Guide, SimpleNamespace(cautions=(caution,))))
    told = [scene for scene in board.scenes if caution.text in " ".join(scene.says)]
    assert [scene.step for scene in told] == [5]
    assert f"Danger: {caution.text}" in told[0].callout
    assert "step-05-warning-wide.png" in overlay_names(mailbox, timeline(board), ("wide",))["step-05"]
