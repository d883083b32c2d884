"""Ponding and drawdown in the condition word: holder and town each by what they may know."""

from datetime import UTC, date, datetime, timedelta

import pytest
from django.utils import timezone

from registry.actions.close_visit import close_visit
from registry.actions.judge_tests import judge_tests
from registry.actions.move_defect import move_defect
from registry.actions.open_visit import open_visit
from registry.actions.read_well import read_well
from registry.actions.record_observation import record_observation
from registry.actions.refresh_standing import refresh_standings
from registry.actions.void_entry import void_entry
from registry.actions.void_visit import void_visit
from registry.gathering.condition import condition_of
from registry.models import (
    DirtSource,
    Observation,
    ObservationWell,
    PavementStanding,
    Visit,
    WellReading,
)
from registry.models.choices import Role
from tests.factories import (
    CriteriaFactory,
    InfiltrationTestFactory,
    OrganisationFactory,
    PavementFactory,
    SeatFactory,
    SpotFactory,
    VisitFactory,
)
from tests.visit_rows import defect_at, seen_of

pytestmark = pytest.mark.django_db
TODAY = date(2024, 6, 1)
RAIN = datetime(2024, 5, 20, 6, tzinfo=UTC)
NOBODY = {"by": None, "organisation": None}


@pytest.fixture
def lot():
    """A pavement that works: four times its action level everywhere, tested dry."""
    row = PavementFactory(placed_on=date(2020, 5, 1))
    SeatFactory(pavement=row, role=Role.OWNER)
    CriteriaFactory(
        pavement=row, action_rate_mm_h=100.0, action_rate_is_given=True, drawdown_limit_h=48
    )
    spot = SpotFactory(pavement=row, stratum="field")
    for on in (date(2024, 4, 10), timezone.now().date() - timedelta(days=30)):
        InfiltrationTestFactory(
            pavement=row, spot=spot, stratum="field", started_on=on, rain_within_24_h="no",
            submitted_on=on, seconds=60.0,
        )  # fmt: skip
    judge_tests([row.pk])
    refresh_standings([row.pk])
    return row


def word(lot, viewpoint="holder", today=TODAY):
    return condition_of(lot, viewpoint=viewpoint, today=today).word


def stored(lot, viewpoint="holder"):
    return PavementStanding.objects.get(pavement=lot, viewpoint=viewpoint).reason


def ponding(lot, **fields):
    return defect_at(lot, "by the drain", kind="ponding", look={"area_m2": 2.0}, **fields)


def visit(lot, on=date(2024, 5, 21), **fields):
    return VisitFactory(pavement=lot, done_on=on, state="done", surface="wet", **fields)


def test_pavement_without_water_on_it_works(lot):
    assert word(lot).word == "working" == word(lot, "town").word


def test_open_ponding_keeps_it_from_working_and_names_the_defect(lot):
    row = ponding(lot)
    found = word(lot)
    assert (found.word, found.rule) == (
        "watch", f"Water stands: defect {row.number}, seen since 2023-05-19, is open.",
    )  # fmt: skip
    assert "base, grade and outlet" in found.next_step


@pytest.mark.parametrize("state", ["no_action", "part_of", "removed"])
def test_ponding_that_is_no_longer_open_says_nothing(lot, state):
    row = ponding(lot)
    move_defect(row, to_state=state, on=TODAY, why="said", **NOBODY)
    assert word(lot).word == "working"


def test_ponding_counts_on_the_days_it_was_open(lot):
    row = ponding(lot)
    move_defect(row, to_state="no_action", on=TODAY, **NOBODY)
    assert word(lot, today=TODAY - timedelta(1)).word == "watch"
    before = condition_of(lot, viewpoint="holder", today=date(2023, 5, 18))
    assert before.water.ponding is None


def test_town_judges_by_the_ponding_that_was_sent_to_it_alone(lot):
    row = ponding(lot)
    assert word(lot, "town").word == "working"
    type(row).objects.filter(pk=row.pk).update(submitted_on=TODAY)
    assert word(lot, "town").word == "watch"


def test_town_s_own_ponding_counts_for_it(lot):
    town = OrganisationFactory()
    SeatFactory(pavement=lot, organisation=town, role=Role.MUNICIPALITY)
    row = ponding(lot)
    type(row).objects.filter(pk=row.pk).update(entered_for=town)
    assert word(lot, "town").word == "watch"


