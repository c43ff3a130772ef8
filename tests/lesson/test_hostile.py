"""A lesson folder is untrusted: whatever it holds is read, refused with its place, or left alone."""

from __future__ import annotations

import os
import time
from pathlib import Path

import pytest

from buildalong.finding import Severity, Unreadable
from buildalong.lesson import load
from buildalong.lesson._folder import MAX_TEXT, Folder

from ._lamp import LAMP, Write, unreadable, where

PNG = (
    b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\0\0\1\0\0\0\1\x08\6\0\0\0\x1f\x15\xc4\x89\0\0\0\rIDATx\xdac\xfc\xcf\xc0"
    b"P\x0f\0\4\x85\1\x80\x84\xa9\x8c!\0\0\0\0IEND\xaeB`\x82"
)
"""The smallest picture: one pixel."""


HANGING = 60.0
"""Processor seconds that mean that something does not end, rather than that a machine is slow."""


def only(folder: Path) -> tuple[str, str, str]:
    """(code, file:line:column, message) of the one finding with which a lesson is refused."""
    found = unreadable(folder)
    assert len(found) == 1
    assert found[0].severity == Severity.FATAL
    assert found[0].hint
    return found[0].code, where(found[0], folder), found[0].message


def test_ten_megabytes_are_refused(write: Write) -> None:
    """A 10 MB lesson.toml is refused by its size, without being parsed."""
    folder = write("#" * 10_000_000)
    began = time.process_time()
    assert only(folder) == ("file-too-big", "lesson.toml", "'lesson.toml' is 10.0 MB; at most 1 MB are read")
    assert time.process_time() - began < HANGING


def test_ten_megabytes_of_words_are_refused(write: Write) -> None:
    """A 10 MB lesson.md likewise."""
    folder = write(LAMP, "word " * 2_000_000)
    assert only(folder) == ("file-too-big", "lesson.md", "'lesson.md' is 10.0 MB; at most 1 MB are read")


def test_a_byte_that_is_no_text_is_placed(write: Write) -> None:
    """Latin-1 'µ' (0xB5) is no UTF-8; line and column count characters, not bytes."""
    folder = write('title = "größer"\nvalue = "22 µF"\n'.encode("latin-1"))
    assert only(folder) == ("not-utf8", "lesson.toml:1:12", "the byte 0xF6 here is not UTF-8 text")
    folder = write(b'title = "gr\xc3\xb6\xc3\x9fer \xb5"\n')
    assert only(folder) == ("not-utf8", "lesson.toml:1:17", "the byte 0xB5 here is not UTF-8 text")


def test_words_that_are_no_text_are_placed(write: Write) -> None:
    """The same in lesson.md, on its second line."""
    folder = write(LAMP, b"fine\nnot \xfffine\n")
    assert only(folder) == ("not-utf8", "lesson.md:2:5", "the byte 0xFF here is not UTF-8 text")


def test_a_byte_order_mark_is_no_fault(write: Write) -> None:
    """Some editors begin a UTF-8 file with a byte order mark, and end lines with CR LF."""
    folder = write(b"\xef\xbb\xbf" + LAMP.replace("\n", "\r\n").encode())
    assert load(folder).findings == ()


def test_zero_bytes_are_refused(write: Write) -> None:
    """A file with a zero byte is no text."""
    assert only(write('title = "a\0b"\n'))[:2] == ("not-text", "lesson.toml:1:11")


HALF_WRITTEN = {
    "text not closed": (
        'title = "A lamp\nboard = "170"\n',
        "1:16",
        "a text in quotes is never closed on its line",
    ),
    "array not closed": (
        'title = "A"\npress = ["S1"\n\n',
        "2:14",
        "an array opened with '[' is never closed",
    ),
    "value missing": ('title = "A"\nboard =\n', "2:8", "a value is missing or not complete"),
    "no equals sign": ("title\n", "1:6", "a key has no '=' after it"),
    "key twice": ('title = "A"\ntitle = "B"\n', "2:12", "a key is given twice"),
    "text without quotes": ("title = A lamp\n", "1:9", "a value is missing or not complete"),
    "two on a line": ('title = "A" board = "170"\n', "1:13", "something stands after the value"),
    "table twice": ("[parts]\n[parts]\n", "2:7", "a table is opened twice"),
    "table not closed": ("[parts\nR1 = 1\n", "1:7", "Expected ']' at the end of a table declaration"),
}


@pytest.mark.parametrize(("text", "at", "fault"), HALF_WRITTEN.values(), ids=HALF_WRITTEN.keys())
def test_half_written_toml_is_placed(write: Write, text: str, at: str, fault: str) -> None:
    """TOML in the middle of being typed is refused where it breaks, in plain words."""
    code, place, message = only(write(text))
    assert (code, place) == ("toml-broken", f"lesson.toml:{at}")
    assert message == f"this is not complete TOML: {fault}"


DEEP = {
    "arrays": "a = " + "[" * 3000 + "]" * 3000,
    "inline tables": "a = " + "{a=" * 3000 + "1" + "}" * 3000,
    "dotted key": "a" + ".a" * 9000 + " = 1",
    "table name": "[a" + ".a" * 9000 + "]",
    "half a dotted key": "a" + ".a" * 9000,
}


