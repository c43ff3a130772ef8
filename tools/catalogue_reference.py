"""Write docs/catalogue.md from the catalogue: every part with its figures and their sources."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path

from buildalong.parts import RATINGS, Catalogue, Figure, PartType, catalogue

PAGE = Path(__file__).parents[1] / "docs" / "catalogue.md"

INTRODUCTION = """\
# The parts

This page is made from the data in `src/buildalong/parts/families/` by `tools/catalogue_reference.py`;
change the data, not the page. Every number bears its source: a data sheet by maker, number and
revision, or *from memory* (not read, so trust it less), *common practice* or *our choice*.

A lesson names a part by its id (the heading) or by one of its *other names*, in capitals or not: all mean
the same, such as `timer-555` and `NE555`. Values, settings and nets are written as
shown here; the nets of a part stand in the order of its terminals.

## A part of your own

A lesson may bring `parts/<id>.toml`. It takes over everything from a family (`family = "led"`) or
from one part (`like = "led-red"`), and says only what differs:

```toml
like  = "led-red"
title = "LED, red, low current, 3 mm"

[ratings]
current = { max = "7 mA", at = "25 °C", source = "sheet" }

[model]
forward_voltage = { typ = "1.9 V", at = "2 mA", source = "sheet" }
forward_current = { typ = "2 mA", source = "sheet" }

[sources]
sheet = "maker, type, revision of the data sheet"
```

Fields of the tables are those of the sections below. A source is a key of `[sources]`, or one of
`from memory`, `common practice`, `our choice`. Ratings known here:

"""


def page(parts: Catalogue) -> str:
    """Give the whole page as Markdown."""
    lines = [INTRODUCTION + "\n".join(_ratings()), "", "## Contents", ""]
    by_family: dict[str, list[PartType]] = {}
    for part in parts.values():
        by_family.setdefault(part.family, []).append(part)
    for family, members in sorted(by_family.items()):
        names = ", ".join(f"[{part.id}](#{part.id})" for part in members)
        lines.append(f"- {family}: {names}")
    for family, members in sorted(by_family.items()):
        lines += ["", f"## Family: {family}"]
        for part in members:
            lines += ["", *_part(part)]
    return "\n".join(lines) + "\n"


def _ratings() -> Iterator[str]:
    yield "| Rating | Unit | Meaning |"
    yield "| --- | --- | --- |"
    for name, (unit, meaning) in RATINGS.items():
        yield f"| `{name}` | {unit} | {meaning} |"


def _part(part: PartType) -> Iterator[str]:
    yield f"### {part.id}"
    yield ""
    yield f"**{part.title}.** {part.about}".rstrip()
    yield ""
    if part.aliases:
        yield f"- Other names: {', '.join(part.aliases)}"
    yield f"- Reference letter: {part.letter} (IEEE 315)"
    yield f"- Terminals: {', '.join(_terminals(part))}"
    if part.polarised:
        yield "- It has a direction."
    if part.value:
        rule = part.value
        yield (
            f"- Value: {rule.least} to {rule.most}, preferred numbers {rule.series}, usual tolerance "
            f"±{rule.tolerance} ({_source(part, rule.source)})"
        )
    for name, setting in part.settings.items():
        limits = f"{setting.least} to {setting.most}, usually {setting.usual}"
        yield f"- Setting `{name}`: {setting.title}; {limits}"
    yield f"- {_body(part)}"
    for size in part.sizes:
        shape = f"{size.length:g} mm × {size.width:g} mm × {size.height:g} mm, leads {size.lead:g} mm"
        yield f"- Body above {size.above}: {shape} ({_source(part, size.source)})"
    yield f"- Marking: {_marking(part)}"
    for caution in part.cautions:
        yield f"- Caution: {caution}"
    for slip in part.slips:
        yield f"- Slip `{slip.kind}`: {slip.sentence} ({_source(part, slip.source)})"
    yield from _figures("Rating", part, part.ratings)
    yield from _figures("Figure", part, part.figures)
    if part.capacity:
        yield ""
        yield "| Steady load | Charge until the end voltage | Source |"
        yield "| --- | --- | --- |"
        for point in part.capacity:
            yield f"| {point.load} | {point.charge} | {_source(part, point.source)} |"
    used = dict.fromkeys(source for _, source in part.sources_named() if source in part.sources)
    if used:
        yield ""
        yield "Sources:"
        yield ""
        for key in used:
            yield f"- {key}: {part.sources[key]}"


def _terminals(part: PartType) -> Iterator[str]:
    for terminal in part.terminals:
        number = f"pin {terminal.number}, " if terminal.number and terminal.number != terminal.name else ""
        may = "; may stay open" if not terminal.must_connect else ""
        printed = f", `{terminal.printed}` in the data sheet" if terminal.printed else ""
        yield f"`{terminal.name}` ({number}{terminal.title}{printed}{may})"


def _body(part: PartType) -> str:
    body = part.body
    size = f"{body.length:g} mm × {body.width:g} mm × {body.height:g} mm, leads {body.lead:g} mm"
    if body.kind == "off-board":
        place = "stands beside the board"
    elif body.legs:
        legs = ", ".join(dict.fromkeys(leg.label or leg.terminal for leg in body.legs))
        place = f"fixed legs ({legs})" + (", across the trench" if body.straddles else "")
    else:
        low, high = body.span
        place = f"{low} to {high} holes of 2.54 mm between its leads, best {body.ideal_span}"
    return f"Body: {size}; {place} ({_source(part, body.source)})"


def _marking(part: PartType) -> str:
    kinds = {"bands": "colour bands", "code": "a code of three figures", "none": "none"}
    shown = kinds.get(part.marking.kind) or f"`{part.marking.text or 'text'}`"
    return f"{shown}. {part.marking.reading}".rstrip()


def _figures(title: str, part: PartType, figures: dict[str, Figure]) -> Iterator[str]:
    if not figures:
        return
    yield ""
    yield f"| {title} | Least | Typical | Most | Condition | Source |"
    yield "| --- | --- | --- | --- | --- | --- |"
    for name, figure in figures.items():
        cells = (f"`{name}`", figure.min, figure.typ, figure.max, figure.at, _source(part, figure.source))
        yield _row(cells)


def _row(cells: Iterable[str | None]) -> str:
    return f"| {' | '.join((cell or '').replace('|', '/') for cell in cells)} |"


def _source(part: PartType, source: str) -> str:
    return source if source in part.sources else f"*{source}*"


if __name__ == "__main__":
    PAGE.write_text(page(catalogue()), encoding="utf-8")
    print(f"wrote {PAGE}")
