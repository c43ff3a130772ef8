"""Every word of the sheets for a class: kit, labels and worksheets; the one place to translate."""

from __future__ import annotations

__all__ = [
    "BAG",
    "BAGS",
    "CODE_ALT",
    "LABELS_TITLE",
    "LABEL_HEADS",
    "PARTS_ALT",
    "SHEETS",
    "SHOPPING",
    "SWAPS",
    "WORKSHEET",
]

SHEETS = {"shopping": "shopping", "bags": "bags", "swaps": "swaps"}
SHOPPING = (
    "part", "marking", "for one learner", "for the class", "spares", "in the drawer", "to buy", "packs",
    "pieces in a pack", "price of one", "cost", "where",
)  # fmt: skip
BAGS = ("lesson", "pieces", "part", "marking")
SWAPS = ("lesson", "missing", "take instead", "then", "keeps all promises", "warning")
BAG = "bag"
LABELS_TITLE = "Bag labels"
LABEL_HEADS = ("", "pieces", "part and marking")
CODE_ALT = "QR code with the address of the article"
PARTS_ALT = "picture of the part: {part}"
WORKSHEET = {
    "sheet": "Sheet",
    "learner": "Name:",
    "date": "Date:",
    "values": "Your values:",
    "answers": "Answers with working",
    "marking": "Marking sheet",
    "accepted": "right within",
}
