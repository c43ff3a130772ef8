"""The architecture, as tests: floors, public doors, no import loops, a light command line."""

from __future__ import annotations

import ast
import importlib
import subprocess
import sys
from pathlib import Path

import pytest

SOURCE = Path(__file__).parents[1] / "src" / "buildalong"
FLOORS = {
    "finding": 0, "lazy": 0, "store": 0, "words": 0, "quantity": 1, "parts": 2, "circuit": 3,
    "engine": 10, "board": 10,
    "design": 20, "build": 20, "story": 20, "study": 20,
    "spread": 24, "mistakes": 24,
    "choose": 25, "battery": 25, "measured": 25, "trace": 25, "worksheet": 25,
    "kit": 26, "guide": 26, "exercise": 27,
    "lesson": 30, "drawing": 40, "edit": 40, "publish": 50, "film": 55, "bench": 57, "cli": 60,
}  # fmt: skip
"""Ground is ordered inside; on the other floors packages do not see their neighbours."""
PACKAGES = sorted(f"buildalong.{name}" for name in FLOORS)
HEAVY = {
    "aiohttp",
    "numpy",
    "numba",
    "pydantic",
    "ortools",
    "jinja2",
    "rich",
    "tree_sitter",
    "markdown_it",
    "resvg_py",
}


def _imports(path: Path) -> list[str]:
    """Absolute names of what a module imports from this project, at any depth of its code."""
    names: list[str] = []
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names += [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom) and node.level == 0 and node.module:
            names += [f"{node.module}.{alias.name}" for alias in node.names]
    return [name for name in names if name.startswith("buildalong.") and name != "buildalong.__version__"]


def _modules() -> list[Path]:
    return [path for path in sorted(SOURCE.rglob("*.py")) if path.parent != SOURCE]


@pytest.mark.parametrize("path", _modules(), ids=lambda path: str(path.relative_to(SOURCE)))
def test_module_imports_only_from_floors_below(path: Path) -> None:
    """A module imports its own package and packages on lower floors, and only their public doors."""
    own = path.relative_to(SOURCE).parts[0].removesuffix(".py")
    for name in _imports(path):
        other = name.split(".")[1]
        if other == own:
            continue
        assert other in FLOORS, f"{name} is not a known package"
        assert FLOORS[other] < FLOORS[own], f"{own} may not import {name}"
        private = [bit for bit in name.split(".")[2:] if bit.startswith("_")]
        assert not private, f"{own} reaches into the private module {name}"


def test_every_package_stands_on_a_floor() -> None:
    """No package of the source tree is missing from the floors."""
    found = {p.name.removesuffix(".py") for p in SOURCE.iterdir() if not p.name.startswith("_")}
    assert found == set(FLOORS)


@pytest.mark.parametrize("package", PACKAGES)
def test_package_imports_alone(package: str) -> None:
    """Each package imports in a fresh process: no import loop hides behind another import."""
    subprocess.run([sys.executable, "-c", f"import {package}"], check=True, timeout=60)


@pytest.mark.parametrize("package", PACKAGES)
def test_all_names_what_is_there(package: str) -> None:
    """Each package states its public door in __all__: every name in it exists (the linter sorts it)."""
    module = importlib.import_module(package)
    names = list(getattr(module, "__all__", []))
    assert len(names) == len(set(names))
    for name in names:
        assert getattr(module, name, None) is not None, name


def test_command_line_starts_light() -> None:
    """Importing the command line loads no heavy library, so that --help answers at once."""
    code = "import sys, buildalong.cli; print(' '.join(sys.modules))"
    command = [sys.executable, "-c", code]
    done = subprocess.run(command, check=True, timeout=60, capture_output=True, text=True)
    assert HEAVY & set(done.stdout.split()) == set()
