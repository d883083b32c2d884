"""The load sheet and the cover walk card: their box, words and places, filled and blank."""

from dataclasses import replace

import pytest

from registry.gathering.claim_words import PLACING
from registry.sheets.box import PAPERS
from registry.sheets.contents import CoverContent, CoverStrip, LoadContent, LoadRowWords
from registry.sheets.cover_card import COLUMNS, DUE, draw_cover_card
from registry.sheets.footer import NOTE
from registry.sheets.load_sheet import ROWS, columns_of, draw_load_sheet
from tests.sheets import printed
from tests.sheets.made_up import MARK, SI, US, blank, heading

LIMITS = (
    ("must match test panel no.", "TP-2"),
    ("thickness", "6.00 in"),
    ("cover within, min", "20"),
    ("batch to discharge, min", "90"),
    ("w/cm at most", "0.33"),
    ("design", "0.32"),
    ("density", "121.5 ± 5 lb/ft³"),
    ("evaporation at most", "0.100 lb/ft²/h"),
)
SEVEN = LoadRowWords(
    "7", "T-88137", "08:40", "09:03", ("09:20", "09:34"), "2", "f", "e", "118.9", "C",
    ("51", "81.5"), ("09:54", "10:11"),
)  # fmt: skip
LOAD = LoadContent(heading("LOAD SHEET"), "2023-08-22", "R. Voss", "damp", LIMITS, (SEVEN,), 7)
STRIP = CoverStrip(
    "A1-A11, C1-C11", "2023-08-22 11:33", "168 h", "2023-08-29 11:33",
    ("12:33", "13:33", "14:33", "15:33", "16:33", "17:33"),
)  # fmt: skip
COVER = CoverContent(heading("COVER WALK CARD"), "2023-08-22", (STRIP,), 7)
LOADS = {
    "filled": LOAD,
    "metres": replace(LOAD, heading=heading("LOAD SHEET", SI)),
    "blank_ft": LoadContent(blank("LOAD SHEET", US)),
    "blank_m": LoadContent(blank("LOAD SHEET", SI)),
    "many": replace(LOAD, rows=(SEVEN,) * (ROWS + 1)),
}
COVERS = {
    "filled": COVER,
    "blank_ft": CoverContent(blank("COVER WALK CARD", US)),
    "blank_m": CoverContent(blank("COVER WALK CARD", SI)),
    "two strips": replace(COVER, strips=(STRIP, CoverStrip("B, D"))),
}
ALL = [(draw_load_sheet, one) for one in LOADS.values()]
ALL += [(draw_cover_card, one) for one in COVERS.values()]
NAMES = [f"load {name}" for name in LOADS] + [f"cover {name}" for name in COVERS]


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize(("draw", "content"), ALL, ids=NAMES)
def test_everything_printed_stands_in_the_box_at_its_true_size(draw, content, paper):
    drawn, size = draw(content, MARK, PAPERS[paper]), PAPERS[paper]
    assert len(printed.paper_mm(drawn.pdf)) == drawn.pages
    for page, found in enumerate(printed.paper_mm(drawn.pdf)):
        assert found == pytest.approx((size.width_mm, size.height_mm), abs=0.01)
        box = printed.bounds(drawn.pdf, page)
        assert box.left == pytest.approx(size.left_mm, abs=0.2)
        assert box.right == pytest.approx(size.left_mm + 182, abs=0.2)
        assert box.top == pytest.approx(size.top_mm, abs=0.2)
        assert box.bottom == pytest.approx(size.top_mm + 254, abs=0.2)


@pytest.mark.parametrize(("draw", "content"), ALL, ids=NAMES)
def test_letters_are_9_pt_or_more_and_black(draw, content):
    pdf = draw(content, MARK, PAPERS["letter"]).pdf
    assert min(printed.letter_sizes(pdf)) >= 9


def words(draw, content) -> str:
    return " ".join(printed.words(draw(content, MARK, PAPERS["letter"]).pdf))


