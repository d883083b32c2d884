"""The winter log shows every field of a line, in the units of its reader."""

from datetime import UTC, date, datetime

import pytest
from django.urls import reverse

from registry.models.choices import Role
from tests.factories import MembershipFactory, PavementFactory, SeatFactory, SiteFactory
from tests.placing_factories import WinterEntryFactory

pytestmark = pytest.mark.django_db
POUND = 0.45359237  # kg, exact: international avoirdupois pound
WHOLE = {
    "done_at": datetime(2024, 1, 8, 10, 30, tzinfo=UTC),
    "done_by": "Frost & Sons",
    "plowed": "yes",
    "edge": "steel",
    "shoes": "no",
    "deicer": "magnesium",
    "spread_as": "blue pellets",
    "bags": 3,
    "bag_kg": 50 * POUND,
    "deicer_kg": 150 * POUND,
    "sand_kg": 400 * POUND,
    "panels": ["C8", "C9"],
    "panels_text": "C8-C9",
    "snow_piled": "on lane D",
    "told_by": "slip",
    "obtained_on": date(2024, 2, 1),
    "note": "thaw at noon",
}


@pytest.fixture
def pavement(db):
    return PavementFactory(site=SiteFactory(time_zone="America/New_York"))


def shown(client, pavement, units):
    member = MembershipFactory(
        organisation=SeatFactory(pavement=pavement, role=Role.OWNER).organisation
    )
    person = member.person
    type(person).objects.filter(pk=person.pk).update(shown_system=units)
    client.force_login(person)
    page = client.get(reverse("winter_log", args=[pavement.pk])).content.decode()
    row = page[page.index("<tbody>") : page.index("</tbody>")]
    return " ".join(row.replace("\u202f", " ").replace("&amp;", "&").split())


@pytest.mark.parametrize(
    ("units", "masses"),
    [
        ("inch_pound", ("50.00 lb each", "weight 150.00 lb", "400.00 lb")),
        ("si", ("22.68 kg each", "weight 68.04 kg", "181.44 kg")),
    ],
)
def test_every_field_of_a_line_is_shown(client, pavement, units, masses):
    WinterEntryFactory(pavement=pavement, done_on=date(2024, 1, 8), **WHOLE)
    row = shown(client, pavement, units)
    for told in (
        "2024-01-08 05:30", "Frost & Sons", "plowed: yes", "edge: steel", "shoes fitted: no",
        "magnesium chloride", "“blue pellets”", "3 bags", "C8-C9", "on lane D", "told by slip",
        "2024-02-01", "thaw at noon", *masses,
    ):  # fmt: skip
        assert told in row, told


def test_what_is_not_known_and_what_nobody_filled_in_are_told_apart(client, pavement):
    kinds = {"bags": "nk", "deicer": "na"}
    WinterEntryFactory(pavement=pavement, deicer="", empties=kinds)
    row = shown(client, pavement, "si")
    assert "bags not known" in row and "kind does not apply" in row
    assert "weight not filled in yet" in row and "clock not filled in yet" in row
