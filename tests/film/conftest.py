"""A lesson's film material, made once."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from buildalong.film import Film, film
from buildalong.lesson import Compiled


@pytest.fixture(scope="session")
def mailbox(compiled_demo: Callable[[str], Compiled]) -> Compiled:
    """The mailbox flag, compiled."""
    return compiled_demo("mailbox-flag")


@pytest.fixture(scope="session")
def written(mailbox: Compiled) -> Film:
    """Script and captions of the mailbox flag."""
    return film(mailbox, ("script", "captions"))
