"""What an outlook says: never a bare 0 or 1, a reason where there is no number."""

from datetime import date, timedelta

import pytest

from registry.gathering.outlook_words import (
    after_cleaning,
    chance_words,
    loss_words,
    outlook_facts,
    rate_words,
    short_today,
    since_words,
    sweep_words,
    untried_words,
)
from registry.models import Fit, Outlook
from registry.units import System

DAY = date(2024, 6, 1)
NUMBERS = {
    "rate_mm_h": 2540.0,
    "low_mm_h": 1270.0,
    "high_mm_h": 5080.0,
    "action_rate_mm_h": 254.0,
    "p_below": 0.04,
}


@pytest.mark.parametrize(
    ("chance", "words"),
    [(None, "not decided"), (0.0, "under 1 %"), (0.0099, "under 1 %"), (0.01, "1 %"),
     (0.124, "12 %"), (0.99, "99 %"), (1.0, "over 99 %")],
)  # fmt: skip
def test_chance_is_never_a_bare_nothing_or_certainty(chance, words):
    assert chance_words(chance) == words


def test_without_numbers_the_reason_stands_in_their_place():
    outlook = Outlook(as_of_on=DAY, why_not="Nobody tested here yet.")
    assert outlook_facts(outlook, System.SI) == ("As of 2024-06-01.", "Nobody tested here yet.")


def test_rate_has_its_interval_and_the_day_the_spot_that_decides_it():
    outlook = Outlook(as_of_on=DAY, sweep_by_on=DAY, sweep_by_place="U", **NUMBERS)
    told = " ".join(outlook_facts(outlook, System.INCH_POUND))
    assert "about 100 in/h, 80 % interval 50 to 200 in/h" in told
    assert "Sweep by: 2024-06-01, already reached, decided by spot U" in told
    assert "Sweeping is no longer enough" not in told


def test_no_day_ahead_and_no_help_by_sweeping_are_said():
    outlook = Outlook(as_of_on=DAY, is_beyond_sweeping=True, **NUMBERS)
    told = " ".join(outlook_facts(outlook, System.SI))
    assert "Sweep by: not within ten years" in told and "no longer enough" in told


@pytest.mark.parametrize(
    ("mm_h", "feet", "si"),
    [(None, "not decided", "not decided"), (5664.2, "220 in/h", "5700 mm/h"),
     (256.54, "10 in/h", "260 mm/h"), (213.0, "8.4 in/h", "210 mm/h"),
     (0.5, "under 0.1 in/h", "0.5 mm/h"),
     (2.54e6, "100\u202f000 in/h", "2\u202f500\u202f000 mm/h")],
)  # fmt: skip
def test_estimated_rate_has_two_figures_and_is_never_nothing(mm_h, feet, si):
    assert rate_words(mm_h, System.INCH_POUND) == feet
    assert rate_words(mm_h, System.SI).replace(",", "\u202f") == si


@pytest.mark.parametrize(
    ("ahead", "words"),
    [(-5, "2024-05-27, already reached"), (0, "2024-06-01, already reached"), (1, "2024-06-02"),
     (365, "2025-06-01"), (366, "2025-06"), (None, "not within ten years")],
)  # fmt: skip
def test_day_over_a_year_ahead_is_given_to_the_month(ahead, words):
    """N6: a date to the month."""
    day = None if ahead is None else DAY + timedelta(days=ahead)
    assert sweep_words(day, DAY) == words


@pytest.mark.parametrize(
    ("slope", "words"),
    [(None, "not known"), (-0.1, "none shown"), (0.0, "none shown"), (0.004, "under 1 %"),
     (0.0051, "1 %"), (0.5, "39 %")],
)  # fmt: skip
def test_loss_a_year_is_never_nothing(slope, words):
    assert loss_words(slope) == words


def test_each_method_says_what_it_would_do_or_that_it_is_not_decided():
    known = {"rate_mm_h": 512.3, "low_mm_h": 402.0, "high_mm_h": 600.0, "p_below": 0.02}
    none = dict.fromkeys(known)
    by_method = [
        {"method": "vacuum", "sweep_by_on": "2026-01-01", "worst_p_below": 0.3, **known},
        {"method": "wash_and_vacuum", "sweep_by_on": "2024-06-01", "worst_p_below": 0.995, **known},
        {"method": "broom", "sweep_by_on": None, **none},
    ]
    vacuum, wash, broom = after_cleaning(Outlook(as_of_on=DAY, by_method=by_method), System.SI)
    assert vacuum == ("vacuum", "510 mm/h", "400 to 600 mm/h", "2 %; 30 %", "2026-01")
    assert wash[3:] == ("2 %; over 99 %", "not enough: due at once")
    assert broom[1:] == ("not decided", "not decided", "not decided; not decided", "not decided")


def test_methods_that_no_test_follows_are_named_and_those_of_old_fits_are_not():
    by_method = [{"method": name} for name in ("broom", "vacuum", "wash_and_vacuum")]
    found = [{"name": "broom", "cleanings": 0}, {"name": "vacuum", "cleanings": 2},
             {"name": "wash_and_vacuum"}]  # fmt: skip
    outlook = Outlook(by_method=by_method, fit=Fit(recoveries=found))
    said = untried_words(outlook)
    assert "follows a cleaning by blower and broom: what it takes away is taken" in said
    assert untried_words(Outlook(by_method=by_method)) == ""


def test_methods_not_enough_today_are_those_due_again_at_once():
    days = {"broom": "2024-06-01", "vacuum": "2024-06-02", "wash_and_vacuum": None}
    by_method = [{"method": name, "sweep_by_on": day} for name, day in days.items()]
    assert short_today(Outlook(as_of_on=DAY, by_method=by_method)) == {"broom"}


@pytest.mark.parametrize(("count", "start"), [(1, "1 test or cleaning of"), (12, "12 tests and")])
def test_what_came_in_after_the_fit_is_counted(count, start):
    assert since_words(count).startswith(start)
    assert since_words(0) == ""
