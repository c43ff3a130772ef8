"""A TOML text under edit: what an edit does not mean stays byte for byte, and the way back is exact.

The outside source is TOML v1.0.0: its examples, section by section, and Python's own reader of it.
"""

from __future__ import annotations

import copy
import difflib
import math
import tomllib
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildalong.edit._change import after, inverse
from buildalong.edit._literal import key_text, literal
from buildalong.edit._sheet import Sheet
from buildalong.edit._tree import Path, read_tree
from buildalong.finding import Unreadable
from edit.toml_examples import EXAMPLES

LINE_ENDS = st.sampled_from(["\n", "\r\n"])
TEXTS = st.text(st.characters(codec="utf-8", exclude_categories=("Cs",)), max_size=12)


def walk(node: Any, path: Path = ()) -> list[Path]:
    """Every path of a document, as the reader sees it."""
    out: list[Path] = [path] if path else []
    steps = node.items() if isinstance(node, dict) else enumerate(node) if isinstance(node, list) else ()
    for step, value in steps:
        out += walk(value, (*path, step))
    return out


def look(node: Any, path: Path) -> Any:
    for step in path:
        node = node[step]
    return node


def lost(old: str, new: str) -> list[str]:
    """The lines of the old text that the new one has not, in order."""
    a, b = old.splitlines(keepends=True), new.splitlines(keepends=True)
    match = difflib.SequenceMatcher(None, a, b, autojunk=False)
    return [line for tag, i, j, _, _ in match.get_opcodes() if tag != "equal" for line in a[i:j]]


def read(text: str) -> Any:
    return tomllib.loads(text.removeprefix("\ufeff"))


def sheet_of(text: str) -> Sheet:
    return Sheet("lesson.toml", text, "lesson.toml")


def check_way_back(sheet: Sheet, old: str) -> None:
    texts = after({"lesson.toml": old}, sheet.changes)
    assert texts["lesson.toml"] == sheet.text
    assert after(texts, inverse(sheet.changes))["lesson.toml"].encode() == old.encode()


def lines_of(text: str, start: int, end: int) -> int:
    return text.count("\n", start, end) + 1


@pytest.mark.parametrize("section", EXAMPLES)
def test_every_value_is_found_where_the_reader_sees_it(section: str) -> None:
    """The letters of each value, read alone, are that value (TOML v1.0.0, the section named)."""
    text = EXAMPLES[section]
    values, tree = read(text), read_tree(text)
    for path, value in tree.values.items():
        found = tomllib.loads(f"x = {text[value.start : value.end]}")["x"]
        assert found == look(values, path)
    told = set(tree.values) | {s.path for s in tree.sections}
    leaves = [path for path in walk(values) if not isinstance(look(values, path), dict | list)]
    assert set(leaves) <= told


@pytest.mark.parametrize("section", EXAMPLES)
@pytest.mark.parametrize("end", ["\n", "\r\n"], ids=["LF", "CRLF"])
def test_a_put_value_changes_its_own_lines_only(section: str, end: str) -> None:
    """Each value of each example of TOML v1.0.0 can be replaced; no other line changes."""
    text = EXAMPLES[section].replace("\n", end)
    for path in read_tree(text).values:
        sheet = sheet_of(text)
        node = sheet.tree.values[path]
        wanted = read(text)
        look(wanted, path[:-1])[path[-1]] = "new"
        sheet.put(path, "new")
        assert read(sheet.text) == wanted
        assert len(lost(text, sheet.text)) <= lines_of(text, node.start, node.end)
        check_way_back(sheet, text)


@pytest.mark.parametrize("section", EXAMPLES)
def test_a_key_taken_out_takes_its_own_lines_only(section: str) -> None:
    """Each key of each example can be taken out, or is refused with the text unchanged."""
    text = EXAMPLES[section]
    for path in walk(read(text)):
        sheet, wanted = sheet_of(text), read(text)
        pair = sheet.tree.pairs.get(path)
        del look(wanted, path[:-1])[path[-1]]
        try:
            sheet.take(path)
        except Unreadable:
            assert sheet.text == text
            continue
        assert read(sheet.text) == wanted
        if pair is not None:
            assert len(lost(text, sheet.text)) <= lines_of(text, pair.start, pair.end)
        check_way_back(sheet, text)


@pytest.mark.parametrize("section", EXAMPLES)
def test_a_renamed_key_keeps_order_and_values(section: str) -> None:
    """Each key of each example takes another name where it stands."""
    text = EXAMPLES[section]
    for path in walk(read(text)):
        if not isinstance(path[-1], str):
            continue
        sheet, old = sheet_of(text), read(text)
        try:
            sheet.rename(path, "a new name")
        except Unreadable:
            assert sheet.text == text
            continue
        table = look(read(sheet.text), path[:-1])
        before = look(old, path[:-1])
        assert [("a new name" if key == path[-1] else key) for key in before] == list(table)
        assert list(before.values()) == list(table.values())
        check_way_back(sheet, text)


def test_few_edits_of_the_examples_are_refused() -> None:
    """What cannot be done to the examples of TOML v1.0.0 is the rare case, not the rule."""
    done = refused = 0
    for text in EXAMPLES.values():
        for path in walk(read(text)):
            for edit in (lambda s, p=path: s.take(p), lambda s, p=path: s.rename(p, "other")):
                try:
                    edit(sheet_of(text))
                    done += 1
                except Unreadable:
                    refused += 1
    assert done > 3 * refused


