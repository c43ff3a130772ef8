"""Loading the catalogue's TOML files and merging family, model, symbol, look, inside and type."""

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

_FIGURE = frozenset({"typ", "min", "max"})
_SHARED = ("family.toml", "model.toml", "symbol.toml", "look.toml", "inside.toml")


def merge(base: Mapping[str, Any], over: Mapping[str, Any]) -> dict[str, Any]:
    """Merge two tables, the second winning; sub-tables are merged, lists and figures are replaced.

    A figure (typ, min, max) is replaced whole, so that limits of one source never mix with another's.
    """
    out = dict(base)
    for key, value in over.items():
        old = out.get(key)
        nested = isinstance(old, Mapping) and isinstance(value, Mapping) and not _FIGURE & value.keys()
        out[key] = merge(old, value) if nested else value  # type: ignore[arg-type]
    return out


class Catalogue(Mapping[str, PartType]):
    """Part types by id, in alphabetical order of id."""

    def __init__(
        self,
        types: Mapping[str, PartType],
        families: Mapping[str, Mapping[str, Any]],
        raw: Mapping[str, Mapping[str, Any]] | None = None,
    ) -> None:
        self._types = dict(sorted(types.items()))
        self._families = families
        self._raw = raw or {}

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
        return Catalogue({**self._types, **own}, self._families, self._raw)

    @property
    def families(self) -> tuple[str, ...]:
        """Names of the families, in alphabetical order."""
        return tuple(sorted(self._families))

    def type_data(self, identity: str) -> Mapping[str, Any] | None:
        """The merged data of one of our own types, or None where there is no such type."""
        return self._raw.get(identity)

    def named(self, text: str) -> PartType | None:
        """The part type with this id or alias; case and spaces do not matter."""
        wanted = _plain(text)
        for identity, part_type in self._types.items():
            if wanted in (_plain(identity), *(_plain(alias) for alias in part_type.aliases)):
                return part_type
        return None


def _plain(text: str) -> str:
    return "".join(text.split()).casefold()


def _load(entry: Traversable) -> dict[str, Any]:
    return tomllib.loads(entry.read_text(encoding="utf-8"))


@cache
def catalogue() -> Catalogue:
    """Load the catalogue that ships with the package (once for each process)."""
    types: dict[str, PartType] = {}
    families: dict[str, Mapping[str, Any]] = {}
    raw: dict[str, Mapping[str, Any]] = {}
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
                raw[identity] = merge(shared, {"id": identity, **_load(entry)})
                types[identity] = PartType.model_validate(raw[identity])
    return Catalogue(types, families, raw)
