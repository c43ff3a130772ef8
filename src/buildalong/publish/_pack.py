"""Writing a lesson pack: all of it beside its place, then one rename; earlier output is never damaged."""

from __future__ import annotations

import json
import os
import shutil
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from hashlib import file_digest, sha256
from pathlib import Path

from buildalong.finding import Finding, Place, Severity, Unreadable

__all__ = ["MANIFEST", "changed_in", "copy_pack", "digests_in", "manifest", "replaced", "write_pack"]

MANIFEST = "pack.json"
"""The list of a pack's files with their digests; a folder with it is ours to replace."""
MOST_MANIFEST = 5_000_000
"""Largest manifest that is read [byte]."""


def write_pack(output: Path, files: Mapping[str, bytes], *, keep: bool = False) -> tuple[str, ...]:
    """Write ``files`` (relative name -> content) and their manifest to the folder ``output``.

    A folder that holds a pack already is replaced whole; with ``keep`` its other files stay.  A folder
    with anything else in it, or with a pack that has no file in common with this one, is left alone.
    Gives the names written, sorted.  Raises Unreadable where it cannot be written.
    """
    if not keep:
        _refuse_another(output, files)
    with replaced(output) as beside:
        for name, content in files.items():
            target = beside / name
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_bytes(content)
        kept = _keep(output, beside, files) if keep else {}
        table = {**kept, **{name: sha256(content).hexdigest() for name, content in files.items()}}
        (beside / MANIFEST).write_text(manifest(table), encoding="utf-8")
    return tuple(sorted([*files, MANIFEST]))


@contextmanager
def replaced(output: Path) -> Iterator[Path]:
    """Give a new folder beside ``output`` that takes its place at the end; stopped on the way, it goes.

    Raises Unreadable where ``output`` holds other things than a pack, or something cannot be written.
    """
    _refuse_strangers(output)
    try:
        output.parent.mkdir(parents=True, exist_ok=True)
        beside = Path(tempfile.mkdtemp(prefix=f".{output.name}-", dir=output.parent))
    except OSError as error:
        raise _cannot_write(output, error) from None
    try:
        yield beside
        beside.chmod(0o777 & ~_umask())
        _swap(beside, output)
    except OSError as error:
        raise _cannot_write(output, error) from None
    finally:
        shutil.rmtree(beside, ignore_errors=True)


def copy_pack(old: Path, new: Path) -> None:
    """Copy a pack that is there already; nothing where there is none, and no links."""
    if (old / MANIFEST).is_file() and not old.is_symlink():
        new.mkdir(parents=True)
        kept = _keep(old, new, {})
        (new / MANIFEST).write_text(manifest(kept), encoding="utf-8")


def changed_in(output: Path, files: Mapping[str, bytes]) -> tuple[str, ...]:
    """Names of the files that the manifest in ``output`` lacks, or has with another digest; sorted."""
    known = digests_in(output)
    return tuple(sorted(name for name, body in files.items() if known.get(name) != sha256(body).hexdigest()))


def digests_in(output: Path) -> dict[str, str]:
    """File -> digest, as the manifest in ``output`` has them; nothing where there is none."""
    try:
        with (output / MANIFEST).open("rb") as stream:
            known = json.loads(stream.read(MOST_MANIFEST))["files"]
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return {}
    return known if isinstance(known, dict) else {}


def _swap(beside: Path, output: Path) -> None:
    """Put the new folder in the place of the old one; on failure the old one comes back."""
    if not output.exists():
        beside.rename(output)
        return
    old = Path(tempfile.mkdtemp(prefix=f".{output.name}-old-", dir=output.parent))
    try:
        output.rename(old / "was")
        try:
            beside.rename(output)
        except OSError:
            (old / "was").rename(output)
            raise
    finally:
        shutil.rmtree(old, ignore_errors=True)


def _keep(output: Path, beside: Path, files: Mapping[str, bytes]) -> dict[str, str]:
    """Copy the other files of the pack that is there already; gives their digests by name."""
    kept: dict[str, str] = {}
    for old in sorted(output.rglob("*")) if output.is_dir() else ():
        name = old.relative_to(output).as_posix()
        if name in files or name == MANIFEST or old.is_symlink() or not old.is_file():
            continue
        target = beside / name
        target.parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(old, target)
        with target.open("rb") as stream:
            kept[name] = file_digest(stream, "sha256").hexdigest()
    return kept


def manifest(table: Mapping[str, str]) -> str:
    """The manifest of files with these digests."""
    return (
        json.dumps({"schema": 1, "files": dict(sorted(table.items()))}, indent=1, ensure_ascii=False) + "\n"
    )


def _refuse_strangers(output: Path) -> None:
    if output.is_symlink() or (output.exists() and not output.is_dir()):
        raise Unreadable(_taken(output, "is not a folder"))
    if output.is_dir() and any(output.iterdir()) and not (output / MANIFEST).is_file():
        raise Unreadable(_taken(output, "holds other files"))


def _refuse_another(output: Path, files: Mapping[str, bytes]) -> None:
    """A film must not take the place of an article: no file of one is in the other."""
    known = digests_in(output)
    if known and not known.keys() & files.keys():
        raise Unreadable(_taken(output, f"holds another kind of pack ({min(known)}, ...)"))


def _taken(output: Path, what: str) -> Finding:
    return Finding(
        Severity.FATAL,
        "output-taken",
        f"'{output}' {what}, so the lesson pack was not written there.",
        "Name a new or empty folder with --output, or one that holds an earlier lesson pack.",
        Place(str(output)),
    )


def _cannot_write(output: Path, error: OSError) -> Unreadable:
    return Unreadable(
        Finding(
            Severity.FATAL,
            "output-not-writable",
            f"The lesson pack could not be written to '{output}': {error.strerror or error}.",
            "Check the folder's permissions and the free space, or name another folder with --output.",
            Place(str(output)),
        )
    )


def _umask() -> int:
    current = os.umask(0o022)
    os.umask(current)
    return current
