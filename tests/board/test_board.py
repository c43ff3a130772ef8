"""Boards: counts of holes, pitches, rails, strips, words.

Counts and pitches: BusBoard's sheets for 300- and 400-point boards, makers' sheets for 170 and 830
(second-hand); the 7.62 mm trench: from memory (a 0.3 inch DIP straddles it); groups of five and
rails broken in the middle: common practice.
"""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildalong.board import PITCH_MM, TRENCH_X, Board, board, boards, hole_words, strip_words, turned_words
from buildalong.words import LANGUAGES, capital, speaking

ALL = sorted(boards())


@pytest.mark.parametrize(
    ("name", "rows", "rail", "total"),
    [("170", 17, 0, 170), ("400", 30, 25, 400), ("830", 63, 50, 830), ("830-split", 63, 50, 830)],
)
def test_tie_points(name: str, rows: int, rail: int, total: int) -> None:
    """A board has as many holes as its name says: rows of ten, and four rails (makers' sheets)."""
    found = board(name)
    assert (found.rows, found.rail_holes, len(found.holes)) == (rows, rail, total)


@pytest.mark.parametrize("name", ALL)
def test_pitches(name: str) -> None:
    """Holes are 2.54 mm apart along and across, the trench is 7.62 mm from e to f."""
    holes = board(name).holes
    assert pytest.approx(2.54) == PITCH_MM
    assert (holes["f1"][0] - holes["e1"][0]) * PITCH_MM == pytest.approx(7.62)
    assert (holes["b1"][0] - holes["a1"][0]) * PITCH_MM == pytest.approx(2.54)
    assert (holes["a2"][1] - holes["a1"][1]) * PITCH_MM == pytest.approx(2.54)
    assert (holes["e1"][0] + holes["f1"][0]) / 2 == TRENCH_X
    assert len(set(holes.values())) == len(holes)


@pytest.mark.parametrize("name", ["400", "830", "830-split"])
def test_rails_stand_in_groups_of_five(name: str) -> None:
    """Rail holes come in fives with a gap of one pitch between the groups (common practice)."""
    found = board(name)
    ys = [found.holes[f"L+{n}"][1] for n in range(1, found.rail_holes + 1)]
    gaps = [round(b - a, 9) for a, b in pairwise(ys)]
    assert gaps == [2.0 if n % 5 == 0 else 1.0 for n in range(1, found.rail_holes)]
    assert ys[0] >= 1
    assert ys[-1] <= found.rows
    assert ys[0] - 1 == pytest.approx(found.rows - ys[-1])


@pytest.mark.parametrize("name", ALL)
def test_the_holes_fit_on_the_board(name: str) -> None:
    """All holes lie within the board's size: 35 x 47, 55 x 83, 55 x 165 mm (makers' sheets)."""
    found = board(name)
    width, length = found.size_mm
    xs = [x * PITCH_MM for x, _ in found.holes.values()]
    ys = [y * PITCH_MM for _, y in found.holes.values()]
    assert max(xs) - min(xs) < width
    assert max(ys) - min(ys) < length < max(ys) - min(ys) + 4 * PITCH_MM


@pytest.mark.parametrize("name", ALL)
def test_strips_partition_the_holes(name: str) -> None:
    """Every hole is in exactly one strip; a row strip has five holes, on one side of the trench."""
    found = board(name)
    listed = [hole for holes in found.strips.values() for hole in holes]
    assert sorted(listed) == sorted(found.holes)
    for strip, holes in found.strips.items():
        if found.rail_of(holes[0]) is None:
            assert len(holes) == 5
            assert {found.row_of(hole) for hole in holes} == {int(strip[:-1])}
            assert len({found.side_of(hole) for hole in holes}) == 1


def test_split_rails_have_two_halves() -> None:
    """On a split board each rail is two strips of 25 holes; on a whole one it is one of 50."""
    assert len(board("830").strips["L+"]) == 50
    halves = board("830-split").strips
    assert "L+" not in halves
    assert halves["L+ upper"][-1] == "L+25"
    assert halves["L+ lower"][0] == "L+26"
    assert {
        len(halves[f"{rail} {half}"]) for rail in ("L+", "L-", "R+", "R-") for half in ("upper", "lower")
    } == {25}


def test_the_smallest_board_has_no_rails() -> None:
    """The 170-point board has rows only."""
    found = board("170")
    assert found.rails == ()
    assert not any(hole[0] in "LR" for hole in found.holes)


