"""The gallery: every section hangs something, and the page stands by itself."""

import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING
from xml.etree import ElementTree

import pytest
from click.testing import CliRunner

ROOT = Path(__file__).parents[1]
sys.path.append(str(ROOT))

import tools.gallery.__main__ as frame  # noqa: E402
from tools.gallery._desk import Choice, Desk  # noqa: E402
from tools.gallery._exhibit import Exhibit, Section  # noqa: E402
from tools.gallery._page import page  # noqa: E402
from tools.gallery._sections import SECTIONS  # noqa: E402

from buildalong.lesson import Compiled  # noqa: E402
from demos import DEMOS  # noqa: E402
from once import once  # noqa: E402

if TYPE_CHECKING:
    from playwright.sync_api import Browser

Hung = list[tuple[Section, list[Exhibit]]]
NETLIST = 'supply = "4 x AA"\n[parts]\nR1 = { part = "resistor", value = "330 Ω", pins = ["PLUS", "A"] }\n\
DS1 = { part = "led-red", pins = ["A", "0V"] }\n'


@pytest.fixture(scope="module")
def hung(compiled_demo: Callable[[str], Compiled], tmp_path_factory: pytest.TempPathFactory) -> Hung:
    """Every section with a small choice."""
    folder = tmp_path_factory.mktemp("netlists")
    (folder / "one-light.toml").write_text(NETLIST, encoding="utf-8")
    (folder / "broken.toml").write_text('supply = "4 x AA"\n[parts]\nR1 = 7\n', encoding="utf-8")
    desk = Desk(Choice(("lighthouse",), ("400",), ("link",), 0.5, folder))
    desk._compiled["lighthouse"] = compiled_demo("lighthouse")
    rooms = once("gallery", lambda: [list(section.hang(desk)) for section in SECTIONS])
    return list(zip(SECTIONS, rooms, strict=True))


def test_every_section_hangs_something(hung: Hung) -> None:
    """No section is empty; every picture is well-formed XML with a text alternative."""
    for section, room in hung:
        shown = [exhibit for exhibit in room if exhibit.picture or exhibit.page]
        assert shown, section.key
        for exhibit in shown:
            if exhibit.picture:
                assert exhibit.picture.alt
                ElementTree.fromstring(exhibit.picture.svg)


def test_layouts_tell_wires_bound_and_time(hung: Hung) -> None:
    """The table of layouts has what a maintainer compares; the bound is no more than the wires."""
    rooms = {section.key: room for section, room in hung}
    (only,) = rooms["layouts"]
    facts = dict(only.facts)
    assert int(facts["lower bound"]) <= int(facts["wires"])
    assert facts["CPU time"].endswith(" s")


def test_netlist_that_cannot_be_read_is_told(hung: Hung) -> None:
    """A broken netlist stands in the table with what is wrong; the others hang."""
    rooms = {section.key: room for section, room in hung}
    told = {exhibit.title: exhibit for exhibit in rooms["netlists"]}
    assert told["one-light, IEC 60617"].picture is not None
    assert told["broken"].picture is None
    assert dict(told["broken"].facts)["result"]


def test_page_needs_no_other_file_and_names_nothing_twice(hung: Hung) -> None:
    """Nothing is fetched, and no id stands twice even where a picture does."""
    html = page(hung)
    assert "src=" not in html.replace("src:url(data:", "")
    ids = [piece.split('"')[0] for piece in html.split(' id="')[1:]]
    assert len(ids) == len(set(ids))
    assert page(hung) == html


def test_command_draws_what_is_chosen(tmp_path: Path) -> None:
    """The command writes the chosen section and its PNG files, and nothing else."""
    done = CliRunner().invoke(
        frame.main, ["sweeps", "--demo", "level-crossing", "--png", "--output", str(tmp_path)]
    )
    assert done.exit_code == 0, done.output
    files = sorted(file.name for file in tmp_path.rglob("*.*"))
    assert files == ["index.html", "sweeps-001.png", "sweeps-002.png"]


def test_interrupt_keeps_what_is_finished(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Ctrl-C ends the work; the page holds what was made before, and the exit code says so."""

    def broken_off(desk: Desk):
        yield Exhibit("first", "", None, (("made", "yes"),))
        raise KeyboardInterrupt

    monkeypatch.setattr(frame, "SECTIONS", (Section("layouts", "Layouts", "", broken_off),))
    done = CliRunner().invoke(frame.main, ["layouts", "--output", str(tmp_path)])
    assert done.exit_code == frame.INTERRUPTED
    assert "<td>yes</td>" in (tmp_path / "index.html").read_text(encoding="utf-8")


def test_all_demos_are_offered() -> None:
    """Every demo lesson can hang in the gallery."""
    assert frame.DEMOS == DEMOS


@pytest.mark.debian("chromium")
def test_axe_finds_no_serious_issue(hung: Hung, browser: "Browser", tmp_path: Path) -> None:
    """The axe-core rules (WCAG 2.2 among them) find nothing serious or critical."""
    from axe_playwright_python.sync_playwright import Axe

    file = tmp_path / "index.html"
    file.write_text(page(hung), encoding="utf-8")
    opened = browser.new_page(viewport={"width": 1280, "height": 900})
    opened.goto(file.as_uri())
    found = Axe().run(opened).response["violations"]
    opened.close()
    bad = [(v["id"], v["nodes"][0]["html"][:200]) for v in found if v["impact"] in ("serious", "critical")]
    assert bad == []
