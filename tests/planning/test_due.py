"""What is due: who sets the latest day, conflicts said and not mended, what is not decided."""

from dataclasses import replace
from datetime import date

import pytest

from registry.planning.due import DueFacts, SweepBy, due_of
from registry.planning.earliest_day import Earliest
from registry.planning.expected_gain import ExpectedGain
from registry.planning.methods import Method
from registry.planning.permit_minimums import Minimum, permit_count
from registry.planning.proposal import Proposal
from registry.planning.seasons import YearDay
from registry.planning.spend import UnitPrice
from registry.planning.words import NotDecided

AS_OF = date(2026, 5, 1)
PERMIT = permit_count(Minimum(1, YearDay(7, 1), "permit PP-1"), (), frozenset(), AS_OF)
FACTS = DueFacts(
    as_of=AS_OF,
    proposal=Proposal(Method.VACUUM, "dry dust or sand on top", "common practice, no source"),
    earliest=Earliest(date(2026, 5, 4), date(2026, 5, 4), "late spring"),
    sweep_by=SweepBy(date(2026, 6, 10), "U"),
    gain=ExpectedGain(1.4, 1.2, 1.7),
    area_m2=1000.0,
    price=UnitPrice(per_m2=0.5, at_least=450),
)


def test_the_worst_place_sets_the_day():
    due = due_of(FACTS)
    assert (due.latest_on, due.latest_by) == (date(2026, 6, 10), "fit")
    assert "at U" in due.reason
    assert "dry dust" in due.reason
    assert (due.cost, due.conflict, due.not_decided) == (500, "", ())


@pytest.mark.parametrize(
    ("sweep_by", "by"),
    [(date(2026, 6, 29), "fit"), (date(2026, 6, 30), "permit"), (date(2026, 7, 1), "permit")],
)
def test_the_earlier_of_fit_and_permit_sets_the_day(sweep_by, by):
    # The permit year ends on 30 June.
    due = due_of(replace(FACTS, sweep_by=SweepBy(sweep_by), permits=(PERMIT,)))
    assert due.latest_by == by
    assert due.latest_on == min(sweep_by, date(2026, 6, 30))


def test_the_last_sand_may_set_the_day():
    assert due_of(replace(FACTS, sand_by=date(2026, 5, 5))).latest_by == "last sand"


def test_a_conflict_is_said_and_neither_day_is_moved():
    late = Earliest(date(2026, 6, 20), date(2026, 5, 15), "summer")
    due = due_of(replace(FACTS, earliest=late))
    assert (due.earliest_on, due.latest_on) == (date(2026, 6, 20), date(2026, 6, 10))
    assert "not sensible before 2026-06-20" in due.conflict
    assert "2026-05-15" in due.conflict


def test_no_season_at_all_is_a_conflict():
    due = due_of(replace(FACTS, earliest=Earliest(None, None, "no season for it")))
    assert "no season for it" in due.conflict


def test_a_day_that_has_passed_is_late():
    assert due_of(replace(FACTS, sweep_by=SweepBy(date(2026, 4, 30)))).is_late
    assert not due_of(replace(FACTS, sweep_by=SweepBy(AS_OF))).is_late


def test_a_chance_that_is_there_already_is_not_told_as_one_to_come():
    assert "level reaches 10 %" in due_of(FACTS).reason
    for day in (AS_OF, date(2026, 4, 30)):
        due = due_of(replace(FACTS, sweep_by=SweepBy(day, "U")))
        assert "level has reached 10 %" in due.reason


def test_unknown_criteria_are_not_decided_and_the_permit_still_counts():
    unknown = NotDecided("Not decided: the action level is not known.")
    due = due_of(replace(FACTS, sweep_by=unknown, permits=(PERMIT,)))
    assert due.latest_by == "permit"
    assert due.not_decided == (unknown.reason,)
    assert due_of(replace(FACTS, sweep_by=unknown)).latest_on is None


def test_everything_missing_is_listed_once():
    unknown = NotDecided("no fit")
    due = due_of(
        replace(
            FACTS, proposal=unknown, earliest=unknown, sweep_by=unknown, gain=unknown, price=None
        )
    )
    assert due.not_decided == ("no fit", "Not decided: the method has no price.")
    assert isinstance(due.cost, NotDecided)


def test_far_ahead_is_no_day():
    due = due_of(replace(FACTS, sweep_by=SweepBy(None)))
    assert (due.latest_on, due.latest_by) == (None, "")
    assert "stays above" in due.latest_why