@pytest.mark.parametrize("name", LOADS)
def test_every_place_of_the_load_sheet_is_there_with_cautions(name):
    """The columns are those of the paper's own list for this sheet (house rule, no source)."""
    page = words(draw_load_sheet, LOADS[name])
    for field in (
        "load", "ticket", "batched", "arrived", "disch.", "water", "by", "look", "density", "lane",
        "from", "to", "cover", "1st", "last", "LIMITS", "must match test panel no.", "cover within",
        "batch to discharge", "w/cm at most", "evaporation at most", "air", "RH", "concrete",
        "damp", "frozen: stop", "d driver, f foreman, t tester, nk nobody knows",
        "d dry and dull, e even wet sheen, r paste running", "written by",
    ):  # fmt: skip
        assert field in page, field
    assert " ".join(PLACING.split()[:8]) in page and NOTE.split(".")[0] in page


def test_what_is_known_is_printed():
    page = words(draw_load_sheet, LOAD)
    for label, value in LIMITS:
        assert value in page, label
    row = ("T-88137", "08:40", "09:03", "09:20", "09:34", "118.9", "81.5", "09:54", "10:11")
    assert all(cell in page for cell in row)
    assert "2023-08-22" in page and "R. Voss" in page and MARK.number in page


def test_columns_make_up_the_box_in_both_systems():
    for system in (US, SI):
        assert sum(width for _, _, width in columns_of(system)) == pytest.approx(182)
    assert sum(width for _, width in COLUMNS) == pytest.approx(182)


def test_units_are_those_of_the_sheet_and_never_both():
    for name, there, others in (
        ("blank_ft", ("gal", "lb/ft³", "mph", "°F", "yd³"), ("kg/m³", "km/h", "°C")),
        ("blank_m", ("kg/m³", "km/h", "°C", "m³"), ("gal", "lb/ft³", "mph", "°F", "yd³")),
    ):
        page = words(draw_load_sheet, LOADS[name])
        assert all(unit in page for unit in there), (name, there)
        assert not any(unit in page for unit in others), (name, others)


def test_more_loads_than_rows_go_on_on_a_second_page():
    assert draw_load_sheet(LOADS["many"], MARK, PAPERS["letter"]).pages == 2
    assert draw_load_sheet(LOAD, MARK, PAPERS["letter"]).pages == 1


def test_first_six_hours_are_walked_hourly_each_by_its_clock():
    page = words(draw_cover_card, COVER)
    for nth, clock in enumerate(STRIP.hourly, start=1):
        assert f"+{nth} h {clock}" in page
    assert DUE[:6] == tuple(f"+{n} h" for n in range(1, 7))


@pytest.mark.parametrize("name", COVERS)
def test_every_place_of_the_cover_card_is_there_with_cautions(name):
    page = words(draw_cover_card, COVERS[name])
    for field in (
        "clock", "by", "all lies", "bare: panels", "from", "to", "w a p r", "relaid: how",
        "last foot covered", "to stay covered", "not uncovered before", "misted", "laps", "edges",
        "UNCOVERED", "ON IT EARLY", "w wind, a animal, p person, r rain", "released to traffic on",
    ):  # fmt: skip
        assert field in page, field
    assert " ".join(PLACING.split()[:8]) in page


def test_each_strip_has_a_card_of_its_own():
    pages = printed.words(draw_cover_card(COVERS["two strips"], MARK, PAPERS["a4"]).pdf)
    assert len(pages) == 2
    assert "A1-A11, C1-C11" in pages[0] and "B, D" in pages[1] and "168 h" not in pages[1]


def test_same_content_gives_the_same_bytes():
    for draw, content in ((draw_load_sheet, LOAD), (draw_cover_card, COVER)):
        one = draw(content, MARK, PAPERS["letter"]).pdf
        assert one == draw(content, MARK, PAPERS["letter"]).pdf


def test_no_limit_is_cut_short_in_metric_units_where_another_is_not_known():
    limits = (("thickness", "152.4 mm"), ("density", "1946 ± 80.1 kg/m³"), ("design", "0.32"))
    content = replace(LOAD, heading=heading("LOAD SHEET", SI), limits=limits)
    told = " ".join(printed.words(draw_load_sheet(content, MARK, PAPERS["a4"]).pdf))
    assert "152.4 mm" in told
    assert "1946 ± 80.1 kg/m³" in told
