"""A lesson pack appears whole or not at all, and never damages what was there."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path

import pytest

from buildalong.finding import Unreadable
from buildalong.publish import write_pack

FILES = {"index.html": b"<p>one</p>", "pictures/board.png": b"\x89PNG"}


def _content(folder: Path) -> dict[str, bytes]:
    return {str(p.relative_to(folder)): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}


def test_writes_files_and_a_manifest_of_their_digests(tmp_path: Path) -> None:
    """The manifest names every file with its SHA-256 (FIPS 180-4, by hashlib)."""
    names = write_pack(tmp_path / "out", FILES)
    assert names == ("index.html", "pack.json", "pictures/board.png")
    manifest = json.loads((tmp_path / "out" / "pack.json").read_text())
    assert manifest["files"] == {name: hashlib.sha256(data).hexdigest() for name, data in FILES.items()}


def test_replaces_an_earlier_pack_whole(tmp_path: Path) -> None:
    """A file of the earlier pack that the new one lacks is gone; nothing else is left beside it."""
    out = tmp_path / "out"
    write_pack(out, {**FILES, "old.txt": b"old"})
    write_pack(out, FILES)
    assert not (out / "old.txt").exists()
    assert [p.name for p in tmp_path.iterdir()] == ["out"]


def test_same_input_gives_the_same_bytes(tmp_path: Path) -> None:
    """Two packs of the same files are equal byte for byte."""
    write_pack(tmp_path / "a", FILES)
    write_pack(tmp_path / "b", FILES)
    assert _content(tmp_path / "a") == _content(tmp_path / "b")


def test_leaves_a_folder_with_other_files_alone(tmp_path: Path) -> None:
    """A folder that is not a lesson pack is refused and stays as it was."""
    (tmp_path / "thesis.txt").write_text("years of work")
    with pytest.raises(Unreadable) as caught:
        write_pack(tmp_path, FILES)
    assert caught.value.findings[0].code == "output-taken"
    assert _content(tmp_path) == {"thesis.txt": b"years of work"}


def test_a_pack_of_another_kind_stays(tmp_path: Path) -> None:
    """A film is not written over an article; slides that join it leave it there."""
    out = tmp_path / "out"
    write_pack(out, FILES)
    with pytest.raises(Unreadable) as caught:
        write_pack(out, {"film.vtt": b"WEBVTT"})
    assert caught.value.findings[0].code == "output-taken"
    assert "index.html" in caught.value.findings[0].message
    write_pack(out, {"slides.html": b"<p>"}, keep=True)
    assert set(_content(out)) == {*FILES, "slides.html", "pack.json"}


def test_refuses_a_file_and_a_link_as_output(tmp_path: Path) -> None:
    """Neither a file nor a symbolic link is replaced by a folder."""
    (tmp_path / "file").write_text("x")
    (tmp_path / "real").mkdir()
    (tmp_path / "link").symlink_to(tmp_path / "real")
    for name in ("file", "link"):
        with pytest.raises(Unreadable) as caught:
            write_pack(tmp_path / name, FILES)
        assert caught.value.findings[0].code == "output-taken"
    assert (tmp_path / "link").is_symlink()


def test_a_failure_on_the_way_leaves_the_earlier_pack(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """When the disk fills up in the middle, the earlier pack stands unchanged and nothing lies beside it."""
    out = tmp_path / "out"
    write_pack(out, FILES)
    before = _content(out)

    def full(self: Path, data: bytes) -> int:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "write_bytes", full)
    with pytest.raises(Unreadable) as caught:
        write_pack(out, {"index.html": b"<p>two</p>"})
    assert caught.value.findings[0].code == "output-not-writable"
    assert "No space left" in caught.value.findings[0].message
    monkeypatch.undo()
    assert _content(out) == before
    assert [p.name for p in tmp_path.iterdir()] == ["out"]


def test_a_failed_rename_brings_the_earlier_pack_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """When the last rename fails, the earlier pack is put back."""
    out = tmp_path / "out"
    write_pack(out, FILES)
    before = _content(out)
    real = Path.rename
    calls: list[str] = []

    def rename(self: Path, target: Path | str) -> Path:
        calls.append(self.name)
        if len(calls) == 2:
            raise OSError(5, "Input/output error")
        return real(self, target)

    monkeypatch.setattr(Path, "rename", rename)
    with pytest.raises(Unreadable):
        write_pack(out, {"index.html": b"<p>two</p>"})
    monkeypatch.undo()
    assert _content(out) == before


def test_unwritable_place_is_a_finding(tmp_path: Path) -> None:
    """A place under a file cannot hold a folder: one finding says so."""
    (tmp_path / "file").write_text("x")
    with pytest.raises(Unreadable) as caught:
        write_pack(tmp_path / "file" / "out", FILES)
    assert caught.value.findings[0].code == "output-not-writable"
