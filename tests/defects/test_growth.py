"""How a defect grows between observations."""

import math
from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.defects import SOUTH, CannotCompare, Sized, growth
from registry.defects.growth import winters_between
from registry.units import System

FOOT2 = 0.3048**2
OCTOBER, APRIL, NEXT_OCTOBER = date(2023, 10, 3), date(2024, 4, 18), date(2024, 10, 9)


def area(on: date, square_feet: float, **changes) -> Sized:
    return replace(Sized(on, square_feet * FOOT2, "m2", "outline"), **changes)


def test_case_42_growth_is_by_years_of_365_and_a_quarter_days_and_by_winter():
    (grown,) = growth([area(OCTOBER, 55), area(APRIL, 59)])
    # By hand: 198 days are 0.542094 years; 4 ft2 are 7.3788 ft2 a year.
    assert math.isclose(grown.per_year / FOOT2, 7.3788, rel_tol=1e-4)
    assert grown.winters == 1
    assert math.isclose(grown.per_winter / FOOT2, 4.0)


def test_case_42_no_winter_between_gives_none_a_winter():
    (grown,) = growth([area(APRIL, 59), area(NEXT_OCTOBER, 60)])
    assert (grown.winters, grown.per_winter) == (0, None)
    assert grown.no_winter == "no winter between"
    assert grown.per_year is not None


@pytest.mark.parametrize(
    ("first", "second", "winters"),
    [
        (date(2023, 11, 30), date(2024, 3, 1), 1),
        (date(2023, 12, 1), date(2024, 3, 1), None),
        (date(2023, 11, 30), date(2024, 2, 29), None),
        (date(2022, 11, 30), date(2023, 3, 1), 1),
        (date(2023, 1, 15), date(2023, 6, 1), None),
        (date(2020, 6, 1), date(2024, 6, 1), 4),
        (date(2024, 3, 1), date(2024, 11, 30), 0),
    ],
)
def test_only_whole_winters_are_counted_from_december_to_the_end_of_february(
    first, second, winters
):
    assert winters_between(first, second) == winters


def test_a_winter_of_the_south_is_june_to_august():
    assert winters_between(date(2024, 5, 31), date(2024, 9, 1), SOUTH) == 1
    assert winters_between(date(2024, 8, 31), date(2025, 4, 1), SOUTH) is None


def test_a_look_in_the_middle_of_a_winter_gives_no_number_a_winter():
    (grown,) = growth([area(OCTOBER, 55), area(date(2024, 1, 10), 59)])
    assert grown.per_winter is None
    assert "lies inside a winter" in grown.words(System.SI)


def test_case_46_a_smaller_extent_is_kept_and_is_not_called_healing():
    (shrunk,) = growth([area(OCTOBER, 40), area(NEXT_OCTOBER, 36)])
    assert math.isclose(shrunk.change / FOOT2, -4.0)
    assert shrunk.is_smaller
    assert (shrunk.per_year, shrunk.per_winter) == (None, None)
    assert shrunk.words(System.INCH_POUND) == (
        "2023-10-03 to 2024-10-09 (372 days): -4.0 ft²: "
        "smaller than last time, method compared; not healing"
    )


@pytest.mark.parametrize(
    ("changes", "reason"),
    [
        ({"method": "eye"}, "different methods, outline and eye"),
        ({"unit": "count"}, "measured in different units"),
        ({"outline_rule": "to saw lines"}, "outlined by different rules"),
        ({"place_certain": False}, "it is not certain that it was the same place"),
        ({"extent": None}, "the extent was not measured"),
        ({"on": OCTOBER}, "both on one day"),
    ],
)
def test_what_cannot_be_compared_is_not_given_and_says_why(changes, reason):
    (grown,) = growth([area(OCTOBER, 55), replace(area(APRIL, 59), **changes)])
    assert (grown.change, grown.per_year, grown.per_winter) == (None, None, None)
    assert not grown.is_smaller
    assert grown.words(System.SI).endswith(f"not given: {reason}")


def test_nothing_is_compared_across_a_repair():
    (grown,) = growth([area(OCTOBER, 55), area(APRIL, 59)], repaired_on=[date(2023, 12, 1)])
    assert grown.reason == "repaired in between"


def test_a_look_by_another_method_does_not_hide_the_growth_by_the_first():
    seen = [area(OCTOBER, 55), area(APRIL, 90, method="eye"), area(NEXT_OCTOBER, 60)]
    pairs = growth(seen)
    given = [(g.first_on, g.second_on) for g in pairs if g.change is not None]
    assert given == [(OCTOBER, NEXT_OCTOBER)]
    assert len([g for g in pairs if "different methods" in g.reason]) == 2


def test_the_order_of_entry_makes_no_difference():
    seen = [area(NEXT_OCTOBER, 60), area(OCTOBER, 55), area(APRIL, 59)]
    assert growth(seen) == growth(seen[::-1])
    assert [g.first_on for g in growth(seen)] == [OCTOBER, APRIL]


def test_the_order_of_entry_makes_no_difference_on_one_day_either():
    seen = [area(OCTOBER, 55), area(APRIL, 59), area(APRIL, 70, method="eye"), area(APRIL, 58)]
    assert growth(seen) == growth(seen[::-1])


def test_one_look_or_none_gives_no_growth():
    assert growth([]) == ()
    assert growth([area(OCTOBER, 55)]) == ()


@pytest.mark.parametrize(
    ("unit", "first", "second", "us", "si"),
    [
        ("m2", 10 * FOOT2, 20 * FOOT2, "+10.0 ft²", "+0.9 m²"),
        ("m", 0.3048, 0.9144, "+2.0 ft", "+0.61 m"),
        ("mm", 2.54, 5.08, "+0.10 in", "+2.5 mm"),
        ("count", 8, 11, "+3,", "+3,"),
    ],
)
def test_growth_is_shown_in_both_systems(unit, first, second, us, si):
    (grown,) = growth([Sized(OCTOBER, first, unit, "tape"), Sized(APRIL, second, unit, "tape")])
    assert us in grown.words(System.INCH_POUND)
    assert si in grown.words(System.SI)


def test_a_unit_that_is_none_cannot_be_shown():
    pair = [Sized(OCTOBER, 1, "acre", "tape"), Sized(APRIL, 2, "acre", "tape")]
    with pytest.raises(CannotCompare, match="“acre” is not a unit"):
        growth(pair)[0].words(System.SI)


@given(st.lists(st.tuples(st.integers(0, 4000), st.floats(0, 100)), unique_by=lambda x: x[0]))
def test_changes_add_up_to_the_whole_whatever_was_seen(seen):
    looks = [Sized(date(2020, 1, 1) + timedelta(days=d), e, "m2", "outline") for d, e in seen]
    ordered = sorted(looks, key=lambda look: look.on)
    changes = [grown.change for grown in growth(looks)]
    whole = ordered[-1].extent - ordered[0].extent if ordered else 0
    assert math.isclose(math.fsum(changes), whole, abs_tol=1e-9)
    assert all(g.per_year is None or g.per_year >= 0 for g in growth(looks))
