"""A pavement comes in with its site, its seat and its number, or not at all."""

import pytest

from registry.actions.add_pavement import CannotAdd, add_pavement
from registry.actions.number_pavement import NumberTaken
from registry.models import Pavement, PavementNumber, Seat, Site
from registry.models.choices import Role
from tests.factories import NumberFactory, OrganisationFactory, PersonFactory

pytestmark = pytest.mark.django_db


def add(organisation, **more: str) -> Pavement:
    pavement = Pavement(name="Lot", surface="pervious_concrete", area_m2=420.0)
    site = Site(name="Mill Lane", time_zone="America/New_York")
    given = {"site": site, "by": PersonFactory(), "organisation": organisation}
    return add_pavement(pavement, **given, **more)


@pytest.mark.parametrize("role", [Role.OWNER, Role.MANAGER, Role.CONTRACTOR])
def test_who_adds_it_gets_the_seat_of_its_usual_role(role: Role):
    organisation = OrganisationFactory(usual_role=role)
    pavement = add(organisation, number="7")
    seat = Seat.objects.get()
    assert (seat.pavement, seat.organisation, seat.role) == (pavement, organisation, role)
    assert pavement.site.organisation == organisation
    assert PavementNumber.objects.get().number == "7"


@pytest.mark.parametrize("role", [Role.PRODUCER, Role.BUYER])
def test_who_holds_no_pavement_adds_none(role: Role):
    with pytest.raises(CannotAdd, match="holds no pavement of its own"):
        add(OrganisationFactory(usual_role=role))
    assert not Site.objects.exists() and not Pavement.objects.exists()


def test_a_number_that_is_taken_stores_nothing():
    taken = NumberFactory(number="7")
    with pytest.raises(NumberTaken):
        add(taken.organisation, number="7")
    assert Pavement.objects.get() == taken.pavement
    assert not Seat.objects.exists()
