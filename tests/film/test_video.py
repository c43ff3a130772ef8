"""The video files, probed and decoded: size, times, colours, keyframes, bytes; nothing flashes too often."""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Mapping
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from typing import Any

import av
import numpy as np
import pytest

from buildalong.drawing.screen import EXHIBIT, SHAPES, WIDE
from buildalong.film import PRODUCTS, Storyboard, Timeline, film, storyboard, timeline
from buildalong.film._frames import AGAIN, Frames
from buildalong.film._pixels import pixels, planes
from buildalong.film._shows import Shows
from buildalong.film._video import videos
from buildalong.finding import Unreadable
from buildalong.lesson import Compiled
from buildalong.publish import Variant
from once import once


def short(compiled: Compiled) -> tuple[Shows, Storyboard, Timeline]:
    """Title and two steps, one sentence each."""
    board = storyboard(compiled)
    scenes = [s for s in board.scenes if s.id in ("title", "step-01", "step-02")]
    board = replace(board, scenes=tuple(replace(s, says=s.says[:1]) for s in scenes))
    return Shows(compiled, Variant()), board, timeline(board)


@pytest.fixture(scope="module")
def made(mailbox: Compiled) -> Mapping[str, bytes]:
    """Both files of the wide shape."""
    return once("film-wide", lambda: dict(videos(*short(mailbox), ["wide"])))


def opened(content: bytes) -> Any:
    import io

    return av.open(io.BytesIO(content))


@pytest.mark.parametrize(("ending", "codec"), [("mp4", "h264"), ("webm", "vp9")])
def test_probe(mailbox: Compiled, made: Mapping[str, bytes], ending: str, codec: str) -> None:
    """Codec, 1920 by 1080, 4:2:0, BT.709 in limited range, as long as the captions' times."""
    times = short(mailbox)[2]
    with opened(made[f"film-wide.{ending}"]) as container:
        (stream,) = container.streams
        context = stream.codec_context
        assert (context.name, context.width, context.height) == (codec, 1920, 1080)
        assert context.pix_fmt == "yuv420p"
        assert (context.color_primaries, context.color_trc, context.colorspace, context.color_range) == (
            1,
            1,
            1,
            1,
        )
        assert container.duration / 1000 == pytest.approx(times.end, abs=41)


@pytest.mark.parametrize("ending", ["mp4", "webm"])
def test_a_player_may_start_at_each_chapter(
    mailbox: Compiled, made: Mapping[str, bytes], ending: str
) -> None:
    """There is a keyframe at the beginning of every scene, and never more than 2 s without a frame."""
    times = short(mailbox)[2]
    with opened(made[f"film-wide.{ending}"]) as container:
        packets = [p for p in container.demux(video=0) if p.pts is not None]
        keys = {round(float(p.pts * p.time_base) * 1000) for p in packets if p.is_keyframe}
        stamps = sorted(float(p.pts * p.time_base) for p in packets)
    assert {timed.start for timed in times.scenes} <= keys
    assert max(b - a for a, b in pairwise(stamps)) <= AGAIN / 25 + 1e-3
    assert stamps[0] == 0


@pytest.mark.parametrize("ending", ["mp4", "webm"])
def test_what_is_seen_is_what_was_drawn(mailbox: Compiled, made: Mapping[str, bytes], ending: str) -> None:
    """The last frame of the first step, decoded by an independent decoder, has the picture's colours."""
    shows, board, times = short(mailbox)
    timed = times.scenes[1]
    *_, show = shows.of(timed)
    frames = Frames(WIDE, board, times)
    drawn = pixels(frames.panel(timed, show), WIDE.width, WIDE.height).astype(int)
    x, y = int(WIDE.exhibit.x), int(WIDE.exhibit.y)
    drawn[y : y + EXHIBIT[1], x : x + EXHIBIT[0]] = pixels(show.draw(), *EXHIBIT)
    seen = None
    with opened(made[f"film-wide.{ending}"]) as container:
        for frame in container.decode(video=0):
            if frame.time * 1000 >= timed.end - 1:
                break
            seen = frame
    assert seen is not None
    got = seen.reformat(format="rgb24", src_colorspace="ITU709").to_ndarray().astype(int)
    assert got.shape == drawn.shape == (1080, 1920, 3)
    error = got - drawn
    assert np.abs(error).mean() < 2.5
    # on flat surfaces, which are paper, board and bodies, the colour itself is right
    blocks = [(y, x) for y in range(0, 1080, 20) for x in range(0, 1920, 20)]
    flat = [(y, x) for y, x in blocks if not np.ptp(drawn[y : y + 20, x : x + 20], axis=(0, 1)).any()]
    assert len({tuple(drawn[y, x]) for y, x in flat}) >= 3
    for y, x in flat:
        assert np.abs(error[y : y + 20, x : x + 20].mean(axis=(0, 1))).max() <= 4


