"""The commands about values and classes: what they print, and what they refuse."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from tests.demos import EXAMPLES

from buildalong.cli import main

LIGHTHOUSE = str(EXAMPLES / "lighthouse")
DUSK = str(EXAMPLES / "dusk-light")


def run(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[Any, str]:
    with pytest.raises(SystemExit) as caught:
        main(list(arguments))
    return caught.value.code, capsys.readouterr().out


def document(capsys: pytest.CaptureFixture[str], *arguments: str) -> dict[str, Any]:
    _, out = run(capsys, *arguments, "--json")
    found: dict[str, Any] = json.loads(out)
    assert found["schema"] == 1
    return found


def test_choose_gives_candidates(capsys: pytest.CaptureFixture[str]) -> None:
    """The keys of docs/json.md; every candidate has its values, measures, error and cost."""
    found = document(capsys, "choose", LIGHTHOUSE, "--free", "R1,R2", "--series", "E6")
    assert {"targets", "candidates", "refused", "grid", "simulated", "exact", "findings"} <= found.keys()
    best = found["candidates"][0]
    assert best["kept"]
    assert set(best["values"]) == {"R1", "R2"}
    assert set(best["measures"]) == {"on_time(DS1)", "off_time(DS1)"}


def test_an_open_value_is_chosen(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Value = "choose" stops a check with a hint, and is what choose works on."""
    for name in ("lesson.toml", "lesson.md"):
        text = (EXAMPLES / "lighthouse" / name).read_text(encoding="utf-8")
        (tmp_path / name).write_text(text.replace('"56k"', '"choose"'), encoding="utf-8")
    code, out = run(capsys, "check", str(tmp_path))
    assert code == 1
    assert "value-open" in out
    found = document(capsys, "choose", str(tmp_path))
    assert found["candidates"][0]["values"]["R1"]["value"] == pytest.approx(56e3, rel=0.15)


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("choose", LIGHTHOUSE), "no part is free"),
        (("choose", LIGHTHOUSE, "--free", "R9"), "no part 'R9'"),
        (("choose", LIGHTHOUSE, "--free", "R1", "--series", "E7"), "no series"),
        (("choose", LIGHTHOUSE, "--free", "R1", "--want", "on_time(DS1) is fast"), "not a number"),
        (("choose", LIGHTHOUSE, "--free", "R1", "--want", "on_tim(DS1) is 1 s"), "no measure"),
        (("choose", LIGHTHOUSE, "--free", "R1", "--between", "R1", "1k", "x"), "x"),
        (("choose", LIGHTHOUSE, "--free", "R1,R2,C1,R3", "--series", "E192"), "narrow the ranges"),
        (("choose", LIGHTHOUSE, "--free", "R1", "--drawer", "nowhere.csv"), "cannot be read"),
        (("choose", LIGHTHOUSE, "--free", "R1", "--want", "on_time(DS1) is -1 s"), "above zero"),
        (("choose", LIGHTHOUSE, "--free", "R1", "--want", "on_time(DS1) is 5"), "in s"),
        (("choose", LIGHTHOUSE, "--free", "R1", "--between", "R1", "-1k", "1k"), "cannot lie between"),
        (("choose", LIGHTHOUSE, "--free", "R1", "--between", "R1", "10k", "1k"), "cannot lie between"),
        (("choose", LIGHTHOUSE, "--free", "R1", "--between", "C1", "1n", "2n"), "not to be chosen"),
        (("spread", LIGHTHOUSE, "--want", "on_time(XX) is 1 s"), "XX"),
        (("compare", LIGHTHOUSE, "--saw", "on_time(DS1) is 5 V"), "in s"),
        (("kit", LIGHTHOUSE, "--no-swaps", "--spares", "led", "-50"), "no share of spares"),
        (("kit", LIGHTHOUSE, "--no-swaps", "--spares", "ledx", "10"), "no family"),
        (("compare", LIGHTHOUSE), "nothing to compare"),
        (("compare", LIGHTHOUSE, "--recording", "nowhere.csv"), "cannot be read"),
        (("battery", "nowhere"), "nowhere"),
        (("kit", LIGHTHOUSE, "nowhere"), "nowhere"),
        (("worksheet", "nowhere"), "nowhere"),
    ],
)
def test_bad_input_ends_in_one_finding(
    arguments: tuple[str, ...], words: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Exit code 2, and the finding says what is wrong."""
    code, out = run(capsys, *arguments, "--json")
    assert code == 2
    found = json.loads(out)["findings"]
    assert len(found) >= 1
    assert words in " ".join(finding["message"] for finding in found)


def test_faults_of_the_drawer_are_told_where_nothing_is_left(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A drawer whose only resistor is written wrongly: both that nothing is there and why."""
    (tmp_path / "drawer.csv").write_text("what,value\nresistor,47 kilo\n", encoding="utf-8")
    asked = ("choose", LIGHTHOUSE, "--free", "R1", "--drawer", str(tmp_path / "drawer.csv"), "--json")
    code, out = run(capsys, *asked)
    assert code == 2
    assert [finding["code"] for finding in json.loads(out)["findings"]] == ["nothing-there", "drawer-value"]


def test_values_that_the_lesson_has_already_are_marked(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """R2 of the lighthouse is one of the drawer's two resistors: a row with it bears the mark."""
    rows = "what,value\nresistor,56k\nresistor,270k\n"
    (tmp_path / "drawer.csv").write_text(rows, encoding="utf-8")
    _, out = run(capsys, "choose", LIGHTHOUSE, "--free", "R1", "--drawer", str(tmp_path / "drawer.csv"))
    assert "270 kΩ *" in out
    assert "56 kΩ *" not in out
    assert "has this value already" in out


def test_a_small_grid_is_simulated_whole(capsys: pytest.CaptureFixture[str]) -> None:
    """Nothing is left to a forecast: E3 has 10, 22 and 47 in each decade (IEC 60063)."""
    _, out = run(
        capsys, "choose", LIGHTHOUSE, "--free", "R1", "--series", "E3", "--between", "R1", "10k", "100k"
    )
    assert "all 4 combinations simulated" in out
    assert "forecast" not in out


def test_a_forecast_that_passes_every_bound_is_quiet(capsys: pytest.CaptureFixture[str]) -> None:
    """Four free parts over nine decades: far points overflow a number, and the promises are kept anyway."""
    crossing = str(EXAMPLES / "level-crossing")
    found = document(capsys, "choose", crossing, "--free", "R2,R3,C1,C2", "--series", "E3")
    assert found["candidates"][0]["kept"]
    assert found["grid"] > 5_000


def test_spread_says_where_it_holds_and_what_it_leaves_out(capsys: pytest.CaptureFixture[str]) -> None:
    """Room and supply in one line (four AA cells: 6 V); the NE555's 1 %, 3 % and 2.25 % of TI SLFS022F."""
    _, out = run(capsys, "spread", LIGHTHOUSE, "--samples", "20", "--temperature", "5", "35")
    assert "in a room of 5 °C to 35 °C, its supply at 6 V" in out
    assert (
        "timing error of U1 itself, usually 1 % and at most 3 % as one-shot, usually 2.25 % as astable" in out
    )


def test_spread_tells_yield_and_shares(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The keys of docs/json.md, the same bytes twice, and a picture for each promise."""
    asked = ("spread", LIGHTHOUSE, "--samples", "60")
    first, second = document(capsys, *asked), document(capsys, *asked)
    assert first == second
    promise = first["promises"][0]
    assert {"yield", "low", "high", "quantiles", "shares", "sentence"} <= promise.keys()
    assert 0.0 < promise["yield"] <= 1.0
    code, _ = run(capsys, *asked, "--output", str(tmp_path / "out"))
    assert code == 0
    written = {file.name for file in (tmp_path / "out").glob("*.svg")}
    assert written == {"1-on-time-ds1.svg", "2-off-time-ds1.svg", "band-1.svg"}
    assert "24 boards" in (tmp_path / "out" / "band-1.svg").read_text(encoding="utf-8")


def test_battery_tells_hours_and_voltages(capsys: pytest.CaptureFixture[str]) -> None:
    """Current, hours on each supply, and where to stop."""
    found = document(capsys, "battery", DUSK)
    (trial,) = found["trials"]
    assert trial["supplies"][0]["supply"] == "supply-aa"
    assert trial["supplies"][0]["hours"] > 10
    assert found["switch_off"] > 0


def test_a_supply_without_cells_has_none_to_change(capsys: pytest.CaptureFixture[str]) -> None:
    """USB gives 4.4 V at least (a low-power port's 4.40 V in USB 2.0, from memory) and is never spent."""
    _, out = run(capsys, "battery", str(EXAMPLES / "level-crossing"))
    assert "kept down to the least that the supply gives (4.4 V)" in out
    assert "\nswitch off at 4.4 V" in out
    _, out = run(capsys, "battery", DUSK)
    assert "change the cells, or switch off, at 3.2 V" in out


def test_compare_says_what_would_explain_it(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A stopwatch's number, and an oscilloscope's recording of 0.52 s and 2.6 s."""
    found = document(capsys, "compare", LIGHTHOUSE, "--saw", "on_time(DS1) is 0.52 s", "--samples", "60")
    assert found["measurements"][0]["inside"]
    assert found["measurements"][0]["explanations"][0]["part"] == "C1"
    rows = [f"{i / 100},{4 if (i / 100) % 3.12 > 2.6 else 0}" for i in range(1200)]
    (tmp_path / "scope.csv").write_text("s,V\n" + "\n".join(rows), encoding="utf-8")
    found = document(
        capsys, "compare", LIGHTHOUSE, "--recording", str(tmp_path / "scope.csv"), "--samples", "60"
    )
    assert [m["measured"] for m in found["measurements"]] == [
        pytest.approx(0.52, abs=0.02), pytest.approx(2.6, abs=0.02),
    ]  # fmt: skip


def test_kit_and_worksheets_write_their_files(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Sheets and labels of a course of two; worksheets for two."""
    asked = ("kit", LIGHTHOUSE, DUSK, "--learners", "2", "--no-swaps", "--output", str(tmp_path / "kit"))
    code, out = run(capsys, *asked)
    assert code == 0
    assert "330 Ω resistor" in out
    names = {path.name for path in (tmp_path / "kit").iterdir()}
    assert {"kit.xlsx", "labels.pdf", "shopping.csv", "bags.csv"} <= names
    code, out = run(capsys, "worksheet", DUSK, "--learners", "2", "--output", str(tmp_path / "sheets"))
    assert code == 0
    assert (tmp_path / "sheets" / "worksheets.pdf").read_bytes().startswith(b"%PDF")


@pytest.mark.parametrize(
    "arguments",
    [
        ["spread", "--temperature", "nan", "3"],
        ["spread", "--supply", "nan", "1"],
        ["compare", "--saw", "on_time(DS1) is -3 s"],
        ["compare", "--saw", "on_time(DS1) is 1e999 s"],
        ["battery", "--want", "on_time(DS1) is 1 s within -5 %"],
        ["choose", "--free", "R1", "--between", "R1", "-1", "2"],
    ],
)
def test_numbers_without_sense_are_refused(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    """No number, below zero, beyond all bounds: exit code 2 and words, no traceback (docs/json.md)."""
    with pytest.raises(SystemExit) as ended:
        main([arguments[0], str(EXAMPLES / "lighthouse"), *arguments[1:]])
    assert ended.value.code == 2
    said = capsys.readouterr()
    assert "Traceback" not in said.out + said.err
    assert said.out + said.err


def test_a_kit_counts_the_wires_of_the_laid_out_lesson(capsys: pytest.CaptureFixture[str]) -> None:
    """Reference: the wires of the lesson's own layout, as its published parts list counts them."""
    from buildalong.lesson import compile_lesson

    laid = compile_lesson(EXAMPLES / "mailbox-flag", want=("board",)).layout
    assert laid is not None
    with pytest.raises(SystemExit) as ended:
        main(["kit", str(EXAMPLES / "mailbox-flag"), "--wires", "--no-swaps", "--learners", "3", "--json"])
    assert ended.value.code == 0
    lines = json.loads(capsys.readouterr().out)["lines"]
    (wire,) = [line for line in lines if line["family"] == "wire"]
    assert wire["needed"] == 3 * len(laid.wires)
