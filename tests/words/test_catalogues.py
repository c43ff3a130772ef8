"""The catalogues are what the sources say, and each translation is fit to stand for its message.

How a .po file is read is checked against Babel's own reader; the rules of writing are those of
docs/languages.md (ISO 80000-1 for numbers and units; French spaces before : ; ! ? and inside « », common
practice of French printing).
"""

from __future__ import annotations

import re
from io import StringIO
from pathlib import Path

import pytest
from babel.messages.pofile import read_po as babel_read
from tools.words._catalogues import CATALOGUES, merged, renewed, stale
from tools.words._messages import PACKAGES, of_python, of_template, of_toml

from buildalong.words import faults
from buildalong.words._messages import places_of
from buildalong.words._po import Entry, read_po, write_po

FILES = sorted(CATALOGUES.rglob("*.po"))
UNFINISHED = {
    "de": set(),
    "es": set(),
    "fr": set(),
}
FINISHED = {
    (tag, package) for tag, missing in UNFINISHED.items() for package in PACKAGES if package not in missing
}
"""Languages and packages of which nothing may be left untranslated."""

UNITS = r"(?:[pnµmkM]?(?:V|A|Ω|F|s|W|Hz)|mm|min|h|lx|%|°C)\b(?!')"

EXAMPLE = re.compile(r"(?:Beispiele?|ejemplos?|exemples?) \d+\.\d+(?: (?:und|y|et) \d+\.\d+)?")
"""The number of an example in a book, which is a name and has no decimal sign."""


def _id(path: Path) -> str:
    return f"{path.parent.name}/{path.stem}"


def _translated(path: Path) -> list[Entry]:
    return [entry for entry in read_po(path.read_text(encoding="utf-8")) if entry.translated]


def test_catalogues_are_up_to_date() -> None:
    """`make words` would change nothing."""
    assert stale(renewed()) == [], "run `make words` and commit what it writes"


@pytest.mark.parametrize("path", FILES, ids=_id)
def test_read_as_babel_reads(path: Path) -> None:
    """Babel finds the same messages, forms and marks in a catalogue."""
    text = path.read_text(encoding="utf-8")
    theirs = [
        (
            message.context or "",
            *(message.id if isinstance(message.id, tuple) else (message.id, "")),
            message.string if isinstance(message.string, tuple) else (message.string,),
            message.fuzzy,
        )
        for message in babel_read(StringIO(text))
        if message.id
    ]
    ours = [(e.context, e.one, e.many, e.forms, e.fuzzy) for e in read_po(text)]
    assert ours == theirs


@pytest.mark.parametrize("path", FILES, ids=_id)
def test_places_are_kept(path: Path) -> None:
    """A translation has the places of its message, all of them; a plural those of one of its forms."""
    for entry in _translated(path):
        wanted = [places_of(text) for text in (entry.one, entry.many) if text]
        for form in entry.forms:
            assert faults(f"{entry.one}{entry.many}", form) == ""
            assert places_of(form) in wanted, entry.one


@pytest.mark.parametrize("path", FILES, ids=_id)
def test_numbers_and_units_are_written_by_the_rules(path: Path) -> None:
    """Decimal comma, and a no-break space before units; French also before : ; ! ? and inside « »."""
    for entry in _translated(path):
        for form in entry.forms:
            assert not re.search(r"\d\.\d", EXAMPLE.sub("", form)), form
            assert not re.search(rf"(?:\d|\}}) {UNITS}", form), f"a no-break space is missing: {form}"
            if path.parent.name == "fr":
                plain = re.sub(r"\{[^}]*\}", "X", form)
                assert not re.search(r"[^\u00a0:;!?][;!?]|[^\u00a0\d]:(?!//)", plain), form
                assert not re.search(r"«(?!\u00a0)|(?<!\u00a0)»", plain), form


@pytest.mark.parametrize("path", FILES, ids=_id)
def test_ends_as_its_message_ends(path: Path) -> None:
    """Spaces at the ends and the full stop of a message stand in its translation too."""
    for entry in _translated(path):
        for form in entry.forms:
            for end in (r"^\s+", r"\s+$", r"\.$"):
                assert bool(re.search(end, form)) == bool(re.search(end, entry.one)), form


