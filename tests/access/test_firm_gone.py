"""The contractor's firm is gone or was bought: the record stays, its inside notes stay its own."""

import pytest

from registry.access.callbacks import visible_callbacks, visible_notes
from registry.access.placing import sees_inside, visible_placing_days
from registry.actions.end_seat import end_seat
from registry.models import Seat
from registry.models.choices import Role
from tests.factories import MembershipFactory, PavementFactory, SeatFactory
from tests.placing_factories import CallbackFactory, CallbackNoteFactory, PlacingDayFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def gone():
    """A firm that placed, kept a note inside, and gave up its seat."""
    pavement = PavementFactory()
    firm = SeatFactory(pavement=pavement, role=Role.CONTRACTOR).organisation
    PlacingDayFactory(pavement=pavement, entered_for=firm)
    claim = CallbackFactory(pavement=pavement, contractor=firm)
    CallbackNoteFactory(callback=claim, text="to all")
    CallbackNoteFactory(
        callback=claim, kind="inside", inside_of=firm, entered_for=firm, text="to ourselves"
    )
    seat = Seat.objects.get(pavement=pavement, organisation=firm)
    end_seat(seat=seat, why="the firm is wound up", by=None, organisation=firm)
    return pavement, claim


def sight(role, pavement, claim):
    seat = SeatFactory(pavement=pavement, role=role)
    person = MembershipFactory(organisation=seat.organisation).person
    days = visible_placing_days(person, pavement)
    return {
        "days": days.count(),
        "crew by task": any(sees_inside(person, day) for day in days),
        "callbacks": visible_callbacks(person, pavement).count(),
        "notes": [note.text for note in visible_notes(person, claim)],
    }


def test_case_54_record_of_a_firm_that_is_gone_stays_and_its_inside_notes_are_nobodys(gone):
    told = sight(Role.OWNER, *gone)
    assert told["callbacks"] == 1
    assert told["notes"] == ["to all"]
    assert PlacingDayFactory._meta.model.objects.filter(pavement=gone[0]).count() == 1


def test_case_54_firm_that_takes_its_seat_reads_neither_inside_notes_nor_crew(gone):
    told = sight(Role.CONTRACTOR, *gone)
    assert told["notes"] == ["to all"]
    assert not told["crew by task"]
