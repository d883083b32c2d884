"""What an outlook says: never a bare 0 or 1, a reason where there is no number."""

from datetime import date

import pytest

from registry.gathering.outlook_words import after_cleaning, chance_words, outlook_facts
from registry.models import Outlook
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
    assert "100 in/h, 80 % interval 50 in/h to 200 in/h" in told
    assert "Sweep by: 2024-06-01, decided by spot U" in told
    assert "Sweeping is no longer enough" not in told


def test_no_day_ahead_and_no_help_by_sweeping_are_said():
    outlook = Outlook(as_of_on=DAY, is_beyond_sweeping=True, **NUMBERS)
    told = " ".join(outlook_facts(outlook, System.SI))
    assert "Sweep by: not within ten years" in told and "no longer enough" in told


def test_each_method_says_what_it_would_do_or_that_it_is_not_decided():
    known = {"rate_mm_h": 500.0, "low_mm_h": 400.0, "high_mm_h": 600.0, "p_below": 0.02}
    none = dict.fromkeys(known)
    by_method = [{"method": "vacuum", "sweep_by_on": "2026-01-01", **known},
                 {"method": "broom", "sweep_by_on": None, **none}]  # fmt: skip
    vacuum, broom = after_cleaning(Outlook(by_method=by_method), System.SI)
    assert vacuum == ("vacuum", "500 mm/h", "400 mm/h to 600 mm/h", "2 %", "2026-01-01")
    assert set(broom[1:2] + broom[3:]) == {"not decided"}