def test_one_message_has_one_translation() -> None:
    """The same message in two packages is translated alike; other senses are told by ``sense``."""
    known: dict[tuple[str, str], tuple[str, ...]] = {}
    for path in FILES:
        for entry in _translated(path):
            assert known.setdefault((path.parent.name, entry.key), entry.forms) == entry.forms, entry.key


@pytest.mark.parametrize(("tag", "package"), sorted(FINISHED))
def test_nothing_is_left_untranslated(tag: str, package: str) -> None:
    """A finished catalogue is complete."""
    entries = read_po((CATALOGUES / tag / f"{package}.po").read_text(encoding="utf-8"))
    assert entries
    assert [entry.one for entry in entries if not entry.translated] == []


def test_every_package_of_the_list_has_messages() -> None:
    """A package on the list of the tool has catalogues in every language."""
    for tag in ("de", "es", "fr"):
        assert {path.stem for path in FILES if path.parent.name == tag} == set(PACKAGES)


def test_messages_are_found() -> None:
    """Calls anywhere, constants in capitals of a module of words, templates, part data."""
    source = (
        'PRESS, TABLE = "Press {part}.", {"key": ("a", sense("lamp", "off"))}\n'
        'RULE = re.compile("no message")\nlower = "none"\n'
        'ONE = Many("{count} wire", "{count} wires")\n'
        'LIT = Many("{who} goes on", "{who} go on", "lamp")\n'
        'def f(x):\n    return say("Now " "this.") + say(x)\n'
    )
    found = [(name, e.context, e.one, e.many) for name, e in of_python(source, constants=True)]
    assert found == [
        ("PRESS", "", "Press {part}.", ""),
        ("PRESS", "", "a", ""),
        ("PRESS", "lamp", "off", ""),
        ("ONE", "", "{count} wire", "{count} wires"),
        ("LIT", "", "{who} goes on", "{who} go on"),
        ("LIT", "lamp", "{who} goes on", "{who} go on"),
        ("", "", "Now this.", ""),
    ]
    assert [e.one for _, e in of_python(source, constants=False)] == [
        "off", "{count} wire", "{who} goes on", "{who} goes on", "Now this.",
    ]  # fmt: skip
    assert [e.one for _, e in of_template('<p>{{ say("Parts") }}{{ say(x) }}</p>')] == ["Parts"]
    assert [e.one for _, e in of_toml('id = "x"\ntitle = "a diode"\ncautions = ["b", "c"]')] == [
        "a diode", "b", "c",
    ]  # fmt: skip


def test_merging_keeps_what_is_known_and_marks_what_changed() -> None:
    """A message keeps its translation; one much like a lost message takes it over, to be looked at."""
    known = [Entry("You press {part}.", forms=("Du drückst {part}.",)), Entry("Gone", forms=("Fort",))]
    found = [Entry("You press {part} now."), Entry("New and different")]
    first, second = merged(found, known, {})
    assert (first.forms, first.fuzzy, first.translated) == (("Du drückst {part}.",), True, False)
    assert second.forms == ()
    assert merged([known[0]], known, {}) == [known[0]]
    assert merged([Entry("Gone")], [], {"Gone": known[1]})[0].forms == ("Fort",)


def test_written_and_read_again() -> None:
    """Quotes, backslashes, line ends, plurals and senses survive."""
    entries = [
        Entry('say "\\n" {x}\n\tso', context="a b", forms=('sag "{x}"\n',), notes=("a/b.py X",)),
        Entry("{n} wire", "{n} wires", forms=("{n} Draht", "{n} Drähte"), fuzzy=True),
        Entry("empty", forms=("",)),
    ]
    assert read_po(write_po(entries, "de", "nplurals=2; plural=(n != 1);")) == entries


@pytest.mark.parametrize("text", ['msgid "a"\nnonsense', '"stray"', 'msgid "a" "b'])
def test_what_is_no_catalogue_is_refused(text: str) -> None:
    """A line of no known form is told, not skipped."""
    with pytest.raises(ValueError, match="is no line of a"):
        read_po(text)
