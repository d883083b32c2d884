"""The cast of the access table: one person for each seat at one pavement that was sold.

`subjects` names what a page is about, with the arguments of its address; a new page adds here
what it needs and a row in access_table.csv.
"""

from dataclasses import dataclass
from datetime import timedelta
from zoneinfo import ZoneInfo

import pytest
from django.contrib.auth.hashers import make_password
from django.utils import timezone

from registry.models import ImportBatch, Organisation, Person, PrintedSheet
from registry.models.choices import Role
from tests.factories import (
    CleaningFactory,
    InfiltrationTestFactory,
    InvitationFactory,
    MembershipFactory,
    OrganisationFactory,
    PavementFactory,
    SeatFactory,
)

ZONE = ZoneInfo("America/New_York")
STRANGER = "stranger"
"""Nobody: signed out."""
OUTSIDER = "outsider"
"""Signed in, belongs to an organisation without a seat."""
SEATS = {
    "owner": Role.OWNER,
    "manager": Role.MANAGER,
    "contractor in warranty": Role.CONTRACTOR,
    "contractor after warranty": Role.CONTRACTOR,
    "tester": Role.TESTER,
    "sweeper": Role.SWEEPER,
    "municipality": Role.MUNICIPALITY,
    "buyer": Role.BUYER,
    "evaluator": Role.EVALUATOR,
    "former owner": Role.OWNER,
}
CAST = (STRANGER, OUTSIDER, *SEATS)
SOME_PASSWORD = make_password("rain on the stone")
"""Hashed once: a person without any would be asked to set one."""
WARRANTY_DAYS = {"contractor in warranty": 30, "contractor after warranty": -2}


@dataclass(frozen=True)
class World:
    """People by their part (None: signed out), and what pages are about, as arguments."""

    people: dict[str, Person | None]
    subjects: dict[str, tuple[object, ...]]


@pytest.fixture
def world(db: None) -> World:
    sold = timezone.now() - timedelta(days=30)
    today = timezone.now().astimezone(ZONE).date()
    pavement = PavementFactory()
    members = {name: MembershipFactory(organisation__name=name) for name in (OUTSIDER, *SEATS)}
    for member in members.values():
        member.person.password = SOME_PASSWORD
        member.person.save(update_fields=["password"])
    for name, role in SEATS.items():
        times = {"owner": {"from_at": sold}, "former owner": {"to_at": sold}}.get(name, {})
        days = WARRANTY_DAYS.get(name)
        last = None if days is None else today + timedelta(days=days)
        seat = SeatFactory(
            pavement=pavement,
            organisation=members[name].organisation,
            role=role,
            warranty_last_on=last,
            **times,
        )
        if name == "tester":
            testers_seat = seat
    members["manager"].may_invite = True
    members["manager"].save(update_fields=["may_invite"])

    def written(factory, day_field, days, by, **fields):
        fields[day_field] = today - timedelta(days=days)
        return (factory(pavement=pavement, entered_for=members[by].organisation, **fields).pk,)

    def tested(days, by, **fields):
        return written(InfiltrationTestFactory, "started_on", days, by, use="looked_at", **fields)

    subjects = {
        "": (),
        "pavement": (pavement.pk,),
        "another pavement": (SeatFactory().pavement_id,),
        "acceptance test": tested(900, "contractor in warranty", reason="acceptance"),
        "test before the sale": tested(300, "former owner"),
        "manager's test": tested(7, "manager"),
        "submitted test": tested(7, "manager", submitted_on=today),
        "tester's test": tested(7, "tester"),
        "cleaning before the sale": written(CleaningFactory, "done_on", 300, "former owner"),
        "sweeper's cleaning": written(CleaningFactory, "done_on", 7, "sweeper"),
        "tester's seat": (testers_seat.pk,),
        "manager's organisation": (members["manager"].organisation_id,),
        "another organisation": (OrganisationFactory().pk,),
        "manager's membership": (members["manager"].pk,),
        "manager's invitation": (
            InvitationFactory(organisation=members["manager"].organisation).pk,
        ),
        "manager's spreadsheet": (_spreadsheet_of(members["manager"].organisation).pk,),
        "a form of file": ("geojson",),
        "link of an invitation": ("open",),
        "guessed link": ("guessed",),
        "link of a new password": ("1", "guessed"),
        "tester's sheet": (
            PrintedSheet.objects.create(
                number="INF-0001",
                kind="infiltration",
                pavement=pavement,
                system="si",
                paper="a4",
                printed_by=members["tester"].person,
            ).number,
        ),
    }
    InvitationFactory(token="open")
    subjects["a run of the tester's sheet"] = (
        *subjects["tester's sheet"],
        *subjects["tester's test"],
    )
    people: dict[str, Person | None] = {name: member.person for name, member in members.items()}
    return World({STRANGER: None, **people}, subjects)


def _spreadsheet_of(organisation: Organisation) -> ImportBatch:
    return ImportBatch.objects.create(
        organisation=organisation, file_name="tests.csv", digest="0" * 64, state="checked"
    )
