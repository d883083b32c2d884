"""Cleanings and tests over all pavements whose whole record a person reads."""

from django.db.models import Q

from registry.access.holding import pavements_held_as, visible_pavements
from registry.access.people import organisations_of
from registry.access.work_orders import all_visible_work_orders
from registry.models import Cleaning, InfiltrationTest, Machine, Person
from registry.models.cleaning import CleaningQuerySet
from registry.models.infiltration_test import InfiltrationTestQuerySet
from registry.models.rights import READERS_OF_ALL


def cleanings_read_whole(person: Person) -> CleaningQuerySet:
    """Return the cleanings of pavements at which the person reads every entry now.

    Elsewhere a person sees some of the tests, and a gain of some would be of none.
    """
    rows: CleaningQuerySet = Cleaning.objects.filter(
        pavement__in=pavements_held_as(person, READERS_OF_ALL).values("pk")
    )
    return rows


def tests_read_whole(person: Person) -> InfiltrationTestQuerySet:
    """Return the infiltration tests of the same pavements."""
    rows: InfiltrationTestQuerySet = InfiltrationTest.objects.filter(
        pavement__in=pavements_held_as(person, READERS_OF_ALL).values("pk")
    )
    return rows


def cleanings_with(person: Person, machine: Machine) -> CleaningQuerySet:
    """Return what was done with a machine, as far as the person sees it.

    On orders that the person sees, or written for one of the person's organisations.
    """
    orders = all_visible_work_orders(person).values("pk")
    own = Q(entered_for__in=organisations_of(person).values("pk"))
    rows: CleaningQuerySet = Cleaning.objects.filter(
        Q(work_order__in=orders) | own,
        swept_with=machine,
        pavement__in=visible_pavements(person).values("pk"),
    )
    return rows
