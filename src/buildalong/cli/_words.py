"""What happens in a run, in short words, for events that the story does not tell."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from buildalong.engine import Event
    from buildalong.lesson import Compiled

__all__ = ["causes", "event_words"]


def event_words(event: Event) -> str:
    """One event in a few words."""
    part, what = event.part, event.what.replace("_", " ")
    if event.kind == "supply":
        return "the supply is switched on"
    if event.kind == "light":
        return f"{part} lights up" if event.after == "lit" else f"{part} goes out"
    if event.kind == "state":
        return f"{part} changes from {event.before} to {event.after}"
    if event.kind == "watch":
        return f"{part}: {what} {'becomes true' if event.rising else 'ends'}"
    if event.kind == "limit":
        return f"{part}: events come too fast to follow one by one"
    if what in ("pressed", "thrown"):
        return f"{part} is {what}" if event.rising else f"{part} is released"
    return f"{part}: {what} changes"


def causes(compiled: Compiled, trial: str) -> list[str]:
    """For each event of a trial what happens, and why: the story's sentence, or short words."""
    run = compiled.runs[trial]
    told = {index: sentence.text for sentence in compiled.stories.get(trial, ()) for index in sentence.events}
    out: list[str] = []
    for index, event in enumerate(run.events):
        words = told.get(index) or event_words(event)
        if index not in told and 0 <= event.because < len(run.events):
            words += f", because {event_words(run.events[event.because])}"
        out.append(words)
    return out
