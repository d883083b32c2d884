"""The outlook on paper: whatever its words, one page of either paper holds them."""

from datetime import date

import pytest

from registry.drawing.primitives import Drawing
from registry.gathering.outlook_words import after_cleaning, outlook_facts
from registry.gathering.outlooks import NO_FIT, PART_NO_AGE
from registry.gathering.surface_parts import EDGE_TOO_LARGE, LATER_PANELS, NO_EDGE
from registry.models import Fit, Outlook, Pool
from registry.sheets.box import PAPERS, paper_named
from registry.sheets.outlook import METHODS_NOTE, PICTURE_MM, OutlookContent, draw_outlook
from registry.units import System
from tests.sheets.made_up import heading
from tests.sheets.printed import paper_mm, words

DAY = date(2026, 6, 30)
LONG = "a name as long as a spot may have, 4321"
SHARES = {
    f"{of}share_below{end}": value
    for of in ("", "edge_", "whole_")
    for end, value in (("", 0.31), ("_low", 0.123), ("_high", 0.567))
}


def longest(**changes):
    """An outlook that says all that one may say, in the longest words."""
    pool = Pool(name="Town of a Long Name, Streets, Water, Parks and Public Works, own pavements")
    return Outlook(
        **{
            "as_of_on": DAY,
            "fit": Fit(pool=pool, made_at=DAY),
            "sweep_by_on": DAY,
            "sweep_by_place": LONG,
            "worst_place": LONG,
            "worst_p_below": 0.97,
            "is_beyond_sweeping": True,
            "rate_mm_h": 12345.0,
            "low_mm_h": 11234.0,
            "high_mm_h": 13456.0,
            "action_rate_mm_h": 1234.5,
            "p_below": 0.44,
            "by_method": [
                {
                    "method": method,
                    "rate_mm_h": 12345.0,
                    "low_mm_h": 11234.0,
                    "high_mm_h": 13456.0,
                    "p_below": 0.31,
                    "sweep_by_on": None,
                }
                for method in ("broom", "regenerative_air", "vacuum", "wash_and_vacuum")
            ],
            **SHARES,
            **changes,
        }
    )


def printed(outlook, system, paper):
    content = OutlookContent(
        heading=heading("OUTLOOK", system),
        picture=Drawing(*PICTURE_MM, (), "rates"),
        facts=outlook_facts(outlook, system),
        methods=after_cleaning(outlook, system),
    )
    drawn = draw_outlook(content, "https://records.example.org/pavements/7/", paper_named(paper))
    return drawn.pdf, content


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("system", System)
@pytest.mark.parametrize("why", ["", LATER_PANELS, EDGE_TOO_LARGE, NO_EDGE])
def test_the_longest_outlook_has_room_and_loses_no_word(paper, system, why):
    changes = dict.fromkeys((n for n in SHARES if n.startswith("whole_")), None) if why else {}
    pdf, content = printed(longest(whole_share_why_not=why, **changes), system, paper)
    assert len(paper_mm(pdf)) == 1
    told = " ".join(words(pdf))
    cells = (cell for row in content.methods for cell in row)
    for said in (*content.facts, METHODS_NOTE, *cells):
        assert " ".join(said.split()) in told


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("why", [NO_FIT, PART_NO_AGE])
def test_the_reason_stands_whole_where_there_are_no_numbers(paper, why):
    outlook = longest(why_not=why, rate_mm_h=None, by_method=[])
    told = " ".join(words(printed(outlook, System.SI, paper)[0]))
    assert why in told
    assert METHODS_NOTE not in told
