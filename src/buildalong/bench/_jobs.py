"""What takes a while: each in a process of its own, which tells how far it is and can be stopped."""

from __future__ import annotations

import asyncio
import io
import multiprocessing
import shutil
import tempfile
import zipfile
from collections.abc import Callable, Mapping, Sequence
from functools import partial
from itertools import count
from multiprocessing.connection import Connection
from pathlib import Path
from typing import TYPE_CHECKING, Any

from buildalong.finding import Unreadable

if TYPE_CHECKING:
    from buildalong.lesson import Compiled, Lesson

__all__ = ["Job"]

Tell = Callable[[float, str], None]
Answer = dict[str, Any]
SAMPLES = 500
MOST_ROWS = 40
MOST_PACK = 100_000_000
"""The largest pack that is handed out [byte]."""


class Job:
    """Something that was asked; ``heard`` is called with each answer, in the event loop."""

    def __init__(
        self, what: str, folder: Path, texts: Mapping[str, str], heard: Callable[[Answer], None],
        parts: Sequence[str] = (),
    ) -> None:  # fmt: skip
        """``parts``: those that it is asked about, where it can be asked about some."""
        context = multiprocessing.get_context("spawn")
        self._pipe, theirs = context.Pipe(duplex=False)
        self._heard = heard
        self._process = context.Process(
            target=_work, args=(theirs, what, str(folder), dict(texts), tuple(parts)), daemon=True
        )
        self._process.start()
        theirs.close()
        self._loop = asyncio.get_running_loop()
        self._loop.add_reader(self._pipe.fileno(), self._read)
        self._open = True

    def _read(self) -> None:
        try:
            while self._open and self._pipe.poll():
                self._heard(self._pipe.recv())
        except (EOFError, OSError):
            self.stop()

    def stop(self) -> None:
        """End it; nothing more is heard."""
        if self._open:
            self._open = False
            self._loop.remove_reader(self._pipe.fileno())
            self._pipe.close()
            self._process.terminate()
            self._process.join(2)


def _work(pipe: Connection, what: str, folder: str, texts: Mapping[str, str], parts: tuple[str, ...]) -> None:
    """Do one job in a copy of the lesson."""
    base = Path(tempfile.mkdtemp(prefix="bench-job-"))
    copy = base / Path(folder).name
    try:
        shutil.copytree(
            folder, copy, symlinks=True, ignore=lambda _, names: [n for n in names if n[0] == "."]
        )
        for name, text in texts.items():
            (copy / name).write_text(text, encoding="utf-8")

        def tell(share: float, text: str) -> None:
            pipe.send({"state": "working", "share": share, "text": text})

        job = partial(_choose, parts=parts) if what == "choose" else _JOBS[what]
        pipe.send({"state": "done", **job(copy, base / "out", tell)})
    except Unreadable as error:
        lines = [f"{f.message}. {f.hint}".strip() for f in error.findings]
        pipe.send({"state": "failed", "lines": lines})
    except (ValueError, LookupError) as error:
        pipe.send({"state": "failed", "lines": [str(error)]})
    except BrokenPipeError:
        return  # it was stopped: nobody hears any more
    finally:
        shutil.rmtree(base, ignore_errors=True)
        pipe.close()


def _loaded(folder: Path) -> Lesson:
    from buildalong.lesson import load

    lesson = load(folder)
    if not lesson.sound:
        raise ValueError("The lesson has errors: mend them first.")
    return lesson


def _compiled(folder: Path, tell: Tell) -> Compiled:
    from buildalong.lesson import compile_lesson
    from buildalong.store import user_store

    compiled = compile_lesson(folder, store=user_store(), progress=lambda s, t: tell(0.4 * s, t))
    if not compiled.ok or compiled.layout is None:
        raise ValueError("The lesson has errors: mend them first.")
    return compiled


def _choose(folder: Path, out: Path, tell: Tell, *, parts: tuple[str, ...]) -> Answer:
    from buildalong.bench._values import other_values

    return other_values(_loaded(folder), parts, tell)


def _spread(folder: Path, out: Path, tell: Tell) -> Answer:
    from buildalong.lesson import targets_of
    from buildalong.spread import said_share, sentence, spread, surroundings
    from buildalong.store import user_store

    lesson = _loaded(folder)
    targets = targets_of(lesson)
    found = spread(lesson.circuit, lesson.trials, targets, samples=SAMPLES, progress=tell, store=user_store())
    rows = [[str(o.target), said_share(o.kept), sentence(o, found.circuit)] for o in found.outcomes]
    lines = [f"{SAMPLES} simulated builds.", surroundings(found)]
    return {"lines": lines, "head": ["promise", "kept in", "in words"], "rows": rows}


