"""Drawings kept once: nothing is lost, and every reference has its shape."""

from __future__ import annotations

import re

import pytest

from buildalong.publish._shared import shared_once

LONG = "M 0 0 " + "L 1 1 " * 40
PATH = f'<path d="{LONG}" fill="none"/>'
TEXT = '<path d="M 0 0"/><text x="1">R<tspan>1</tspan></text>'
PICTURE = f"<svg><title>t</title><desc>words</desc>{PATH}{TEXT}</svg>"
WIRE = '<line x1="0" y1="990.6" x2="0" y2="982.6" stroke="#D2CDC0"/><circle cx="2.54" r="12.7" fill="#000"/>'
GROUP = f'<g transform="rotate(90)">{WIRE}</g>'


def put_back(page: str) -> str:
    """The page with each reference replaced by what it refers to, the definitions taken out."""
    found = re.search(r"<defs>(.*)</defs>", page)
    assert found
    shapes: dict[str, str] = {}
    for part in re.split(r'(?=<\w+ id="_\d+")', found[1])[1:]:
        head = re.match(r'<(\w+) id="(_\d+)"', part)
        assert head
        bare = part.replace(f' id="{head[2]}"', "", 1)
        whole = re.fullmatch(r"<g>(.*)</g>", bare)
        shapes[head[2]] = whole[1] if whole else bare
    page = page.replace(found[0], "")
    return re.sub(r'<use href="#(_\d+)"/>', lambda use: shapes[use[1]], page)


@pytest.mark.parametrize("drawn", [PATH, WIRE, GROUP, WIRE + GROUP, GROUP + PATH], ids=str.__len__)
def test_what_is_repeated_stands_once(drawn: str) -> None:
    """Four pictures with the same shapes: one definition and four references, in the first drawing."""
    before = f"<body>{f'<svg><desc>words</desc><rect/>{drawn}</svg>' * 4}</body>"
    page = shared_once(before)
    assert len(page) < len(before)
    assert page.count(drawn) == 1
    assert page.index("<defs>") == page.index("</desc>") + len("</desc>")
    assert put_back(page) == before


def test_shapes_that_follow_one_another_are_kept_together() -> None:
    """A wire of two shapes is one definition; where another shape comes between once, they are two."""
    one, two = WIRE.split("/>")[0] + "/>", WIRE.split("/>")[1] + "/>"
    picture = f"<svg><desc>w</desc>{one}{two}</svg>"
    assert shared_once(picture * 5).count("<use") == 5
    assert shared_once(picture * 5 + f"<svg>{one}<rect/>{two}</svg>").count("<use") == 12


def test_the_page_can_be_put_back_together() -> None:
    """Replacing each reference by its shape gives the page as it was."""
    before = f"<body>{PICTURE * 4}</body>"
    assert put_back(shared_once(before)) == before


def test_what_is_not_worth_it_stays() -> None:
    """A single drawing has nothing to share, nor have short shapes."""
    assert shared_once(f"<body>{PICTURE}</body>") == f"<body>{PICTURE}</body>"
    short = '<svg><desc>w</desc><path d="M 0 0"/></svg>'
    assert shared_once(short * 2) == short * 2


NAMED = {
    "id": PATH.replace("<path", '<path id="a"'),
    "class": GROUP.replace("<g", '<g class="fresh"'),
    "clip": f"<clipPath>{PATH}</clipPath>",
    "inner id": '<g transform="rotate(90)"><title>tip</title><g id="b"/></g>',
    "animated": '<rect width="100" height="100" fill="#ffffff"><animate dur="1s"/></rect>',
}


@pytest.mark.parametrize("case", NAMED)
def test_what_has_a_name_stays_where_it_is(case: str) -> None:
    """Shapes with an id or a class, parts of clips, and animated ones stay; what they hold may not."""
    own = NAMED[case]
    page = shared_once(f"<svg><desc>w</desc>{own}</svg>" * 4)
    assert page.count(re.match(r"<[^<>]*>", own)[0]) == 4  # type: ignore[index]
    if "clipPath" in own:
        assert page.count(own) == 4


def test_lines_and_indents_between_elements_go() -> None:
    """They are not drawn; the words of a text stay as they are."""
    page = shared_once('<svg>\n <desc>a  b</desc>\n <text x="1"> R1 </text>\n  <rect/>\n</svg>\n')
    assert page == '<svg><desc>a  b</desc><text x="1"> R1 </text><rect/></svg>\n'