@pytest.mark.parametrize("text", DEEP.values(), ids=DEEP.keys())
def test_deep_nesting_is_refused_quickly(write: Write, text: str) -> None:
    """No nesting of the source becomes a nesting of the program."""
    began = time.process_time()
    code, place, _ = only(write(text))
    assert code == "toml-too-deep"
    assert place.startswith("lesson.toml:1:")
    assert time.process_time() - began < HANGING


def test_huge_numbers_are_refused(write: Write) -> None:
    """A whole number of 9000 digits is no value."""
    assert only(write(f"board = {'9' * 9000}\n"))[0] == "toml-broken"


def test_many_unknown_keys_are_bounded(write: Write) -> None:
    """Twenty thousand wrong keys give fifty findings, quickly."""
    began = time.process_time()
    folder = write(LAMP.replace("[parts]", "\n".join(f"k{n} = 1" for n in range(20_000)) + "\n[parts]", 1))
    assert sum(f.code == "unknown-key" for f in load(folder).findings) == 50
    assert time.process_time() - began < HANGING


def test_links_out_of_the_folder_are_refused(write: Write, tmp_path: Path) -> None:
    """A symbolic link is not followed, wherever it leads."""
    folder = write()
    (tmp_path / "secret.md").write_text("secret")
    (folder / "lesson.md").unlink()
    (folder / "lesson.md").symlink_to(tmp_path / "secret.md")
    code, place, message = only(folder)
    assert (code, place) == ("path-escape", "lesson.md")
    assert "is a link" in message


def test_a_linked_folder_of_parts_is_refused(write: Write, tmp_path: Path) -> None:
    """Nor is a linked parts folder."""
    folder = write()
    (tmp_path / "elsewhere").mkdir()
    (folder / "parts").symlink_to(tmp_path / "elsewhere")
    assert unreadable(folder)[0].code == "not-a-plain-folder"


@pytest.mark.parametrize("name", ["../secret.md", "/etc/hostname", "a/../../x", "a\\b", "C:x", "a\0b"])
def test_paths_out_of_the_folder_are_refused(write: Write, name: str) -> None:
    """No name leads out of the folder, on any system."""
    with pytest.raises(Unreadable) as caught:
        Folder(write()).bytes(name, 1000)
    assert caught.value.findings[0].code == "path-escape"


def test_a_pipe_does_not_block(write: Write) -> None:
    """A named pipe in place of a file is refused, not waited for."""
    folder = write()
    (folder / "lesson.md").unlink()
    os.mkfifo(folder / "lesson.md")
    assert unreadable(folder)[0].code == "file-unreadable"


def test_too_many_files_are_refused(write: Write) -> None:
    """A folder of 600 files is no lesson folder."""
    folder = write()
    for number in range(600):
        (folder / f"{number}.txt").touch()
    assert unreadable(folder)[0].code == "folder-too-big"


def test_a_folder_that_is_too_heavy_is_refused(write: Write) -> None:
    """41 MB of pictures are refused by the sum of their sizes, unread."""
    folder = write()
    with open(folder / "film.mov", "wb") as stream:
        stream.truncate(41_000_000)
    assert unreadable(folder)[0].message == "the lesson folder holds 41 MB; at most 40 are read"


def test_the_largest_text_is_read(write: Write) -> None:
    """Just under the limit is fine, and is read within seconds."""
    began = time.process_time()
    load(write(LAMP, "A word or two. " * 1000 + "\n\n" + "\n".join(["* [a](b) `c` **d**"] * 20_000)))
    assert time.process_time() - began < HANGING
    assert MAX_TEXT == 1_000_000


PICTURES = {
    "outside": ("../x.png", "path-escape"),
    "absolute": ("/etc/hostname", "path-escape"),
    "from the net": ("https://example.org/x.png", "picture-outside"),
    "inside the address": ("data:image/png;base64,AAAA", "picture-outside"),
    "not there": ("nowhere.png", "file-unreadable"),
    "no picture": ("fake.png", "picture-kind"),
    "vector": ("drawing.svg", "picture-kind"),
    "too large": ("huge.png", "picture-too-big"),
    "too heavy": ("heavy.png", "file-too-big"),
}


@pytest.mark.parametrize(("name", "code"), PICTURES.values(), ids=PICTURES.keys())
def test_only_real_pictures_of_the_folder_are_used(write: Write, name: str, code: str) -> None:
    """A picture is checked by its first bytes, its place and its size; the fault stands at its name."""
    folder = write(LAMP, f"First line.\n\nSee ![what it shows]({name}) here.\n")
    (folder / "fake.png").write_text("no picture")
    (folder / "drawing.svg").write_text("<svg onload='alert(1)'/>")
    (folder / "huge.png").write_bytes(PNG[:16] + (9000).to_bytes(4, "big") * 2 + PNG[24:])
    (folder / "heavy.png").write_bytes(PNG + b"\0" * 4_000_001)
    lesson = load(folder)
    found = [(f.code, where(f, folder)) for f in lesson.findings]
    assert found == [(code, "lesson.md:3:22")]
    assert lesson.images == {}


def test_a_good_picture_is_taken(write: Write) -> None:
    """A picture of the folder is read once, with its kind."""
    folder = write(LAMP, "![a dot](dot.png) and ![again](dot.png)\n")
    (folder / "dot.png").write_bytes(PNG)
    lesson = load(folder)
    assert lesson.findings == ()
    assert [(i.name, i.kind, i.data) for i in lesson.images.values()] == [("dot.png", "png", PNG)]
