"""The driver's day sheet: its box, its words, its squares of dots, over any number of stops."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from registry.sheets.box import BOX_WIDTH_MM, PAPERS
from registry.sheets.contents import DayContent, DayStopWords, Heading
from registry.sheets.day import NO_STOP, draw_day, head_mm, pages_of
from registry.sheets.day_content import blank_day
from registry.sheets.day_stop import QR_MM, stop_mm
from registry.sheets.footer import NOTE
from registry.sheets.header import HEADER_MM
from registry.sheets.sweep import CAUTION
from registry.units import System
from tests.sheets import dots, printed
from tests.sheets.made_up import MARK

URL = "https://registry.example.org"
US, SI = System.INCH_POUND, System.SI
LONG = "market on the square and deliveries to the shops beside it, all through the summer " * 4


def stop(number, **fields):
    told = {
        "kind": "SWEEP", "name": f"lot {number}", "order": f"W-{number}", "arrives": "07:10",
        "begins": "07:30", "ends": "09:05", "drive": "18 min", "path": f"/work-orders/{number}/",
        "lines": (("where", "12 Fennel St"), ("hours", "Mon-Sat 05:00-09:00"),
                  ("gate, keys", "code 4711"), ("limits", "height 8.2 ft; axle 3,000 lb")),
    }  # fmt: skip
    return DayStopWords(number, **{**told, **fields})


def dump(number):
    lines = (("open", "Mon-Fri 05:00-15:00; permit 17"),)
    return stop(number, kind="DUMP", name="Transfer yard", order="", path="", lines=lines)


def day(*stops, system=US, **fields):
    heading = Heading(
        "DAY SHEET", system, date(2026, 9, 14), pavement="Mon 2026-09-14, crew 1",
        street="Town of Sedgewater", line="machine sweeper 4, height 8.5 ft",
    )  # fmt: skip
    facts = (("depot", "Town yard"), ("leave", "05:00"), ("back", ""))
    return DayContent(heading, "2026-09-14", facts, stops, **fields)


def drawn(content, paper="letter"):
    return draw_day(content, MARK, PAPERS[paper], URL)


CONTENTS = {
    "none": day(),
    "one": day(stop(1)),
    "twelve": day(*(dump(n) if n % 5 == 4 else stop(n) for n in range(1, 13))),
    "forty": day(*(stop(n) for n in range(1, 41)), system=SI),
    "long": day(*(stop(n, lines=(("hours", LONG), ("to do", LONG))) for n in range(1, 8))),
    "blank": blank_day(SI, date(2026, 9, 14)),
}


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", CONTENTS)
def test_box_stands_where_the_paper_has_it_on_every_page(name, paper):
    """182 x 254 mm, punch margin of 18 mm on A4 and 20 mm on Letter; house rule, no source."""
    sheet, size = drawn(CONTENTS[name], paper), PAPERS[paper]
    assert len(printed.paper_mm(sheet.pdf)) == sheet.pages
    for page, (width, height) in enumerate(printed.paper_mm(sheet.pdf)):
        assert (width, height) == pytest.approx((size.width_mm, size.height_mm), abs=0.1)
        box = printed.bounds(sheet.pdf, page)
        assert (box.left, box.top) == pytest.approx((size.left_mm, size.top_mm), abs=0.15)
        assert box.right - box.left == pytest.approx(182, abs=0.2)
        assert box.bottom - box.top == pytest.approx(254, abs=0.2)
    assert min(printed.letter_sizes(sheet.pdf)) >= 9.0


def test_every_stop_stands_once_in_order_with_its_words():
    sheet = drawn(CONTENTS["forty"])
    words = " ".join(printed.words(sheet.pdf))
    places = [words.index(f"W-{n} lot {n} ") for n in range(1, 41)]
    assert places == sorted(places)
    assert words.count("gate, keys code 4711") == words.count("axle 3,000 lb") == 40
    assert words.count("arrive 07:10 begin 07:30 end 09:05") == 40


@pytest.mark.parametrize("name", CONTENTS)
def test_cautions_stand_once_the_note_on_each_page_and_room_to_sign_on_the_last(name):
    pages = printed.words(drawn(CONTENTS[name]).pdf)
    assert [CAUTION in page for page in pages] == [True] + [False] * (len(pages) - 1)
    assert all(NOTE in page for page in pages)
    assert ["signed, driver" in page for page in pages] == [False] * (len(pages) - 1) + [True]


def test_square_of_dots_of_a_stop_opens_its_order_and_a_dump_place_has_none():
    content = day(stop(1), dump(2), stop(3))
    pdf = drawn(content).pdf
    top = HEADER_MM + head_mm(content)
    after = top + stop_mm(content.stops[0]) + stop_mm(content.stops[1])
    assert dots.read(square_at(pdf, top + 0.8)) == f"{URL}/work-orders/1/"
    assert dots.read(square_at(pdf, after + 0.8)) == f"{URL}/work-orders/3/"
    assert stop_mm(content.stops[1]) < QR_MM + 8  # there is no room for one


def square_at(pdf, top_mm):
    """Return the dots of a square at the right edge of the first page, as a printer leaves them."""
    size, scale = PAPERS["letter"], printed.DOTS_PER_MM
    left, top = size.left_mm + BOX_WIDTH_MM - QR_MM - 0.7, size.top_mm + top_mm
    rows = slice(int((top + 0.4) * scale), int((top + QR_MM - 0.4) * scale))
    columns = slice(int((left + 0.4) * scale), int((left + QR_MM - 0.8) * scale))
    dark = printed.picture(pdf, 0)[rows, columns] < 128
    across, down = np.flatnonzero(dark.any(axis=0)), np.flatnonzero(dark.any(axis=1))
    dark = dark[down[0] : down[-1] + 1, across[0] : across[-1] + 1]
    finder = next(n for n in range(dark.shape[1]) if not dark[2, n])  # seven dots wide
    count = round(dark.shape[1] / (finder / 7))
    steps = ((np.arange(count) + 0.5) * dark.shape[1] / count).astype(int)
    return dark[np.ix_(steps, steps)]


def test_day_without_stops_says_so_and_leaves_room_to_write():
    (page,) = printed.words(drawn(CONTENTS["none"]).pdf)
    assert NO_STOP in page
    assert page.count("order no.") == 4


def test_blank_sheet_has_the_same_places():
    (page,) = printed.words(drawn(CONTENTS["blank"]).pdf)
    assert NO_STOP not in page
    assert "crew ____" in page
    assert page.count("came : left") == 4


def test_machine_that_is_too_much_for_a_site_is_said_above_all_else():
    alarm = "DO NOT GO IN: the machine is 8.5 ft high, the site bears 8.2 ft. Ask first."
    (page,) = printed.words(drawn(day(stop(1, alarms=(alarm,)))).pdf)
    assert page.index(alarm) < page.index("12 Fennel St")


def test_order_that_is_not_for_the_day_any_more_is_named_at_the_head():
    content = day(stop(1), left_out=("W-9 (called off)",))
    (page,) = printed.words(drawn(content).pdf)
    assert "not for today any more: W-9 (called off)." in page


def test_no_stop_is_torn_and_every_page_is_used():
    pages = pages_of(CONTENTS["forty"])
    assert [s.number for page in pages for s in page] == list(range(1, 41))
    assert all(len(page) >= 4 for page in pages[:-1])


def test_note_of_a_gate_is_printed_to_its_last_word():
    """200 signs are as many as a site has for it; their end may be the code."""
    note = ("the key hangs in the kiosk, ask by name; " * 5)[:191] + " CODE4711"
    assert len(note) == 200
    for paper in PAPERS:
        content = day(stop(1, lines=(("gate, keys", note),)))
        (page,) = printed.words(drawn(content, paper).pdf)
        assert "CODE4711" in page
        assert "…" not in page


def test_words_without_end_end_in_dots():
    endless = day(stop(1, name="n" * 400, lines=(("hours", LONG * 6),)))
    (page,) = printed.words(drawn(endless).pdf)
    assert page.count("…") == 2


def test_units_of_what_is_emptied_are_those_of_the_sheet():
    for system, unit in ((US, "yd³"), (SI, "m³")):
        (page,) = printed.words(drawn(day(dump(1), system=system)).pdf)
        assert unit in page


def test_same_day_gives_the_same_bytes():
    content = CONTENTS["twelve"]
    assert drawn(content).pdf == drawn(replace(content)).pdf
