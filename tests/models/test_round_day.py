"""Of each crew and day one is in force; a stop is at an order, a dump place or a water point."""

import pytest

from registry.models import RoundDay, StopKind
from tests.factories import DumpPlaceFactory, RoundDayFactory, RoundStopFactory, WorkOrderFactory
from tests.models.refusals import AT, refused

pytestmark = pytest.mark.django_db


def test_crew_goes_out_once_a_day():
    day = RoundDayFactory()
    refused("round_day_once_a_crew", RoundDayFactory, round=day.round, crew=day.crew)


def test_one_day_of_a_crew_is_in_force():
    day = RoundDayFactory(is_in_force=True, taken_over_at=AT)
    RoundDayFactory(crew=day.crew)
    again = {"crew": day.crew, "is_in_force": True, "taken_over_at": AT}
    refused("round_day_in_force_once_a_crew", RoundDayFactory, **again)
    assert list(RoundDay.objects.in_force().between(day.on, day.on)) == [day]


def test_day_that_cannot_be_is_refused():
    refused("round_day_in_force_was_taken_over", RoundDayFactory, is_in_force=True)
    refused("round_day_ends_after_it_begins", RoundDayFactory, leaves_at=AT.replace(year=2099))


@pytest.mark.parametrize(
    "fields",
    [
        {"order": None},
        {"kind": StopKind.DUMP},
        {"kind": StopKind.WATER, "order": None},
    ],
)
def test_stop_is_where_its_kind_says(fields):
    refused("round_stop_is_where_its_kind_says", RoundStopFactory, **fields)


def test_stop_is_in_its_place_and_ends_after_it_begins():
    stop = RoundStopFactory()
    again = {"day": stop.day, "order": WorkOrderFactory(), "sequence": stop.sequence}
    refused("round_stop_once_a_place", RoundStopFactory, **again)
    refused("round_stop_ends_after_it_begins", RoundStopFactory, ends_at=AT.replace(year=2000))


def test_stop_says_where_it_is():
    place = DumpPlaceFactory(name="Transfer yard")
    stop = RoundStopFactory(kind=StopKind.DUMP, order=None, dump_place=place)
    assert (stop.place, str(stop)) == (place, f"{stop.sequence}. empty Transfer yard")
