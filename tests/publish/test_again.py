"""Publishing again: only what changed is made, and the pack is that of a cold build to the last byte."""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path

import pytest

from buildalong.cli._new import write_lesson
from buildalong.finding import Finding
from buildalong.lesson import compile_lesson
from buildalong.publish import PRODUCTS, publish, publish_lesson
from buildalong.store import Store

PIXEL = bytes.fromhex(
    "89504e470d0a1a0a0000000d49484452000000010000000108060000001f15c489"
    "0000000d49444154789c6360606060000000050001a5f645400000000049454e44ae426082"
)
LED = """like = "led-yellow"
title = "LED, warm yellow, 3 mm"
"""


@pytest.fixture(scope="module", autouse=True)
def quick() -> Iterator[None]:
    """Place with little work; a PNG is made of its SVG alone, which is compared."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("buildalong.lesson.compile_lesson", partial(compile_lesson, seconds=0.1))
        patch.setattr("buildalong.publish._products.to_png", lambda picture, *size: picture.svg.encode())
        yield


@pytest.fixture(scope="module")
def home(quick: None, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the lesson, a store in which it was published, and both as they were then."""
    home = tmp_path_factory.mktemp("again")
    folder = home / "lamp"
    write_lesson(folder)
    (folder / "lamp.png").write_bytes(PIXEL)
    (folder / "parts").mkdir()
    (folder / "parts" / "led-grain.toml").write_text(LED)
    _swap(folder / "lesson.toml", 'part = "led-yellow"', 'part = "led-grain"')
    with (folder / "lesson.md").open("a") as words:
        words.write("\n![the lamp](lamp.png)\n")
    made(folder, home / "pack", Store(home / "store"))
    for name in ("lamp", "store"):
        shutil.copytree(home / name, home / "then" / name)
    return home


@pytest.fixture
def lesson(home: Path) -> Path:
    """The lesson of ``buildalong new`` with a picture, a part of its own and a build list."""
    for name in ("lamp", "store"):
        shutil.rmtree(home / name)
        shutil.copytree(home / "then" / name, home / name)
    return home / "lamp"


@pytest.fixture
def store(lesson: Path) -> Store:
    """A store that knows the lesson's pack."""
    return Store(lesson.parent / "store")


def _swap(file: Path, old: str, new: str) -> None:
    text = file.read_text()
    assert old in text
    file.write_text(text.replace(old, new))


Pack = tuple[dict[str, bytes], tuple[Finding, ...]]


def made(lesson: Path, output: Path, store: Store | None, **options: object) -> Pack:
    """The files of the pack, and the findings."""
    done = publish_lesson(lesson, output, store=store, **options)  # type: ignore[arg-type]
    files = {}
    if done.pack is not None:
        files = {name: (output / name).read_bytes() for name in done.pack.files}
        assert set(files) == {p.relative_to(output).as_posix() for p in output.rglob("*") if p.is_file()}
    return files, done.findings


def _blue(folder: Path) -> None:
    (folder / "lamp.png").write_bytes(PIXEL[:-12] + b"\0\0\0\4tEXta\0bc" + b"\0" * 4 + PIXEL[-12:])


CHANGES: dict[str, Callable[[Path], None]] = {
    "a word": lambda f: _swap(f / "lesson.md", "You build", "You now build"),
    "a new figure": lambda f: _swap(f / "lesson.md", "How much", "Of {{ tolerance(R1) }}. How much"),
    "a known figure again": lambda f: _swap(f / "lesson.md", "Turn the", "Of {{ value(R1) }}. Turn the"),
    "a false claim": lambda f: _swap(f / "lesson.md", "about 3 s", "about 9 s"),
    "a heading": lambda f: _swap(f / "lesson.md", "## Try next {#try-next}", "## Try this"),
    "no words for what is seen": lambda f: _swap(f / "lesson.md", "{#what-you-should-see}", "{#elsewhere}"),
    "a picture": _blue,
    "a picture that is gone": lambda f: (f / "lamp.png").unlink(),
    "another picture": lambda f: _swap(f / "lesson.md", "(lamp.png)", "(lamp.png)\n\n![](lamp.png)"),
    "no words at all": lambda f: (f / "lesson.md").unlink(),
    "a value": lambda f: _swap(f / "lesson.toml", '"150"', '"180"'),
    "the title": lambda f: _swap(f / "lesson.toml", "A reading lamp", "A lamp"),
    "the trial": lambda f: _swap(f / "lesson.toml", '"6 s"', '"7 s"'),
    "the board": lambda f: _swap(f / "lesson.toml", '"170"', '"400"'),
    "the symbols": lambda f: (f / "lesson.toml").write_text(
        (f / "lesson.toml").read_text() + '\n[picture]\nsymbols = "IEEE 315"\n'
    ),
    "a part of its own": lambda f: _swap(f / "parts" / "led-grain.toml", "3 mm", "5 mm"),
    "one more part file": lambda f: (f / "parts" / "led-more.toml").write_text(LED) and None,
    "a broken part file": lambda f: (f / "parts" / "led-more.toml").write_text("like = 3") and None,
    "nothing": lambda f: None,
}  # fmt: skip


