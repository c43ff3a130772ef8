"""Dressing: past which places a tidy hand leads each flexible wire of a finished layout."""

from buildalong.build.dress._dress import Dressing, all_led, dressed

__all__ = ["Dressing", "all_led", "dressed"]
