"""What dated raveled shares say by themselves: panels of table 1D. Common practice, no source."""

from datetime import date

import pytest

from registry.defects import SOUTH
from registry.placing import Look, PlacingError
from registry.placing.dated_looks import grows_all_year, in_order, jumps_in_winter, starts_early
from tests.placing import dispute

PLACED = date(2023, 8, 22)


def looks(panel: str) -> list[Look]:
    days = (dispute.EARLY, dispute.SPRING, dispute.AUTUMN)
    return [Look(day, dispute.raveled(day)[panel], "outline") for day in days]


def of(*pairs: tuple[str, int]) -> list[Look]:
    return [Look(date.fromisoformat(on), percent / 100, "outline") for on, percent in pairs]


def test_c8_was_there_at_six_weeks_and_levelled():
    found = starts_early(PLACED, looks("C8"))
    assert found.found is True
    assert found.why == (
        "There 42 days after placing, then levelled: 38 % on 2023-10-03, 41 % on 2024-04-18, "
        "42 % on 2024-10-09."
    )


def test_d11_is_left_open_for_nobody_looked_about_four_months_after_placing():
    """1 % at six weeks, 35 % in spring: the looks alone cannot say that it began after December."""
    found = starts_early(PLACED, looks("D11"))
    assert found.found is None
    assert "Nobody looked about 4 months after placing" in found.why


def test_with_a_look_after_four_months_the_later_start_is_shown():
    found = starts_early(PLACED, of(("2023-10-03", 1), ("2023-12-28", 1), ("2024-04-18", 35)))
    assert found.found is False


def test_what_went_on_growing_did_not_level():
    found = starts_early(PLACED, of(("2023-10-03", 10), ("2024-10-09", 20)))
    assert found.found is False and "went on growing" in found.why


@pytest.mark.parametrize(
    ("placed", "some"),
    [
        (None, of(("2023-10-03", 10))),
        (PLACED, []),
        (PLACED, of(("2023-10-03", 1))),
        (PLACED, of(("2023-10-03", 10))),
    ],
)
def test_too_little_to_say_stays_open(placed, some):
    assert starts_early(placed, some).found is None


@pytest.mark.parametrize(
    ("panel", "found"), [("D11", True), ("D7", True), ("C11", True), ("C8", False), ("A1", False)]
)
def test_jumps_over_the_winter(panel, found):
    assert jumps_in_winter(looks(panel)).found is found


def test_a_winter_is_only_judged_by_looks_on_both_sides_of_it():
    assert jumps_in_winter(looks("D11")[1:]).found is None
    assert jumps_in_winter(of(("2023-12-20", 1), ("2024-04-18", 35))).found is None
    assert jumps_in_winter(looks("D11")[:2], winter=SOUTH).found is None
    assert jumps_in_winter(looks("D11")[1:], winter=SOUTH).found is False


def test_growing_all_year_needs_gain_with_and_without_a_winter():
    both = of(("2023-10-03", 5), ("2024-04-18", 15), ("2024-10-09", 25))
    assert grows_all_year(both).found is True
    assert grows_all_year(looks("D11")).found is False
    assert grows_all_year(looks("D11")[:2]).found is None


def test_looks_of_different_methods_are_not_compared():
    mixed = [*looks("C8")[:2], Look(dispute.AUTUMN, 0.4, "eye")]
    with pytest.raises(PlacingError, match="different methods"):
        jumps_in_winter(mixed)


def test_order_of_entry_does_not_matter():
    assert in_order(looks("C8")[::-1]) == in_order(looks("C8"))
    assert starts_early(PLACED, looks("C8")[::-1]) == starts_early(PLACED, looks("C8"))


def test_a_share_beyond_the_panel_is_refused():
    with pytest.raises(PlacingError):
        Look(PLACED, 35, "outline")
