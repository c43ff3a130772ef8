"""The script as a page, the words to be read out as plain text, the shots as a table."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from markupsafe import Markup

from buildalong.film import _words
from buildalong.film._shots import HANDLES, Shot
from buildalong.film._storyboard import Storyboard
from buildalong.film._timing import WORDS_PER_MINUTE, Timed, Timeline, clock
from buildalong.publish import fonts, spreadsheet, templates, text_of

__all__ = ["narration_txt", "script_html", "shots_csv"]

HERE = "buildalong.film"
_HEAD = ("shot", "scene", "title", "from", "seconds", "shows", "camera", "tip", "overlays")
"""The head of the table of shots, which programs read."""


def script_html(board: Storyboard, times: Timeline, taken: Sequence[Shot], language: str = "en") -> str:
    """The script as one HTML document that needs no other file: what is seen, said and filmed, with times."""
    return (
        templates(HERE)
        .get_template("script.html")
        .render(
            title=board.title,
            language=language,
            words=_words,
            fonts=Markup(fonts()),  # noqa: S704 - our own files
            style=Markup(text_of("script.css", HERE)),  # noqa: S704 - our own file
            length=clock(times.end),
            pace=WORDS_PER_MINUTE,
            rows=[_row(timed) for timed in times.scenes],
            handles=HANDLES,
            cautions=board.cautions,
            shots=[
                {
                    "number": shot.number,
                    "clock": clock(shot.start),
                    "seconds": f"{shot.seconds:.0f}",
                    "title": shot.title,
                    "shows": shot.shows,
                    "camera": shot.camera,
                    "tip": shot.tip,
                    "overlays": shot.overlays,
                }
                for shot in taken
            ],
        )
    )


def _row(timed: Timed) -> dict[str, Any]:
    return {
        "id": timed.scene.id,
        "title": timed.scene.title,
        "start": clock(timed.start),
        "seconds": f"{timed.seconds:.0f}",
        "callout": timed.scene.callout,
        "points": timed.scene.points,
        "says": list(_sentences(timed)),
    }


def _sentences(timed: Timed) -> Iterator[tuple[str, str, str]]:
    """When each caption begins, its text, and how it is read out."""
    for cue in timed.cues:
        yield clock(cue.start), " ".join(cue.lines), cue.says


def narration_txt(times: Timeline) -> str:
    """The words to be read out, numbers and units in words: one caption a line, its time before it."""
    out: list[str] = []
    for timed in times.scenes:
        out += [f"[{clock(timed.start)}] {timed.scene.title}", ""]
        out += [f"{clock(cue.start):>7}  {cue.says}" for cue in timed.cues]
        out.append("")
    return "\n".join(out)


def shots_csv(taken: Sequence[Shot]) -> bytes:
    """The shots for a spreadsheet."""
    rows = (
        (s.number, s.scene, s.title, clock(s.start), round(s.seconds, 1), s.shows, s.camera, s.tip,
         " ".join(s.overlays))
        for s in taken
    )  # fmt: skip
    return spreadsheet(_HEAD, rows)
