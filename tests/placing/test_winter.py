"""Winter load (N31). The log is table 1H; sums by hand."""

from datetime import date

import pytest

from registry.placing import (
    NotGiven,
    PlacingError,
    WinterEntry,
    bags_kg,
    days_to_first_deicer,
    winter_loads,
)
from registry.units import Kind, System, to_si

LB_KG = 0.45359237
AREA_M2 = to_si(1000, Kind.AREA, System.INCH_POUND)


def entry(on: str, what: str, lb: float | None, *, deicer=True, about=False) -> WinterEntry:
    kg = None if lb is None else lb * LB_KG
    return WinterEntry(date.fromisoformat(on), what, kg, deicer, about)


LOG = [
    entry("2023-12-19", "rock salt", 75),
    entry("2024-01-09", "rock salt", 100),
    entry("2024-01-27", "sand-salt mix", 300, about=True),
]


def test_salt_and_mix_of_the_first_winter_by_area():
    salt, mix = winter_loads(LOG, AREA_M2)
    assert (salt.begins_in, salt.what, salt.entries) == (2023, "rock salt", 2)
    assert salt.lb_per_1000_ft2() == pytest.approx(175)
    assert mix.lb_per_1000_ft2() == pytest.approx(300)
    assert mix.about and not salt.about


def test_bags_are_a_count_and_a_weight():
    """Table 1H: 1.5 bags are 75 lb, so a bag has 50."""
    assert bags_kg(1.5, 50 * LB_KG) == pytest.approx(75 * LB_KG)
    with pytest.raises(PlacingError):
        bags_kg(-1, 22)


def test_bags_that_nobody_counted_give_no_sum_but_keep_what_was():
    (salt,) = winter_loads([*LOG[:2], entry("2024-02-01", "rock salt", None)], AREA_M2)
    assert salt.kg_per_m2 == NotGiven("rock salt: 1 line of the log was not counted.")
    assert isinstance(salt.lb_per_1000_ft2(), NotGiven)
    assert salt.counted_kg == pytest.approx(175 * LB_KG)


def test_one_winter_spans_new_year_and_two_are_kept_apart():
    found = winter_loads([*LOG, entry("2024-12-02", "rock salt", 50)], AREA_M2)
    assert [(x.begins_in, x.what) for x in found] == [
        (2023, "rock salt"), (2023, "sand-salt mix"), (2024, "rock salt")
    ]  # fmt: skip
    south = winter_loads([entry("2024-07-02", "sand", 50, deicer=False)], AREA_M2, south=True)
    assert south[0].begins_in == 2024


def test_days_from_placing_to_the_first_deicer():
    """2023-08-24 to 2023-12-19: 7 + 30 + 31 + 30 + 19 = 117 days."""
    placed = date(2023, 8, 24)
    assert days_to_first_deicer(placed, LOG, log_begins_on=placed) == 117


@pytest.mark.parametrize(
    ("placed", "entries", "begins", "reason"),
    [
        (None, LOG, date(2023, 8, 1), "day of placing"),
        (date(2023, 8, 24), LOG, date(2023, 12, 1), "does not reach back"),
        (date(2023, 8, 24), LOG, None, "does not reach back"),
        (date(2023, 8, 24), [], date(2023, 8, 1), "No deicer"),
    ],
)
def test_where_the_log_cannot_say_no_days_are_given(placed, entries, begins, reason):
    found = days_to_first_deicer(placed, entries, log_begins_on=begins)
    assert isinstance(found, NotGiven) and reason in found.reason


def test_what_cannot_be_is_refused():
    with pytest.raises(PlacingError):
        entry("2024-01-01", "sand", -1)
    with pytest.raises(PlacingError):
        winter_loads(LOG, 0)


def test_no_entries_give_no_lines():
    assert winter_loads([], AREA_M2) == ()
