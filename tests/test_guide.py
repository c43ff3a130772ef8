"""The guide and the README say what is so: their examples are read, run, and compared with what they show."""

from __future__ import annotations

import asyncio
import re
import shlex
import tomllib
from collections.abc import Callable, Iterator
from contextlib import redirect_stdout
from dataclasses import dataclass
from functools import partial
from io import StringIO
from pathlib import Path
from typing import Any

import pytest

import buildalong
import buildalong.bench
from buildalong.cli import main
from buildalong.finding import Severity
from buildalong.lesson import Compiled, compile_lesson, load
from demos import EXAMPLES

ROOT = Path(__file__).parents[1]
GUIDE, README = ROOT / "docs" / "guide.md", ROOT / "README.md"


@dataclass(frozen=True)
class Example:
    """A fenced block: ``info`` is what stands behind its fence, ``line`` its first line."""

    kind: str
    info: tuple[str, ...]
    text: str
    line: int


def examples(page: Path) -> list[Example]:
    """The fenced blocks of a page; indented ones are not looked at here."""
    text = page.read_text(encoding="utf-8")
    return [
        Example(found[1], tuple(found[2].split()), found[3], text[: found.start(3)].count("\n") + 1)
        for found in re.finditer(r"^```(\w+)(.*)\n((?:.*\n)*?)^```$", text, re.MULTILINE)
    ]


# -- the guide, followed from top to bottom -------------------------------------------------------------


def changed(facts: dict[str, Any], change: dict[str, Any]) -> dict[str, Any]:
    """The facts after a change: keys of parts one by one, everything else as a whole."""
    parts = {**facts["parts"]}
    for name, keys in change.get("parts", {}).items():
        parts[name] = {**parts[name], **keys}
    return {**facts, **change, "parts": parts}


def toml(facts: dict[str, Any]) -> str:
    """Facts as TOML: plain keys, then tables, then lists of tables."""
    plain = {k: v for k, v in facts.items() if not isinstance(v, dict) and not _tables(v)}
    out = [f"{key} = {_inline(value)}" for key, value in plain.items()]
    for name, table in facts.items():
        for entry in [table] if isinstance(table, dict) else table if _tables(table) else []:
            out.append(f"[{name}]" if isinstance(table, dict) else f"[[{name}]]")
            out += [f"{key} = {_inline(value)}" for key, value in entry.items()]
    return "\n".join(out) + "\n"


def _tables(value: Any) -> bool:
    return isinstance(value, list) and bool(value) and isinstance(value[0], dict)


def _inline(value: Any) -> str:
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{key} = {_inline(entry)}" for key, entry in value.items()) + " }"
    if isinstance(value, list):
        return "[" + ", ".join(map(_inline, value)) + "]"
    assert isinstance(value, str)
    assert '"' not in value
    assert "\\" not in value
    return f'"{value}"'


def write(example: Example) -> None:
    """Write or change the file that an example is."""
    path = Path(example.info[-1])
    path.parent.mkdir(parents=True, exist_ok=True)
    text = example.text
    if example.info[0] == "change":
        text = toml(changed(tomllib.loads(path.read_text(encoding="utf-8")), tomllib.loads(text)))
    elif path.name == "lesson.toml":
        path.with_name("lesson.md").touch()
    path.write_text(text, encoding="utf-8")


def run(line: str) -> str:
    """What a command prints."""
    name, *arguments = shlex.split(line)
    assert name == "buildalong"
    out = StringIO()
    with redirect_stdout(out), pytest.raises(SystemExit) as caught:
        main(arguments)
    assert caught.value.code in (0, 1), out.getvalue()
    return out.getvalue()


def shown(printed: str, quoted: list[str], place: str) -> None:
    """Each quoted line was printed, in this order; "..." stands for lines left out."""
    rest = iter(printed.split("\n"))
    for line in quoted:
        if line != "...":
            assert line in rest, f"{place}: '{line}' is not printed there:\n{printed}"


def calls(example: Example) -> Iterator[tuple[str, list[str]]]:
    """Each command of a console with the lines quoted below it."""
    for bit in re.split(r"^\$ ", example.text, flags=re.MULTILINE)[1:]:
        command, *quoted = bit.rstrip("\n").split("\n")
        yield command, quoted


