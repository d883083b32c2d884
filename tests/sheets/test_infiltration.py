from dataclasses import replace

import pytest

from registry.sheets.box import PAPERS
from registry.sheets.contents import InfiltrationContent, PlannedSpot
from registry.sheets.footer import NOTE
from registry.sheets.infiltration import draw_infiltration
from registry.sheets.spot_block import SPOT_MM
from tests.sheets import printed
from tests.sheets.made_up import MARK, SI, SPOTS, US, blank, heading

DRAWN_SPOTS = tuple(
    PlannedSpot(f"draw 12 E{nth}", f"B{nth} · 3.2 R · 8.5 U", "run-on edge", False)
    for nth in range(1, 5)
)
CONTENTS = {
    "ft": InfiltrationContent(heading("INFILTRATION TEST"), SPOTS, "c1701"),
    "m": InfiltrationContent(heading("INFILTRATION TEST", SI), SPOTS, "c1781"),
    "seven": InfiltrationContent(heading("INFILTRATION TEST"), SPOTS + DRAWN_SPOTS, "c1701"),
    "blank_ft": InfiltrationContent(blank("INFILTRATION TEST", US)),
    "blank_m": InfiltrationContent(blank("INFILTRATION TEST", SI)),
}


def drawn(name: str, paper: str = "letter") -> bytes:
    return draw_infiltration(CONTENTS[name], MARK, PAPERS[paper]).pdf


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", CONTENTS)
def test_everything_printed_stands_in_the_box_at_its_true_size(name, paper):
    pdf, size = drawn(name, paper), PAPERS[paper]
    for page, found in enumerate(printed.paper_mm(pdf)):
        assert found == pytest.approx((size.width_mm, size.height_mm), abs=0.01)
        box = printed.bounds(pdf, page)
        assert box.left == pytest.approx(size.left_mm, abs=0.2)
        assert box.right == pytest.approx(size.left_mm + 182, abs=0.2)
        assert box.top == pytest.approx(size.top_mm, abs=0.2)
        assert box.bottom == pytest.approx(size.top_mm + 254, abs=0.2)


@pytest.mark.parametrize("name", CONTENTS)
def test_letters_are_9_pt_or_more(name):
    assert min(printed.letter_sizes(drawn(name))) >= 9


def test_three_spots_are_printed_with_place_and_stratum():
    page = printed.words(drawn("ft"))[0]
    for spot in SPOTS:
        assert f"spot {spot.name} {spot.place}" in page
        assert f"stratum {spot.stratum}" in page


def test_more_spots_take_more_pages_and_random_ones_keep_their_drawn_place():
    pages = printed.words(drawn("seven"))
    assert len(pages) == 3
    assert "spot draw 12 E4 B4 · 3.2 R · 8.5 U" in pages[2]
    assert [f"page {nth} of 3" in page for nth, page in enumerate(pages, 1)] == [True] * 3
    assert pages[2].count("place really used") == 3


def test_raw_readings_of_two_runs_have_a_place_for_each_spot():
    page = printed.words(drawn("ft"))[0]
    for words, times in (
        ("run 1", 3),
        ("run 2", 3),
        ("under 30 s: 40 lb (18 kg), else 8 lb (3.6 kg)", 3),
        ("and all in seconds", 3),
        ("stopped at limit, water left", 3),
        ("too fast", 3),
        ("spoiled, why", 3),
        ("photo no.", 3),
        ("remark", 3),
        ("in/h mm/h", 3),
        ("limit 30 min", 1),
        ("y: do not test", 1),
        ("usable for trend", 1),
        ("quick pour, not to standard", 1),
    ):
        assert page.count(words) == times, words


def test_help_is_of_one_system_only():
    us, si = printed.words(drawn("blank_ft"))[0], printed.words(drawn("blank_m"))[0]
    assert "12.00 in ring. 8 lb: 70 s = 100" in us and "300.0 mm ring" not in us
    assert "300.0 mm ring. 3.6 kg: " in si and "12.00 in ring" not in si


def test_usual_care_is_printed_on_every_page():
    for page in printed.words(drawn("seven")):
        assert "Take care: set cones" in page
        assert "Local rules come first." in page
        assert NOTE in page


def test_ticks_follow_the_method_of_the_surface():
    c1701 = drawn("ft")
    c1781 = draw_infiltration(replace(CONTENTS["ft"], method="c1781"), MARK, PAPERS["letter"]).pdf
    changed = printed.picture(c1701, 0) != printed.picture(c1781, 0)
    rows = changed.any(axis=1).nonzero()[0] / printed.DOTS_PER_MM - PAPERS["letter"].top_mm
    assert rows.min() > 13.5 and rows.max() < 20  # the last line of the head and nothing else


def test_a_spot_has_seven_rows_of_8_mm():
    assert SPOT_MM == 56


def test_the_same_content_gives_the_same_bytes():
    assert drawn("seven", "a4") == drawn("seven", "a4")
