"""The commands: what they print, their exit codes, and how they end when something goes wrong."""

from __future__ import annotations

import json
import os
import re
import signal
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from buildalong.cli import main

pytestmark = pytest.mark.usefixtures("little_work")
KEYS = {"severity", "code", "message", "file", "line", "column", "hint", "about"}


@pytest.fixture(scope="module")
def lamp(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The lesson that `buildalong new` writes."""
    folder = tmp_path_factory.mktemp("cli") / "lamp"
    with pytest.raises(SystemExit) as caught:
        main(["new", str(folder)])
    assert caught.value.code == 0
    return folder


def broken(lamp: Path, tmp_path: Path, old: str, new: str, file: str = "lesson.toml") -> Path:
    """A copy of the lamp with one text replaced."""
    folder = tmp_path / "broken"
    folder.mkdir()
    for name in ("lesson.toml", "lesson.md"):
        text = (lamp / name).read_text(encoding="utf-8")
        if name == file:
            assert text.count(old) == 1
            text = text.replace(old, new)
        (folder / name).write_text(text, encoding="utf-8")
    return folder


def test_a_new_lesson_checks_clean(lamp: Path, run: Any) -> None:
    """What `new` writes has no finding at all, and its promise is kept."""
    result = run("check", str(lamp))
    assert result.code == 0
    assert result.out.endswith(f"{lamp}: all is well\n")
    assert "kept" in result.out
    assert "NOT KEPT" not in result.out
    assert result.err == ""


def test_check_json(lamp: Path, run: Any) -> None:
    """Figures have value and unit, promises their limits."""
    document = run("check", str(lamp), "--json").document
    assert document["findings"] == []
    assert document["figures"]["value(R1)"] == {"value": 150.0, "unit": "Ω"}
    assert document["figures"]["on_time(DS1)"]["value"] == pytest.approx(3.0, rel=0.001)
    promise = document["promises"][0]
    assert (promise["that"], promise["low"], promise["high"], promise["ok"]) == (
        "on_time(DS1)",
        2.94,
        3.06,
        True,
    )


def test_simulate_json(lamp: Path, run: Any) -> None:
    """Events carry time and cause; the extremes of each part are in SI units."""
    document = run("simulate", str(lamp), "--json", "--trial", "an evening").document
    lights = [(round(e["time"], 3), e["after"]) for e in document["events"] if e["kind"] == "light"]
    assert lights == [(1.0, "lit"), (4.0, "dark")]
    assert all(event["cause"] for event in document["events"])
    extremes = document["extremes"]["R1"]
    # 4.5 V less about 2.06 V of a yellow LED, over 150 Ω and the 0.6 Ω of three cells
    assert extremes["current"] == pytest.approx((4.5 - 2.06) / 150.6, rel=0.02)
    assert extremes["power"] == pytest.approx(extremes["current"] ** 2 * 150, rel=0.001)


def test_simulate_names_the_nearest_trial(lamp: Path, run: Any) -> None:
    """A trial that is not there is refused with the nearest one."""
    result = run("simulate", str(lamp), "--trial", "an evenin")
    assert result.code == 2
    assert "did you mean 'an evening'?" in result.out


def test_layout_json(lamp: Path, run: Any) -> None:
    """Every part has its holes, and what the board makes is the wanted circuit."""
    document = run("layout", str(lamp), "--json").document
    assert document["readback_equal"] is True
    assert document["board"] == "170"
    assert set(document["parts"]) == {"BT1", "S1", "R1", "DS1"}
    assert len(document["parts"]["S1"]) == 4
    assert document["wire_count"] == len(document["wires"]) >= document["lower_bound"]


def test_layout_and_simulate_for_people(lamp: Path, run: Any) -> None:
    """Without --json a person reads holes and causes."""
    assert "R1   " in run("layout", str(lamp)).out
    assert "press S1" in run("simulate", str(lamp)).out


def test_the_surge_of_switching_on_is_explained(lamp: Path, tmp_path: Path, run: Any) -> None:
    """6 V over the source's 0.8 Ω is amperes, gone after a few R·C = 0.1 µs: said in a line."""
    assert "switching on" not in run("simulate", str(lamp)).out.split("mean power")[1]
    more = 'C1 = { part = "capacitor-ceramic", value = "100 nF", pins = ["PLUS", "0V"] }\nDS1 ='
    out = run("simulate", str(broken(lamp, tmp_path, "DS1 =", more))).out
    assert "The current of BT1 and C1 peaks at the moment of switching on, while capacitors fill;" in out
    assert "that lasts less than 1 µs and harms nothing." in out or "that lasts less than 10 µs" in out


def test_netlist(lamp: Path, run: Any) -> None:
    """The netlist names every part and ends as such texts do."""
    text = run("netlist", str(lamp)).out
    assert "\nR_R1 held lamp 150\n" in text
    assert text.endswith(".end\n")
    assert run("netlist", str(lamp), "--json").document["netlist"].startswith("* A reading lamp")


def test_an_error_is_shown_with_its_line_and_a_caret(lamp: Path, tmp_path: Path, run: Any) -> None:
    """file:line:column, the sentence, the line, a caret under the fault, the cure; exit code 1."""
    folder = broken(lamp, tmp_path, "about 3 s", "about 9 s", "lesson.md")
    result = run("check", str(folder))
    assert result.code == 1
    lines = result.out.split("\n")
    assert lines[0] == (
        f"{folder}/lesson.md:11:27: error: nothing in the lesson supports '9 s' [claim-unsupported]"
    )
    assert lines[1].startswith("  11 | Hold the button for about 9 s")
    assert lines[2].index("^") == lines[1].index("9 s")
    assert lines[3].startswith("    cure: nearest: ")


def test_a_broken_promise_is_an_error(lamp: Path, tmp_path: Path, run: Any) -> None:
    """The measured value stands beside what was promised."""
    result = run("check", str(broken(lamp, tmp_path, '"3 s"\nwithin', '"5 s"\nwithin')))
    assert result.code == 1
    assert "on_time(DS1) is 3 s; promised is 5 s, between 4.9 s and 5.1 s [promise-broken]" in result.out
    assert "NOT KEPT" in result.out


def test_errors_do_not_hide_one_another(lamp: Path, tmp_path: Path, run: Any) -> None:
    """An unknown part keeps nothing back of what can be told without a simulation; worst first."""
    folder = broken(lamp, tmp_path, '"push-button"', '"push-buton"')
    (folder / "lesson.md").write_text("See {{ value(R7) }}.\n\n# Title\n")
    document = run("check", str(folder), "--json").document
    assert [f["code"] for f in document["findings"]] == [
        "unknown-part-in-figure",
        "unknown-part",
        "title-twice",
    ]
    assert all(set(f) == KEYS for f in document["findings"])


def test_unreadable_input_gives_two(tmp_path: Path, run: Any) -> None:
    """A folder that is not there: exit code 2, for people and for machines."""
    result = run("check", str(tmp_path / "nowhere"))
    assert result.code == 2
    assert "unreadable: there is no folder" in result.out
    result = run("check", str(tmp_path / "nowhere"), "--json")
    assert result.code == 2
    assert [f["code"] for f in result.document["findings"]] == ["lesson-missing"]


@pytest.mark.parametrize("command", ["simulate", "layout", "netlist", "publish", "bench"])
def test_every_command_prints_json_of_what_it_cannot_read(tmp_path: Path, run: Any, command: str) -> None:
    """The document is printed whatever the exit code."""
    more = ["--output", str(tmp_path / "pack")] if command == "publish" else []
    result = run(command, str(tmp_path / "nowhere"), "--json", *more)
    assert (result.code, result.document["findings"][0]["severity"]) == (2, "fatal")


def test_a_lesson_with_errors_is_not_published(lamp: Path, tmp_path: Path, run: Any) -> None:
    """Nothing is written where the lesson is wrong."""
    folder = broken(lamp, tmp_path, '"3 s"\nwithin', '"5 s"\nwithin')
    result = run("publish", str(folder), "--output", str(tmp_path / "pack"))
    assert result.code == 1
    assert not (tmp_path / "pack").exists()


def test_new_does_not_write_over_anything(lamp: Path, tmp_path: Path, run: Any) -> None:
    """A folder that holds something is left alone."""
    before = (lamp / "lesson.toml").read_bytes()
    result = run("new", str(lamp), "--json")
    assert (result.code, result.document["findings"][0]["code"]) == (2, "folder-in-use")
    assert (lamp / "lesson.toml").read_bytes() == before


def test_wrong_usage_gives_two(run: Any) -> None:
    """An unknown command or a missing argument: a message on standard error, exit code 2."""
    assert run("chek").code == 2
    assert run("check").code == 2
    assert run("publish", "x").code == 2


def test_control_characters_of_an_author_are_not_obeyed(tmp_path: Path, run: Any) -> None:
    """An escape sequence in a lesson cannot recolour or clear the reader's terminal."""
    (tmp_path / "lesson.toml").write_text('title = "x"\nsupply = "\\u001b[2J"\n"\\u001b[31mkey" = 1\n')
    result = run("check", str(tmp_path))
    assert "\x1b" not in result.out


def test_an_internal_error_is_one_finding(lamp: Path, run: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    """A fault of the program asks for a report and shows no traceback; exit code 2."""

    def fail(*_: object, **__: object) -> None:
        raise ZeroDivisionError("planted")

    monkeypatch.setattr("buildalong.lesson.compile_lesson", fail)
    result = run("check", str(lamp))
    assert result.code == 2
    assert "internal error: ZeroDivisionError: planted" in result.out
    assert "please report it" in result.out
    assert "Traceback" not in result.out + result.err
    assert run("check", str(lamp), "--json").document["findings"][0]["code"] == "internal-error"


def test_ctrl_c_ends_cleanly(lamp: Path, run: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    """Ctrl-C: exit code 130, no traceback."""

    def stop(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("buildalong.lesson.compile_lesson", stop)
    result = run("check", str(lamp))
    assert (result.code, result.err) == (130, "\nstopped\n")


def test_ctrl_c_from_outside() -> None:
    """The real signal while a lesson is compiled: exit code 130, one word, no traceback."""
    code = (
        "import signal, time, buildalong.lesson as lesson\n"
        "from buildalong.cli import main\n"
        "signal.signal(signal.SIGINT, signal.default_int_handler)\n"  # a shell's background job ignores it
        "def slow(*_, **__):\n"
        "    print('ready', flush=True)\n"
        "    time.sleep(60)\n"
        "lesson.compile_lesson = slow\n"
        "main(['check', 'x'])\n"
    )
    command = [sys.executable, "-c", code]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as process:
        assert process.stdout is not None
        assert process.stdout.readline() == b"ready\n"
        process.send_signal(signal.SIGINT)
        _, err = process.communicate(timeout=60)
    assert (process.returncode, err) == (130, b"\nstopped\n")


def test_a_closed_pipe_is_quiet() -> None:
    """`buildalong --help | true` says nothing on standard error."""
    read, write = os.pipe()
    os.close(read)
    command = [sys.executable, "-m", "buildalong", "--help"]
    with subprocess.Popen(command, stdout=write, stderr=subprocess.PIPE) as process:
        os.close(write)
        _, err = process.communicate(timeout=60)
    assert err == b""
    assert process.returncode == 141


def test_colours_only_on_a_terminal(lamp: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A pipe gets plain text, a terminal colours, and NO_COLOR is honoured."""
    from buildalong.cli._show import coloured

    class Terminal:
        @staticmethod
        def isatty() -> bool:
            return True

    monkeypatch.delenv("NO_COLOR", raising=False)
    assert coloured(Terminal())
    with open(os.devnull) as nowhere:
        assert not coloured(nowhere)
    monkeypatch.setenv("NO_COLOR", "1")
    assert not coloured(Terminal())


@pytest.mark.parametrize(
    "command", ["new", "check", "simulate", "layout", "edit", "publish", "bench", "netlist"]
)
def test_help_has_an_example(run: Any, command: str) -> None:
    """Each command explains itself with an example and knows --json."""
    result = run(command, "--help")
    assert result.code == 0
    assert f"Example: buildalong {command} " in result.out.replace("\n", " ")
    assert "--json" in result.out


def test_help_lists_every_command_once_in_the_order_of_use(run: Any) -> None:
    """A lesson is begun, checked, simulated and published before its values are asked about."""
    from buildalong.cli import cli

    listed = re.findall(r"^  ([a-z]+)  ", run("--help").out, re.MULTILINE)
    assert sorted(listed) == sorted(cli.commands)
    assert listed[:6] == ["new", "check", "simulate", "layout", "edit", "publish"]
    assert listed.index("publish") < listed.index("choose") < listed.index("kit")


def test_help_is_quick() -> None:
    """`buildalong --help` takes under 0.3 s of processor time; nothing heavy is loaded for it."""
    code = (
        "import resource, sys, contextlib, io\n"
        "from buildalong.cli import main\n"
        "with contextlib.redirect_stdout(io.StringIO()), contextlib.suppress(SystemExit): main(['--help'])\n"
        "used = resource.getrusage(resource.RUSAGE_SELF)\n"
        "heavy = {'numpy', 'pydantic', 'numba', 'tree_sitter', 'markdown_it', 'rich'} & set(sys.modules)\n"
        "print(used.ru_utime + used.ru_stime, sorted(heavy))\n"
    )
    out = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout
    seconds, heavy = out.split(maxsplit=1)
    assert float(seconds) < 0.3
    assert heavy.strip() == "[]"


def test_the_python_door() -> None:
    """`import buildalong` offers the same in a notebook, lazily."""
    import buildalong
    from buildalong import lesson

    assert buildalong.compile_lesson is lesson.compile_lesson
    assert set(buildalong.__all__) <= {*dir(buildalong), "__version__"}
    with pytest.raises(AttributeError, match="has no attribute 'nothing'"):
        _ = buildalong.nothing


def test_a_build_list_is_printed_compared_and_mended(tmp_path: Path) -> None:
    """A printed list serves as the layout; ``--mend`` changes no file without ``--save``."""
    from click.testing import CliRunner

    from buildalong.cli import cli

    def run(*words: str) -> str:
        result = CliRunner().invoke(cli, ["layout", str(tmp_path / "lamp"), *words], standalone_mode=False)
        assert result.exception is None
        return result.output

    CliRunner().invoke(cli, ["new", str(tmp_path / "lamp")], standalone_mode=False)
    text = run("--list")
    assert text.startswith("# A reading lamp")
    file = tmp_path / "lamp" / "build.txt"
    lines = [line for line in text.split("\n") if not line.startswith("R1 ")]
    broken = "\n".join([*lines[:4], "R1 a1 a1", *lines[4:]])
    file.write_text(broken, "utf-8")
    with open(tmp_path / "lamp" / "lesson.toml", "a", encoding="utf-8") as stream:
        stream.write('\n[layout]\nlist = "build.txt"\n')
    assert "1 line would change" in run("--mend")
    assert file.read_text("utf-8") == broken
    assert "1 line written" in run("--mend", "--save")
    assert "needs no change" in run("--mend")
    assert "in all" in run("--compare")
    assert json.loads(run("--list", "--json"))["list"].startswith("# A reading lamp")