def _mistakes(folder: Path, out: Path, tell: Tell) -> Answer:
    from buildalong.mistakes import DANGERS, Outcome, laboratory
    from buildalong.store import user_store
    from buildalong.words import say

    compiled = _compiled(folder, tell)
    assert compiled.layout is not None
    lab = laboratory(
        compiled.circuit, compiled.layout, compiled.lesson.trials, wishes=compiled.lesson.wishes,
        store=user_store(), progress=lambda s, t: tell(0.4 + 0.6 * s, t),
    )  # fmt: skip

    def harmed(one: Outcome) -> str:
        """Who can be hurt and what to do, then what becomes of the parts."""
        dangers = [say(DANGERS[one.danger])] if one.danger else []
        return " ".join([*dangers, *(harm.sentence for harm in one.harms)]) or "none"

    ranked = sorted(lab.outcomes, key=lambda o: (not o.danger, -o.mistake.weight))
    rows = [[o.mistake.what, o.sentence, harmed(o)] for o in ranked[:MOST_ROWS]]
    lines = [f"{len(lab.outcomes)} single mistakes make {lab.circuits} circuits; the gravest first."]
    return {"lines": lines, "head": ["mistake", "what is seen", "what it harms"], "rows": rows}


def _finder(folder: Path, out: Path, tell: Tell) -> Answer:
    return _published(folder, out, tell, "faults", "faults.html", "finder.html")


def _article(folder: Path, out: Path, tell: Tell) -> Answer:
    return _published(folder, out, tell, "article", "index.html", "article.html")


def _published(folder: Path, out: Path, tell: Tell, product: str, file: str, name: str) -> Answer:
    _publish(folder, out, tell, (product,), faults=product == "faults")
    return _page(name, (out / file).read_bytes())


def _page(name: str, body: bytes) -> Answer:
    says = "Keep this page as a file"
    return {"page": name, "link": name, "says": says, "files": {name: (body, "text/html")}}


def _publish(folder: Path, out: Path, tell: Tell, only: Sequence[str], *, faults: bool) -> None:
    from buildalong.publish import publish_lesson
    from buildalong.store import user_store

    steps = count(1)

    def progress(what: str) -> None:
        tell(1 - 0.9 ** next(steps), what)  # how many steps there will be is not known

    done = publish_lesson(folder, out, only=only, faults=faults, store=user_store(), progress=progress)
    if done.pack is None:
        raise ValueError("The lesson has errors: mend them first.")


def _pack(folder: Path, out: Path, tell: Tell) -> Answer:
    """The whole pack, of the text as it stands on the page, in one file; the same pack, the same bytes."""
    from buildalong.publish import PRODUCTS

    _publish(folder, out, tell, PRODUCTS, faults=True)
    files = sorted(path for path in out.rglob("*") if path.is_file() and not path.is_symlink())
    if sum(path.stat().st_size for path in files) > MOST_PACK:
        raise ValueError(f"The pack is larger than {MOST_PACK // 1_000_000} MB: use buildalong publish.")
    tell(0.99, "putting the files together")
    body = io.BytesIO()
    with zipfile.ZipFile(body, "w", zipfile.ZIP_DEFLATED) as pack:
        for path in files:
            name = zipfile.ZipInfo(f"pack/{path.relative_to(out).as_posix()}")  # of 1980, always
            pack.writestr(name, path.read_bytes(), zipfile.ZIP_DEFLATED)
    lines = [f"{len(files)} files: unpack them and open index.html. What is unsaved is in them, too."]
    return {
        "lines": lines, "link": "pack.zip", "says": "Download the pack (pack.zip)",
        "files": {"pack.zip": (body.getvalue(), "application/zip")},
    }  # fmt: skip


def _handout(folder: Path, out: Path, tell: Tell) -> Answer:
    from buildalong.bench._booklet import booklet_page
    from buildalong.publish import draw, variant_of
    from buildalong.publish.handout import booklet_setting, material_of
    from buildalong.store import user_store

    compiled = _compiled(folder, tell)
    variant = variant_of(compiled.lesson)
    pictures = draw(compiled, lambda what: tell(0.6, what), user_store(), variant, None)
    tell(0.9, "setting the pages")
    setting = booklet_setting(material_of(compiled, pictures, None), "a4")
    body, _ = setting.filled(compiled.prose)
    page = booklet_page(compiled.lesson.title, setting.pages(compiled.prose))
    return {
        "page": "handout.html", "link": "handout.pdf", "says": "Open the pages as PDF, to print or to keep",
        "files": {"handout.html": (page, "text/html"), "handout.pdf": (body, "application/pdf")},
    }  # fmt: skip


def _slides(folder: Path, out: Path, tell: Tell) -> Answer:
    from buildalong.film import slides, slides_html

    compiled = _compiled(folder, tell)
    tell(0.6, "drawing the slides")
    return _page("slides.html", slides_html(compiled, slides(compiled)).encode())


_JOBS: Mapping[str, Callable[[Path, Path, Tell], Answer]] = {
    "spread": _spread, "mistakes": _mistakes, "finder": _finder, "article": _article,
    "handout": _handout, "slides": _slides, "pack": _pack,
}  # fmt: skip
