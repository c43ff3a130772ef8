"""Sheets for a class: read back by a spreadsheet library and a PDF library."""

from __future__ import annotations

import csv
import io
import subprocess
import textwrap

import openpyxl
import pytest
from tests.demos import EXAMPLES
from tests.design._circuits import circuit

from buildalong.drawing.schematic import schematic
from buildalong.kit import Kit, Session, kit, swaps
from buildalong.lesson import load, targets_of
from buildalong.parts import catalogue
from buildalong.publish import MAX_LABELS, kit_files, worksheet_files
from buildalong.publish._rows import unsaid
from buildalong.words import speaking
from buildalong.worksheet import without_values, worksheets
from publish._pdf import stretches, tagged


@pytest.fixture(scope="module")
def made() -> Kit:
    return kit([Session("=night", load(EXAMPLES / "lighthouse").circuit)], 5)


def test_the_workbook_says_what_the_lists_say(made: Kit) -> None:
    """Every sheet opens, with its heads, the counts of the kit, and no formula in any cell."""
    files = kit_files(made)
    book = openpyxl.load_workbook(io.BytesIO(files["kit.xlsx"]))
    assert book.sheetnames == ["shopping", "bags"]
    with speaking("de"):
        german = openpyxl.load_workbook(io.BytesIO(kit_files(made)["kit.xlsx"]))
    assert german.sheetnames == ["Einkauf", "Beutel"]
    rows = list(book["shopping"].iter_rows(values_only=True))
    assert rows[0][0] == "part"
    assert {row[0]: row[3] for row in rows[1:]} == {line.name: line.needed for line in made.lines}
    kinds = {cell.data_type for sheet in book for row in sheet.iter_rows() for cell in row}
    assert "f" not in kinds


def test_wrapped_heads_have_room(made: Kit) -> None:
    """A row is as high as its wrapped text: 15 points, the line of 11 point type, for each line."""
    sheet = openpyxl.load_workbook(io.BytesIO(kit_files(made)["kit.xlsx"]))["shopping"]
    for cell in sheet[1]:
        width = sheet.column_dimensions[cell.column_letter].width
        lines = len(textwrap.wrap(cell.value, int(width) - 1))
        assert sheet.row_dimensions[1].height >= 15 * lines
    assert sheet.row_dimensions[1].height > 15


def test_csv_lists_are_inert(made: Kit) -> None:
    """A lesson's title that looks like a formula does not become one."""
    text = kit_files(made)["bags.csv"].decode("utf-8-sig")
    rows = list(csv.reader(io.StringIO(text)))
    assert rows[1][0] == "'=night"


def test_swaps_have_a_sheet() -> None:
    """What can be taken instead stands with what happens then."""
    lesson = load(EXAMPLES / "lighthouse")
    targets = targets_of(lesson)
    part = lesson.circuit.by_id["U1"]
    found = swaps(lesson.circuit, lesson.trials, targets, catalogue(), part)
    files = kit_files(kit([Session("night", lesson.circuit)], 1), [(swap, targets) for swap in found])
    text = files["swaps.csv"].decode("utf-8-sig")
    assert "U1, timer 555" in text
    assert "on-time of DS1: 460 ms" in text


def test_labels_are_a_tagged_pdf_four_to_a_page(made: Kit) -> None:
    """Five bags need two pages; the address is on them as a code."""
    pdf = tagged(kit_files(made, address="https://example.org/lesson")["labels.pdf"])
    assert len(pdf.pages) == 2


def test_labels_refuse_what_makes_no_sense(made: Kit) -> None:
    """No script as an address, and no thousands of labels."""
    with pytest.raises(ValueError, match="https"):
        kit_files(made, address="javascript:alert(1)")
    many = kit([Session("night", load(EXAMPLES / "lighthouse").circuit)], MAX_LABELS + 1)
    with pytest.raises(ValueError, match="labels"):
        kit_files(many)


def test_worksheets_are_a_tagged_pdf_with_answers() -> None:
    """A page for each learner, then answers and the marking sheet; the same bytes twice."""
    lesson = load(EXAMPLES / "lighthouse")
    sheets = worksheets(lesson.circuit, lesson.trials, 2)
    files = worksheet_files(lesson.title, sheets)
    pdf = tagged(files["worksheets.pdf"])
    assert len(pdf.pages) >= 4
    assert files == worksheet_files(lesson.title, sheets)
    rows = list(csv.reader(io.StringIO(files["marking.csv"].decode("utf-8-sig"))))
    assert [row[0] for row in rows] == ["Sheet", "1", "2"]
    assert rows[1][1] == sheets[0].questions[0].answer


def test_a_sheet_with_its_schematic_is_one_page() -> None:
    """Three sheets with a picture take three pages, answers one or two, and the marking sheet one."""
    lesson = load(EXAMPLES / "lighthouse")
    sheets = worksheets(lesson.circuit, lesson.trials, 3)
    plain = worksheet_files(lesson.title, sheets)
    drawn = worksheet_files(lesson.title, sheets, schematic(without_values(sheets[0])))
    pages = [len(tagged(files["worksheets.pdf"]).pages) for files in (plain, drawn)]
    assert pages[0] == pages[1] <= 6


@pytest.mark.debian("pdftotext")
def test_answers_to_a_sheet_stay_on_one_page() -> None:
    """Each page of answers begins with the title or with a sheet, never with an answer left over."""
    lesson = load(EXAMPLES / "lighthouse")
    files = worksheet_files(lesson.title, worksheets(lesson.circuit, lesson.trials, 5))
    done = subprocess.run(
        ["pdftotext", "-layout", "-", "-"], input=files["worksheets.pdf"], capture_output=True, check=True
    )
    pages = [page.strip() for page in done.stdout.decode().split("\f")][5:]
    begins = [page.splitlines()[0] for page in pages if page]
    assert begins[0] == "Answers with working"
    assert begins[-1] == "Marking sheet"
    assert len(begins) > 3
    assert all(line.startswith("Sheet ") for line in begins[1:-1])


def test_a_label_holds_a_lesson_of_many_kinds() -> None:
    """Twenty kinds of resistors under a long title: no line on another, all in a quarter of an A4 page."""
    kinds = "\n".join(f"R{i} resistor {i}k PLUS 0V" for i in range(1, 21))
    many = kit([Session("a lesson whose title takes two lines on its label", circuit(kinds))], 1)
    data = kit_files(many, address="https://example.org/lesson")["labels.pdf"]
    assert len(tagged(data).pages) == 1
    lines = sorted({round(found.above, 1) for found in stretches(data)})
    assert lines[0] > 841.9 / 2
    # each resistor with its marking behind its name, and its count
    assert len(lines) >= 2 * 20


@pytest.mark.parametrize(
    ("mark", "name", "beside"),
    [("AA", "Cell, AA", ""), ("TLC555", "Timer 555, CMOS (TLC555)", ""), ("103", "10 nF capacitor", "103")],
)
def test_a_marking_is_said_once(mark: str, name: str, beside: str) -> None:
    """A label does not print what the part's name has said already."""
    assert unsaid(mark, name) == beside
