"""Dressing: past which places a tidy hand leads each flexible wire of a finished layout."""

from buildalong.build.dress._dress import Dressing, dressed

__all__ = ["Dressing", "dressed"]
