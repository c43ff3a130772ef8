"""Labels for a template, in the language of the moment."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from buildalong.words import say

__all__ = ["spoken"]


def spoken(labels: Mapping[str, Sequence[str]]) -> dict[str, str | list[str]]:
    """Say each label, or each of several labels under one name."""
    return {
        name: say(label) if isinstance(label, str) else [say(each) for each in label]
        for name, label in labels.items()
    }
