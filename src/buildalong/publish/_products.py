"""What a lesson pack is made of: products by name, each with its files."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, field

from buildalong.drawing import Picture, to_png
from buildalong.drawing.schematic import SchematicLayout
from buildalong.lesson import Compiled, Lesson, in_its_language
from buildalong.publish._article import article_frame
from buildalong.publish._builds import builds_of
from buildalong.publish._cards import cards_html
from buildalong.publish._crew import Crew, Task
from buildalong.publish._faults import faults_html, guide_for
from buildalong.publish._frame import Frame
from buildalong.publish._pictures import draw, parts_and_symbols, schematic_layout, schematic_picture_of
from buildalong.publish._rows import parts_csv
from buildalong.publish._sections import page_of
from buildalong.publish._variant import Variant
from buildalong.publish.handout import (
    Material,
    Paper,
    Setting,
    booklet_setting,
    editions_on,
    material_of,
    poster_pdf,
)
from buildalong.store import Store, digest_of

__all__ = ["Made", "begin", "make"]

DRAWN = {"article", "cards", "handout", "pictures"}
FOUND = {"article", "faults", "handout", "pictures"}
"""Products that need the pictures, and the mistakes."""
PNG_SIZE = 1920, 1080
PAPER: Paper = "a4"
"""The paper of the handouts in a pack."""
Tell = Callable[[str], None]


@dataclass
class Made:
    """The files of a pack; those that are in the store already by the name of their entry.

    The article is a frame and a booklet a setting: their words are put in when they are written.
    """

    frame: Frame | None = None
    settings: dict[str, Setting] = field(default_factory=dict)
    files: dict[str, bytes] = field(default_factory=dict)
    entries: dict[str, str] = field(default_factory=dict)


def begin(
    lesson: Lesson, only: Collection[str], variant: Variant, store: Store | None, room: Store | None
) -> SchematicLayout:
    """Look for the schematic; what can be drawn before there is a board is left in ``room`` as PNG."""
    layout = schematic_layout(lesson, store)
    if room is not None and "pictures" in only:
        schematic = schematic_picture_of(lesson, store, variant, lambda: layout)
        for pictures in ({"": schematic}, *parts_and_symbols(lesson, variant)):
            for picture in pictures.values():
                entry = _entry(picture)
                if room.read(entry) is None:
                    room.write(entry, _png(picture))
    return layout


@in_its_language
def make(
    compiled: Compiled, only: Collection[str], variant: Variant, *, faults: bool, store: Store | None,
    room: Store | None, crew: Crew, tell: Tell, schematic: Callable[[], SchematicLayout] | None = None,
) -> Made:  # fmt: skip
    """Make the products ``only`` of a sound lesson; pictures that are in ``room`` are taken from there."""
    wanted = set(only)
    made = Made()
    guide = None
    if faults and wanted & FOUND:
        guide = guide_for(compiled, store, lambda share, what: tell(what))
    if wanted & DRAWN:
        pngs = _Pngs(made, room, crew) if "pictures" in wanted else None
        pictures = draw(compiled, tell, store, variant, guide, schematic, pngs.begin if pngs else _nothing)
        page = None
        if "article" in wanted:
            tell("other builds")
            builds = builds_of(compiled, store, lambda share, what: tell(what))
            tell("article")
            page = page_of(compiled, pictures, guide, builds)
            made.frame = article_frame(compiled, page)
        if "cards" in wanted:
            tell("cards")
            made.files["cards.html"] = cards_html(compiled, pictures).encode()
        if "handout" in wanted:
            tell("handouts")
            _handouts(made, material_of(compiled, pictures, guide, page))
        if pngs:
            named = pictures.named()
            made.files |= {f"pictures/{name}.svg": picture.svg.encode() for name, picture in named.items()}
            pngs.collect(named, tell)
    if "parts" in wanted:
        made.files["parts.csv"] = parts_csv(compiled.circuit).encode("utf-8-sig")
    if guide is not None and "faults" in wanted:
        tell("fault finder")
        made.files["faults.html"] = faults_html(compiled, guide, variant).encode()
    return made


def _nothing(picture: Picture) -> None:
    """No PNG is wanted of a picture."""


def _handouts(made: Made, material: Material) -> None:
    """Booklets but for their words, and the board at true scale."""
    for edition in editions_on(PAPER, material.compiled):
        file = f"handout/{edition}-{PAPER}.pdf"
        if edition == "poster":
            made.files[file] = poster_pdf(material, PAPER)
        else:
            made.settings[file] = booklet_setting(material, PAPER, teacher=edition == "teacher")


class _Pngs:
    """Pictures as PNG, made by other processes while the first goes on; what is in the room is not made."""

    def __init__(self, made: Made, room: Store | None, crew: Crew) -> None:
        self.made, self.room, self.crew = made, room, crew
        self.known: dict[str, bytes] = {}
        self.tasks: dict[str, Task[bytes]] = {}
        """Both by the picture's SVG."""

    def begin(self, picture: Picture) -> None:
        """Look for a picture in the room, or let its making begin."""
        if picture.svg in self.known or picture.svg in self.tasks:
            return
        known = self.room.read(_entry(picture)) if self.room is not None else None
        if known is not None:
            self.known[picture.svg] = known
        else:
            self.tasks[picture.svg] = self.crew.start(_png, picture)

    def collect(self, named: Mapping[str, Picture], tell: Tell) -> None:
        """Put the pictures with these names among the files."""
        for picture in named.values():
            self.begin(picture)
        count = len(self.tasks)
        done = self.crew.finish(
            list(self.tasks.values()), lambda number: tell(f"picture {number} of {count}")
        )
        found = {**self.known, **dict(zip(self.tasks, done, strict=True))}
        for name, picture in named.items():
            file = f"pictures/{name}.png"
            self.made.files[file] = found[picture.svg]
            if self.room is not None:
                self.made.entries[file] = _entry(picture)


def _entry(picture: Picture) -> str:
    return digest_of("png", [picture.svg, *PNG_SIZE])


def _png(picture: Picture) -> bytes:
    return to_png(picture, *PNG_SIZE)
