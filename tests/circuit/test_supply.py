"""Supplies: what is understood, and what is refused for safety."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildalong.circuit import MOST_VOLTS, parse_supply, supply_voltages
from buildalong.finding import Severity, Unreadable
from buildalong.parts import catalogue

from ._demo import supply

PARTS = catalogue()

UNDERSTOOD = [
    ("4 x AA", "supply-aa", 4), ("4xAA", "supply-aa", 4), ("4 × AA", "supply-aa", 4),
    ("4 AA", "supply-aa", 4),
    ("3 x AAA cells", "supply-aaa", 3), ("AA", "supply-aa", 1), ("9 V block", "supply-9v", None),
    ("9V block", "supply-9v", None), ("CR2032", "supply-cr2032", 1), ("2 x CR2032", "supply-cr2032", 2),
    ("USB 5 V", "supply-usb", None), ("usb", "supply-usb", None), ("supply-9v", "supply-9v", None),
]  # fmt: skip


@pytest.mark.parametrize(("text", "identity", "count"), UNDERSTOOD, ids=[u[0] for u in UNDERSTOOD])
def test_supplies_are_understood(text: str, identity: str, count: int | None) -> None:
    """Spellings of the trade; cells are counted, blocks and leads are not."""
    part_type, settings = parse_supply(text, PARTS)
    assert part_type.id == identity
    assert dict(settings) == ({} if count is None else {"count": float(count)})


REFUSED = [
    ("230 V", "mains-voltage"), ("mains", "mains-voltage"), ("AC adapter", "mains-voltage"),
    ("12 V AC", "mains-voltage"), ("wall socket", "mains-voltage"), ("48 V", "mains-voltage"),
    ("1 kV", "mains-voltage"), ("24,5 V", "mains-voltage"), ("6 V ~", "mains-voltage"),
    ("9V AC", "mains-voltage"),
    ("12 Vac", "mains-voltage"), ("transformer 12 V", "mains-voltage"), ("12 V 50 Hz", "mains-voltage"),
    ("Li-ion 3.7 V", "supply-dangerous"), ("LiPo", "supply-dangerous"), ("car battery", "supply-dangerous"),
    ("", "unknown-supply"), ("solar", "unknown-supply"), ("resistor", "unknown-supply"),
    ("0 x AA", "supply-count"), ("9 x AA", "supply-count"), ("2 x 9 V block", "supply-count"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "code"), REFUSED, ids=[r[0] or "nothing" for r in REFUSED])
def test_danger_and_nonsense_are_refused_with_a_cure(text: str, code: str) -> None:
    """Mains, alternating voltage and high-current cells are named as dangerous; the cure lists what is legal.

    Direct voltage up to 60 V may be touched (IEC 61140:2016); lessons stay far below it.
    """
    with pytest.raises(Unreadable) as caught:
        parse_supply(text, PARTS)
    fault = caught.value.findings[0]
    assert (fault.severity, fault.code, fault.about) == (Severity.FATAL, code, ("supply",))
    assert fault.hint
    if code == "mains-voltage":
        assert "dangerous" in fault.message
    assert MOST_VOLTS < 60


@pytest.mark.parametrize(
    ("text", "volts"),
    [
        ("4 x AA", (3.2, 6.0, 6.4)),
        ("9 V block", (4.8, 9.0, 9.6)),
        ("USB 5 V", (4.4, 5.0, 5.25)),
        ("CR2032", (2, 3, 3.2)),
    ],
)
def test_voltage_from_empty_to_fresh(text: str, volts: tuple[float, float, float]) -> None:
    """End, nominal and fresh voltage: cells 0.8 V and 1.6 V, USB 4.40 V and 5.25 V (from memory)."""
    assert supply_voltages(supply(text)) == pytest.approx(volts)


@given(st.text(max_size=60))
def test_any_text_is_a_supply_or_refused(text: str) -> None:
    """No text breaks the reader, and what is accepted is a supply below the limit."""
    try:
        part_type, settings = parse_supply(text, PARTS)
    except Unreadable as error:
        findings = error.findings
    else:
        findings = ()
        assert part_type.family == "supply"
        count = dict(settings).get("count", 1)
        assert part_type.figures["voltage"].value * count <= MOST_VOLTS
    assert all(f.message and f.hint for f in findings)
