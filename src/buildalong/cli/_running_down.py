"""The command battery: how long each supply lasts, and how low it may fall."""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeAlias

from buildalong.cli._group import OK, UNREADABLE, attempted, lesson_command
from buildalong.cli._reading import read_lesson
from buildalong.cli._show import Progress, say
from buildalong.cli._values import WANT, wanted_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from buildalong.battery import Life, Lowest, Use

__all__: list[str] = []

_Battery: TypeAlias = (
    "tuple[tuple[Use, ...], dict[str, tuple[Life, ...]], tuple[Lowest, ...], tuple[float, str], float]"
)


@lesson_command("buildalong battery examples/lighthouse")
@WANT
def battery(lesson: str, as_json: bool, want: tuple[str, ...]) -> int:
    """Tell how long each supply lasts, and down to which voltage the promises hold."""
    from buildalong.battery import least_supply, lives, lowest, switch_off, used
    from buildalong.cli._json import write
    from buildalong.cli._values_json import battery_document
    from buildalong.parts import catalogue

    def work(progress: Progress) -> _Battery:
        read = read_lesson(lesson)
        uses = used(read.circuit, read.trials)
        kinds = [kind for kind in catalogue().values() if kind.family == "supply"]
        hours = {use.trial: lives(read.circuit, use.current, kinds) for use in uses}
        found = lowest(read.circuit, read.trials, wanted_of(read, want), progress)
        return uses, hours, found, least_supply(read.circuit), switch_off(read.circuit, found)

    done = attempted(work, as_json)
    if done is None:
        return UNREADABLE
    if as_json:
        say(write(battery_document(*done)))
    else:
        _show_battery(*done)
    return OK


def _show_battery(
    uses: Sequence[Use], hours: dict[str, tuple[Life, ...]], found: Sequence[Lowest],
    least: tuple[float, str], off: float,
) -> None:  # fmt: skip
    from buildalong.quantity import format_quantity

    for use in uses:
        say(f"'{use.trial}', over and over: {format_quantity(use.current, 'A', 3)} on average")
        for life in hours[use.trial]:
            name = f"{life.cells} × {life.type.title}" if life.cells > 1 else life.type.title
            lasts = life.why
            if life.hours is not None:
                lasts = f"{'more than ' if life.beyond else 'about '}{format_quantity(life.hours, '', 2)} h"
            say(f"  {name}: {lasts}")
        say()
    own = [life for use in uses for life in hours[use.trial] if life.own]

    def lasting(volts: float | None) -> str:
        """For how long the lesson's own supply stays above a voltage, in the trial that takes most."""
        known = [life.until(volts) for life in own]
        least = min((h for h in known if h is not None), default=None)
        return "" if least is None else f", for about {format_quantity(least, '', 2)} h"

    ends = "until the supply is spent" if own else "down to the least that the supply gives"
    for each in found:
        if each.volts is None:
            say(f"{each.target}: not kept even at the nominal voltage")
        elif each.to_the_end:
            say(f"{each.target}: kept {ends} ({format_quantity(each.volts, 'V', 3)})")
        else:
            say(f"{each.target}: kept down to {format_quantity(each.volts, 'V', 3)}{lasting(each.volts)}")
    if least[1]:
        say(f"{least[1]} is promised by its maker to work from {format_quantity(least[0], 'V', 3)}")
    if any(life.hours is not None for lives in hours.values() for life in lives):
        say("hours of a supply: until its cells are empty, by their maker's chart")
    volts = format_quantity(off, "V", 3)
    what = "change the cells, or switch off," if own else "switch off"
    say(f"{what} at {volts} (measured without load){lasting(off)}")
