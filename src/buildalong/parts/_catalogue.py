"""Loading the catalogue's TOML files and merging family, model, symbol, look and type."""

from __future__ import annotations

import difflib
import tomllib
from collections.abc import Iterator, Mapping
from functools import cache
from importlib import resources
from importlib.resources.abc import Traversable
from typing import Any

from buildalong.parts._schema import PartType

__all__ = ["Catalogue", "catalogue", "merge"]

_SHARED = ("family.toml", "model.toml", "symbol.toml", "look.toml")


def merge(base: Mapping[str, Any], over: Mapping[str, Any]) -> dict[str, Any]:
    """Merge two tables, the second winning; sub-tables are merged, lists are replaced."""
    out = dict(base)
    for key, value in over.items():
        old = out.get(key)
        out[key] = merge(old, value) if isinstance(old, Mapping) and isinstance(value, Mapping) else value
    return out


class Catalogue(Mapping[str, PartType]):
    """Part types by id, in alphabetical order of id."""

    def __init__(self, types: Mapping[str, PartType], families: Mapping[str, Mapping[str, Any]]) -> None:
        self._types = dict(sorted(types.items()))
        self._families = families

    def __getitem__(self, key: str) -> PartType:
        """Give the part type with this id; raises KeyError."""
        return self._types[key]

    def __iter__(self) -> Iterator[str]:
        """Iterate over the ids."""
        return iter(self._types)

    def __len__(self) -> int:
        """Count the part types."""
        return len(self._types)

    def nearest(self, name: str) -> tuple[str, ...]:
        """Ids that resemble ``name``, nearest first, at most three."""
        return tuple(difflib.get_close_matches(name, self._types, n=3, cutoff=0.4))

    def family_data(self, family: str) -> Mapping[str, Any] | None:
        """The merged data shared by a family, or None where there is no such family."""
        return self._families.get(family)

    def extended(self, own: Mapping[str, PartType]) -> Catalogue:
        """A catalogue that knows a lesson's own parts too; they win over ours."""
        return Catalogue({**self._types, **own}, self._families)


def _load(entry: Traversable) -> dict[str, Any]:
    return tomllib.loads(entry.read_text(encoding="utf-8"))


@cache
def catalogue() -> Catalogue:
    """Load the catalogue that ships with the package (once for each process)."""
    types: dict[str, PartType] = {}
    families: dict[str, Mapping[str, Any]] = {}
    root = resources.files("buildalong.parts") / "families"
    for folder in sorted(root.iterdir(), key=lambda entry: entry.name):
        if not folder.is_dir() or folder.name.startswith("_"):
            continue
        files = {entry.name: entry for entry in folder.iterdir() if entry.name.endswith(".toml")}
        shared: dict[str, Any] = {"family": folder.name}
        for name in _SHARED:
            if name in files:
                shared = merge(shared, _load(files[name]))
        families[folder.name] = shared
        for name, entry in sorted(files.items()):
            if name not in _SHARED:
                identity = name.removesuffix(".toml")
                types[identity] = PartType.model_validate(merge(shared, {"id": identity, **_load(entry)}))
    return Catalogue(types, families)
