"""The true time of a photo beside its camera's: by a line, with how it is known.

Who may is held by the table of access (`photo_time`).
"""

from datetime import UTC, date, datetime

import pytest

from registry.actions.correct_entry import CannotBeCorrected, CorrectionsDiffer
from registry.actions.correct_photo_time import correct_photo_time
from registry.actions.void_entry import void_entry
from registry.imaging.faults import CameraTimeError
from registry.instants import Ambiguous
from registry.models import JournalLine
from tests.actions.plans import NOBODY
from tests.factories import PhotoFactory
from tests.placing_factories import CallbackAttachmentFactory, CallbackFactory

pytestmark = pytest.mark.django_db
WHY = "clock of the church in the picture"


def taken(camera_time="2024:06:01 00:30:00", **fields):
    photo = PhotoFactory(camera_time=camera_time, taken_on=date(2024, 6, 1), **fields)
    type(photo.site).objects.filter(pk=photo.site_id).update(time_zone="America/New_York")
    photo.site.refresh_from_db()
    return photo


def correct(photo, seconds=3600.0, why=WHY, fold=None):
    return correct_photo_time(photo, clock_error_s=seconds, why=why, fold=fold, **NOBODY)


def test_camera_s_time_stays_and_the_day_follows_the_true_time(db):
    """00:30 by a clock an hour ahead was 23:30 of the day before; 4 h behind UTC in summer."""
    photo = correct(taken())
    assert photo.camera_time == "2024:06:01 00:30:00"
    assert photo.true_at == datetime(2024, 6, 1, 3, 30, tzinfo=UTC)
    assert (photo.taken_on, photo.true_how) == (date(2024, 5, 31), WHY)
    [line] = JournalLine.objects.about(photo).corrections()
    assert line.why == WHY and {"true_at", "taken_on", "true_how"} == set(line.changes)


@pytest.mark.parametrize(
    ("camera_time", "given", "fault"),
    [
        ("", {}, CameraTimeError),
        ("2024:06:01 00:30:00", {"why": " "}, CameraTimeError),
        ("2024:06:01 00:30:00", {"seconds": float("nan")}, CameraTimeError),
        ("2024:11:03 02:30:00", {}, Ambiguous),
    ],
    ids=["undated", "no reason", "no number", "an hour that came twice"],
)
def test_what_cannot_be_known_is_refused_and_the_photo_stays_as_it_was(camera_time, given, fault):
    photo = taken(camera_time)
    with pytest.raises(fault):
        correct(photo, **given)
    photo.refresh_from_db()
    assert photo.true_at is None and photo.taken_on == date(2024, 6, 1)
    assert not JournalLine.objects.about(photo).exists()


@pytest.mark.parametrize(("fold", "hour"), [(0, 5), (1, 6)])
def test_which_of_two_passes_is_said_by_a_person(fold, hour):
    """Summer time of New York ended on 2024-11-03 at 06:00 UTC: the law of the United States."""
    photo = correct(taken("2024:11:03 02:30:00"), fold=fold)
    assert photo.true_at == datetime(2024, 11, 3, hour, 30, tzinfo=UTC)


def test_second_writer_who_had_not_seen_the_first_is_told(db):
    photo = taken()
    stale = type(photo).objects.get(pk=photo.pk)
    correct(photo)
    with pytest.raises(CorrectionsDiffer):
        correct(stale, seconds=60.0)


def test_void_and_frozen_photos_are_not_corrected(db):
    photo = taken()
    callback = CallbackFactory(state="disputed", pavement=photo.pavement)
    CallbackAttachmentFactory(callback=callback, winter_entry=None, photo=photo)
    with pytest.raises(CannotBeCorrected, match="in dispute: the record is frozen"):
        correct(photo)
    type(callback).objects.update(state="settled")
    void_entry(photo, why="another lot", **NOBODY)
    with pytest.raises(CannotBeCorrected, match="void entry is not corrected"):
        correct(photo)
