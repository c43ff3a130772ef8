"""The shape of lesson.toml.  The lesson reference in docs/ is generated from these descriptions."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, model_validator

__all__ = [
    "MAX_PARTS",
    "MAX_PINS",
    "MAX_PROMISES",
    "MAX_TRIALS",
    "LayoutTable",
    "LessonTable",
    "MistakesTable",
    "OwnMistakeTable",
    "PartTable",
    "PictureTable",
    "PromiseTable",
    "SourceTable",
    "SupplyTable",
    "TrialTable",
]

MAX_PARTS = 80
MAX_PINS = 40
MAX_TRIALS = 12
MAX_PROMISES = 60
MAX_LINES = 200
"""Most lines of one kind in a trial, wires in a layout, and the like."""
MAX_WORDS = 400
"""Most translated words of a lesson in one language."""


def _written(value: Any) -> Any:
    """Let an author write 470 for "470"; everything else is left to the check of the type."""
    if isinstance(value, int | float) and not isinstance(value, bool):
        return str(value)
    return value


Written = Annotated[str, BeforeValidator(_written), Field(max_length=200)]
"""A quantity or name as the author wrote it; a bare number is taken as text."""
Words = Annotated[str, Field(max_length=2000)]
Tag = Annotated[str, Field(pattern=r"^[a-z]{2,3}(-[A-Za-z0-9]{2,8})*$")]
Lines = Annotated[list[Annotated[str, Field(max_length=200)]], Field(max_length=MAX_LINES)]


class _Table(BaseModel):
    model_config = ConfigDict(extra="forbid", str_strip_whitespace=True)


class SupplyTable(_Table):
    """The supply as a table, where its nets or its name differ from the usual."""

    kind: Written = Field(description='the supply: "4 x AA", "3 x AAA", "9 V block", "CR2032", "USB 5 V"')
    plus: Written = Field("PLUS", description="net of its plus lead")
    minus: Written = Field("0V", description="net of its minus lead; all voltages are measured against it")
    id: Written = Field("BT1", description="its reference in the drawings")
    does: Words = Field("", description="what it does here, told as the reason of its step")


class PartTable(_Table):
    """One part: ``R1 = { part = "resistor", value = "470", pins = ["OUT", "LAMP"] }``."""

    part: Written = Field(
        description="which part: an id of the catalogue, or of the lesson's own parts folder"
    )
    pins: Annotated[list[Written], Field(max_length=MAX_PINS)] | dict[str, Written] = Field(
        description="the net of each terminal: a list in the order of the terminals, or a table "
        '{ A = "PLUS" }; "-" leaves a terminal open'
    )
    value: Written | None = Field(
        None, description='value with its unit: "4k7", "22 µF", "10 nF"; "choose" leaves it open'
    )
    tolerance: Written | None = Field(
        None, description='tolerance, "5 %"; without it the usual one of the part'
    )
    rated: Written | None = Field(None, description='working voltage printed on a capacitor: "16 V"')
    position: Written | None = Field(None, description='where a potentiometer stands at first: "50 %"')
    light: Written | None = Field(None, description='light on a light-dependent resistor at first: "300 lx"')
    set_: dict[str, Written] = Field(
        {}, alias="set", description='further settings that the part type lists: set = { hot = "60 °C" }'
    )
    label: Words = Field("", description='a second name shown beside the part: "red"')
    does: Words = Field(
        "", description="what the part does in this circuit, one sentence, told as the reason of its step"
    )


class TrialTable(_Table):
    """A scripted run; the supply is switched on at 0 s.  Each lesson needs at least one."""

    name: Words = Field(description='a short name: "first minute"')
    lasts: Written = Field(description='how long it runs: "30 s" (at most one hour)')
    press: Lines = Field([], description='buttons: "S1 at 2 s for 150 ms"')
    throw: Lines = Field(
        [], description='slide switches: "S1 is A", "S1 to B at 3 s" (the contact joined to C)'
    )
    turn: Lines = Field([], description='potentiometers: "R1 is 20 %", "R1 to 80 % from 1 s to 4 s"')
    light: Lines = Field([], description='light on sensors: "R2 is 300 lx", "R2 to 1 lx from 2 s to 10 s"')
    bounce: Written | None = Field(
        None, description='let button contacts chatter for this long at each press and release: "3 ms"'
    )


class PromiseTable(_Table):
    """A behaviour the learner may rely on; it is measured, never assumed."""

    that: Words = Field(description='the figure that is measured: "on_time(DS1)"')
    is_: Written = Field(alias="is", description='what it should be: "0.5 s"')
    within: Written = Field(description='how far it may differ: "20 %", or an amount such as "0.1 s"')
    trial: Words = Field("", description="the trial in which it is measured; without it the first trial")
    says: Words = Field("", description='the promise in words, for the article: "each flash is short"')


class LayoutTable(_Table):
    """Placement by hand, whole or in part: ``R1 = ["c7", "c11"]``; what is not named is placed."""

    model_config = ConfigDict(extra="allow")

    wires: Annotated[list[list[Written]], Field(max_length=MAX_LINES)] = Field(
        [],
        description='wires: [["a4", "j9"], ["a1", "L-2", "black"], ["c7", "c12", "j12"]]: the two ends, '
        "between them the places where the wire bends, and, if you like, a colour and a style",
    )
    style: Literal["formed", "link", "flexible"] = Field(
        "formed",
        description="how new wires are made: formed (bent at right angles), link (straight), flexible",
    )
    list_: Written = Field(
        "", alias="list", description='a build list in the lesson folder: "build.txt" (see build lists)'
    )
    order: Literal["list", "best"] = Field(
        "list", description="the order of the steps: that of the build list, or the best that is found"
    )
    grows_from: Written = Field(
        "",
        description="the build list of an earlier lesson, copied into this folder: its parts and wires stay "
        "where they are as far as this circuit has them",
    )
    where: Lines = Field(
        [], description='where parts must stand: ["R1 in rows 10 to 15", "DS1, DS2 on the left"]'
    )
    keep_free: Lines = Field([], description='where nothing may stand or lie: ["rows 25 to 30", "a1 to e4"]')
    gentle: bool = Field(
        False,
        description="true: among layouts with equally many wires, one in which likely slips do little harm",
    )

    @model_validator(mode="before")
    @classmethod
    def _holes(cls, data: Any) -> Any:
        if isinstance(data, dict):
            known = {field.alias or name for name, field in cls.model_fields.items()}
            for key, value in data.items():
                if key in known:
                    continue
                if not isinstance(value, list) or not all(isinstance(hole, str) for hole in value):
                    raise ValueError(f'{key}: holes are written as a list of texts: {key} = ["c7", "c11"]')
                if len(value) > MAX_PINS:
                    raise ValueError(f"{key}: no part has {len(value)} leads")
        return data


class PictureTable(_Table):
    """How the pictures are drawn; ``publish --hand`` and ``--contrast`` say it for one pack."""

    hand: Literal["right", "left"] = Field(
        "right",
        description="the hand that builds: for the left one the board lies turned by half a turn, so that "
        "the hand does not cover it",
    )
    contrast: Literal["usual", "high"] = Field(
        "usual", description="high: white ground, black lines, for weak eyes and poor printers"
    )
    symbols: Literal["IEC 60617", "IEEE 315"] = Field(
        "IEC 60617", description="the standard of the schematic's symbols: IEC 60617 or IEEE 315"
    )
    schematic: Lines = Field(
        [],
        description='hints for the schematic: "R1 left of U1", "R2 above R3", "R1 in line with R2", '
        '"keep R3 upright", "keep R3 lying", "keep C1 near U1"',
    )


class OwnMistakeTable(_Table):
    """A mistake of the author's own: parts that stand in other holes."""

    what: Annotated[str, Field(min_length=1, max_length=200)] = Field(
        description='what is wrong, for the learner: "R2 goes to 0 V."'
    )
    holes: Annotated[
        dict[Written, Annotated[list[Written], Field(max_length=MAX_PINS)]], Field(min_length=1)
    ] = Field(description='the holes that parts get instead: { R2 = ["h14", "j9"] }, "-" for none')
    weight: Annotated[float, Field(ge=0, le=100)] = Field(
        5.0, description="how likely it is; one lead one row off has 8 (our judgement)"
    )


