"""The commands mistakes and trace."""

from __future__ import annotations

import json
import os
import re
import shutil
import signal
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from buildalong.cli import main
from demos import EXAMPLES

LIGHTHOUSE = "lighthouse"
HAND = Path(__file__).parents[1] / "breaks" / "layouts" / "lighthouse.toml"


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The lighthouse on the board written out by hand, beside an empty store."""
    home = tmp_path_factory.mktemp("mistakes")
    shutil.copytree(EXAMPLES / "lighthouse", home / LIGHTHOUSE)
    facts = home / LIGHTHOUSE / "lesson.toml"
    facts.write_text(f"{facts.read_text('utf-8')}\n{HAND.read_text('utf-8')}", encoding="utf-8")
    return home


@pytest.fixture
def run(folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Any:
    """Run a command where the lesson is: exit code and what it printed.  The store spares making it again."""
    monkeypatch.chdir(folder)
    monkeypatch.setenv("BUILDALONG_STORE", "on")
    monkeypatch.setenv("XDG_CACHE_HOME", str(folder))

    def call(*arguments: str) -> tuple[Any, str]:
        with pytest.raises(SystemExit) as caught:
            main(list(arguments))
        return caught.value.code, capsys.readouterr().out

    return call


def test_mistakes_as_json(run: Any) -> None:
    """Every mistake has its keys; the trees end at mistakes that are in the list."""
    code, out = run("mistakes", LIGHTHOUSE, "--json")
    document = json.loads(out)
    assert (code, document["schema"]) == (0, 1)
    keys = {"id", "kind", "what", "where", "symptom", "sentence", "damage", "danger", "merged"}
    assert all(keys <= set(entry) for entry in document["mistakes"])
    known = {entry["id"] for entry in document["mistakes"]}

    def leaves(tree: dict[str, Any]) -> set[str]:
        if tree["reading"] is None:
            return {suspect["id"] for suspect in tree["suspects"]}
        return set().union(*(leaves(branch["tree"]) for branch in tree["branches"]))

    assert set().union(*(leaves(root["tree"]) for root in document["plan"]["symptoms"])) == known
    assert document["plan"]["readings"] <= document["plan"]["in_build_order"] / 2
    told = [name for s in document["symptoms"] for c in s["causes"] for name in c["mistakes"]]
    assert sorted(told) == sorted(known)
    assert {c["danger"] for c in document["cautions"]} <= {"burst", "battery", "heat"}
    points = document["badness"]["total"]
    assert sum(document["badness"]["by_name"].values()) == pytest.approx(points)
    steps = [entry["points"] for entry in document["badness"]["steps"]]
    assert steps == sorted(steps, reverse=True)
    assert 0 < sum(steps) <= points
    assert {check["subject"] for check in document["checks"]} >= {"C1", "C2", "BT1"}
    assert run("mistakes", LIGHTHOUSE, "--json") == (code, out)


def test_mistakes_of_one_part(run: Any) -> None:
    """Reversed, the light stays dark; the caution for a capacitor that may burst is told with it."""
    code, out = run("mistakes", LIGHTHOUSE, "--part", "DS1", "--symptom", "nothing")
    assert code == 0
    assert "DS1 is the wrong way round." in out
    code, out = run("mistakes", LIGHTHOUSE, "--part", "C1", "--plan")
    assert code == 0
    assert "may burst" in out
    assert "otherwise: this is the fault" in out


def test_every_mark_is_explained(run: Any) -> None:
    """Each [mark] behind a mistake has a line below that says what it means."""
    _, out = run("mistakes", LIGHTHOUSE)
    marks = {
        mark for line in out.splitlines() if line.startswith("  ") for mark in re.findall(r"\[(\w+)\]", line)
    }
    assert {"ages", "dies", "burst"} <= marks
    assert all(f"\n[{mark}] " in out for mark in marks)


def test_a_choice_that_nothing_fits_is_said(run: Any) -> None:
    """A capacitor that only steadies the control pin makes no light dim."""
    code, out = run("mistakes", LIGHTHOUSE, "--part", "C2", "--symptom", "dim")
    assert code == 0
    assert out.startswith("No mistake of this build fits both")


def test_trace_goes_from_reading_to_reading(run: Any) -> None:
    """Without a symptom they are listed; with one there is a reading; its answer leaves fewer causes."""
    code, out = run("trace", LIGHTHOUSE)
    assert code == 0
    assert "--symptom" in out
    _, out = run("trace", LIGHTHOUSE, "--symptom", "nothing", "--json")
    first = json.loads(out)
    taken = f"{first['reading']['id']}=right"
    _, out = run("trace", LIGHTHOUSE, "--symptom", "nothing", "--reading", taken, "--json")
    second = json.loads(out)
    assert 0 < second["causes"] < first["causes"]
    assert second["reading"]["id"] != first["reading"]["id"]
    code, out = run("trace", LIGHTHOUSE, "--symptom", "nothing", "--reading", taken)
    assert code == 0
    assert second["reading"]["text"] in out


def test_trace_ends_where_a_look_finds_something(run: Any) -> None:
    """Who sees that a part is wrong sees how: nothing more is asked, only mistakes at that part are left."""
    code, out = run("trace", LIGHTHOUSE, "--symptom", "nothing", "--reading", "look-DS1=wrong", "--json")
    document = json.loads(out)
    assert (code, document["reading"], document["found"]) == (0, None, "DS1")
    assert all("DS1" in suspect["what"] for suspect in document["suspects"])
    _, out = run("trace", LIGHTHOUSE, "--symptom", "nothing", "--reading", "look-DS1=wrong")
    assert "Found at DS1" in out


def test_trace_says_what_one_mistake_cannot_explain(run: Any) -> None:
    """A light that is dark with every single thing in its place is no single mistake that can be seen."""
    code, out = run("trace", LIGHTHOUSE, "--symptom", "dim", "--reading", "look-R1=wrong")
    assert code == 0
    assert "No single mistake explains all of this" in out
    assert "look-R1" in out
    both = ("--reading", "look-DS1=right", "--reading", "look-DS1=wrong")
    _, out = run("trace", LIGHTHOUSE, "--symptom", "nothing", *both)
    assert out.count("look-DS1") == 1


@pytest.mark.parametrize(
    ("arguments", "expected"),
    [
        (("mistakes", LIGHTHOUSE, "--part", "R99"), "there are: BT1, C1"),
        (("mistakes", LIGHTHOUSE, "--symptom", "smells"), "they show: battery-hot"),
        (("trace", LIGHTHOUSE, "--symptom", "smells"), "they show: battery-hot"),
        (("trace", LIGHTHOUSE, "--symptom", "comes-and-goes", "--failing", "smells"), "--failing always-lit"),
        (("trace", LIGHTHOUSE, "--symptom", "nothing", "--failing", "nothing"), "with --failing they show"),
        (("trace", LIGHTHOUSE, "--reading", "look-R1=right"), "go with --symptom"),
        (("trace", LIGHTHOUSE, "--symptom", "nothing", "--reading", "look-R1"), "write it as"),
        (("trace", LIGHTHOUSE, "--symptom", "nothing", "--reading", "lok-R1=right"), "look-R1"),
        (("trace", LIGHTHOUSE, "--symptom", "nothing", "--reading", "look-R1=blue"), "'right' or 'wrong'"),
        (("trace", LIGHTHOUSE, "--symptom", "nothing", "--reading", "press-R1=7"), "'yes' or 'no'"),
        (("trace", LIGHTHOUSE, "--symptom", "nothing", "--reading", "volts-1-12L=1e9"), "write the volts"),
    ],
)
def test_bad_input_is_one_finding(run: Any, arguments: tuple[str, ...], expected: str) -> None:
    """What cannot be understood is told with what was expected; exit code 2."""
    code, out = run(*arguments)
    assert code == 2
    assert expected in out
    code, out = run(*arguments, "--json")
    assert code == 2
    assert len(json.loads(out)["findings"]) == 1


def test_lesson_with_errors_makes_no_mistakes(run: Any, tmp_path: Path) -> None:
    """Where the lesson has errors they are told; exit code 1."""
    folder = tmp_path / "half"
    folder.mkdir()
    (folder / "lesson.toml").write_text('title = "x"\nboard = "400"\nsupply = "4 x AA"\n', encoding="utf-8")
    (folder / "lesson.md").write_text("x\n", encoding="utf-8")
    code, out = run("mistakes", str(folder), "--json")
    assert code in (1, 2)
    assert json.loads(out)["findings"]


SLOWLY = """
import time
import signal
signal.signal(signal.SIGINT, signal.default_int_handler)  # a shell's background job ignores it
from buildalong.cli import main
from buildalong.mistakes import _lab
real, begun = _lab.case_of, []

