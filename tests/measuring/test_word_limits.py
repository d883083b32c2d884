"""Thresholds of the condition word: the usual ones of the record's rule, and others set for it.

The usual values are this record's own rule, no published source.
"""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from registry.measuring.condition import condition_of_pavement
from registry.measuring.condition_facts import (
    BestCleaning,
    PavementFacts,
    SpotResult,
    StratumFacts,
    Word,
)
from registry.measuring.months import months_before
from registry.measuring.reading import Stratum
from registry.measuring.width_seen import WidthSeen
from registry.measuring.word_limits import (
    USUAL_LIMITS,
    Threshold,
    WordLimits,
    first_day_without,
)

TODAY = date(2026, 10, 15)
LEVEL = 254.0


def word(in_levels, *, on=date(2026, 5, 20), limits=USUAL_LIMITS, width=None, **stratum):
    edge = Stratum.RUN_ON_EDGE
    results = (SpotResult(in_levels * LEVEL, "U", on, edge),)
    facts = PavementFacts(TODAY, LEVEL, (StratumFacts(edge, results, **stratum),), limits=limits)
    return condition_of_pavement(replace(facts, width=width) if width else facts)


def permit(**values):
    return WordLimits(**{name: Threshold(value, "Permit 7") for name, value in values.items()})


def test_usual_values_are_those_of_the_rule_and_are_called_so():
    values = [getattr(USUAL_LIMITS, name).value for name in WordLimits.__dataclass_fields__]
    assert values == [24, 2, 1.5, 40, 6, 6]
    assert word(1.9).rule.endswith("under 2 times the action level (usual value).")
    (told,) = USUAL_LIMITS.told()
    assert told.startswith("Usual values: readings count for 24 months; watch below 2 times")


@pytest.mark.parametrize(
    ("limits", "given", "usual", "other", "says"),
    [
        ({"watch_factor": 3}, {"in_levels": 2.5}, Word.WORKING, Word.WATCH, "3 times"),
        ({"watch_factor": 1.2}, {"in_levels": 1.5}, Word.WATCH, Word.WORKING, "1.2 times"),
        (
            {"look_back_months": 12},
            {"in_levels": 5, "on": date(2025, 10, 14)},
            Word.WORKING,
            Word.NOT_DECIDED,
            "12 months",
        ),
        (
            {"watch_years_left": 3},
            {"in_levels": 5, "years_left": 2.0},
            Word.WORKING,
            Word.WATCH,
            "under 3 ",
        ),
        (
            {"watch_reserve_percent": 60},
            {"in_levels": 5, "width": WidthSeen(0.5)},
            Word.WORKING,
            Word.WATCH,
            "under 60 %",
        ),
        (
            {"back_below_months": 9},
            {
                "in_levels": 0.5,
                "best_cleaning": BestCleaning(
                    date(2026, 1, 10), 900.0, "U", date(2026, 1, 12), "", date(2026, 8, 1)
                ),
            },
            Word.CLEAN,
            Word.RESTORE,
            "within 9 months",
        ),
    ],
)
def test_what_is_set_decides_and_is_named_with_whose_it_is(limits, given, usual, other, says):
    assert word(**given).word is usual
    found = word(**given, limits=permit(**limits))
    assert (found.word, says in found.rule) == (other, True)
    assert "(set by “Permit 7”)" in found.rule


def test_time_to_the_next_test_after_watch_is_the_one_set():
    assert word(1.5).next_step.startswith("Test again in 6 months;")
    limits = permit(watch_test_months=3)
    assert word(1.5, limits=limits).next_step.startswith("Test again in 3 months;")
    assert limits.told()[1] == "Set by “Permit 7”: after watch a new test in 3 months."


@pytest.mark.parametrize("months", [1, 6, 24])
@pytest.mark.parametrize(
    "on", [date(2024, 2, 28), date(2024, 2, 29), date(2025, 2, 28), date(2024, 8, 31)]
)
def test_first_day_without_a_result_is_the_first_from_which_its_months_do_not_reach_back(
    on, months
):
    day = first_day_without(on, months)
    assert months_before(day, months) > on
    assert months_before(day - timedelta(days=1), months) <= on


def test_reserve_known_by_a_bound_alone_is_told_as_not_decided():
    found = word(5, width=WidthSeen(0.12, ">", is_enough=True, is_strip_known=True))
    assert found.word is Word.WORKING
    assert found.notes == (
        "Whether the reserve is under 40 % (usual value) is not decided: it is > 12 %.",
    )
    missing = word(5, width=WidthSeen(is_strip_known=True, words="No panel plan."))
    assert missing.notes[0].endswith("is not decided: No panel plan.")
    assert word(5, width=WidthSeen(0.55, is_strip_known=True)).notes == ()
