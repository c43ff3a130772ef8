"""What every test may use; and the rule for tests that need Debian packages."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from hypothesis import settings

from buildalong.lesson import Compiled, compile_lesson
from buildalong.store import user_store
from demos import EXAMPLES
from once import FOLDER, once

if TYPE_CHECKING:
    from playwright.sync_api import Browser

# the same examples in each run, and no time limit for one of them on a machine that is busy
settings.register_profile("steady", deadline=None, derandomize=True)
settings.load_profile("steady")

# what is made before a test, and in tests that say so: without a store
os.environ["BUILDALONG_STORE"] = "off"

DEBIAN_TOOLS = {
    "chromium": "chromium", "java": "default-jre-headless", "ngspice": "ngspice",
    "pdftotext": "poppler-utils",
}  # fmt: skip
"""Tools that some tests need, and the Debian packages that bring them."""


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption(
        "--need-debian",
        action="store_true",
        help="run the tests that need Debian packages even if the tool seems to be missing",
    )


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Leave out tests whose Debian tool is missing, unless they are demanded."""
    if config.getoption("--need-debian"):
        return
    kept: list[pytest.Item] = []
    for item in items:
        marker = item.get_closest_marker("debian")
        tools = (marker.args or DEBIAN_TOOLS) if marker else ()
        missing = [tool for tool in tools if shutil.which(tool) is None]
        if not missing:
            kept.append(item)
    items[:] = kept


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Say which tests were left out, and for want of what."""
    for tool, package in DEBIAN_TOOLS.items():
        if shutil.which(tool) is None:
            terminalreporter.write_line(
                f"left out: the tests that need '{tool}', for want of the Debian package "
                f"{package} (.ci/run installs it and runs them)"
            )


@pytest.fixture(scope="session")
def shared(tmp_path_factory: pytest.TempPathFactory, worker_id: str) -> Path:
    """A folder that all workers of the test run have in common."""
    base = tmp_path_factory.getbasetemp()
    return base if worker_id == "master" else base.parent


@pytest.fixture(scope="session", autouse=True)
def _store_of_the_run(shared: Path) -> None:
    """Keep what commands and benches work out for the tests after them; a user's own folders are not touched.

    A test that wants an empty store brings one, or none.
    """
    os.environ[FOLDER] = str(shared)
    os.environ["BUILDALONG_STORE"] = "on"
    os.environ["XDG_CACHE_HOME"] = str(shared / "cache")
    os.environ["XDG_STATE_HOME"] = str(shared / "state")


@pytest.fixture(scope="session")
def compiled_demo(_store_of_the_run: None) -> Callable[[str], Compiled]:
    """Give a demo lesson by name, compiled once for all workers of the test run."""
    return lambda name: once(name, lambda: compile_lesson(EXAMPLES / name, store=user_store()))


FLAGS = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
]  # fmt: skip


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """The Debian browser, for tests marked with it."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        found = shutil.which("chromium")
        assert found, "the Debian package chromium is missing"
        browser = play.chromium.launch(executable_path=found, args=FLAGS)
        yield browser
        browser.close()
