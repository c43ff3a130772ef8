"""What is kept of a published lesson, so that changed words alone need neither compiling nor drawing."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from hashlib import sha256

from buildalong.finding import Finding, Severity
from buildalong.lesson import Basis, Folder, Section, weave_again
from buildalong.publish._frame import Frame
from buildalong.publish._in_short import Card
from buildalong.publish.handout._setting import Setting
from buildalong.store import Store, digest_of, read_entry, write_entry
from buildalong.words import language

__all__ = ["ARTICLE", "Again", "Recording", "recalled", "record", "room_of", "with_words"]

ARTICLE = "index.html"
FACTS = "lesson.toml"
MOST, MOST_BYTES, LARGEST = 10_000, 500_000_000, 30_000_000
"""Bounds of the store's room for files: some sixty lessons [byte]."""


@dataclass(frozen=True, slots=True)
class Recording:
    """What other words are woven from; the lesson in short; the entry of its frame or ""; file -> entry.

    ``settings`` are those of its booklets.
    """

    basis: Basis
    card: Card
    frame: str
    settings: Mapping[str, str]
    files: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Again:
    """A lesson with the words of today: all its findings, and its files where none is an error."""

    findings: tuple[Finding, ...]
    card: Card
    files: dict[str, bytes] | None


def room_of(store: Store | None) -> Store | None:
    """The room of the store for files."""
    return store.room("made", MOST, MOST_BYTES, LARGEST) if store is not None else None


def _name(folder: Folder, options: Sequence[object]) -> str:
    """The recording's entry: by the facts, the options and what findings call the folder."""
    facts = sha256(folder.text(FACTS).encode()).hexdigest()
    return digest_of("recording", [folder.path.as_posix(), folder.name, facts, language(), list(options)])


def record(
    room: Store, folder: Folder, options: Sequence[object], basis: Basis, card: Card, frame: Frame | None,
    settings: Mapping[str, Setting], files: Mapping[str, bytes], entries: Mapping[str, str],
) -> None:  # fmt: skip
    """Keep what was made; ``entries`` names those of files that have one of their own."""
    named = {file: entries.get(file) or f"file-{sha256(body).hexdigest()}" for file, body in files.items()}
    new = {entry: files[file] for file, entry in named.items() if room.read(entry) is None}
    room.write_all(new)
    try:
        name = ""
        if frame is not None:
            name = f"frame-{sha256(frame.html.encode()).hexdigest()}"
            write_entry(room, name, frame)
        kept = {
            file: digest_of("setting", [setting.data, setting.language]) for file, setting in settings.items()
        }
        for file, setting in settings.items():
            write_entry(room, kept[file], setting)
        write_entry(room, _name(folder, options), Recording(basis, card, name, kept, named))
    except ValueError:
        return  # a figure that is not finite: it is measured anew each time


def recalled(room: Store, folder: Folder, options: Sequence[object]) -> Again | None:
    """The lesson with its present words; None where more than the words is new, or not all is kept."""
    if not folder.has(FACTS):
        return None
    known = read_entry(room, _name(folder, options), Recording)
    woven = weave_again(folder, known.basis) if known is not None else None
    if known is None or woven is None:
        return None
    sections, findings = woven
    if any(finding.severity >= Severity.ERROR for finding in findings):
        return Again(findings, known.card, None)
    files: dict[str, bytes] = {}
    for file, entry in known.files.items():
        body = room.read(entry)
        if body is None:
            return None
        files[file] = body
    frame = read_entry(room, known.frame, Frame) if known.frame else None
    kept = {file: read_entry(room, entry, Setting) for file, entry in known.settings.items()}
    settings = {file: setting for file, setting in kept.items() if setting is not None}
    if (known.frame and frame is None) or len(settings) < len(kept):
        return None
    worded, found = with_words(frame, settings, sections)
    return Again((*findings, *found), known.card, {**files, **worded})


def with_words(
    frame: Frame | None, settings: Mapping[str, Setting], prose: Sequence[Section]
) -> tuple[dict[str, bytes], tuple[Finding, ...]]:
    """The files that hold words of the author's, and what of these cannot be printed.

    They are set at the same time, for the typesetter leaves Python alone.
    """
    files: dict[str, bytes] = {}
    found: dict[Finding, None] = {}
    with ThreadPoolExecutor(max(1, len(settings))) as threads:
        pdfs = {file: threads.submit(setting.filled, prose) for file, setting in settings.items()}
        if frame is not None:
            files[ARTICLE] = frame.filled(prose).encode()
        for file, pdf in pdfs.items():
            files[file], findings = pdf.result()
            found |= dict.fromkeys(findings)
    return files, tuple(found)
