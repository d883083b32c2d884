"""A look put right by a line; its severity follows the measures by the same line.

Who may is held by the table of access (`observation_correct`).
"""

from datetime import date

import pytest

from registry.actions.correct_entry import CannotBeCorrected
from registry.actions.correct_observation import correct_observation
from registry.actions.void_entry import CannotBeVoided, void_entry
from registry.models import Due, JournalLine
from registry.models.entry import Change
from tests.actions.plans import NOBODY
from tests.factories import DueFactory, PavementFactory
from tests.placing_factories import CallbackAttachmentFactory, CallbackFactory
from tests.visit_rows import defect_at

pytestmark = pytest.mark.django_db


@pytest.fixture
def look():
    """A crack 2 mm wide: low."""
    return defect_at(
        PavementFactory(), "", kind="crack", look={"length_m": 3.0, "crack_width_m": 0.002}
    ).observations.get()


def correct(row, by_eye="", **values):
    changes = {
        name: Change(value, str(value), seen=getattr(row, name), is_seen_known=True)
        for name, value in values.items()
    }
    return correct_observation(row, changes=changes, by_eye=by_eye, why="misread", **NOBODY)


def test_severity_follows_the_measure_by_the_same_line(look):
    """3 to 6 mm is moderate: crack limits of the published distress manuals, from memory."""
    assert look.severity == "low"
    correct(look, crack_width_m=0.004)
    look.refresh_from_db()
    assert (look.severity, look.severity_by_eye) == ("moderate", False)
    [line] = JournalLine.objects.about(look).corrections()
    assert line.changes["severity"] == ["low", "moderate"]
    assert {"crack_width_m", "graded_by"} <= set(line.changes)


def test_severity_by_eye_is_marked_only_where_nothing_was_measured(look):
    correct(look, crack_width_m=None, by_eye="high")
    look.refresh_from_db()
    assert (look.severity, look.severity_by_eye) == ("high", True)
    correct(look, crack_width_m=0.004, by_eye="")
    look.refresh_from_db()
    assert (look.severity, look.severity_by_eye) == ("moderate", False)


def test_day_before_the_defect_was_seen_first_is_refused(look):
    with pytest.raises(CannotBeCorrected, match="Correct the first day it was seen"):
        correct(look, seen_on=date(2020, 1, 1))
    assert not JournalLine.objects.about(look).corrections().exists()


def test_look_of_an_attached_defect_is_frozen_and_a_void_one_stays_as_it_is(look):
    callback = CallbackFactory(state="disputed", pavement=look.defect.pavement)
    CallbackAttachmentFactory(callback=callback, winter_entry=None, defect=look.defect)
    with pytest.raises(CannotBeCorrected, match="in dispute: the record is frozen"):
        correct(look, crack_width_m=0.004)
    with pytest.raises(CannotBeVoided, match="in dispute"):
        void_entry(look, why="wrong", **NOBODY)
    type(callback).objects.update(state="settled")
    void_entry(look, why="wrong", **NOBODY)
    with pytest.raises(CannotBeCorrected, match="void entry is not corrected"):
        correct(look, crack_width_m=0.004)


def test_what_is_due_follows_a_corrected_and_a_void_look_at_dirt():
    lot = PavementFactory()
    strip = defect_at(lot, "", kind="clogged", look={"area_m2": 4.0, "width_m": 0.5})
    look = strip.observations.get()
    for change in (lambda: correct(look, width_m=1.5), lambda: void_entry(look, why="x", **NOBODY)):
        Due.objects.all().delete()
        DueFactory(pavement=lot, no_method="before")
        change()
        assert not Due.objects.filter(no_method="before").exists()
