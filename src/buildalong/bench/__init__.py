"""The bench: a local page in the browser on which a lesson is tried live.

``serve`` is what the command line calls; how it is used, what goes over the wire and how it is kept safe
stands in docs/bench.md.  Heavy libraries are imported when something is served.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from buildalong.lazy import lazily

if TYPE_CHECKING:
    from buildalong.bench._running import Running
    from buildalong.bench._serve import Bench, serve

_HOME = {
    "_running": ("Running",),
    "_serve": ("Bench", "serve"),
}

__all__ = ["Bench", "Running", "serve"]

__getattr__ = lazily(__name__, _HOME)
"""The server's library is loaded only when something is served."""
