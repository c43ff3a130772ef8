"""What the commands about values share: targets as typed, and their options."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

import click

from buildalong.cli._reading import refused

if TYPE_CHECKING:
    from collections.abc import Sequence

    from buildalong.lesson import Lesson
    from buildalong.spread import Target

__all__ = ["SEED", "WANT", "Finite", "target_of", "wanted_of"]

WANT = click.option(
    "--want", multiple=True, help='A target such as "on_time(DS1) is 0.6 s within 10 %"; else the promises.'
)
SEED = click.option("--seed", type=click.IntRange(0, 2**31 - 1), default=1, show_default=True,
                     help="Seed of the samples.")  # fmt: skip


class Finite(click.FloatRange):
    """A number between two limits; "nan", which is beyond neither, is refused."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> float:
        """Read one."""
        number = float(super().convert(value, param, ctx))
        if math.isnan(number):
            self.fail(f"{value} is no number.", param, ctx)
        return number


def wanted_of(lesson: Lesson, want: Sequence[str]) -> tuple[Target, ...]:
    from buildalong.lesson import targets_of

    found = tuple(target_of(text, lesson) for text in want) if want else targets_of(lesson)
    if not found:
        refused(
            "nothing-wanted", "the lesson promises nothing that can be measured", "give a target with --want"
        )
    return found


def target_of(text: str, lesson: Lesson) -> Target:
    """A target as typed, in the unit that its measure has."""
    from buildalong.engine import MEASURES
    from buildalong.lesson import read_target

    found = read_target(text, lesson)
    known = MEASURES.get(found.measure)
    if known is not None and known.unit != found.wanted.unit:
        given = f"in {found.wanted.unit}" if found.wanted.unit else "a number without a unit"
        wanted = f"in {known.unit}" if known.unit else "a share, such as 20 %"
        refused("target-unit", f"'{text[:60]}' is {given}, but {found.measure} is {wanted}",
                'write it like "on_time(DS1) is 0.6 s"')  # fmt: skip
    return found
