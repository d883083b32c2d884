"""A process that writes, for tests of several at once: python -m tests.servers.writer WHAT ..."""

import json
import sys
from datetime import UTC, date, datetime, timedelta

import django

django.setup()

from django.contrib.sessions.backends.db import SessionStore  # noqa: E402 (after setup)

from registry.actions.add_photo import add_photo  # noqa: E402
from registry.actions.correct_entry import CannotBeCorrected, correct_entry  # noqa: E402
from registry.actions.record_infiltration_test import record_infiltration_test  # noqa: E402
from registry.gathering.photo_files import read_original  # noqa: E402
from registry.models import (  # noqa: E402
    InfiltrationTest,
    JournalLine,
    Pavement,
    Photo,
    PhotoFile,
    Spot,
)
from registry.models.entry import Change  # noqa: E402
from tests import factories  # noqa: E402
from tests.imaging import photos  # noqa: E402


def run_of(spot: Spot, day: date, **fields: object) -> InfiltrationTest:
    given = {
        "method": "c1701",
        "started_on": day,
        "system": "inch_pound",
        "ring": 12.0,
        "water": 40.0,
        "seconds": 60.0,
        "prewet_seconds": 12.0,
        "prewet_water": 8.0,
        "ended": "drained",
        "rain_within_24_h": "no",
        "stratum": spot.stratum,
    }
    return InfiltrationTest(pavement=spot.pavement, spot=spot, **(given | fields))


def prepare() -> None:
    """Make one pavement with a spot, a run and a signed-in manager; print what the test needs."""
    seat = factories.SeatFactory(
        role="manager", organisation=factories.MembershipFactory().organisation
    )
    person = seat.organisation.people.get()
    factories.CriteriaFactory(pavement=seat.pavement)
    spot = factories.SpotFactory(pavement=seat.pavement, name="U", stratum="field")
    row = record_infiltration_test(
        run_of(spot, date(2020, 5, 1)), by=person, organisation=seat.organisation
    )
    session = SessionStore()
    session["_auth_user_id"] = str(person.pk)
    session["_auth_user_backend"] = "allauth.account.auth_backends.AuthenticationBackend"
    session["_auth_user_hash"] = person.get_session_auth_hash()
    session.save()
    told = {
        "pavement": seat.pavement_id,
        "spot": spot.pk,
        "row": row.pk,
        "session": session.session_key,
    }
    print(json.dumps(told))


def record(spot_pk: str, first: str, count: str) -> None:
    """Record runs on days of its own, one after the other."""
    spot = Spot.objects.get(pk=spot_pk)
    for n in range(int(count)):
        day = date(2021, 1, 1) + timedelta(days=3 * (int(first) + n))
        record_infiltration_test(run_of(spot, day), by=None, organisation=None)


def pour_more(row_pk: str, count: str) -> None:
    """Add a hundredth of a pound to one run's water, so many times, each seen before it is set."""
    left = int(count)
    while left:
        row = InfiltrationTest.objects.get(pk=row_pk)
        change = Change(round(row.water + 0.01, 2), "", seen=row.water, is_seen_known=True)
        try:
            correct_entry(
                row, changes={"water": change}, why="one more", by=None, organisation=None
            )
        except CannotBeCorrected:
            continue
        left -= 1


def photograph(pavement_pk: str, count: str) -> None:
    """Send the same so many photos of one pavement for its manager, as every other writer does."""
    pavement = Pavement.objects.get(pk=pavement_pk)
    organisation = pavement.seats.get().organisation
    for n in range(int(count)):
        data = photos.jpeg(photos.quarters(64 + 8 * n, 64))
        add_photo(
            Photo(pavement=pavement), data, name=f"{n}.jpg", by=None, organisation=organisation
        )


def tell_photos() -> None:
    """Print how many photos and files there are, and whether each file is whole."""
    files = PhotoFile.objects.all()
    whole = [len(read_original(file)) == file.bytes_long for file in files]
    print(json.dumps({"photos": Photo.objects.count(), "files": len(whole), "whole": all(whole)}))


def tell(pavement_pk: str) -> None:
    """Print what the database holds of a pavement."""
    pavement = Pavement.objects.get(pk=pavement_pk)
    rows = pavement.infiltration_tests.order_by("pk")
    lines = JournalLine.objects.filter(subject_kind="infiltrationtest")
    print(
        json.dumps(
            {
                "numbers": [row.number for row in rows],
                "count": rows.count(),
                "unjudged": rows.filter(computed_at__isnull=True).count(),
                "recorded_lines": lines.filter(verb="recorded").count(),
                "corrected_lines": lines.filter(verb="corrected").count(),
                "water": [row.water for row in rows],
                "last_tested_on": str(pavement.standings.get(viewpoint="holder").last_tested_on),
                "latest": str(rows.latest("started_on").started_on),
                "at": datetime.now(tz=UTC).isoformat(),
            }
        )
    )


if __name__ == "__main__":
    DOES = {
        "prepare": prepare,
        "record": record,
        "pour_more": pour_more,
        "photograph": photograph,
        "tell": tell,
        "tell_photos": tell_photos,
    }
    DOES[sys.argv[1]](*sys.argv[2:])
