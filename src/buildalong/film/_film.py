"""All files of a film's material, made in memory; who asks for them writes them."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass
from importlib.util import find_spec

from buildalong.film._captions import captions_vtt, chapters_vtt
from buildalong.film._description import description
from buildalong.film._overlays import overlay_files, overlay_names, thumbnail_file
from buildalong.film._scenes import storyboard
from buildalong.film._script import narration_txt, script_html, shots_csv
from buildalong.film._shots import shots
from buildalong.film._shows import Shows
from buildalong.film._storyboard import Storyboard
from buildalong.film._timing import Timeline, timeline
from buildalong.finding import Finding, Severity, Unreadable
from buildalong.guide import Guide
from buildalong.lesson import Compiled, in_its_language
from buildalong.publish import Crew, variant_of

__all__ = ["PRODUCTS", "Film", "film"]

PRODUCTS = ("script", "captions", "overlays", "thumbnail", "video")
"""What can be asked for."""
NEEDED = ("av", "PIL")
"""What the video needs besides: the extra ``video``."""
Tell = Callable[[float, str], None]


@dataclass(frozen=True)
class Film:
    """What was made: storyboard, times, and files (name -> content)."""

    board: Storyboard
    times: Timeline
    files: dict[str, bytes]


@in_its_language
def film(
    compiled: Compiled,
    only: Collection[str] = PRODUCTS,
    shapes: Collection[str] = ("wide", "tall"),
    tell: Tell = lambda share, text: None,
    cores: int = 1,
    guide: Guide | None = None,
) -> Film:
    """Make the film's material of a compiled lesson: those of ``PRODUCTS`` that are asked for.

    ``shapes``: "wide" (1920 by 1080), "tall" (1080 by 1920).  ``tell`` hears how far it is (0..1) and what is
    being made; ``cores``: how many processes draw.  A ``guide`` brings the dangers of slips to their steps.
    Raises Unreadable where the video is asked for and its libraries are missing.
    """
    if "video" in only and not all(find_spec(name) for name in NEEDED):
        raise Unreadable(_no_video())
    wanted = [shape for shape in ("wide", "tall") if shape in shapes]
    variant = variant_of(compiled.lesson)
    shows = Shows(compiled, variant)
    board = storyboard(compiled, variant, guide)
    times = timeline(board, shows.least(board))
    files: dict[str, bytes] = {}
    if "script" in only:
        tell(0.0, "script")
        taken = shots(compiled.circuit, compiled.steps, times, overlay_names(compiled, times, wanted))
        files["script.html"] = script_html(board, times, taken, compiled.lesson.language).encode()
        files["narration.txt"] = narration_txt(times).encode()
        files["shots.csv"] = shots_csv(taken)
        files["description.txt"] = description(board, times).encode()
    if "captions" in only:
        files["captions.vtt"] = captions_vtt(times).encode()
        files["chapters.vtt"] = chapters_vtt(times).encode()
    if "thumbnail" in only:
        tell(0.01, "thumbnail")
        files["thumbnail.png"] = thumbnail_file(compiled, board, shows.glowing())
    with Crew(cores) as crew:
        if "overlays" in only:
            files |= overlay_files(
                compiled, times, wanted, crew, lambda share, text: tell(0.02 + 0.13 * share, text)
            )
        if "video" in only:
            from buildalong.film._video import videos

            files |= videos(
                shows, board, times, wanted, lambda share, text: tell(0.15 + 0.85 * share, text), crew
            )
    return Film(board, times, files)


def _no_video() -> Finding:
    return Finding(
        Severity.FATAL,
        "video-not-installed",
        "the film needs the libraries of the extra 'video', which are not installed",
        "install them: make video, or python -m pip install av pillow; or make only the rest: --only script, "
        "--only captions, --only overlays, --only thumbnail",
    )
