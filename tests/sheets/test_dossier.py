"""The callback dossier as a PDF: blocks of the front sheet, annexes, page numbers over all."""

import re
from datetime import date
from io import BytesIO

import pytest
from pypdf import PdfReader

from registry.dossier import Book, add_every_figure, blank, number, words
from registry.gathering.pours import NO_RECORD
from registry.sheets.box import MM, paper_named
from registry.sheets.contents import DrawnSheet, Heading, SheetMark
from registry.sheets.dossier import draw_dossier
from registry.sheets.dossier_front_page import raveled_head, room_mm
from registry.sheets.dossier_numbers import SHORT
from registry.sheets.dossier_papers import folded
from registry.sheets.ink import width_of
from registry.units import System
from tests.dossier.books import dispute_book, dispute_worked_out, named
from tests.imaging.photos import jpeg, quarters

HEADING = Heading(
    "CALLBACK DOSSIER",
    System.INCH_POUND,
    date(2024, 9, 20),
    "Cooper's Yard north lot",
    plan_number=1,
)
MARK = SheetMark("DOS-0001", "https://registry.example/sheets/DOS-0001/")
SHA = "ab12" * 16


def drawn(book: Book, paper: str = "letter", thumbs: dict[str, bytes] | None = None) -> DrawnSheet:
    return draw_dossier(
        book, HEADING, MARK, paper_named(paper), thumbs=thumbs or {}, record_sha256="cd" * 32
    )


def pages_of(sheet: DrawnSheet) -> list[str]:
    return [page.extract_text() for page in PdfReader(BytesIO(sheet.pdf)).pages]


def claim(book: Book, panels: list[str], text: str = "The surface comes loose.") -> None:
    book.add(
        "callback",
        "CB-5",
        {
            "number": words("CB-5"),
            "job": words("H-2306"),
            "contractor": words("Hollin & Daughters Flatwork"),
            "owner": words("Cooper’s Yard LLC"),
            "panels": words(panels),
            "as_received": words(text),
            "not_known": words("missing check 2023-08-26\nundated photo P-3702"),
            "clauses_argued": words("4.2 deicer in the first winter"),
            "prepared": words("Prepared by J. Hollin, 2024-09-20"),
        },
    )


@pytest.fixture(scope="module")
def dispute_pages() -> list[str]:
    book = dispute_book()
    claim(book, named("C4-C11, D7-D11, B11"))
    book.add(
        "findings",
        "C11 cover late",
        {"panel": words("C11"), "cause": words("cover late"), "confidence": words("shown"),
         "came_first": words(True)},
    )  # fmt: skip
    add_every_figure(book)
    return pages_of(drawn(book))


def test_the_front_sheet_has_every_block(dispute_pages):
    front = dispute_pages[0]
    for block in ("CB-5, job H-2306", "notice arrived", "TERMS", "CLAIM", "raveled %", "NUMBERS",
                  "CORES", "NOT KNOWN", "ANSWER", "ANNEXES", "Seen", "Prepared by"):  # fmt: skip
        assert block in front, block
    assert "2023-09-15; last day 2025-09-14" in front
    assert "4 days late" in front
    assert "discharge to cover 0.69 (p under 0.001)" in front
    assert "tau-b with raveling over 18 loads, 6 factors tried" in front
    assert "loads 7, 8, 9, raveled 30.0 %" in front
    assert "zone 15.1 points gained, the rest 0.9 points" in front
    assert "does not say who is liable" in front
    assert "shown, first: cover late" in front


def test_pages_are_numbered_over_all_and_the_front_names_the_first_of_each_annex(dispute_pages):
    count = len(dispute_pages)
    assert all(f"page {n} of {count}" in text for n, text in enumerate(dispute_pages, start=1))
    for letter, title in zip("ABCDEFGHI", (
        "plan", "load record", "curing log", "tests", "photos", "winter log", "letters", "cores",
        "figures",
    ), strict=True):  # fmt: skip
        (first,) = (
            n for n, text in enumerate(dispute_pages, 1) if f"Annex {letter}: {title}" in text
        )
        told = " ".join(dispute_pages[0].split())
        assert re.search(rf"{letter} {title} {first}(-\d+)?[;\s]", told)


def test_every_figure_stands_with_its_inputs(dispute_pages):
    text = " ".join(" ".join(dispute_pages).split())
    for name in dispute_worked_out().figures:
        assert name.split()[0] in text
    assert "batch_water 1345 lb" in text
    assert "K 126870" in text
    assert "record.json of the archive, whose SHA-256 is" in text


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_it_is_true_size_on_both_papers_and_the_same_bytes_each_time(paper):
    book = dispute_book()
    claim(book, ["C8"])
    one = drawn(book, paper)
    page = PdfReader(BytesIO(one.pdf)).pages[0].mediabox
    assert float(page.width) == pytest.approx(paper_named(paper).width_mm * MM)
    assert one.pdf == drawn(book, paper).pdf


def test_what_every_load_lacks_for_one_reason_stands_in_one_line():
    lacking = {
        "load 1 yield": "Something of load 1 was not measured.",
        "load 11 yield": "Something of load 11 was not measured.",
        "load 2 yield": "No area.",
        "last day": "The warranty is void.",
    }
    assert list(folded(lacking)) == [
        ("loads 1, 11 yield", "Something of each of these loads was not measured."),
        ("load 2 yield", "No area."),
        ("last day", "The warranty is void."),
    ]