DOCUMENTS = st.builds(
    lambda names, end, mark, cut: (
        ("\ufeff" if mark else "")
        + "\n".join(EXAMPLES[name] for name in names).replace("\n", end)[: -len(end) if cut else None]
    ),
    st.permutations(["Keys, bare", "Keys, dotted", "Array", "Inline table"]).map(lambda p: p[:2]).flatmap(
        lambda plain: st.permutations(["Table", "Array of tables", "Array of tables, nested"]).map(
            lambda tables: [*plain, *tables[:2]]
        )
    ),
    LINE_ENDS,
    st.booleans(),
    st.booleans(),
).filter(lambda text: _whole(text))  # fmt: skip


def _whole(text: str) -> bool:
    try:
        read(text)
    except ValueError:
        return False
    return True


@given(DOCUMENTS, st.data())
def test_edits_one_after_the_other_can_all_be_taken_back(text: str, data: st.DataObject) -> None:
    """Any edits, in any order, in any line ends: values as wanted, and the inverse gives the same bytes."""
    sheet = sheet_of(text)
    for _ in range(data.draw(st.integers(1, 4))):
        wanted, before = copy.deepcopy(sheet.values), sheet.text
        path = data.draw(st.sampled_from(walk(wanted)))
        value = data.draw(st.one_of(TEXTS, st.booleans(), st.integers(-99, 99), st.lists(TEXTS, max_size=3)))
        try:
            if data.draw(st.booleans()):
                parent = look(wanted, path[:-1])
                parent[path[-1]] = value
                sheet.put(path, value)
            else:
                holder = look(wanted, path)
                name = data.draw(TEXTS)
                if not isinstance(holder, dict) or name in holder:
                    continue
                holder[name] = value
                sheet.put((*path, name), value)
                assert len(lost(before, sheet.text)) <= 1
        except Unreadable:
            assert sheet.text == before
            continue
        assert read(sheet.text) == wanted
        if "\r\n" in text:
            assert "\n" not in sheet.text.replace("\r\n", "")
    check_way_back(sheet, text)


@given(TEXTS, st.sampled_from(["", '"x"', "'x'", '"""x"""', "12"]))
def test_a_text_is_written_so_that_it_is_read_again(text: str, like: str) -> None:
    """Any Unicode text, control characters too, survives in any quotes (TOML v1.0.0, String)."""
    found = tomllib.loads(f"x = {literal(text, like)}")["x"]
    assert found == text or (like == "12" and str(found) == text) or math.isclose(float(text), float(found))


@given(TEXTS)
def test_a_key_is_written_so_that_it_is_read_again(name: str) -> None:
    """Any key survives, the empty one too (TOML v1.0.0, Keys)."""
    assert tomllib.loads(f"{key_text(name)} = 1") == {name: 1}


def test_quotes_comments_and_columns_stay() -> None:
    """A literal text stays literal, aligned columns stay aligned, and comments stay where they are."""
    text = "[parts]\nR1  = { value = '4k7' }  # first\nDS1 = { part = \"led\" }\n\n[layout]  # by hand\n"
    sheet = sheet_of(text)
    sheet.put(("parts", "R1", "value"), "5k6")
    sheet.put(("parts", "C1"), {"part": "capacitor"})
    sheet.put(("layout", "R1"), ["c7", "c11"])
    assert sheet.text == (
        '[parts]\nR1  = { value = \'5k6\' }  # first\nDS1 = { part = "led" }\nC1  = { part = "capacitor" }\n'
        '\n[layout]  # by hand\nR1 = ["c7", "c11"]\n'
    )


@pytest.mark.parametrize(
    ("before", "members", "after_"),
    [
        ('w = [["a", "b"]]\n', [["a", "b"], ["c", "d"]], 'w = [["a", "b"], ["c", "d"]]\n'),
        ("w = []\n", [["a"]], 'w = [["a"]]\n'),
        (
            'w = [\n  ["a"], # one\n  ["b"] # two\n]\n',
            [["a"], ["b"], ["c"]],
            'w = [\n  ["a"], # one\n  ["b"], # two\n  ["c"]\n]\n',
        ),
        ('w = [\n  ["a"], # one\n  ["b"], # two\n]\n', [["b"]], 'w = [\n  ["b"], # two\n]\n'),
        (
            'w = [\n  ["a"],\n  [ "b" ,"x" ],\n]\n',
            [["a"], ["c", "x"]],
            'w = [\n  ["a"],\n  [ "c" ,"x" ],\n]\n',
        ),
        ('w = [["a"], ["b"], ["c"]]\n', [["a"], ["c"]], 'w = [["a"], ["c"]]\n'),
        ('w = [["a"], ["b"]]\n', [["a"]], 'w = [["a"]]\n'),
    ],
)
def test_members_of_arrays_come_and_go_in_the_author_s_style(
    before: str, members: list[list[str]], after_: str
) -> None:
    """One line for each member stays so, one line for all too; a comment goes only with its own member."""
    sheet = sheet_of(before)
    sheet.put(("w",), members)
    assert sheet.text == after_
    check_way_back(sheet, before)


def test_broken_text_is_refused_where_it_breaks() -> None:
    """A text that is no TOML is refused with line and column, as reading a lesson refuses it."""
    with pytest.raises(Unreadable) as caught:
        sheet_of('a = "1"\nb = [1,\n')
    finding = caught.value.findings[0]
    assert (finding.code, finding.place and finding.place.line) == ("toml-broken", 2)