@pytest.mark.parametrize("name", ALL)
def test_neighbours_are_one_pitch_away(name: str) -> None:
    """Neighbours are exactly the holes at a distance of one pitch (by brute force), and mutual."""
    found = board(name)
    for hole in ["a1", "e5", "f5", "j9", "c17", *(["L+1", "L-5", "R+6", "R-25"] if found.rails else [])]:
        x, y = found.holes[hole]
        near = {h for h, (a, b) in found.holes.items() if abs((a - x) ** 2 + (b - y) ** 2 - 1) < 1e-9}
        assert set(found.neighbours(hole)) == near
        assert all(hole in found.neighbours(other) for other in near)


def test_next_strips() -> None:
    """A lead that slips by one hole reaches the rows beside it, or the other rail of the pair."""
    assert board("400").next_strips("12L") == ("11L", "13L")
    assert board("400").next_strips("1R") == ("2R",)
    assert board("400").next_strips("L+") == ("L-",)
    assert set(board("830-split").next_strips("R- lower")) == {"R+ lower"}


@pytest.mark.parametrize(
    ("hole", "row", "side", "rail"),
    [
        ("c12", 12, "left", None),
        ("e1", 1, "left", None),
        ("f1", 1, "right", None),
        ("R-7", None, "right", "R-"),
    ],
)
def test_row_side_rail(hole: str, row: int | None, side: str, rail: str | None) -> None:
    """Row, side and rail of a hole follow from its name."""
    found = board("400")
    assert (found.row_of(hole), found.side_of(hole), found.rail_of(hole)) == (row, side, rail)


@pytest.mark.parametrize(
    ("wrong", "nearest"),
    [
        ("c31", "c30"),
        ("k5", "j5"),
        ("5c", "c5"),
        ("C 5", "c5"),
        ("l+26", "L+25"),
        ("a0", "a1"),
        ("R−3", "R-3"),
    ],
)
def test_nearest_hole(wrong: str, nearest: str) -> None:
    """A wrong hole name is answered with the one meant."""
    assert board("400").nearest(wrong) == nearest


@given(st.text(max_size=60))
def test_nearest_is_always_a_hole(text: str) -> None:
    """Whatever an author writes, the nearest name is legal, and a legal name stays as it is."""
    found = board("400")
    assert found.nearest(text) in found.holes


@pytest.mark.parametrize("name", ALL)
def test_legal_names_are_kept(name: str) -> None:
    """Spelling and nearest leave every legal name alone."""
    found: Board = board(name)
    assert all(found.spell(hole) == hole == found.nearest(hole) for hole in found.holes)


@pytest.mark.parametrize(
    ("strip", "said"),
    [
        ("12L", "row 12 left"),
        ("3R", "row 3 right"),
        ("L+", "the left plus rail"),
        ("R-", "the right minus rail"),
        ("L- lower", "the lower half of the left minus rail"),
    ],
)
def test_strip_words(strip: str, said: str) -> None:
    """A strip is said in words."""
    assert strip_words(strip) == said


def test_words_are_unique() -> None:
    """No two strips and no two holes of a board are said in the same words."""
    for name in ALL:
        found = board(name)
        assert len({strip_words(strip) for strip in found.strips}) == len(found.strips)
        assert len({hole_words(hole) for hole in found.holes}) == len(found.holes)


@pytest.mark.parametrize("found", boards().values(), ids=lambda found: found.name)
def test_turned_words_name_what_lies_there_after_half_a_turn(found: Board) -> None:
    """Turned by half a turn, a strip bears the words of the mirrored place: of its own row, its own sign."""
    across = max(x for x, _ in found.holes.values()) + min(x for x, _ in found.holes.values())
    along = max(y for _, y in found.holes.values()) + min(y for _, y in found.holes.values())
    for tag in LANGUAGES:
        with speaking(tag):
            for strip, holes in found.strips.items():
                words = strip_words(strip)
                x, y = found.holes[holes[0]]
                other = found.strip_of[found.hole_at(across - x, along - y) or ""]
                row = strip.rstrip("LR") if strip[-1] in "LR" else ""
                there = f"{row}{other[-1]}" if row else f"{other[0]}{strip[1]}{other[2:]}"
                mirrored = strip_words(there)
                assert turned_words(f"So {words}.") == f"So {mirrored}."
                assert turned_words(capital(words)) == capital(mirrored)
                if not row:
                    assert turned_words(hole_words(f"{strip[:2]}7")) == hole_words(f"{there[:2]}7")
    assert turned_words("Nothing is left; turn it right round.") == "Nothing is left; turn it right round."
