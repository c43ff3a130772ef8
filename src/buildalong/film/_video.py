"""The film as video files: one pass through the scenes, every file written beside the others.

Each encoder runs in one thread of its own and sees the same frames in the same order, so the same
lesson gives the same bytes on the same machine.
"""

from __future__ import annotations

import queue
import shutil
import tempfile
import threading
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path
from typing import Any

from buildalong.drawing.screen import SHAPES, Shape
from buildalong.film._frames import Frame, Frames, Seen, exhibits_of
from buildalong.film._pixels import Bytes
from buildalong.film._shows import Shows
from buildalong.film._storyboard import Storyboard
from buildalong.film._timing import FRAME, Timed, Timeline
from buildalong.publish import Crew

__all__ = ["FORMATS", "Format", "videos"]

Tell = Callable[[float, str], None]
Begun = tuple[Timed, list[Seen], list[list[Callable[[], Bytes]]]]
"""A scene, its exhibits, and for each shape what stands beside them."""
RATE = 1000 // FRAME
WAITING = 12
"""Frames that may wait for an encoder."""


@dataclass(frozen=True, slots=True)
class Format:
    """A kind of file: its ending, container, codec, and the codec's options."""

    ending: str
    container: str
    codec: str
    options: Mapping[str, str] = field(default_factory=dict)
    file: Mapping[str, str] = field(default_factory=dict)


FORMATS = (
    Format(
        "mp4", "mp4", "libx264",
        {"preset": "superfast", "crf": "20", "threads": "1", "tune": "animation", "profile": "high",
         "g": "250", "flags": "+bitexact"},
        {"movflags": "+faststart"},
    ),
    Format(
        "webm", "webm", "libvpx-vp9",
        {"deadline": "realtime", "cpu-used": "8", "crf": "30", "b": "0", "threads": "1", "lag-in-frames": "0",
         "g": "250", "flags": "+bitexact"},
    ),
)  # fmt: skip
"""H.264 for editors and telephones, VP9 for the web; one thread each, nothing that depends on the clock."""


def videos(
    shows: Shows,
    board: Storyboard,
    times: Timeline,
    shapes: Sequence[str],
    tell: Tell = lambda share, text: None,
    crew: Crew | None = None,
) -> dict[str, bytes]:
    """Make ``film-wide.mp4`` and the like for the shapes asked for ("wide", "tall"); ``crew`` helps to draw.

    Raises ImportError without the ``video`` extra, RuntimeError where an encoder fails.
    """
    crew = crew or Crew(1)

    def begin(timed: Timed) -> Begun:
        shown = list(shows.of(timed))
        words = [maker.words(timed, shown, crew) for _, maker in makers]
        return timed, exhibits_of(timed, shown, crew), words

    makers = [(SHAPES[name], Frames(SHAPES[name], board, times)) for name in shapes]
    folder = Path(tempfile.mkdtemp(prefix="buildalong-"))
    writers = {
        (shape.name, kind.ending): _Writer(shape, kind, folder) for shape, _ in makers for kind in FORMATS
    }
    try:
        for number, (timed, seen, words) in enumerate(_begun(times.scenes, begin)):
            tell(number / len(times.scenes), f"film: {timed.scene.title}")
            for (shape, maker), beside in zip(makers, words, strict=True):
                for frame in maker.scene(timed, seen, beside):
                    for kind in FORMATS:
                        writers[shape.name, kind.ending].put(frame)
        end = times.end // FRAME
        return {f"film-{shape}.{ending}": w.finish(end) for (shape, ending), w in writers.items()}
    finally:
        for writer in writers.values():
            writer.stop()
        shutil.rmtree(folder, ignore_errors=True)


def _begun(scenes: Iterable[Timed], begin: Callable[[Timed], Begun]) -> Iterator[Begun]:
    """Each scene when the next one has been begun, so that the other processes never wait."""
    last: Begun | None = None
    for timed in scenes:
        now = begin(timed)
        if last is not None:
            yield last
        last = now
    if last is not None:
        yield last


class _Writer:
    """One file, encoded in a thread of its own while the next frames are drawn."""

    def __init__(self, shape: Shape, kind: Format, folder: Path) -> None:
        self.shape, self.kind = shape, kind
        self.path = folder / f"{shape.name}.{kind.ending}"
        self.waiting: queue.Queue[Frame | None] = queue.Queue(WAITING)
        self.stopped = threading.Event()
        self.failed: BaseException | None = None
        self.end = 0
        self.thread = threading.Thread(target=self._work, daemon=True)
        self.thread.start()

    def put(self, frame: Frame | None) -> None:
        """Hand a frame over; waits while too many are waiting."""
        while not self.stopped.is_set() and self.failed is None:
            try:
                self.waiting.put(frame, timeout=0.2)
                return
            except queue.Full:
                continue
        if self.failed is not None:
            raise RuntimeError(f"the {self.kind.ending} file could not be encoded: {self.failed}")

    def finish(self, end: int) -> bytes:
        """Everything has been handed over; the film ends at ``end`` [frames].  Gives the file."""
        self.end = end
        self.put(None)
        self.thread.join()
        if self.failed is not None:
            raise RuntimeError(f"the {self.kind.ending} file could not be encoded: {self.failed}")
        return self.path.read_bytes()

    def stop(self) -> None:
        """Give up, if it is not finished."""
        self.stopped.set()
        self.thread.join()

    def _frames(self) -> Iterator[Frame]:
        last: Frame | None = None
        while not self.stopped.is_set():
            try:
                frame = self.waiting.get(timeout=0.2)
            except queue.Empty:
                continue
            if frame is None:
                # The last picture is said once more at the end, so that it stands for its whole time.
                if last is not None and last.at < self.end - 1:
                    yield Frame(self.end - 1, last.planes)
                return
            last = frame
            yield frame

    def _work(self) -> None:
        try:
            self._encode()
        except BaseException as error:
            self.failed = error

    def _encode(self) -> None:
        import av
        from av.video.frame import PictureType

        kind, base = self.kind, Fraction(1, RATE)
        options = {"fflags": "+bitexact", **kind.file}
        with av.open(str(self.path), "w", format=kind.container, options=options) as container:
            stream: Any = container.add_stream(kind.codec, rate=RATE, options=dict(kind.options))
            stream.width, stream.height, stream.pix_fmt = self.shape.width, self.shape.height, "yuv420p"
            stream.time_base = base
            context = stream.codec_context
            context.time_base, context.thread_count = base, 1
            context.color_range, context.colorspace = 1, 1
            context.color_primaries, context.color_trc = 1, 1
            for frame in self._frames():
                shown = av.VideoFrame.from_ndarray(frame.planes, format="yuv420p")
                shown.pts, shown.time_base = frame.at, base
                shown.pict_type = PictureType.I if frame.key else PictureType.NONE
                for packet in stream.encode(shown):
                    container.mux(packet)
            for packet in stream.encode():
                container.mux(packet)