def test_the_guide_can_be_followed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """From top to bottom: each file is written, each command run, and prints what the guide quotes."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("buildalong.lesson.compile_lesson", partial(compile_lesson, seconds=0.1))
    served = partial(buildalong.bench.serve, until=lambda: asyncio.sleep(0))
    monkeypatch.setattr("buildalong.bench.serve", served)
    monkeypatch.setattr("buildalong.publish._products.to_png", lambda picture, *size: picture.svg.encode())
    done: list[str] = []
    for example in examples(GUIDE):
        place = f"guide.md:{example.line}"
        if example.kind in ("toml", "markdown"):
            write(example)
        elif example.kind == "python":
            exec(compile(example.text, place, "exec"), {})
            assert capsys.readouterr().out.startswith("A carriage lamp")
        else:
            assert example.kind == "console", place
            for command, quoted in calls(example):
                shown(run(command), quoted, place)
                done.append(command.split()[1])
    assert set(done) == set(_commands())
    assert load("night").sound


def test_the_guides_last_lesson_is_clean(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """With its own part in use, the guide's lesson still has nothing worse than a note."""
    monkeypatch.chdir(tmp_path)
    for example in examples(GUIDE):
        if example.kind in ("toml", "markdown"):
            write(example)
    path = Path("carriage/lesson.toml")
    path.write_text(path.read_text(encoding="utf-8").replace("led-yellow", "led-grain"), encoding="utf-8")
    compiled = compile_lesson("carriage", seconds=0.1)
    assert compiled.circuit.by_id["DS1"].type.title == "LED, warm yellow, 3 mm"
    assert [f for f in compiled.findings if f.severity > Severity.NOTE] == []
    assert compiled.layout is not None
    assert compiled.layout.holes["DS1"] == ("b3", "b5")


def test_a_quoted_line_that_is_not_printed_is_noticed() -> None:
    """The comparison itself: order counts, and nothing may be made up."""
    shown("a\nb\nc\n", ["a", "...", "c"], "here")
    for quoted in (["c", "a"], ["a", "d"], ["a", "...", "cc"]):
        with pytest.raises(AssertionError):
            shown("a\nb\nc\n", quoted, "here")


# -- the README -----------------------------------------------------------------------------------------


def _commands() -> list[str]:
    from buildalong.cli._main import cli

    return list(cli.commands)


def inside(part: Any, whole: Any) -> bool:
    """Whether everything in ``part`` stands in ``whole`` too; lists of tables may be shortened."""
    if isinstance(part, dict):
        return all(key in whole and inside(value, whole[key]) for key, value in part.items())
    if _tables(part):
        return all(any(inside(entry, other) for other in whole) for entry in part)
    return bool(part == whole)


def test_the_readmes_toml_is_the_lighthouse() -> None:
    """What the README shows of a lesson stands in the lesson whose pictures it shows."""
    whole = tomllib.loads((EXAMPLES / "lighthouse" / "lesson.toml").read_text(encoding="utf-8"))
    shown_here = [tomllib.loads(example.text) for example in examples(README) if example.kind == "toml"]
    assert shown_here
    assert all(inside(part, whole) for part in shown_here)


def test_the_readmes_python_runs(
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    compiled_demo: Callable[[str], Compiled],
) -> None:
    """The README's Python prints the promises of the lighthouse, all kept."""
    demo = lambda folder: compiled_demo(Path(folder).name)  # noqa: E731
    monkeypatch.setattr(buildalong, "compile_lesson", demo, raising=False)
    for example in examples(README):
        if example.kind == "python":
            exec(compile(example.text, "README.md", "exec"), {})
    lines = capsys.readouterr().out.split("\n")[:-1]
    assert [line.split()[0] for line in lines] == ["on_time(DS1)", "off_time(DS1)"]
    assert all(line.endswith(" True") for line in lines)


def test_the_readmes_commands_are_there() -> None:
    """Each command and target that README and guide speak of exists, with its options."""
    from buildalong.cli._main import cli

    targets = set(re.findall(r"^([a-z]+):", (ROOT / "Makefile").read_text(encoding="utf-8"), re.MULTILINE))
    text = README.read_text(encoding="utf-8")
    lines = [line.strip().split("#")[0] for line in text.split("\n") if line.startswith("    ")]
    made = [line.split()[1] for line in lines if line.startswith("make ")]
    typed = [shlex.split(line)[1:] for line in lines if line.startswith("buildalong ")]
    assert made
    assert set(made) <= targets
    assert typed
    for name, *arguments in typed:
        cli.commands[name].make_context(name, list(arguments))


@pytest.mark.parametrize("page", [README, *sorted((ROOT / "docs").glob("*.md"))], ids=lambda page: page.name)
def test_links_lead_somewhere(page: Path) -> None:
    """Each link of a page to another file leads to one that is there."""
    text = re.sub(r"`[^`\n]*`", "", page.read_text(encoding="utf-8"))
    for link in re.findall(r"\]\(([^)#\s]+)(?:#[^)]*)?\)", text):
        if not re.match(r"[a-z]+:", link):
            assert (page.parent / link).exists(), f"{page.name} links to {link}"
