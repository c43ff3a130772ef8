"""Messages as the source has them: with a sense, with a plural, with named places."""

from __future__ import annotations

from typing import NamedTuple

__all__ = ["BETWEEN", "Many", "bare", "faults", "places_of", "sense"]

BETWEEN = "\x04"
"""Stands between the sense of a message and its words, as in gettext's catalogues."""


class Many(NamedTuple):
    """A message for one thing and for several: ``Many("{count} wire", "{count} wires")``.

    ``apart`` names a sense in which it is translated apart from all others: ``meant`` is the message in it.
    """

    one: str
    many: str
    apart: str = ""

    @property
    def meant(self) -> Many:
        """The message in the sense that is translated apart; the message itself where there is none."""
        return Many(sense(self.apart, self.one), self.many) if self.apart else self


def sense(meaning: str, message: str) -> str:
    """A message that needs its sense told, since English has one word for two things.

    ``sense("lamp", "dark")`` and ``sense("colour", "dark")`` are translated apart; English says "dark".
    """
    return f"{meaning}{BETWEEN}{message}"


def bare(message: str) -> str:
    """A message without its sense."""
    return message.rpartition(BETWEEN)[2]


def places_of(message: str) -> frozenset[str]:
    """The named places of a message.  Raises ValueError where its braces do not match."""
    from string import Formatter

    return frozenset(name for _, name, _, _ in Formatter().parse(bare(message)) if name is not None)


def faults(message: str, translation: str) -> str:
    """What makes a translation unfit to stand for a message, in words; "" where it is fit.

    It must have no place that the message has not, or the program would not know what to put there.
    """
    try:
        foreign = places_of(translation) - places_of(message)
    except ValueError as error:
        return f"its braces do not match: {error}"
    if foreign:
        return f"it has the place {{{sorted(foreign)[0]}}}, which the English has not"
    return ""
