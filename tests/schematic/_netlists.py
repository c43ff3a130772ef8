"""Netlists of our own for the schematic's tests: small circuits of many shapes, a file each."""

from __future__ import annotations

import tomllib
from pathlib import Path

from _schematic_demo import circuit_of

from buildalong.circuit import Circuit

__all__ = ["NETLISTS"]

NETLISTS: dict[str, Circuit] = {
    file.stem: circuit_of(tomllib.loads(file.read_text(encoding="utf-8")))
    for file in sorted((Path(__file__).parent / "netlists").glob("*.toml"))
}
