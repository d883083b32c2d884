"""One open address for each calendar; those taken back stay on record."""

import pytest

from registry.models import CalendarFeed, digest_of
from tests.factories import CalendarFeedFactory, CrewFactory
from tests.models.refusals import AT, refused

pytestmark = pytest.mark.django_db


def test_organisation_has_one_open_address():
    feed = CalendarFeedFactory()
    again = {"organisation": feed.organisation, "secret_digest": digest_of("another")}
    refused("calendar_feed_open_once_an_organisation", CalendarFeedFactory, **again)


def test_crew_has_one_open_address():
    crew = CrewFactory()
    own = {"organisation": crew.organisation, "crew": crew}
    CalendarFeedFactory(**own)
    again = {**own, "secret_digest": digest_of("another")}
    refused("calendar_feed_open_once_a_crew", CalendarFeedFactory, **again)


def test_address_taken_back_makes_room_for_another():
    old = CalendarFeedFactory(revoked_at=AT)
    new = CalendarFeedFactory(organisation=old.organisation, secret_digest=digest_of("another"))
    assert list(CalendarFeed.objects.open()) == [new]
    assert str(new) == f"calendar of {new.organisation}"
