"""Pictures of the lesson folder: only real raster pictures of a sensible size are used."""

from __future__ import annotations

import struct
from typing import Literal

from buildalong.finding import Finding, Place, Severity, Unreadable
from buildalong.lesson._folder import MAX_PICTURE, Folder
from buildalong.lesson._lesson import Image
from buildalong.lesson._markdown import image_names

__all__ = ["MAX_PIXELS", "read_image", "read_images"]

MAX_PIXELS = 8000
"""Largest width or height of a picture, pixels."""

Kind = Literal["png", "jpeg", "webp", "gif"]


def read_image(folder: Folder, name: str, place: Place) -> tuple[Image | None, list[Finding]]:
    """Read and check a picture named in the prose."""

    def refuse(code: str, message: str, hint: str) -> tuple[None, list[Finding]]:
        return None, [Finding(Severity.ERROR, code, message, hint, place)]

    if "://" in name or name.startswith(("//", "data:")):
        return refuse(
            "picture-outside",
            f"the picture '{name[:60]}' is not in the lesson folder",
            "copy it into the lesson folder: the article must work without a network",
        )
    try:
        data = folder.bytes(name, MAX_PICTURE)
    except Unreadable as error:
        fault = error.findings[0]
        return refuse(fault.code, fault.message, fault.hint)
    kind = _kind(data)
    if kind is None:
        return refuse(
            "picture-kind",
            f"'{name}' is no PNG, JPEG, WebP or GIF picture",
            "save the picture as PNG or JPEG",
        )
    width, height = _size(kind, data)
    if width > MAX_PIXELS or height > MAX_PIXELS:
        return refuse(
            "picture-too-big",
            f"'{name}' is {width} x {height} pixels; at most {MAX_PIXELS} each way are used",
            "make it smaller",
        )
    return Image(name, kind, data), []


def read_images(folder: Folder, prose: str, file: str) -> tuple[dict[str, Image], list[Finding]]:
    """The pictures that the words in ``file`` show, by name, with what is wrong with them."""
    out: dict[str, Image] = {}
    findings: list[Finding] = []
    lines = prose.split("\n")
    for name, line in image_names(prose):
        if name in out:
            continue
        place = Place(file, line, 1)
        for offset in range(line - 1, min(line + 40, len(lines))):
            if name in lines[offset]:
                place = Place(file, offset + 1, lines[offset].index(name) + 1)
                break
        image, found = read_image(folder, name, place)
        findings.extend(found)
        if image is not None:
            out[name] = image
    return out, findings


def _kind(data: bytes) -> Kind | None:
    """Tell the kind from the first bytes, never from the name."""
    if data.startswith(b"\x89PNG\r\n\x1a\n"):
        return "png"
    if data.startswith(b"\xff\xd8\xff"):
        return "jpeg"
    if data.startswith(b"RIFF") and data[8:12] == b"WEBP":
        return "webp"
    if data.startswith((b"GIF87a", b"GIF89a")):
        return "gif"
    return None


def _size(kind: Kind, data: bytes) -> tuple[int, int]:
    """Width and height in pixels, (0, 0) where the header does not tell."""
    if kind == "png" and len(data) >= 24:
        return struct.unpack(">II", data[16:24])
    if kind == "gif" and len(data) >= 10:
        return struct.unpack("<HH", data[6:10])
    if kind == "jpeg":
        return _jpeg_size(data)
    if kind == "webp" and data[12:16] == b"VP8X" and len(data) >= 30:
        return int.from_bytes(data[24:27], "little") + 1, int.from_bytes(data[27:30], "little") + 1
    return 0, 0


def _jpeg_size(data: bytes) -> tuple[int, int]:
    at = 2
    while at + 9 < len(data) and data[at] == 0xFF:
        marker, length = data[at + 1], int.from_bytes(data[at + 2 : at + 4], "big")
        if 0xC0 <= marker <= 0xCF and marker not in (0xC4, 0xC8, 0xCC):
            height, width = struct.unpack(">HH", data[at + 5 : at + 9])
            return width, height
        at += 2 + max(length, 2)
    return 0, 0
