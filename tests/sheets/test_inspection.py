from math import dist

import pytest

from registry.drawing.primitives import Text, every_item
from registry.sheets.box import BOX_WIDTH_MM, PAPERS
from registry.sheets.contents import InspectionContent, SheetMark
from registry.sheets.footer import NOTE
from registry.sheets.header import QR_MM
from registry.sheets.ink import width_of
from registry.sheets.inspection import CAUTION, CAUTION_AT_MM, draw_inspection
from registry.sheets.plan_block import plan_parts
from tests.sheets import printed
from tests.sheets.made_up import INSPECTIONS, MARK, SPOTS, heading, known, lot

EVERY = [(name, paper) for name in INSPECTIONS for paper in PAPERS]


def drawn(name: str, paper: str = "letter") -> bytes:
    return draw_inspection(INSPECTIONS[name], MARK, PAPERS[paper]).pdf


@pytest.mark.parametrize(("name", "paper"), EVERY)
def test_everything_printed_stands_in_the_box_at_its_true_size(name, paper):
    pdf, size = drawn(name, paper), PAPERS[paper]
    for page, found in enumerate(printed.paper_mm(pdf)):
        assert found == pytest.approx((size.width_mm, size.height_mm), abs=0.01)
        box = printed.bounds(pdf, page)
        assert box.left == pytest.approx(size.left_mm, abs=0.2)
        assert box.right == pytest.approx(size.left_mm + 182, abs=0.2)
        assert box.top == pytest.approx(size.top_mm, abs=0.2)
        assert box.bottom == pytest.approx(size.top_mm + 254, abs=0.2)


@pytest.mark.parametrize("name", INSPECTIONS)
def test_letters_are_9_pt_or_more_and_headings_11(name):
    sizes = printed.letter_sizes(drawn(name))
    assert min(sizes) >= 9
    assert 11 in sizes


@pytest.mark.parametrize("name", INSPECTIONS)
def test_it_is_black_on_white_without_a_grey_or_a_colour(name):
    values = {value for line in printed.greys(drawn(name)) for value in line.split()[:-1]}
    assert values <= {b"0.0", b"1.0"}


def test_rules_are_thick_or_thin():
    assert {0.7, 0.25} <= printed.rule_weights_mm(drawn("blank_ft"))


def test_the_head_says_what_where_whose_and_which():
    page = printed.words(drawn("lot_44_ft"))[0]
    for said in (
        "INSPECTION Cooper's Yard north lot 14 Canal St",
        "own no. BC-01",
        "other nos. PP-23-07, H-2306",
        "sheet INS-0417 printed 2026-05-11 plan no. 2 page 1 of 1",
        "This sheet is in: ft, in, lb m, mm, kg",
    ):
        assert said in page


def test_every_page_says_how_to_write_empties_and_where_it_was_copied_in():
    for page in printed.words(drawn("known_9")):
        assert NOTE in page
        assert "copied in by" in page


def test_places_to_write_are_the_same_on_a_blank_sheet():
    asked = (
        "date from to by with",
        "why spring autumn storm complaint warranty sale audit",
        "weather air °F dry damp wet frost snow low sun rain ended at fell in, h",
        "KNOWN no. place kind last seen found, cl: cannot look now L M H photo",
        "NEW panel R from-to U from-to kind extent, unit lip, width, depth in L M H photo",
        "water stands no yes, where in deep min after rain ran off no yes, where",
        "well in to water at dirt from drains ok made safe at once",
        "signed next due copied in by on",
    )
    for name in ("lot_44_ft", "blank_ft"):
        page = " ".join(sorted(printed.words(drawn(name))[0].replace(":", " ").split()))
        for words in asked:
            assert set(words.replace(":", " ").split()) <= set(page.split()), words


def test_the_printed_tick_is_the_only_difference_units_make_in_the_head():
    us, si = printed.words(drawn("blank_ft"))[0], printed.words(drawn("blank_m"))[0]
    assert "°F" in us and "°C" not in us
    assert "°C" in si and "°F" not in si
    assert printed.picture(drawn("blank_ft"), 0).shape == printed.picture(drawn("blank_m"), 0).shape


