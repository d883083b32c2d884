"""Lags of a load (N13), as printed for the eighteen loads of the dispute and counted by hand."""

from dataclasses import replace
from datetime import datetime
from zoneinfo import ZoneInfo

import pytest

from registry.placing import LoadTimes, NotGiven, PlacingError, lags
from tests.placing import dispute


def at(clock: str, fold: int = 0) -> datetime:
    return datetime.fromisoformat(f"2023-11-05 {clock}").replace(
        tzinfo=ZoneInfo("America/New_York"), fold=fold
    )


@pytest.mark.parametrize("row", dispute.table("1C_loads"), ids=lambda row: row["load"])
def test_every_load_of_the_dispute_as_printed(row):
    found = lags(dispute.times(row))
    assert f"{found.batch_to_discharge:.0f}" == row[dispute.WAIT]
    assert f"{found.longest_to_cover:.0f}" == row[dispute.LAG]


def test_first_and_last_foot_are_both_kept():
    """Load 8: 09:52 to 10:39 is 47 min, 10:07 to 10:56 is 49."""
    found = lags(dispute.times(dispute.table("1C_loads")[7]))
    assert (found.to_cover_first, found.to_cover_last, found.longest_to_cover) == (47, 49, 49)


@pytest.mark.parametrize(
    ("missing", "reason"),
    [
        ("cover_first", "The time of cover of the first foot is missing."),
        ("cover_last", "The time of cover of the last foot is missing."),
        ("discharge_from", "The time of discharge is missing."),
    ],
)
def test_with_one_end_missing_the_longest_is_not_given(missing, reason):
    whole = dispute.times(dispute.table("1C_loads")[7])
    found = lags(replace(whole, **{missing: None}))
    assert found.longest_to_cover == NotGiven(reason)


def test_what_is_known_of_a_load_is_still_given():
    whole = dispute.times(dispute.table("1C_loads")[7])
    found = lags(replace(whole, batched=None, cover_last=None))
    assert isinstance(found.batch_to_discharge, NotGiven)
    assert found.to_cover_first == 47


def test_minutes_are_elapsed_ones_when_the_clocks_go_back():
    """Discharged 01:50 summer time, covered 01:05 winter time: 15 minutes."""
    load = LoadTimes(None, None, at("01:50"), at("01:55"), at("01:05", 1), at("01:15", 1))
    assert (lags(load).to_cover_first, lags(load).to_cover_last) == (15, 20)


@pytest.mark.parametrize(
    "times",
    [
        (at("09:00"), at("08:00"), None, None, None, None),
        (None, None, at("09:00"), at("08:59"), None, None),
        (None, None, at("09:00"), None, at("08:30"), None),
        (None, None, None, None, at("09:30"), at("09:20")),
        (at("09:00"), None, None, at("08:59"), None, None),
    ],
)
def test_times_that_run_backwards_are_refused_by_name(times):
    with pytest.raises(PlacingError, match="is earlier than"):
        LoadTimes(*times)
