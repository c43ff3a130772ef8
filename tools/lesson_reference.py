# ruff: noqa: E501 - sentences of the page stand whole
"""Write docs/lesson-reference.md from the schema, the grammar of figures and the limits of reading.

Run ``python tools/lesson_reference.py`` after a change; a test proves that the page is current.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

from pydantic import BaseModel

from buildalong.board import boards
from buildalong.engine import MEASURES
from buildalong.lesson import _folder, _schema
from buildalong.lesson._claims import ABOUT
from buildalong.lesson._figures import STATIC
from buildalong.lesson._images import MAX_PIXELS
from buildalong.lesson._own_parts import MAX_OWN
from buildalong.lesson._positions import MAX_DEPTH
from buildalong.lesson._trial import KINDS, MAX_LASTS
from buildalong.parts import catalogue

PAGE = Path(__file__).parents[1] / "docs" / "lesson-reference.md"

TABLES: tuple[tuple[str, str, type[BaseModel]], ...] = (
    ("The lesson", "At the top of `lesson.toml`.", _schema.LessonTable),
    ("The supply as a table", '`supply = { kind = "4 x AA", plus = "VCC" }`', _schema.SupplyTable),
    ("A part", "Under `[parts]`, one line for each.", _schema.PartTable),
    ("A trial", "`[[trial]]`, as often as you like.", _schema.TrialTable),
    ("A promise", "`[[promise]]`, as often as you like.", _schema.PromiseTable),
    ("The layout", "`[layout]`; not needed: without it everything is placed.", _schema.LayoutTable),
    ("The pictures", "`[picture]`; not needed.", _schema.PictureTable),
    ("Mistakes", "`[mistakes]`; not needed.", _schema.MistakesTable),
    ("A mistake of your own", "`[[mistakes.add]]`, as often as you like.", _schema.OwnMistakeTable),
    ("A source", "`[[source]]`, books and pages to thank or to read.", _schema.SourceTable),
)


def _type(annotation: Any) -> str:
    if annotation is bool:
        return "true or false"
    text = str(annotation)
    if "PartTable" in text:
        return "table of tables"
    if "Table" in text and "list" in text:
        return "list of tables"
    if "list[list" in text or "List[typing.List" in text or text.count("list[") > 1:
        return "list of lists"
    if "dict" in text and "list" in text:
        return "list or table" if " | " in text or text.startswith("typing.Union") else "table"
    if "Literal" in text:
        return "one word"
    if "list" in text:
        return "text or list" if text.startswith("typing.Union") or " | list" in text else "list of texts"
    if "Table" in text:
        return "text or table" if "str" in text else "table"
    return "table" if "dict" in text else "text"


def _usual(field: Any) -> str:
    if field.is_required():
        return "**must be given**"
    value = field.default
    if value in (None, "", [], {}):
        return ""
    return f"`{str(value).lower() if isinstance(value, bool) else value}`"


def _cell(text: str) -> str:
    return text.replace("|", "\\|")


def _table(model: type[BaseModel]) -> list[str]:
    out = ["| key | is | usual | what it says |", "|---|---|---|---|"]
    if model is _schema.LayoutTable:
        out.append('| `R1`, `U1`, ... | list of texts | | the hole of each lead: `R1 = ["c7", "c11"]` |')
    for name, field in model.model_fields.items():
        key = field.alias or name
        out.append(
            f"| `{key}` | {_type(field.annotation)} | {_usual(field)} | {_cell(field.description or '')} |"
        )
    return out


def page() -> str:
    """The whole page."""
    out = [
        "# Lesson reference",
        "",
        "This page is made by `tools/lesson_reference.py` from the program itself.",
        "",
        "A lesson is a folder: `lesson.toml` holds the facts, `lesson.md` the words, `parts/*.toml` the part",
        "types that only this lesson has, and pictures may lie beside them. `buildalong new NAME` writes a",
        "small complete one.",
        "",
        "Quantities are written as people write them: `4k7`, `22 µF`, `0R47`, `150 ms`, `1/4 W`, `20 %`.",
        "",
    ]
    for title, intro, model in TABLES:
        out += [f"## {title}", "", intro, "", *_table(model), ""]
    out += ["Boards: " + ", ".join(f"`{name}`" for name in boards()) + ".", ""]
    supplies = [kind for kind in catalogue().values() if kind.family == "supply"]
    out += ["Supplies: " + "; ".join(f"{k.title} (`{k.aliases[0]}`)" for k in supplies) + ".", ""]
    out += _trial_lines() + _figures() + _prose() + _own() + _limits()
    return "\n".join(out).rstrip() + "\n"


def _trial_lines() -> list[str]:
    out = [
        "## Lines of a trial",
        "",
        "Times count from the switching on of the supply.",
        "",
        "| key | works on | example |",
        "|---|---|---|",
    ]
    out += [f"| `{kind.key}` | {', '.join(kind.families)} | `{kind.example}` |" for kind in KINDS]
    return [
        *out,
        "",
        "Turns, light and switches may also be set from the start: `R2 is 300 lx`, `S1 is A`; they move at once",
        "with `at`, or evenly with `from ... to ...`.",
        "",
    ]


def _figures() -> list[str]:
    out = [
        "## Figures",
        "",
        "A promise measures a figure, and the words may put one in. A figure is a name and, in brackets, what it",
        "is about: a part (`DS1`), a net (`CAP`), a terminal (`U1.OUT`), and two times where only a piece of the",
        "trial counts: `on_time(DS1, 2 s, 8 s)`. Behind it may stand",
        "",
        '- `in "evening"`: the trial it is measured in; without it the first trial,',
        "- `in ms`: the unit it is written in,",
        "- `to 3 figures`: how many significant figures are written (2 for measures, else 3).",
        "",
        "`ideal` before it gives the result of the textbook formula: `ideal on_time(DS1)`; the formula sheet of",
        "the lesson lists which there are. `max(voltage(CAP))` is the same as `max_voltage(CAP)`.",
        "",
        "Without a simulation:",
        "",
    ]
    out += [f"- `{text.split(': ', 1)[0]}`: {text.split(': ', 1)[1]}" for text in STATIC.values()]
    out += ["", "Measured in a trial:", "", "| figure | of | unit | what it is |", "|---|---|---|---|"]
    for name, entry in sorted(MEASURES.items()):
        alias = "" if entry.name == name else f" (same as `{entry.name}`)"
        of = ", ".join(entry.targets)
        out.append(f"| `{name}`{alias} | {of} | {entry.unit or 'ratio'} | {_cell(entry.about)} |")
    return [*out, "", "A *light* is whatever shows that it is on: an LED, a buzzer or a motor.", ""]


def _prose() -> list[str]:
    return [
        "## Words",
        "",
        "`lesson.md` is Markdown (CommonMark with tables). Each `##` heading begins a section of the article;",
        "`## What you should see {#what-you-should-see}` gives it an id. Sections with the ids",
        "`what-you-will-build`, `how-it-works` and `what-you-should-see` stand beside what the program makes on",
        "the same subject; others follow as they are.",
        "",
        "`{{ on_time(DS1) }}` puts a figure in. A number with a unit that stands as plain text is a **claim**:",
        "",
        '- plain, "0.52 s": some figure of the lesson, rounded to the digits written, must be that number;',
        f'- "about", "around", "roughly", "nearly", "almost", `~`: the figure may differ by {ABOUT:.0%}, and what',
        "  a kept promise expects counts too;",
        '- "under", "at most", "over", "at least": a figure of that number, or one on the right side and within',
        "  ten times;",
        '- "0.4 to 0.6 s": a figure inside.',
        "",
        'A part named beside the number ("R1 is 47 kΩ", "the 10 µF capacitor C1") must itself have that value.',
        "Figures are the values, tolerances and ratings of the parts, the supply, the times of the trials, the",
        "measures and the formulas. No claims are: plain numbers, ages and lengths, code, links and their words,",
        "names such as BC547.",
        "",
        'Words that should not be checked stand in quotes between braces: `{{ "47 µF" }}`.',
        "",
        "HTML is let through where it is harmless. Pictures come from the lesson folder only (PNG, JPEG, WebP,",
        "GIF) and need words for those who cannot see them: `![what it shows](photo.jpg)`.",
        "",
    ]


def _own() -> list[str]:
    return [
        "## Part types of your own",
        "",
        '`parts/led-pink.toml` makes a part type `led-pink`. It begins with what it builds on, `like = "led-red"`',
        '(everything of one type) or `family = "led"` (what the family shares), and says what differs, in the',
        "form of the catalogue.",
        "",
    ]


def _limits() -> list[str]:
    rows = (
        ("text file", f"{_folder.MAX_TEXT / 1e6:g} MB, lines of {_folder.MAX_LINE} characters"),
        ("picture", f"{_folder.MAX_PICTURE / 1e6:g} MB, {MAX_PIXELS} pixels each way"),
        ("folder", f"{_folder.MAX_FOLDER / 1e6:g} MB, {_folder.MAX_FILES} files"),
        ("nesting of TOML", f"{MAX_DEPTH} levels"),
        ("parts", f"{_schema.MAX_PARTS}, and {MAX_OWN} part types of your own"),
        ("trials", f"{_schema.MAX_TRIALS} of at most {MAX_LASTS / 60:g} min"),
        ("promises", str(_schema.MAX_PROMISES)),
    )
    out = [
        "## Limits",
        "",
        "What is larger is refused with a message.",
        "",
        "| what | at most |",
        "|---|---|",
    ]
    return [*out, *(f"| {what} | {limit} |" for what, limit in rows)]


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
