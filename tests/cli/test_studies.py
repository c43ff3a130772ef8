"""The commands sweep, sensitivity and moment."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from buildalong.cli import main
from demos import EXAMPLES

LIGHTHOUSE, DUSK = str(EXAMPLES / "lighthouse"), str(EXAMPLES / "dusk-light")
SWEEP = ("sweep", LIGHTHOUSE, "--part", "R2", "--from", "100k", "--to", "300k", "--count", "3")
OFF = ("--measure", "off_time(DS1)")


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]) -> Any:
    """Run a command: exit code and what it printed."""

    def call(*arguments: str) -> tuple[Any, str]:
        with pytest.raises(SystemExit) as caught:
            main(list(arguments))
        return caught.value.code, capsys.readouterr().out

    return call


def test_sweep(run: Any, tmp_path: Path) -> None:
    """The dark time grows with R2 (it is ln 2 · R2 · C1 and more); table, JSON and pictures agree."""
    code, out = run(*SWEEP, *OFF, "--picture", str(tmp_path / "c.svg"), "--waves", str(tmp_path / "w.png"))
    assert code == 0
    assert "300 kΩ" in out
    assert (tmp_path / "c.svg").read_text("utf-8").startswith("<svg")
    assert (tmp_path / "w.png").read_bytes().startswith(b"\x89PNG")
    code, out = run(*SWEEP, *OFF, "--json")
    document = json.loads(out)
    assert (code, document["schema"], document["moved"]["part"]) == (0, 1, "R2")
    low, middle, high = document["measures"][0]["values"]
    assert low < middle < high
    assert document["measures"][0]["unit"] == "s"


def test_sensitivity(run: Any) -> None:
    """The period of the lighthouse goes with C1, nearly one per cent for each (T is proportional to C)."""
    code, out = run(
        "sensitivity", LIGHTHOUSE, "--measure", "period(DS1)", "--part", "C1", "--part", "R3", "--json"
    )
    document = json.loads(out)
    assert code == 0
    first = document["measures"][0]["influences"][0]
    assert first["part"] == "C1"
    assert first["relative"] == pytest.approx(1.0, abs=0.01)
    code, out = run("sensitivity", LIGHTHOUSE, "--measure", "period(DS1)", "--part", "C1")
    assert code == 0
    assert "C1" in out


def test_moment(run: Any) -> None:
    """At night the comparator of the dusk light pulls its output low (ST LM393: 0.7 V at most at 4 mA)."""
    code, out = run("moment", DUSK, "--at", "10 s", "--json")
    document = json.loads(out)
    assert code == 0
    assert document["voltages"]["OUT"] < 0.7
    assert document["states"]["U1.1"] == "pulling"
    assert document["currents"]["DS1"]["A"] == pytest.approx(-document["currents"]["DS1"]["K"])
    code, out = run("moment", DUSK, "--at", "10 s")
    assert code == 0
    assert "LAMP" in out


def test_simulate_grades_the_damage(run: Any, tmp_path: Path) -> None:
    """A light of 30 mA at most behind 10 ohm takes several times that: it dies, in words and in JSON."""
    folder = tmp_path / "lamp"
    run("new", str(folder))
    facts = folder / "lesson.toml"
    facts.write_text(facts.read_text("utf-8").replace('value = "150"', 'value = "10"'), "utf-8")
    _, out = run("simulate", str(folder))
    assert "a light without a resistor" in out
    assert "dies: it is destroyed at once or within seconds" in out
    _, out = run("simulate", str(folder), "--json")
    (damage,) = [d for d in json.loads(out)["damages"] if d["part"] == "DS1"]
    assert (damage["grade"], damage["code"], damage["unit"]) == ("dies", "overcurrent", "A")
    assert damage["value"] > 3 * damage["limit"]


@pytest.mark.parametrize(
    ("arguments", "code"),
    [
        (("sweep", LIGHTHOUSE, "--part", "R77", "--from", "1k", "--to", "2k", *OFF), "unknown-part"),
        (("sweep", LIGHTHOUSE, "--part", "R2", "--from", "1k", "--to", "1k", *OFF), "range-empty"),
        ((*SWEEP[:-1], "1000000000", *OFF), "count-out-of-range"),
        (("sweep", LIGHTHOUSE, "--part", "R2", "--from", "1 V", "--to", "2k", *OFF), "value-unreadable"),
        (("sweep", LIGHTHOUSE, "--part", "R2", "--from", "-1k", "--to", "2k", *OFF), "value-out-of-range"),
        ((*SWEEP, "--measure", "off_tim(DS1)"), "unknown-measure"),
        ((*SWEEP, "--measure", "off_time(DS1"), "figure-unreadable"),
        ((*SWEEP, "--measure", "off_time(C1)"), "measure-unfit"),
        ((*SWEEP, *OFF, "--trial", "nope"), "unknown-trial"),
        ((*SWEEP, *OFF, "--picture", "x.gif"), "picture-kind"),
        ((*SWEEP, *OFF, "--picture", "/nowhere/at/all/x.svg"), "file-unwritable"),
        ((*SWEEP, *(OFF * 7)), "count-out-of-range"),
        (("sensitivity", LIGHTHOUSE, *OFF, "--part", "R2.colour"), "unknown-parameter"),
        (("moment", DUSK, "--at", "99 s"), "value-out-of-range"),
        (("moment", DUSK, "--at", "later"), "value-unreadable"),
        (("moment", "no/such/lesson"), "lesson-missing"),
    ],
)
def test_bad_input_is_one_finding(run: Any, arguments: tuple[str, ...], code: str) -> None:
    """What cannot be done is told as a finding with exit code 2, never as a traceback."""
    ended, out = run(*arguments, "--json")
    assert ended == 2
    assert [f["code"] for f in json.loads(out)["findings"]] == [code]
