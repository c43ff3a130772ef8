"""Addresses of folders on a site, as an author writes them."""

from __future__ import annotations

import re

__all__ = ["folder_address"]

_ADDRESS = re.compile(r"https?://[^\s<>\"'?#]+")


def folder_address(written: str) -> str | None:
    """The address of a folder, ending in a slash; "" for none, None where it is no such address."""
    if not written:
        return ""
    return f"{written.rstrip('/')}/" if _ADDRESS.fullmatch(written) else None