def test_a_record_with_nothing_in_it_says_so():
    book = Book()
    claim(book, [])
    add_every_figure(book)
    sheet = drawn(book)
    text = " ".join(" ".join(pages_of(sheet)).split())
    assert sheet.pages <= 4  # an annex without rows takes no page of its own
    assert "There is no plan of panels" in text
    assert "No panel is claimed by name" in text
    assert "No raveled share of a panel is in the record." in text
    assert "none taken" in text
    assert "No photo in the record." in text


@pytest.mark.parametrize(("count", "left"), [(1, ""), (14, ""), (15, "and 1 more"), (44, "and 30")])
def test_fourteen_panels_stand_on_the_front_and_the_others_in_annex_a(count, left):
    book = dispute_book()
    claim(book, list(book.of("panels"))[:count])
    front = pages_of(drawn(book))[0]
    assert (left in front) if left else ("more panels" not in front)


def test_a_long_claim_is_cut_on_the_front_and_said_to_be():
    book = dispute_book()
    claim(book, ["C8"], "The surface comes loose at the joint. " * 60)
    assert "more in the annexes" in pages_of(drawn(book))[0]


def test_a_letter_longer_than_a_page_is_printed_whole():
    book = Book()
    claim(book, [])
    text = " ".join(f"word{n}" for n in range(3000))
    book.add("letters", "2024-04-26 letter", {"text": words(text), "who": words("the owner")})
    said = " ".join(" ".join(pages_of(drawn(book))).split())
    assert all(f"word{n}" in said for n in (0, 1, 1500, 2999))


def test_two_hundred_photos_stand_small_with_whole_fingerprints():
    book = Book()
    claim(book, [])
    small = jpeg(quarters(160, 120))
    for nth in range(200):
        book.add(
            "photos",
            f"P-{nth}",
            {"shows": words("C8"), "sha256": words(SHA), "file": words(f"photos/P-{nth}.jpg")},
        )
    book.add("photos", "P-own", {"sha256": words(SHA), "left_out": words("its own side only")})
    sheet = drawn(book, thumbs={f"P-{nth}": small for nth in range(200)})
    text = "".join(pages_of(sheet))
    assert text.count(SHA) == 201
    assert "not in the archive: its own side only" in text
    assert sheet.pages < 40


def test_a_word_wider_than_its_column_is_broken_not_lost():
    book = Book()
    claim(book, [])
    note = "x" * 300
    row = {"system": words("inch_pound"), "method": words("c1701"), "ended": words("spoiled")}
    row |= {"ring": number(12.0, "in"), "water": number(8.0, "lb"), "time": number(60.0, "s")}
    book.add("tests", "T-1", row | {"note": words(note)})
    assert "".join(pages_of(drawn(book))).count("x") >= 300


def test_the_fullest_front_has_room_for_its_blocks():
    """Six parts with periods of their own, loads left out, a claim of many lines, 44 panels."""
    book = dispute_book()
    for load in ("3", "4"):
        book.rows["loads"][load] = {**book.rows["loads"][load], "free_moisture": blank("nk")}
    for nth in range(5):
        row = {"start_on": words("2025-06-06"), "years": number(1)}
        book.add("parts", f"part {nth} of the warranty", row)
    panels = [f"{lane}{n}" for lane in "ABCD" for n in range(1, 12)]
    claim(book, panels, text="Stones come off wherever a wheel turns. " * 40)
    add_every_figure(book)
    front = " ".join(pages_of(drawn(book))[0].split())
    assert "more 4 with periods of their own: annex I" in front
    assert "2 loads left out (3, 4): of w/cm only a least number is known." in front
    assert ", 16 loads)" in front
    assert "Covered later than 20 min (limit of the placing day): loads 6, 7, 8, 9" in front
    assert "and 30 more panels: annex A" in front


def test_annex_g_has_every_clock_with_its_rule_in_full(dispute_pages):
    letters = re.sub(r"\s+", " ", " ".join(dispute_pages))
    assert "evaluator 2024-07-30 2024-07-26 15 working days after" in letters
    assert "Both signed 2025-06-30 instead of 2024-12-31. Done in time." in letters
    assert "Done 4 days late." in letters
    assert "after 17:00: counts as the next working day." in letters


def test_a_silent_year_and_a_day_agreed_without_a_limit_stand_on_paper():
    book = dispute_book()
    claim(book, ["C8"])
    reply = book.rows["clocks"]["reply"]
    book.rows["clocks"]["reply"] = {**reply, "after_on": words("2025-06-17")}
    del book.rows["clocks"]["remedy"]
    book.add("agreed_days", "remedy", {"due_on": words("2025-06-30"), "done_on": blank()})
    add_every_figure(book)
    front, *rest = pages_of(drawn(book))
    assert "20 working d, holidays: annex G" in front
    assert re.search(r"remedy\s+due 2025-06-30\s+not done\s+day agreed, no limit", front)
    annexes = re.sub(r"\s+", " ", " ".join(rest))
    assert "The holiday list names no day of 2025: enter those of the contract" in annexes
    assert "Agreed by both; the terms have no limit for it." in annexes


@pytest.mark.parametrize("graded", sorted(set(SHORT.values())))
def test_head_over_the_looks_is_not_cut(graded):
    head = raveled_head(graded)
    assert width_of(head, bold=True) <= room_mm(["panel", head, *[""] * 8], 1)


def test_what_stands_in_the_place_of_the_loads_is_not_cut():
    cells = ["C8", "7", "", "", NO_RECORD, "", "", "n", "nk", ""]
    assert width_of(NO_RECORD) <= room_mm(cells, 4)
    assert room_mm([*cells[:5], "49", *cells[6:]], 4) < width_of(NO_RECORD)