def test_known_defects_are_printed_with_their_last_look():
    page = printed.words(drawn("lot_44_ft"))[0]
    assert "A3 · 5.0 R · 7.5 U" in page
    assert "3 ft2, low 2025-05-19" in page
    assert "y n cl" in page


def test_more_known_defects_than_rows_go_on_a_page_with_that_block_only():
    first, second = printed.words(drawn("known_9"))
    assert "(more: page 2)" in first
    assert "A7 · 5.0 R" not in first
    assert "A7 · 5.0 R · 7.5 U" in second and "A9 · 5.0 R · 7.5 U" in second
    assert "A6 · 5.0 R" not in second
    assert "raveling along joint" in second
    assert "weather" not in second and "NEW" not in second and "drawing" not in second


def test_no_known_defect_is_lost_however_many_there_are():
    content = InspectionContent(heading(), lot(4, 11), SPOTS, known(60))
    sheet = draw_inspection(content, MARK, PAPERS["a4"])
    text = " ".join(printed.words(sheet.pdf))
    assert sheet.pages == 1 + 2
    assert all(f" A{nth} · 5.0 R" in text for nth in range(1, 61))


def test_three_hundred_panels_go_over_two_pages_with_one_lane_on_both():
    first, second = printed.words(drawn("lot_300"))
    assert "here: A to H" in first and "page 1 of 2" in first
    assert "here: H to Q" in second and "page 2 of 2" in second


def test_no_number_of_a_defect_lies_on_the_number_of_a_panel():
    picture = plan_parts(INSPECTIONS["lot_300"])[0].picture
    words = [item for item in every_item(picture.items) if isinstance(item, Text)]
    names = [word for word in words if word.text in set("3456789ABCDEFGH")]
    numbers = [word for word in words if word.text == "2"]
    assert len(numbers) == 3, "the panel's, above and below, and the defect's"
    for number in numbers:
        assert min(dist(number.at, name.at) for name in names) > 3.0


def test_spots_and_datum_stand_on_the_plan():
    page = printed.words(drawn("lot_44_ft"))[0]
    for said in ("UP, toward the entrance", "18.42 hydrant", "23.07 door jamb", "drain 1"):
        assert said in page
    assert "run-on, aisle" in page


def test_a_path_asks_for_stations_and_a_paver_court_for_squares():
    assert "station from" in printed.words(drawn("path"))[0]
    assert "g(right,up)" in printed.words(drawn("court"))[0]
    assert "R from-to" in printed.words(drawn("court"))[0]


def test_a_pavement_without_a_plan_gets_empty_cells_to_draw_one_in():
    page = printed.words(drawn("no_plan"))[0]
    assert "plan no. none" in page
    assert page.count("A B C D E F G H J K L M N P Q R S T U V") == 2


def test_a_long_name_is_shortened_before_it_reaches_the_dots():
    name = "Lower Meadow Elementary School staff and visitor parking, east of the gymnasium"
    content = InspectionContent(heading(pavement=name, street="Old Mill Turnpike Road " * 4))
    page = printed.words(draw_inspection(content, MARK, PAPERS["letter"]).pdf)[0]
    assert "…" in page
    assert name not in page
    assert "Lower Meadow Elementary School" in page


def test_the_same_content_gives_the_same_bytes_and_another_number_other_ones():
    assert drawn("lot_300") == drawn("lot_300")
    other = SheetMark("INS-0418", "https://records.example.org/sheets/INS-0418/")
    again = draw_inspection(INSPECTIONS["lot_300"], other, PAPERS["letter"]).pdf
    assert again != drawn("lot_300")
    said = [page.replace("INS-0418", "INS-0417") for page in printed.words(again)]
    assert said == printed.words(drawn("lot_300"))


def test_a_printer_is_asked_not_to_scale():
    assert b"/PrintScaling /None" in drawn("blank_ft")


@pytest.mark.parametrize("name", INSPECTIONS)
def test_caution_stands_on_the_first_page_and_clear_of_the_code(name):
    assert CAUTION in printed.words(drawn(name))[0]
    assert CAUTION_AT_MM + 1.5 + width_of(CAUTION) < BOX_WIDTH_MM - QR_MM - 0.5