class MistakesTable(_Table):
    """What the author wants of the mistakes that are made of the build."""

    forbid: Lines = Field(
        [],
        description='mistakes to leave out, by kind, part, wire or id: ["loose-contact", "R3", "wire 2"]',
    )
    weigh: dict[Written, Annotated[float, Field(ge=0, le=100)]] = Field(
        {},
        description="factors for how likely mistakes are, by the same names: { part-reversed = 3, DS1 = 2 }",
    )
    add: Annotated[list[OwnMistakeTable], Field(max_length=MAX_LINES)] = Field(
        [], description="mistakes of your own"
    )


class SourceTable(_Table):
    """Where the author learned it, or what the learner may read next."""

    title: Words = Field(description="title of the book, sheet or page")
    by: Words = Field("", description="who wrote it")
    link: Words = Field("", description="its address, starting with https://")


class LessonTable(_Table):
    """The facts of a lesson."""

    title: Annotated[str, Field(min_length=1, max_length=120)] = Field(description="the title")
    summary: Words = Field("", description="one sentence under the title")
    board: Written = Field(
        "400",
        description="tie-points of the board: 170, 400, 830 or 830-split; or smallest, which fits",
    )
    supply: Written | SupplyTable = Field(
        description='the supply, on the nets PLUS and 0V: "4 x AA", "9 V block", "USB 5 V", ...; or a table'
    )
    author: Words | Annotated[list[Words], Field(max_length=20)] = Field(
        "", description="who wrote the lesson"
    )
    licence: Words = Field("", description='terms of use: "CC BY 4.0"')
    language: Tag = Field("en", description="language of your words, as in BCP 47")
    ages: Words = Field("", description='for whom: "12 to 16"')
    time: Written = Field("", description='how long building takes: "45 min"')
    link: Words = Field(
        "", description='address of the folder where the pack will stand: "https://example.org/lighthouse/"'
    )
    links: dict[Tag, Words] = Field(
        {}, description='the same of its other languages: { de = "https://example.org/de/lighthouse/" }'
    )
    parts: dict[Annotated[str, Field(max_length=16)], PartTable] = Field(
        description="the parts by reference (R1, C1, U1, ...), in the order in which you explain them"
    )
    trial: Annotated[list[TrialTable], Field(max_length=MAX_TRIALS)] = Field([], description="the trials")
    promise: Annotated[list[PromiseTable], Field(max_length=MAX_PROMISES)] = Field(
        [], description="the promises"
    )
    layout: LayoutTable | None = Field(None, description="placement by hand")
    picture: PictureTable | None = Field(None, description="how the pictures are drawn")
    mistakes: MistakesTable | None = Field(None, description="what you want of the mistake laboratory")
    source: Annotated[list[SourceTable], Field(max_length=60)] = Field([], description="sources and links")
    words: dict[Tag, Annotated[dict[Words, Words], Field(max_length=MAX_WORDS)]] = Field(
        {},
        description="your words in other languages: [words.de] with lines "
        '"A lighthouse" = "Ein Leuchtturm"; the prose stands in lesson.de.md',
    )
