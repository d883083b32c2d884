"""The timeline tells of no entry that its reader may not see."""

import pytest
from django.urls import reverse

from registry.actions.correct_entry import correct_entry
from registry.actions.write_journal import write_line
from registry.models.choices import Role
from registry.models.entry import Change
from tests.factories import MembershipFactory, SeatFactory
from tests.placing_factories import (
    CallbackFactory,
    CallbackNoteFactory,
    HandOverFactory,
    LoadFactory,
    PlacingDayFactory,
    PourPlanFactory,
    SpreadFactory,
)

pytestmark = pytest.mark.django_db
READERS = (Role.OWNER, Role.MANAGER, Role.BUYER, Role.EVALUATOR)
OVER_MIX = {"note": Change("over the mix", "over the mix")}


@pytest.fixture
def placer():
    return SeatFactory(role=Role.CONTRACTOR)


def timeline(client, seat, role):
    reader = seat
    if role != seat.role:
        reader = SeatFactory(pavement=seat.pavement, role=role)
    client.force_login(MembershipFactory(organisation=reader.organisation).person)
    return client.get(reverse("pavement_timeline", args=[seat.pavement_id])).content.decode()


@pytest.mark.parametrize("is_handed_over", [False, True])
def test_placing_record_stays_inside_until_its_hand_over(client, placer, is_handed_over):
    side = {"entered_for": placer.organisation}
    day = PlacingDayFactory(pavement=placer.pavement, **side)
    load = LoadFactory(placing_day=day, **side)
    rows = day, load, SpreadFactory(load=load, **side)
    for row in (*rows, PourPlanFactory(pavement=placer.pavement, **side)):
        name = type(row).__name__
        author = {"by": None, "organisation": placer.organisation}
        correct_entry(row, changes=OVER_MIX, why=f"why-{name}.", **author)
    if is_handed_over:
        given = {"giver": placer.organisation, "is_first": True, "state": "in_effect"}
        HandOverFactory(pavement=placer.pavement, **given)
    words = ["why-PlacingDay.", "why-Load.", "why-Spread."]
    assert all(w in timeline(client, placer, Role.CONTRACTOR) for w in [*words, "why-PourPlan."])
    for role in READERS:
        said = timeline(client, placer, role)
        assert [w for w in words if w in said] == (words if is_handed_over else []), role
        assert "why-PourPlan." not in said


def test_buyer_reads_nothing_of_a_callback_that_is_over_nor_of_dossiers(client, placer):
    over = CallbackFactory(pavement=placer.pavement, contractor=placer.organisation, state="closed")
    for row in (over, CallbackNoteFactory(callback=over)):
        by = {"by": None, "organisation": placer.organisation}
        write_line(row, "corrected", why=f"why-{type(row).__name__}.", **by)
    dossier = over.dossiers.create(system="si", paper="a4", for_organisation=placer.organisation)
    write_line(dossier, "taken away", by=None, pavement=placer.pavement, why="why-Dossier.")
    words = ["why-Callback.", "why-CallbackNote.", "why-Dossier."]
    for role, told in ((Role.OWNER, words), (Role.EVALUATOR, words), (Role.BUYER, [])):
        said = timeline(client, placer, role)
        assert [w for w in words if w in said] == told, role