def test_same_bytes_again(mailbox: Compiled, made: Mapping[str, bytes]) -> None:
    """A second encoding gives the same bytes."""
    again = videos(*short(mailbox), ["wide"])
    assert {name: hash(content) for name, content in again.items()} == {n: hash(c) for n, c in made.items()}


def test_white_black_and_red_in_bt709() -> None:
    """ITU-R BT.709-6, table 3: white is Y 235, black Y 16, pure red Y 63 Cb 102 Cr 240 (8 bits)."""
    for colour, (y, cb, cr) in {
        (255, 255, 255): (235, 128, 128), (0, 0, 0): (16, 128, 128), (255, 0, 0): (63, 102, 240)
    }.items():  # fmt: skip
        flat = planes(np.full((16, 16, 3), colour, np.uint8))
        chroma = flat[16:].reshape(-1)
        assert abs(int(flat[8, 8]) - y) <= 1
        assert abs(int(chroma[20]) - cb) <= 1
        assert abs(int(chroma[-20]) - cr) <= 1


@pytest.mark.parametrize("name", ["lighthouse", "runway-lights", "level-crossing"])
def test_nothing_flashes_more_than_three_times_a_second(
    compiled_demo: Callable[[str], Compiled], name: str
) -> None:
    """WCAG 2.2, 2.3.1: in no second does any light of the working circuit come on more than three times."""
    compiled = compiled_demo(name)
    shows = Shows(compiled, Variant())
    board = storyboard(compiled)
    for timed in timeline(board, shows.least(board)).scenes:
        if timed.scene.kind != "work":
            continue
        states = [
            (show.at, set(show.key.removeprefix("board ").strip("[]").split(", ")))
            for show in shows.of(timed)
        ]
        assert len(states) > 1
        for light in set().union(*(on for _, on in states)) - {""}:
            came = [
                at for (_, before), (at, on) in pairwise(states)
                if light in on and light not in before
            ]  # fmt: skip
            assert all(sum(at <= other < at + 1000 for other in came) <= 3 for at in came), light


def test_the_film_shows_the_circuit_as_simulated(compiled_demo: Callable[[str], Compiled]) -> None:
    """Seen time by the slow motion's factor is the run's time: the share of light is that of the run."""
    compiled = compiled_demo("lighthouse")
    shows, board = Shows(compiled, Variant()), storyboard(compiled)
    timed = next(t for t in timeline(board, shows.least(board)).scenes if t.scene.kind == "work")
    motion = shows.work(timed.scene.trial)
    start, end = motion.span
    truth = sum(b - a for a, b in motion.on["DS1"]) / (end - start)
    loop = timed.start + motion.seconds * 1000
    seen = [(show.at, "DS1" in show.key) for show in shows.of(timed) if show.at < loop] + [(loop, False)]
    lit = sum(b - a for (a, on), (b, _) in pairwise(seen) if on)
    assert lit / (loop - timed.start) == pytest.approx(truth, abs=0.02)


def test_the_story_begins_with_what_its_first_moment_changes(
    compiled_demo: Callable[[str], Compiled],
) -> None:
    """At 0 s "DS1 lights up" is said for long; the picture beside it is of just after, not before."""
    compiled = compiled_demo("lighthouse")
    shows, board = Shows(compiled, Variant()), storyboard(compiled)
    timed = next(t for t in timeline(board, shows.least(board)).scenes if t.scene.kind == "how")
    first = next(iter(shows.of(timed)))
    shown = float(first.key.rsplit(" ", 1)[1])
    assert any(a <= shown < b for a, b in shows.work(timed.scene.trial).on["DS1"])


def test_stopping_leaves_nothing(mailbox: Compiled, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Ctrl-C in the middle: the encoders end, and their folder is gone."""
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))

    def stop(share: float, text: str) -> None:
        if share > 0.3:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        videos(*short(mailbox), ["tall"], stop)
    assert list(tmp_path.iterdir()) == []


def test_without_the_extra_there_is_a_finding(mailbox: Compiled, monkeypatch: pytest.MonkeyPatch) -> None:
    """It says what to install and what can be made without; nothing else needs the libraries."""
    monkeypatch.setattr("buildalong.film._film.find_spec", lambda name: None)
    with pytest.raises(Unreadable) as caught:
        film(mailbox, PRODUCTS)
    (finding,) = caught.value.findings
    assert finding.code == "video-not-installed"
    assert "pip install av pillow" in finding.hint
    assert film(mailbox, ("captions",)).files


def test_both_shapes_have_the_sizes_that_are_named() -> None:
    """1920 by 1080 and 1080 by 1920; the exhibit lies inside, with room for captions below."""
    assert {(s.width, s.height) for s in SHAPES.values()} == {(1920, 1080), (1080, 1920)}
    for shape in SHAPES.values():
        assert shape.exhibit.x >= 0
        assert shape.exhibit.x + EXHIBIT[0] <= shape.width
        assert shape.exhibit.y + EXHIBIT[1] <= shape.height - 120
