import pytest

from registry.sheets.box import PAPERS, SheetError, paper_named, refuse_unless_full
from registry.sheets.infiltration import HEIGHTS_MM as INFILTRATION
from registry.sheets.inspection import HEIGHTS_MM as INSPECTION


def test_the_box_leaves_room_for_holes_on_both_papers():
    assert PAPERS["letter"].left_mm == 20
    assert PAPERS["a4"].left_mm == 18
    for paper in PAPERS.values():
        assert paper.left_mm + 182 <= paper.width_mm - 9
        assert 2 * paper.top_mm + 254 == pytest.approx(paper.height_mm)
        assert paper.top_mm >= 12


def test_the_blocks_of_both_sheets_have_their_heights_and_fill_the_box():
    assert INSPECTION == (20, 24, 88, 52, 44, 16, 10)
    assert INFILTRATION == (20, 30, 56, 56, 56, 18, 18)
    refuse_unless_full(INSPECTION)
    refuse_unless_full(INFILTRATION)


def test_blocks_that_do_not_fill_the_box_are_refused():
    with pytest.raises(SheetError, match="262 mm high, not 254"):
        refuse_unless_full((*INSPECTION, 8.0))


def test_an_unknown_paper_is_refused_in_words():
    with pytest.raises(SheetError, match="letter or a4"):
        paper_named("legal")
