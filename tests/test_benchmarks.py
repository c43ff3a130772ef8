"""The frame of the benchmarks: sections are chosen by name, and results are replaced whole or kept."""

import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
sys.path.append(str(ROOT))

import benchmarks.__main__ as frame  # noqa: E402
from benchmarks._reference import span, tightened  # noqa: E402
from benchmarks._report import Report, cell  # noqa: E402
from benchmarks._results import parts, store  # noqa: E402


def section(run):
    """A section as a module would be."""
    return type("Section", (), {"TITLE": "A title", "__doc__": "About it.", "run": staticmethod(run)})


def good(report):
    """A section with one row and one missed target."""
    report.table(("what", "how many"), [("apples", 3)])
    report.target("apples", "4", "3", False)


@pytest.fixture
def results(tmp_path, monkeypatch):
    """A file of results with one section of an earlier day."""
    file = tmp_path / "RESULTS.md"
    store(file, "other_section", "## Other\n\n*Measured 1999-12-31*\n")
    monkeypatch.setattr(frame, "RESULTS", file)
    return file


def play(monkeypatch, run, *more):
    """Run the frame with one section."""
    monkeypatch.setattr(frame.importlib, "import_module", lambda name: section(run))
    return frame.main(["engine.start", *more])


def test_sections_are_found_by_name_and_by_area():
    """A name with dot or underscore is one section, an area all of its own, and an unknown word a refusal."""
    assert frame.chosen(["engine.accuracy"]) == ["engine_accuracy"]
    engine = frame.chosen(["engine"])
    assert "engine_speed" in engine
    assert all(name.startswith("engine_") for name in engine)
    assert set(frame.chosen([])) == set(frame.sections())
    with pytest.raises(SystemExit, match="no section 'nonsense'"):
        frame.chosen(["nonsense"])


def test_a_section_is_written_and_the_others_keep_their_figures(results, monkeypatch):
    """What was run is replaced, with its date and command; what was not run stays as it was."""
    assert play(monkeypatch, good) == 0
    found = parts(results.read_text(encoding="utf-8"))
    assert found["other_section"] == "## Other\n\n*Measured 1999-12-31*\n"
    assert "| apples | 3 |" in found["engine_start"]
    assert "`python -m benchmarks engine_start`" in found["engine_start"]
    assert "- **missed**: apples: wanted 4, reached 3" in found["engine_start"]


def test_an_interruption_leaves_the_results_whole(results, monkeypatch):
    """Ctrl-C in the middle of a section: the file is byte for byte what it was."""

    def stopped(report):
        good(report)
        raise KeyboardInterrupt

    before = results.read_bytes()
    assert play(monkeypatch, stopped) == 130
    assert results.read_bytes() == before


def test_a_section_that_breaks_down_lets_the_next_one_run(results, monkeypatch, capsys):
    """One broken section: the file is as it was, the next is measured, and the end is 1."""

    def broken(report):
        raise ValueError("no deck")

    modules = {"benchmarks.engine_batch": section(broken), "benchmarks.engine_start": section(good)}
    monkeypatch.setattr(frame.importlib, "import_module", modules.__getitem__)
    assert frame.main(["engine.batch", "engine.start"]) == 1
    found = parts(results.read_text(encoding="utf-8"))
    assert set(found) == {"other_section", "engine_start"}
    assert "Took 0 min 00 s." in found["engine_start"]
    told = capsys.readouterr().err
    assert "2 of 2: engine_start" in told
    assert "ValueError: no deck" in told
    assert "kept: engine_batch" in told


def test_strict_and_no_write(results, monkeypatch):
    """``--strict`` ends with 1 for a missed target, ``--no-write`` leaves the file alone."""
    before = results.read_bytes()
    assert play(monkeypatch, good, "--strict", "--no-write") == 1
    assert results.read_bytes() == before


def test_cells_have_three_digits():
    """Numbers are rounded to what a reader can use; nothing is a dash."""
    assert [cell(v) for v in (None, True, 12345, 12345.6, 3.14159, "x")] == [
        "–", "yes", "12,345", "12,346", "3.14", "x",
    ]  # fmt: skip
    with pytest.raises(ValueError, match="a row of 1 cells"):
        Report("t", "about").table(("a", "b"), [("x",)])


def test_an_interrupted_count_of_mistakes_is_taken_up(tmp_path):
    """Whole blocks are read again, and a line that was cut off is dropped from the file too."""
    from benchmarks.engine_robustness import Ending, _finished

    file = tmp_path / "kept.jsonl"
    whole = '[["lighthouse", 0, ["floating-net"], "", 0.5], ["lighthouse", 1, [], "", 0.25]]\n'
    file.write_text(whole + '[["lighthouse", 2, []', encoding="utf-8")
    assert _finished(file) == [
        Ending("lighthouse", 0, ("floating-net",), "", 0.5), Ending("lighthouse", 1, (), "", 0.25),
    ]  # fmt: skip
    assert file.read_text(encoding="utf-8") == whole
    assert _finished(tmp_path / "none.jsonl") == []


def test_every_lean_deck_can_be_run_tight():
    """Each has one tolerance and one largest step, which its tight run makes smaller."""
    decks = sorted((ROOT / "benchmarks" / "decks").glob("*.cir"))
    assert len(decks) >= 6
    for deck in decks:
        text = deck.read_text(encoding="utf-8")
        assert span(deck) > 0
        tight = tightened(text).splitlines()
        changed = [(a, b) for a, b in zip(text.splitlines(), tight, strict=True) if a != b]
        assert [a.split()[0] for a, _ in changed] == [".options", ".tran"], deck.name
