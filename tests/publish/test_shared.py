"""Drawings kept once: nothing is lost, and every reference has its shape."""

from __future__ import annotations

import re

from buildalong.publish._shared import shared_once

LONG = "M 0 0 " + "L 1 1 " * 40
PATH = f'<path d="{LONG}" fill="none"/>'
PICTURE = f"<svg><title>t</title><desc>words</desc>{PATH}<path d='M 0 0'/></svg>"


def test_what_is_repeated_stands_once() -> None:
    """Three pictures with one long path: one shape, three references, short ones left alone."""
    page = shared_once(f"<body>{PICTURE * 3}</body>")
    assert page.count(LONG) == 1
    (name,) = re.findall(r'<path id="([^"]+)"', page)
    assert page.count(f'<use href="#{name}"/>') == 3
    assert page.count("<path d='M 0 0'/>") == 3


def test_the_page_can_be_put_back_together() -> None:
    """Replacing each reference by its shape gives the page as it was."""
    before = f"<body>{PICTURE * 4}</body>"
    page = shared_once(before)
    defined = re.search(r"<defs>(.*?)</defs>", page)
    assert defined
    shape = re.sub(r' id="[^"]+"', "", defined[1])
    assert re.sub(r"<use [^>]*/>", shape, page.replace(defined[0], "")) == before


def test_what_stands_twice_stays() -> None:
    """Two are not worth a reference."""
    assert shared_once(f"<body>{PICTURE * 2}</body>") == f"<body>{PICTURE * 2}</body>"
