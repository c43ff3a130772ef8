"""The command publish: a lesson's pack, once or again whenever the lesson changes."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

import click

from buildalong.cli._group import ERRORS, OK, UNREADABLE, lesson_command, print_findings
from buildalong.cli._show import Progress, say

if TYPE_CHECKING:
    from collections.abc import Callable

    from buildalong.publish import Published

__all__: list[str] = []

SHOWN = 6
"""Files that are named when a pack is written again; the others are counted."""


def _products(context: click.Context, option: click.Parameter, value: str | None) -> tuple[str, ...]:
    """The products in a list with commas; all without one."""
    from difflib import get_close_matches

    from buildalong.publish import PRODUCTS

    if value is None:
        return PRODUCTS
    names = [name.strip() for name in value.split(",") if name.strip()]
    for name in names:
        if name not in PRODUCTS:
            near = get_close_matches(name, PRODUCTS, n=1)
            hint = f"did you mean '{near[0]}'?" if near else f"there are {', '.join(PRODUCTS)}"
            raise click.BadParameter(f"no product '{name}': {hint}", context, option)
    if not names:
        raise click.BadParameter("it names no product", context, option)
    return tuple(names)


@lesson_command("buildalong publish examples/lighthouse --output pack --only article,cards")
@click.option("--output", required=True, type=click.Path(), help="Folder to write the lesson pack into.")
@click.option(
    "--only", callback=_products,
    help="Make only these, with commas between them: article, cards, parts, faults, fault-plan, pictures; "
    "other files in the folder stay.",
)  # fmt: skip
@click.option(
    "--hand",
    type=click.Choice(["right", "left"]),
    help="Hand that builds; left turns the board by half a turn.",
)
@click.option(
    "--contrast", type=click.Choice(["usual", "high"]), help="High: black lines on white, for weak eyes."
)
@click.option(
    "--faults/--no-faults",
    default=True,
    help="Simulate every plausible mistake, for the fault finder and the cautions (kept for the next time).",
)
@click.option("--cores", type=click.IntRange(1, 64), help="Processes that work; without it, all cores.")
@click.option(
    "--watch", is_flag=True, help="Stay, and publish again whenever the lesson changes; Ctrl-C ends."
)
def publish(
    lesson: str, as_json: bool, output: str, only: tuple[str, ...], hand: Any, contrast: Any, faults: bool,
    cores: int | None, watch: bool,
) -> int:  # fmt: skip
    """Write the lesson pack: article, fault finder, pictures, parts list.

    Only what has changed since the last time is made again.
    """
    from buildalong.publish import cores_here, publish_lesson
    from buildalong.store import user_store

    if watch and as_json:
        raise click.UsageError("--watch goes on and on; --json is one document")
    make = partial(
        publish_lesson, lesson, output, only=only, hand=hand, contrast=contrast, faults=faults,
        store=user_store(), cores=cores or cores_here(),
    )  # fmt: skip
    if watch:
        from buildalong.cli._watch import watched

        return watched(lesson, output, lambda tell: _once(make, output, False, tell, again=True))
    return _once(make, output, as_json)


def _once(
    make: Callable[..., Published], output: str, as_json: bool,
    heard: Callable[[], None] = lambda: None, *, again: bool = False,
) -> int:  # fmt: skip
    """Publish and tell; ``heard`` is called with each word of progress."""
    from buildalong.cli._json import publish_document, write
    from buildalong.finding import Unreadable

    progress = Progress()

    def tell(what: str) -> None:
        heard()
        progress.tell(what)

    try:
        done = make(progress=tell)
    except Unreadable as error:
        progress.clear()
        print_findings(error.findings, as_json)
        return UNREADABLE
    finally:
        progress.clear()
    if as_json and done.pack is not None:
        say(write(publish_document(output, done.pack.files, done.pack.changed, done.findings)))
        return OK
    print_findings(done.findings, as_json)
    if done.pack is None:
        if not as_json:
            say("nothing was published: mend the errors first")
        return ERRORS
    changed = done.pack.changed
    if again:
        more = f" and {len(changed) - SHOWN} more" if len(changed) > SHOWN else ""
        say(f"made again: {', '.join(changed[:SHOWN]) or 'nothing'}{more}")
    else:
        say(f"{len(done.pack.files)} files written to {output}")
    return OK
