"""Captions and chapters, read by parsers that are not ours, and held against common practice."""

from __future__ import annotations

import io

import pytest
import webvtt
from hypothesis import given
from hypothesis import strategies as st

from buildalong.film import (
    FRAME,
    MOST_READING,
    WORDS_PER_MINUTE,
    Film,
    Scene,
    Storyboard,
    captions_vtt,
    chapters_vtt,
    clock,
    pieces,
    timeline,
)
from buildalong.film._text import sentences


def parsed(content: bytes) -> list[webvtt.Caption]:
    return list(webvtt.from_buffer(io.StringIO(content.decode())).captions)


def board(*says: str, kind: str = "step") -> Storyboard:
    return Storyboard("t", "", (Scene("step-01", kind, "Step 1", says),), (), ())  # type: ignore[arg-type]


def test_captions_are_read_by_an_independent_parser(written: Film) -> None:
    """Each caption comes back with its text and its times, in order, none over another."""
    found = parsed(written.files["captions.vtt"])
    cues = written.times.cues
    assert [cue.text.split("\n") for cue in found] == [list(cue.lines) for cue in cues]
    for cue, ours in zip(found, cues, strict=True):
        assert round(cue.start_in_seconds * 1000) // 1000 == ours.start // 1000
    times = [time for cue in cues for time in (cue.start, cue.end)]
    assert times == sorted(times)


def test_chapters_cover_the_film(written: Film) -> None:
    """Chapters follow one another without a gap from 0 to the end and bear the scenes' titles."""
    found = parsed(written.files["chapters.vtt"])
    assert found[0].start == "00:00:00.000"
    assert [a.end for a in found[:-1]] == [b.start for b in found[1:]]
    assert [cue.text for cue in found] == [timed.scene.title for timed in written.times.scenes]


def test_captions_can_be_read(written: Film) -> None:
    """At most 2 lines of 42 characters, 1 s to 7 s, at most 15 characters a second (common practice)."""
    for cue in written.times.cues:
        assert 1 <= len(cue.lines) <= 2
        assert max(map(len, cue.lines)) <= 42
        assert 1000 <= cue.end - cue.start <= 7000
        letters = sum(map(len, cue.lines)) + len(cue.lines) - 1
        assert letters * 1000 / (cue.end - cue.start) <= MOST_READING + 1e-9
        assert cue.start % FRAME == cue.end % FRAME == 0


def test_nobody_must_speak_faster(written: Film) -> None:
    """No caption asks for more words a minute than the pace that is stated."""
    for cue in written.times.cues:
        words = len(cue.says.replace("-", " ").split())
        assert words * 60_000 / (cue.end - cue.start) <= WORDS_PER_MINUTE + 1e-9, cue


def test_markup_in_an_authors_words_is_text() -> None:
    """Tags and arrows come back as they were written (WebVTT: & < > are escaped)."""
    times = timeline(board("<b>bold</b> & --> 00:00"))
    found = parsed(captions_vtt(times).encode())
    assert len(found) == len(times.cues) == 1, times.cues
    assert "&lt;b&gt;bold&lt;/b&gt; &amp; --&gt; 00:00" in captions_vtt(times)
    assert chapters_vtt(times).count("-->") == 1


@given(st.text(max_size=600))
def test_no_word_is_lost_in_breaking(text: str) -> None:
    """Any text is broken into pieces of two lines of 42 that hold all of its characters in order."""
    broken = pieces(text)
    assert all(len(lines) <= 2 and max(map(len, lines)) <= 42 for lines in broken)
    assert "".join("".join(lines) for lines in broken).replace(" ", "") == "".join(text.split())


def test_a_unit_stays_with_its_number() -> None:
    """No caption and no line ends between 56 and kΩ."""
    for filler in range(30):
        text = "x" * filler + " and then there is the resistor R1 with its 56 kΩ and 10 µF beside it all."
        for lines in pieces(text):
            assert not any(line.endswith((" 56", " 10")) for line in lines)


@pytest.mark.parametrize(
    ("time", "shown"), [(0, "0:00"), (7999, "0:07"), (760_000, "12:40"), (3_723_000, "1:02:03")]
)
def test_clock(time: int, shown: str) -> None:
    """Minutes and seconds, hours where there are any."""
    assert clock(time) == shown


def test_no_line_of_a_caption_begins_with_a_colon() -> None:
    """French keeps a colon with what is before it (Imprimerie nationale, Lexique; from memory)."""
    (said,) = sentences(
        "Anode (la patte la plus longue)\u00a0: dans le trou\n a14\u00a0; cathode\u00a0: dans a15."
    )
    lines = [line for piece in pieces(said) for line in piece]
    assert len(lines) > 1
    assert not [line for line in lines if line[0] in ":;"]