def test_water_that_stood_at_a_visit_keeps_it_from_working_for_24_months(lot):
    visit(lot, water_stands="yes", water_place="C8", water_minutes=25)
    found = word(lot)
    assert found.rule == (
        "Water stood on the surface at the visit of 2024-05-21 (C8), 25 min after the rain."
    )
    assert word(lot, "town").word == "working"
    assert condition_of(lot, viewpoint="holder", today=TODAY).water.rests_on == (
        date(2024, 5, 21),
    )  # fmt: skip
    assert condition_of(lot, viewpoint="holder", today=date(2026, 5, 22)).water.ponding is None


@pytest.mark.parametrize(
    ("fields", "expected"),
    [
        ({"water_stands": "yes", "water_minutes": 8}, "working"),
        ({"water_stands": "no"}, "working"),
        ({"water_stands": ""}, "watch"),
        ({"water_stands": "no", "surface": "dry"}, "watch"),
        ({"water_stands": "no", "state": "planned"}, "watch"),
    ],
)
def test_later_visit_after_rain_that_saw_none_takes_it_back(lot, fields, expected):
    """A dry day says nothing of standing water, and nor does a walk that is not closed."""
    visit(lot, water_stands="yes")
    VisitFactory(
        pavement=lot, done_on=date(2024, 5, 28), **{"state": "done", "surface": "wet"} | fields
    )
    assert word(lot).word == expected


def well_read(lot, hours, *, is_dry, walked, name="W1"):
    well, _ = ObservationWell.objects.get_or_create(pavement=lot, name=name)
    at = RAIN + timedelta(hours=hours)
    row = WellReading(
        pavement=lot, well=well, visit=walked, read_on=at.date(), read_at=at, is_dry=is_dry,
        to_water_m=None if is_dry else 0.5,
    )  # fmt: skip
    return read_well(row, **NOBODY)


@pytest.mark.parametrize(
    ("readings", "expected"),
    [
        ([(49, False)], "not_working"),
        ([(47, False)], "working"),  # not over the limit yet, and not known to be dry in time
        ([(47, True)], "working"),
        ([(60, True)], "working"),  # dry by then: when, nobody knows
        ([(49, False), (60, True)], "not_working"),
    ],
)
def test_water_in_a_well_beyond_the_limit_is_not_working(lot, readings, expected):
    walked = visit(lot, rain_ended_at=RAIN)
    for hours, is_dry in readings:
        well_read(lot, hours, is_dry=is_dry, walked=walked)
    found = word(lot)
    assert found.word == expected
    if expected == "not_working":
        assert found.rule == (
            "Water stood in well W1 49 h after the rain of 2024-05-20; the limit is 48 h."
        )
    assert word(lot, "town").word == "working"
    Visit.objects.update(submitted_on=TODAY)
    assert word(lot, "town").word == expected


def test_later_rain_whose_water_left_in_time_takes_it_back(lot):
    well_read(lot, 49, is_dry=False, walked=visit(lot, rain_ended_at=RAIN))
    later = visit(lot, on=date(2024, 5, 30), rain_ended_at=RAIN + timedelta(days=9))
    well_read(lot, 9 * 24 + 20, is_dry=True, walked=later)
    assert word(lot).word == "working"


def test_without_a_limit_a_full_well_decides_nothing(lot):
    lot.criteria.update(drawdown_limit_h=None)
    well_read(lot, 99, is_dry=False, walked=visit(lot, rain_ended_at=RAIN))
    assert word(lot).word == "working"


def test_open_source_of_dirt_is_to_be_watched(lot):
    DirtSource.objects.create(pavement=lot, kind="bare_soil", seen_on=date(2024, 5, 1))
    assert (word(lot).word, word(lot).rule) == ("watch", "A source of dirt is open.")


