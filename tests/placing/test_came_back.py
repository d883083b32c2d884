"""What is found again after a repair, against the warranty of that repair. No source: its terms."""

from datetime import date

import pytest

from registry.placing.came_back import Against, Mended, came_back
from registry.placing.faults import NotGiven
from registry.placing.warranty import Part

OPENED = date(2025, 6, 6)
PART = Part("replaced panels", frozenset({"C8", "C9"}), OPENED, 1)
LAST = date(2026, 6, 5)  # the day before the anniversary
REPAIR = Mended("CB-5/1", date(2025, 5, 14), PART)


@pytest.mark.parametrize(
    ("found_on", "against"),
    [
        (date(2025, 5, 14), Against.BEFORE),
        (date(2025, 6, 5), Against.BEFORE),
        (OPENED, Against.WITHIN),
        (LAST, Against.WITHIN),
        (date(2026, 6, 6), Against.AFTER),
    ],
)
def test_case_43_first_and_last_day_of_the_repairs_warranty_count(found_on, against):
    came = came_back(REPAIR, found_on=found_on, panel="C8")
    assert came is not None
    assert came.against == against
    assert ("a repair failure by its terms" in came.words) == (against == Against.WITHIN)


def test_case_43_words_give_every_day_and_nobody_who_is_liable():
    came = came_back(REPAIR, found_on=date(2026, 5, 19), panel="C8")
    assert came is not None
    assert came.words == (
        "Found again 2026-05-19: came back within the repair’s warranty (CB-5/1, replaced panels, "
        "2025-06-06 to 2026-06-05, both included): a repair failure by its terms."
    )
    late = came_back(REPAIR, found_on=date(2026, 7, 1), panel="C8")
    assert late is not None
    assert "came back after the repair’s warranty" in late.words
    assert "last day 2026-06-05" in late.words


@pytest.mark.parametrize(
    ("part", "panel", "why"),
    [
        (NotGiven("No cover of the repaired part is entered."), "C8", "No cover"),
        (Part("replaced panels", frozenset({"C8"}), None, 1), "C8", "not agreed"),
        (Part("renewed", None, None, 1, ended_on=LAST), "C8", "not agreed"),
        (PART, "D7", "does not name panel D7"),
    ],
)
def test_case_43_what_is_not_known_of_the_repairs_warranty_is_said(part, panel, why):
    came = came_back(Mended("R-1", OPENED, part), found_on=date(2025, 9, 1), panel=panel)
    assert came is not None
    assert came.against == Against.NOT_KNOWN
    assert "warranty of the repair not known" in came.words
    assert why in came.words


def test_case_43_a_cover_ended_early_by_agreement_has_that_last_day():
    part = Part("replaced panels", frozenset({"C8"}), OPENED, 1, ended_on=date(2025, 12, 31))
    came = came_back(Mended("R-1", OPENED, part), found_on=date(2026, 1, 1), panel="C8")
    assert came is not None
    assert came.against == Against.AFTER


@pytest.mark.parametrize("done_on", [None, date(2025, 9, 2)])
def test_nothing_comes_back_after_a_repair_that_was_not_done_by_then(done_on):
    assert came_back(Mended("R-1", done_on, PART), found_on=date(2025, 9, 1)) is None
