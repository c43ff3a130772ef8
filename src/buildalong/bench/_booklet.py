"""The handout's pages as they will be printed, one below the other, to look at beside the board."""

from __future__ import annotations

import base64
import html
from collections.abc import Sequence

__all__ = ["booklet_page"]

STYLE = """
:root { color-scheme: light dark; background: light-dark(#e9e3d6, #14171a); }
body { margin: 0; padding: 1.2rem clamp(.4rem, 3vw, 2rem); }
h1 { font: 700 1rem/1.4 sans-serif; max-width: 54rem; margin: 0 auto 1rem;
  color: light-dark(#23303a, #ece6d8); }
img { display: block; width: 100%; max-width: 54rem; aspect-ratio: 210 / 297; margin: 0 auto 1.2rem;
  background: #fff; box-shadow: 0 1px 5px #0005; }
"""


def booklet_page(title: str, pages: Sequence[bytes]) -> bytes:
    """A web page that shows the pages of A4 (each an SVG) as pictures: nothing in them can run."""
    policy = "default-src 'none'; img-src data:; style-src 'unsafe-inline'; base-uri 'none'"
    shown = "\n".join(
        f'<img id="page-{number}" alt="Page {number} of {len(pages)}; its words are in the PDF" '
        f'src="data:image/svg+xml;base64,{base64.b64encode(page).decode()}">'
        for number, page in enumerate(pages, 1)
    )
    return f"""<!doctype html>
<html lang="en"><head><meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="{policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{html.escape(title)}</title><style>{STYLE}</style></head>
<body>
<h1>{html.escape(title)}: the printed pages</h1>
{shown}
</body></html>
""".encode()