def test_kept_condition_follows_a_walk_once_it_is_closed(lot):
    walked = open_visit(
        Visit(pavement=lot, done_on=timezone.now().date() - timedelta(1), walked_by="M. Ferrand"),
        **NOBODY,
    )
    Visit.objects.filter(pk=walked.pk).update(water_stands="yes", walked_all=True)
    assert not stored(lot).startswith("Water stood")
    close_visit(walked, signed_by="M. Ferrand", seen=seen_of(lot), panels=[], **NOBODY)
    assert stored(lot).startswith("Water stood")
    void_visit(walked, why="another lot", **NOBODY)
    assert not stored(lot).startswith("Water stood")


def test_kept_condition_follows_each_move_of_a_ponding_defect(lot):
    row = ponding(lot)
    assert stored(lot).startswith("Water stands")
    move_defect(row, to_state="no_action", on=TODAY, **NOBODY)
    assert not stored(lot).startswith("Water stands")
    move_defect(row, to_state="noted", is_back=True, why="it does", on=TODAY, **NOBODY)
    assert stored(lot).startswith("Water stands")
    void_entry(row, why="wrong lot", **NOBODY)
    assert not stored(lot).startswith("Water stands")


def test_missed_twice_in_good_light_lets_it_go(lot):
    row = ponding(lot)
    for on in (date(2024, 5, 1), date(2024, 5, 20)):
        look = Observation(defect=row, seen_on=on, found="not_found", good_light="yes")
        record_observation(look, **NOBODY)
    assert not stored(lot).startswith("Water stands")


@pytest.fixture
def designed(lot):
    """Designed for 100 mm in 24 h, 20 mm/h at the surface at most."""
    lot.criteria.update(storm_depth_mm=100.0, storm_duration_h=24.0, intensity_mm_h=20.0)
    return lot


RAN_OFF = {"ran_off": "yes", "ran_off_place": "curb of row D"}


@pytest.mark.parametrize(
    ("rain", "expected", "why"),
    [
        ({"rain_mm": 20.0, "rain_hours": 6.0}, "not_working", "below the design storm of 3.94 in"),
        ({"rain_mm": 100.0, "rain_hours": 24.0}, "working", ""),
        ({"rain_mm": 30.0, "rain_hours": 1.0}, "not_decided", "less fell than in the design storm"),
        ({"rain_mm": 20.0}, "not_decided", "how long it rained is not written"),
        ({}, "not_decided", "how much rain fell is not written"),
    ],
)
def test_water_that_left_in_a_storm_below_design(designed, rain, expected, why):
    """This record's rule of the word; how two storms are compared is common practice, no source."""
    visit(designed, **RAN_OFF, **rain)
    found = word(designed)
    assert found.word == expected
    assert why in found.rule
    if expected != "working":
        assert found.rule.startswith("Water ran off the pavement (curb of row D)")
    assert word(designed, "town").word == "working"


def test_without_a_design_storm_nobody_can_say(lot):
    visit(lot, **RAN_OFF, rain_mm=20.0, rain_hours=6.0)
    found = word(lot)
    assert (found.word, "no design storm is written" in found.rule) == ("not_decided", True)


@pytest.mark.parametrize(
    ("rain", "expected"),
    [
        ({"rain_mm": 25.0, "rain_hours": 6.0}, "working"),
        ({"rain_mm": 10.0, "rain_hours": 6.0}, "not_working"),
        ({"rain_mm": 25.0, "rain_hours": 24.0}, "not_working"),  # deeper, and not as hard
        ({}, "not_working"),
    ],
)
def test_only_a_later_rain_as_great_takes_it_back(designed, rain, expected):
    visit(designed, **RAN_OFF, rain_mm=20.0, rain_hours=6.0)
    visit(designed, on=date(2024, 5, 28), ran_off="no", **rain)
    assert word(designed).word == expected


def test_what_the_water_did_is_told_beside_a_worse_word(designed):
    """Standing water is a note where a rate decides; it is never a result of its own."""
    visit(designed, water_stands="yes", water_depth_m=0.01, rain_mm=20.0)
    visit(designed, on=date(2024, 5, 22), **RAN_OFF, rain_mm=20.0, rain_hours=6.0)
    found = condition_of(designed, viewpoint="holder", today=TODAY)
    assert found.word.notes == (
        "Water stood on the surface at the visit of 2024-05-21, 0.39 in deep.",
    )
    assert found.lowest.mm_h > 100 and found.word.mm_h is None
    assert found.water.rests_on == (date(2024, 5, 21), date(2024, 5, 22))
