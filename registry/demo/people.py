"""Organisations and people of the town, and the three sign-ins that are printed."""

import secrets
from dataclasses import dataclass
from datetime import datetime
from typing import TypedDict

from registry.actions.add_organisation import add_organisation, add_person
from registry.faults import DomainError
from registry.models import Organisation, Person
from registry.models.choices import ReadingSystem, Role

CONTRACTOR = "Hollin & Daughters Flatwork"
MANAGER = "Brindle Court Property Care"
TOWN = "Town of Sedgewater, Streets & Water"
TESTER = "Saltmarsh Materials Testing"
EVALUATOR = "Eastmere Concrete Evaluation"

ORGANISATIONS: tuple[tuple[str, Role, ReadingSystem], ...] = (
    (CONTRACTOR, Role.CONTRACTOR, ReadingSystem.INCH_POUND),
    (MANAGER, Role.MANAGER, ReadingSystem.INCH_POUND),
    (TOWN, Role.MUNICIPALITY, ReadingSystem.INCH_POUND),
    (TESTER, Role.TESTER, ReadingSystem.SI),
    (EVALUATOR, Role.EVALUATOR, ReadingSystem.INCH_POUND),
    *(
        (name, Role.OWNER, ReadingSystem.INCH_POUND)
        for name in (
            "Fennel Housing Trust",
            "St. Wenna Hall Assoc.",
            "Ashdown Clinic Partners",
            "Larch Row Shops Assoc.",
            "Quarry Road Offices",
            "Cooper's Yard LLC",
            "Sedgewater School Board",
            "R. Ainslow",
            "Oakum Ltd",
            "D. Perrin",
            "M. Osei",
        )
    ),
)

# Who signs in, then colleagues whose names stand in the tables or who wait for an invitation.
SIGN_INS = (
    ("Ines Marlow", "ines.marlow@brindlecourt.example", MANAGER),
    ("J. Hollin", "j.hollin@hollinflatwork.example", CONTRACTOR),
    ("Amara Quill", "amara.quill@sedgewater.example", TOWN),
)
COLLEAGUES = (
    ("Tom Fenwright", "tom.fenwright@brindlecourt.example", MANAGER),
    ("R. Voss", "r.voss@hollinflatwork.example", CONTRACTOR),
    ("Bea Lorne", "bea.lorne@sedgewater.example", TOWN),
    ("Ansel Dray", "ansel.dray@saltmarshtesting.example", TESTER),
    ("Corin Hale", "corin.hale@eastmere.example", EVALUATOR),
    ("M. Osei", "m.osei@tallowlane.example", "M. Osei"),
)
WORDS = (
    "anchor", "barley", "cedar", "dapple", "ember", "fathom", "gravel", "hazel", "inlet", "juniper",
    "kestrel", "lantern", "meadow", "nettle", "orchard", "pebble", "quarry", "russet", "saddle",
    "thistle", "umber", "velvet", "willow", "yarrow",
)  # fmt: skip


class AlreadyLoaded(DomainError):
    """Something of the town is in the database already."""


@dataclass(frozen=True)
class SignIn:
    """What a person needs to sign in; the password is kept nowhere else."""

    name: str
    organisation: str
    email: str
    password: str


class Author(TypedDict):
    """The arguments of an action that say who writes."""

    by: Person | None
    organisation: Organisation


@dataclass
class Cast:
    """Organisations by name and, by organisation, the person who writes for it."""

    organisations: dict[str, Organisation]
    writers: dict[str, Person]
    sign_ins: list[SignIn]

    def __getitem__(self, name: str) -> Organisation:
        return self.organisations[name]

    def writer(self, name: str) -> Person | None:
        """Return who writes for an organisation; None where nobody of it has an account."""
        return self.writers.get(name)

    def as_author(self, name: str) -> Author:
        """Return who writes for an organisation."""
        return {"by": self.writer(name), "organisation": self[name]}


def refuse_second_load() -> None:
    """Raise AlreadyLoaded where an organisation, person or pavement of anybody is here."""
    town = Organisation.objects.filter(name=TOWN).exists()
    if town:
        raise AlreadyLoaded("The demonstration town is in this database already.")
    if Organisation.objects.exists() or Person.objects.exists():
        raise AlreadyLoaded(
            "This database holds records already; the demonstration town goes into an empty one."
        )


def bring_in_people(at: datetime) -> Cast:
    """Store the organisations and people; `at` is since when the people work there."""
    organisations = {
        name: add_organisation(
            Organisation(name=name, usual_role=role, system=system, time_zone="America/New_York"),
            by=None,
        )
        for name, role, system in ORGANISATIONS
    }
    cast = Cast(organisations, {}, [])
    for name, email, organisation in SIGN_INS:
        password = new_password()
        cast.writers[organisation] = add_person(
            email=email,
            name=name,
            organisation=organisations[organisation],
            password=password,
            may_invite=True,
            from_at=at,
            by=None,
        )
        cast.sign_ins.append(SignIn(name, organisation, email, password))
    for name, email, organisation in COLLEAGUES:
        person = add_person(
            email=email,
            name=name,
            organisation=organisations[organisation],
            password=None,
            from_at=at,
            by=cast.writer(organisation),
        )
        cast.writers.setdefault(organisation, person)
    return cast


def new_password() -> str:
    """Return four words and a number: 24 bits of chance, for a demonstration on one machine."""
    return "-".join([*(secrets.choice(WORDS) for _ in range(4)), str(10 + secrets.randbelow(90))])
