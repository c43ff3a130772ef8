"""Captions and chapters as WebVTT (W3C, "WebVTT: The Web Video Text Tracks Format")."""

from __future__ import annotations

from collections.abc import Iterable

from buildalong.film._timing import Timeline

__all__ = ["captions_vtt", "chapters_vtt"]


def captions_vtt(times: Timeline) -> str:
    """The captions of a film."""
    return _vtt((cue.start, cue.end, "\n".join(cue.lines)) for cue in times.cues)


def chapters_vtt(times: Timeline) -> str:
    """One chapter for each scene."""
    return _vtt((timed.start, timed.end, timed.scene.title) for timed in times.scenes)


def _vtt(cues: Iterable[tuple[int, int, str]]) -> str:
    blocks = ["WEBVTT\n"]
    for number, (start, end, text) in enumerate(cues, start=1):
        blocks.append(f"{number}\n{_stamp(start)} --> {_stamp(end)}\n{_escaped(text)}\n")
    return "\n".join(blocks)


def _stamp(time: int) -> str:
    seconds, thousandths = divmod(time, 1000)
    minutes, seconds = divmod(seconds, 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours:02d}:{minutes:02d}:{seconds:02d}.{thousandths:03d}"


def _escaped(text: str) -> str:
    """Text that cannot be markup; an arrow of a time line cannot stand in it either."""
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
