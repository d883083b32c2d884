"""A crew has people, hours of a day, and a name of its own in its organisation."""

import pytest
from django.core.exceptions import ValidationError

from registry.models import Crew
from tests.factories import CrewFactory, DepotFactory, MachineFactory
from tests.models.refusals import AT, VOID, refused

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("rule", "fields"),
    [
        ("crew_void_has_reason", VOID),
        ("crew_has_people", {"people": 0}),
        ("crew_hours_are_of_a_day", {"licence_hours": 0}),
        ("crew_hours_are_of_a_day", {"licence_hours": 24.5}),
    ],
)
def test_what_cannot_be_is_refused(rule, fields):
    refused(rule, CrewFactory, **fields)


def test_name_is_used_again_only_after_its_crew_is_void():
    old = CrewFactory(name="A")
    again = {"name": "A", "organisation": old.organisation}
    refused("crew_name_once_in_an_organisation", CrewFactory, **again)
    Crew.objects.update(void_at=AT, void_why="disbanded")
    CrewFactory(**again)


def test_shifts_and_breaks_are_said_as_on_a_board():
    row = CrewFactory(breaks=[["12:00", "12:30"]])
    assert (row.shifts_in_words, row.breaks_in_words) == ("Mon-Fri 07:00-15:30", "12:00-12:30")


def test_machine_or_depot_of_another_organisation_is_refused():
    for strange in ({"machine": MachineFactory()}, {"depot": DepotFactory()}):
        with pytest.raises(ValidationError, match="another organisation"):
            CrewFactory(**strange).clean()
