from datetime import date

import pytest

from registry.plan import CutAcross
from registry.sheets.cell_frame import CellFrame, grid_of_panels, grid_of_squares
from registry.sheets.cell_pictures import split
from tests.sheets.made_up import DAY, FT, court, lot


def frame_of(grid, turned: bool = False) -> CellFrame:
    return CellFrame(
        grid,
        (0, len(grid.columns) - 1),
        (0, len(grid.rows) - 1),
        (10.0, 20.0),
        (6.0, 7.0),
        turned,
    )


def test_a_point_keeps_its_share_of_the_panel():
    grid = grid_of_panels(lot(4, 11).panels)
    at = frame_of(grid).at((18 * FT, 66 * FT))  # in the middle of B6
    assert at == pytest.approx((10 + 1.5 * 6, 20 + 5.5 * 7))


def test_turned_puts_up_to_the_right_and_right_downward():
    grid = grid_of_panels(lot(4, 11).panels)
    frame = frame_of(grid, turned=True)
    assert frame.at((18 * FT, 66 * FT)) == pytest.approx((10 + 5.5 * 6, 20 + 1.5 * 7))
    assert frame.box == pytest.approx((10, 20, 10 + 11 * 6, 20 + 4 * 7))


def test_a_point_of_another_part_is_not_shown():
    grid = grid_of_panels(lot(4, 11).panels)
    part = CellFrame(grid, (0, 1), (0, 10), (0.0, 0.0), (6.0, 6.0))
    assert part.at((18 * FT, 66 * FT)) is not None
    assert part.at((42 * FT, 66 * FT)) is None


def test_saw_cut_parts_share_the_cell_of_their_panel():
    cut = lot(2, 2).cut("A1", date(2026, 1, 5), 3 * FT, CutAcross.AT_RIGHT)
    grid = grid_of_panels(cut.panels_on(DAY))
    assert len(grid.cells) == 4
    first = grid.by_place[0, 0]
    assert [panel.name for panel in first.panels] == ["A1a", "A1b"]
    assert first.share((3 * FT, 6 * FT)) == pytest.approx((0.25, 0.5))


def test_an_area_over_two_panels_is_drawn_in_both_cells():
    grid = grid_of_panels(lot(4, 11).panels)
    area = ((10 * FT, 2 * FT), (14 * FT, 2 * FT), (14 * FT, 4 * FT), (10 * FT, 4 * FT))
    assert len(frame_of(grid).ring(area)) == 2


def test_squares_of_a_court_are_named_by_their_counts():
    squares = court(30, 18).squares
    grid = grid_of_squares(squares)
    assert grid.columns[-1] == "10" and grid.rows[-1] == "6"
    assert frame_of(grid).at((1.5, 1.5)) == pytest.approx((13, 20 + 5.5 * 7))


@pytest.mark.parametrize(
    ("lanes", "count", "pages", "turned"),
    [(20, 12, 1, False), (12, 20, 1, True), (15, 20, 2, True), (21, 12, 2, False)],
)
def test_a_plan_takes_the_fewest_pages_of_20_by_12_cells(lanes, count, pages, turned):
    parts, is_turned = split(grid_of_panels(lot(lanes, count).panels))
    assert (len(parts), is_turned) == (pages, turned)


def test_the_lane_at_a_split_stands_on_both_pages():
    parts, _ = split(grid_of_panels(lot(15, 20).panels))
    assert parts[0].columns[1] == parts[1].columns[0]
    assert parts[0].columns[0] == 0 and parts[1].columns[1] == 14
    assert all(part.rows == (0, 19) for part in parts)