def slow(*arguments):
    begun.append(1)
    if len(begun) == _lab.CHUNK + 5:
        print("ready", flush=True)
    if len(begun) > _lab.CHUNK:
        time.sleep(0.5)
    return real(*arguments)

_lab.case_of = slow
main(["mistakes", "lighthouse", "--json"])
"""


def test_ctrl_c_leaves_a_store_to_go_on_from(folder: Path, run: Any, tmp_path: Path) -> None:
    """The real signal in the second chunk: exit code 130, one word; only what was whole is kept."""
    assert run("mistakes", LIGHTHOUSE, "--json")[0] == 0
    whole = {path.name: path.read_bytes() for path in (folder / "buildalong").iterdir()}
    store = tmp_path / "buildalong"
    store.mkdir()
    for name, content in whole.items():
        if not name.startswith("mistakes-"):
            (store / name).write_bytes(content)  # the board is known, its mistakes are not
    before = set(store.iterdir())
    with subprocess.Popen(
        [sys.executable, "-c", SLOWLY], cwd=folder, env=os.environ | {"XDG_CACHE_HOME": str(tmp_path)},
        stdout=subprocess.PIPE, stderr=subprocess.PIPE,
    ) as process:  # fmt: skip
        assert process.stdout is not None
        assert process.stdout.readline() == b"ready\n"
        process.send_signal(signal.SIGINT)
        out, err = process.communicate(timeout=60)
    assert (process.returncode, out, err) == (130, b"", b"\nstopped\n")
    (kept,) = set(store.iterdir()) - before
    assert kept.read_bytes() == whole[kept.name]
    assert sum(name.startswith("mistakes-") for name in whole) > 1


def test_both_speak_the_language_asked_for(run: Any) -> None:
    """What the store has from another language is said anew; ids stay as they are."""
    _, english = run("mistakes", LIGHTHOUSE, "--part", "R3")
    code, german = run("mistakes", LIGHTHOUSE, "--part", "R3", "--language", "de")
    ids = re.compile(r"^  ([\w-]+): ", re.MULTILINE)
    assert code == 0
    assert ids.findall(german) == ids.findall(english) != []
    assert "R3 fehlt." in german
    assert "R3 is missing" not in german
    code, asked = run("trace", LIGHTHOUSE, "--symptom", "nothing", "--language", "fr")
    assert code == 0
    assert "Regarde" in asked