@pytest.mark.parametrize("change", CHANGES)
def test_after_each_kind_of_change_the_pack_is_that_of_a_cold_build(
    change: str, lesson: Path, store: Store, tmp_path: Path
) -> None:
    """With a store full of the lesson before the change, pack and findings equal those without a store."""
    before = made(lesson, tmp_path / "warm", store)
    assert before[0]
    CHANGES[change](lesson)
    cold = outcome(lesson, tmp_path / "cold", None)
    assert outcome(lesson, tmp_path / "warm", store) == cold
    assert outcome(lesson, tmp_path / "warm", store) == cold
    assert (cold == before) == (change in ("nothing", "one more part file"))


def outcome(lesson: Path, output: Path, store: Store | None) -> object:
    """The pack and its findings, or why there is none."""
    from buildalong.finding import Unreadable

    try:
        return made(lesson, output, store)
    except Unreadable as error:
        return error.findings


@pytest.mark.parametrize("option", [
    {"hand": "left"}, {"contrast": "high"}, {"faults": False}, {"only": ("cards", "parts")},
], ids=str)  # fmt: skip
def test_each_option_is_told_apart(
    option: dict[str, object], lesson: Path, store: Store, tmp_path: Path
) -> None:
    """A store that knows the lesson without an option gives the pack of a cold build with it, and back."""
    plain = made(lesson, tmp_path / "plain", store)
    assert made(lesson, tmp_path / "warm", store, **option) == made(lesson, tmp_path / "cold", None, **option)
    assert made(lesson, tmp_path / "plain", store) == plain


