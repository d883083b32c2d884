"""What the list says of a pavement follows its design criteria: at once, and on their own days."""

from datetime import date, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from registry.actions.add_entry import add_entry
from registry.actions.end_entry import end_entry
from registry.actions.judge_tests import judge_tests
from registry.actions.refresh_standing import refresh_stale_standings, refresh_standings
from registry.actions.set_criteria import correct_criteria, set_criteria
from registry.actions.void_entry import void_entry
from registry.gathering.due import months_after
from registry.models import Criteria, PavementStanding, RunOnArea
from registry.models.choices import Role
from registry.models.entry import Change
from tests.factories import (
    CriteriaFactory,
    InfiltrationTestFactory,
    MembershipFactory,
    PavementFactory,
    SeatFactory,
    SpotFactory,
)

NOBODY = {"by": None, "organisation": None}
TODAY = timezone.now().date()
TESTED = TODAY - timedelta(days=100)


@pytest.fixture
def lot(db):
    """Tested 100 days ago at about 1.7 times 508 mm/h in 3 times 254 mm/h; nothing is set yet."""
    lot = PavementFactory()
    spot = SpotFactory(pavement=lot, stratum="field")
    InfiltrationTestFactory(
        pavement=lot, spot=spot, started_on=TESTED, rain_within_24_h="no", seconds=1000.0
    )
    judge_tests([lot.pk])
    refresh_standings([lot.pk])
    return lot


def standing(lot):
    return PavementStanding.objects.get(pavement=lot, viewpoint="holder")


def criteria(lot, rate_mm_h, **fields):
    return CriteriaFactory.build(
        pavement=lot, action_rate_mm_h=rate_mm_h, action_rate_is_given=True, **fields
    )


def lowest(lot):
    return standing(lot).lowest_mm_h


def test_set_corrected_ended_and_void_criteria_change_word_and_level_at_once(lot):
    assert (standing(lot).word, standing(lot).action_rate_mm_h) == ("not_decided", None)
    row = set_criteria(criteria(lot, lowest(lot) / 3), **NOBODY)
    assert standing(lot).word == "working"
    put = {"action_rate_mm_h": Change(lowest(lot) * 2, "")}
    correct_criteria(row, changes=put, why="permit 8", **NOBODY)
    assert standing(lot).word not in ("working", "not_decided")
    assert standing(lot).action_rate_mm_h == pytest.approx(lowest(lot) * 2)
    void_entry(row, why="other lot", **NOBODY)
    assert standing(lot).word == "not_decided"
    again = set_criteria(criteria(lot, lowest(lot) / 3, from_on=date(2015, 1, 1)), **NOBODY)
    assert standing(lot).word == "working"
    end_entry(again, on=TODAY - timedelta(days=1), why="lapsed", **NOBODY)
    assert standing(lot).word == "not_decided"


def test_interval_of_a_permit_moves_the_due_day_and_the_list_of_overdue_at_once(lot, client):
    member = MembershipFactory()
    SeatFactory(pavement=lot, organisation=member.organisation, role=Role.MANAGER)
    client.force_login(member.person)

    def overdue():
        rows = client.get(reverse("pavement_list"), {"overdue": "on"}).context["page"]
        return list(rows)

    assert standing(lot).next_test_due_on == months_after(TESTED, 12)
    assert overdue() == []
    row = set_criteria(
        criteria(lot, lowest(lot) / 3, test_interval_months=2, source_document="permit 7"), **NOBODY
    )
    assert standing(lot).next_test_due_on == months_after(TESTED, 2)
    assert standing(lot).next_test_why == "every 2 months by permit 7"
    assert overdue() == [lot.pk]
    put = {"test_interval_months": Change(24, "24")}
    correct_criteria(row, changes=put, why="misread", **NOBODY)
    assert standing(lot).next_test_due_on == months_after(TESTED, 24)
    assert overdue() == []


def test_criteria_that_begin_later_count_from_their_first_day_without_another_change(lot):
    begins = TODAY + timedelta(days=30)
    set_criteria(criteria(lot, lowest(lot) / 3, from_on=begins), **NOBODY)
    assert standing(lot).word == "not_decided"
    assert standing(lot).changes_on == begins
    refresh_standings([lot.pk], today=begins)
    assert standing(lot).word == "working"


def test_run_on_that_ends_is_looked_at_on_that_day(lot):
    row = criteria(lot, None, intensity_mm_h=25.0)
    row.action_rate_is_given = False
    set_criteria(row, **NOBODY)
    area = RunOnArea(pavement=lot, name="roof", area_m2=900.0, runoff_coefficient=0.9, kind="roof")
    add_entry(area, **NOBODY)
    with_roof = standing(lot).action_rate_mm_h
    ends = TODAY + timedelta(days=10)
    end_entry(area, on=ends, why="gutter led away", **NOBODY)
    assert standing(lot).action_rate_mm_h == with_roof
    assert standing(lot).changes_on == ends
    refresh_standings([lot.pk], today=ends)
    assert standing(lot).action_rate_mm_h < with_roof


def test_stale_conditions_are_found_by_that_day(lot):
    set_criteria(criteria(lot, lowest(lot) / 3, from_on=TODAY + timedelta(days=1)), **NOBODY)
    PavementStanding.objects.update(as_of_on=date(2020, 1, 1))
    refresh_stale_standings(now_on=TODAY)
    assert standing(lot).as_of_on == date(2020, 1, 1)
    refresh_stale_standings(now_on=TODAY + timedelta(days=1))
    assert standing(lot).as_of_on > date(2020, 1, 1)
    assert Criteria.objects.count() == 1
