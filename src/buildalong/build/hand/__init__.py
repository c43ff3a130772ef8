"""Work by hand: build lists that an author types, and the same list made from a layout."""

from buildalong.build.hand._edit import edited
from buildalong.build.hand._grow import kept_from
from buildalong.build.hand._join import wire_among
from buildalong.build.hand._list import BuildList, ListStep
from buildalong.build.hand._mend import Mended, mend_list
from buildalong.build.hand._print import item_text, list_text, wire_text
from buildalong.build.hand._read import MOST_LINES, board_named, read_list

__all__ = [
    "MOST_LINES",
    "BuildList",
    "ListStep",
    "Mended",
    "board_named",
    "edited",
    "item_text",
    "kept_from",
    "list_text",
    "mend_list",
    "read_list",
    "wire_among",
    "wire_text",
]
