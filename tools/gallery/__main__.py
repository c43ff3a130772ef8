"""The gallery's command: choose, draw, write the page.  Run by ``make gallery``."""

from __future__ import annotations

import sys
import time
from pathlib import Path

import click
from tools.gallery._desk import BOARDS, ROOT, STYLES, Choice, Desk
from tools.gallery._exhibit import Exhibit, Section
from tools.gallery._page import file_of, page
from tools.gallery._sections import SECTIONS

from buildalong.drawing import to_png
from buildalong.store import user_store

KEYS = tuple(section.key for section in SECTIONS)
DEMOS = tuple(sorted(folder.name for folder in (ROOT / "examples").iterdir() if folder.is_dir()))
INTERRUPTED = 130


@click.command(epilog="Example: python -m tools.gallery layouts --demo lighthouse --board 400")
@click.argument("sections", nargs=-1, type=click.Choice(KEYS))
@click.option("--demo", "demos", multiple=True, type=click.Choice(DEMOS), help="Demo lesson; all without it.")
@click.option("--board", "boards", multiple=True, type=click.Choice(BOARDS), help="Board for the layouts.")
@click.option("--style", "styles", multiple=True, type=click.Choice(STYLES), help="Wires of the layouts.")
@click.option("--seconds", default=10.0, show_default=True, help="Work for each layout.")
@click.option("--output", default="build/gallery", show_default=True, type=click.Path(path_type=Path))
@click.option("--png", is_flag=True, help="Also write each picture as PNG, 1600 pixels wide.")
def main(
    sections: tuple[str, ...], demos: tuple[str, ...], boards: tuple[str, ...], styles: tuple[str, ...],
    seconds: float, output: Path, png: bool,
) -> None:  # fmt: skip
    """Draw the gallery: SECTIONS, or all of them.

    Layouts take long the first time; they are kept, so that the next run is quick.  Ctrl-C writes
    the page with what is finished.
    """
    choice = Choice(demos or DEMOS, boards or BOARDS, styles or STYLES, seconds)
    chosen = [section for section in SECTIONS if not sections or section.key in sections]
    desk = Desk(choice, user_store(), _tell)
    hung: list[tuple[Section, list[Exhibit]]] = []
    stopped = False
    began = time.monotonic()
    try:
        for section in chosen:
            room: list[Exhibit] = []
            hung.append((section, room))
            for exhibit in section.hang(desk):
                room.append(exhibit)
            spent = time.monotonic() - began
            _tell("")
            click.echo(f"{spent:6.0f} s  {section.title}: {len(room)}", err=True)
    except KeyboardInterrupt:
        stopped = True
    _write(output, hung, png)
    count = sum(exhibit.picture is not None for _, room in hung for exhibit in room)
    _tell("")
    click.echo(f"{count} pictures{' (interrupted)' if stopped else ''}: open {output / 'index.html'}")
    if stopped:
        sys.exit(INTERRUPTED)


def _write(output: Path, hung: list[tuple[Section, list[Exhibit]]], png: bool) -> None:
    output.mkdir(parents=True, exist_ok=True)
    (output / "index.html").write_text(page(hung), encoding="utf-8")
    for section, room in hung:
        for order, exhibit in enumerate(room, start=1):
            if exhibit.page:
                (output / file_of(section, order)).write_text(exhibit.page, encoding="utf-8")
            if png and exhibit.picture is not None:
                _tell(f"{section.key} {order}.png")
                file = output / "png" / f"{section.key}-{order:03d}.png"
                file.parent.mkdir(exist_ok=True)
                file.write_bytes(to_png(exhibit.picture, width=1600))


_SILENT = 15.0
"""Where standard error is no terminal, at least so long between two lines of progress [s]."""
_told = [0.0]


def _tell(text: str) -> None:
    """Progress on standard error: one line written over, or a line now and then where that is no terminal."""
    if sys.stderr.isatty():
        click.echo(f"\r{text[:78]:<78}" if text else f"\r{'':78}\r", nl=False, err=True)
    elif text and time.monotonic() - _told[0] >= _SILENT:
        _told[0] = time.monotonic()
        click.echo(f"          {text}", err=True)


if __name__ == "__main__":
    main()