def test_another_program_makes_all_anew(
    lesson: Path, store: Store, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With another digest of the drawing code nothing of the store is used."""
    made(lesson, tmp_path / "pack", store)
    monkeypatch.setattr("buildalong.store._program", lambda: "other")
    monkeypatch.setattr(
        "buildalong.publish._products.to_png", lambda picture, *size: picture.svg.encode() + b"new"
    )
    files, _ = made(lesson, tmp_path / "pack", store)
    assert files["pictures/board.png"].endswith(b"new")


def test_the_same_files_as_publish(lesson: Path, store: Store, tmp_path: Path) -> None:
    """publish_lesson writes what publish writes of the compiled lesson."""
    files, _ = made(lesson, tmp_path / "pack", store)
    pack = publish(compile_lesson(lesson, seconds=0.1), tmp_path / "other")
    assert files == {name: (pack.folder / name).read_bytes() for name in pack.files}


def test_other_words_need_neither_compiling_nor_drawing(
    lesson: Path, store: Store, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """After a change of words the lesson is not compiled; what holds words is told to have changed."""
    made(lesson, tmp_path / "pack", store)
    _swap(lesson / "lesson.md", "You build", "You now build")
    monkeypatch.setattr("buildalong.lesson.compile_lesson", None)
    done = publish_lesson(lesson, tmp_path / "pack", store=store)
    assert done.pack is not None
    assert done.pack.changed == ("handout/learner-a4.pdf", "handout/teacher-a4.pdf", "index.html")
    assert "You now build" in done.pack.article.read_text()
    done = publish_lesson(lesson, tmp_path / "pack", store=store)
    assert done.pack is not None
    assert done.pack.changed == ()


def test_other_words_load_no_heavy_library(lesson: Path, store: Store, tmp_path: Path) -> None:
    """Neither numpy nor numba, ortools, jinja2 or resvg is loaded for other words."""
    made(lesson, tmp_path / "pack", store)
    code = (
        "import sys; from pathlib import Path; import buildalong.store\n"
        f"buildalong.store.user_store = lambda: buildalong.store.Store(Path({str(store.folder)!r}))\n"
        "from buildalong.cli import cli\n"
        f"cli(['publish', {str(lesson)!r}, '--output', {str(tmp_path / 'pack')!r}], standalone_mode=False)\n"
        "print(' '.join(sys.modules))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], check=True, timeout=120, capture_output=True, text=True
    )
    assert not {"numpy", "numba", "ortools", "jinja2", "resvg_py"} & set(done.stdout.split())


def test_a_damaged_store_is_not_believed(lesson: Path, store: Store, tmp_path: Path) -> None:
    """Whichever entry is cut or gone, the pack is right, and whole again the next time."""
    right = made(lesson, tmp_path / "pack", store)
    room = store.folder / "made"
    for number, entry in enumerate(sorted(room.iterdir())[::9]):
        if number % 2:
            entry.unlink()
        else:
            entry.write_bytes(entry.read_bytes()[:-1])
        assert made(lesson, tmp_path / "pack", store) == right
    assert made(lesson, tmp_path / "pack", store) == right


def test_only_some_products(lesson: Path, store: Store, tmp_path: Path) -> None:
    """Each product alone gives its files as in the whole pack; the others of an earlier pack stay."""
    whole, _ = made(lesson, tmp_path / "whole", store)
    found: dict[str, bytes] = {}
    for name in PRODUCTS:
        files, _ = made(lesson, tmp_path / name, None, only=(name,))
        files.pop("pack.json")
        assert files
        assert not set(files) & set(found)
        found |= files
    assert {name: body for name, body in whole.items() if name != "pack.json"} == found
    (tmp_path / "whole" / "cards.html").write_text("old")
    done = publish_lesson(lesson, tmp_path / "whole", only=("cards",), store=store)
    assert done.pack is not None
    assert done.pack.files == ("cards.html", "pack.json")
    listed = json.loads((tmp_path / "whole" / "pack.json").read_text())["files"]
    assert set(listed) == set(whole) - {"pack.json"}
    assert {n: (tmp_path / "whole" / n).read_bytes() for n in whole} == whole


def test_a_hasty_layout_is_not_kept(lesson: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A pack whose placing was stopped by hand depends on the clock: the next time it is made anew."""

    def stopped(*arguments: object, first: Callable[[object], None], **options: object) -> None:
        first(real(*arguments, **options))  # type: ignore[arg-type]
        raise KeyboardInterrupt

    store = Store(tmp_path / "store")
    with monkeypatch.context() as patch:
        from buildalong.lesson import _placing

        real = _placing.place
        patch.setattr(_placing, "place", stopped)
        _, findings = made(lesson, tmp_path / "pack", store)
        assert "placing-cut-short" in {finding.code for finding in findings}
    _, findings = made(lesson, tmp_path / "pack", store)
    assert "placing-cut-short" not in {finding.code for finding in findings}


def test_two_processes_with_one_store(lesson: Path, tmp_path: Path) -> None:
    """Three processes publish one lesson at once from one empty store: equal packs, nothing left over."""
    env = {**os.environ, "BUILDALONG_STORE": "", "XDG_CACHE_HOME": str(tmp_path / "cache")}
    command = [
        sys.executable,
        "-m",
        "buildalong",
        "publish",
        str(lesson),
        "--only",
        "article,parts",
        "--output",
    ]
    running = [subprocess.Popen([*command, str(tmp_path / name)], env=env) for name in ("a", "b", "a")]
    assert [process.wait(timeout=300) for process in running] == [0, 0, 0]
    a, b = ({p.name: p.read_bytes() for p in (tmp_path / name).iterdir()} for name in ("a", "b"))
    assert a == b
    assert set(a) == {"index.html", "parts.csv", "pack.json"}
    left = [p.name for p in [*tmp_path.iterdir(), *(tmp_path / "cache").rglob("*")] if p.name.startswith(".")]
    assert left == []


def test_ctrl_c_leaves_the_earlier_pack(lesson: Path, store: Store, tmp_path: Path) -> None:
    """Stopped while two processes make pictures, the earlier pack stands whole, alone in its folder."""
    before = made(lesson, tmp_path / "out" / "pack", store)
    code = (
        "import signal, sys\n"
        "signal.signal(signal.SIGINT, signal.default_int_handler)\n"
        "from buildalong.publish import publish_lesson\n"
        "def tell(what):\n"
        "    if what.startswith('picture 3 '): print('ready', flush=True); import time; time.sleep(60)\n"
        "if __name__ == '__main__':\n"
        f"    publish_lesson({str(lesson)!r}, {str(tmp_path / 'out' / 'pack')!r}, cores=2, progress=tell)\n"
    )
    (tmp_path / "stopped.py").write_text(code)
    _swap(lesson / "lesson.toml", '"150"', '"180"')
    command = [sys.executable, str(tmp_path / "stopped.py")]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as process:
        assert process.stdout is not None
        assert process.stdout.readline() == b"ready\n"
        start = time.monotonic()
        process.send_signal(signal.SIGINT)
        process.communicate(timeout=60)
        assert time.monotonic() - start < 30
    assert process.returncode == -signal.SIGINT
    assert [path.name for path in (tmp_path / "out").iterdir()] == ["pack"]
    after = {name: (tmp_path / "out" / "pack" / name).read_bytes() for name in before[0]}
    assert after == before[0]
    shutil.rmtree(tmp_path / "out")


def test_each_language_is_kept_apart_and_equals_a_cold_build(
    lesson: Path, store: Store, tmp_path: Path
) -> None:
    """The words of one language never come back in another, however often a lesson is published."""
    packs = {}
    for number, language in enumerate(("", "de", "", "de")):
        made = publish_lesson(lesson, tmp_path / f"pack{number}", store=store, language=language)
        assert made.pack is not None
        packs[number] = {name: (made.pack.folder / name).read_bytes() for name in made.pack.files}
    assert packs[0] == packs[2]
    assert packs[1] == packs[3]
    assert b'<html lang="en">' in packs[0]["index.html"]
    assert b'<html lang="de">' in packs[1]["index.html"]
    cold = publish_lesson(lesson, tmp_path / "cold", language="de")
    assert cold.pack is not None
    assert {n: (cold.pack.folder / n).read_bytes() for n in cold.pack.files} == packs[1]
    assert any(finding.code == "words-untranslated" for finding in cold.findings)
