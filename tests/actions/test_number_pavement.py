"""Numbers of a pavement: each organisation its own, each once, none lost."""

from datetime import date

import pytest

from registry.actions.number_pavement import (
    CannotTakeBack,
    NumberTaken,
    number_pavement,
    take_back_number,
)
from registry.models import JournalLine, PavementNumber
from tests.factories import OrganisationFactory, PavementFactory, PersonFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def org():
    return OrganisationFactory()


def number(org, text: str, pavement=None, from_on: date | None = None) -> PavementNumber:
    pavement = pavement or PavementFactory()
    return number_pavement(pavement, number=text, from_on=from_on, by=None, organisation=org)


def test_a_number_is_used_once_by_one_organisation_and_freely_by_others(org):
    number(org, "7")
    with pytest.raises(NumberTaken, match="uses 7 already"):
        number(org, "7")
    assert number(OrganisationFactory(), "7").number == "7"


def test_a_new_number_ends_the_old_one_on_a_day_that_is_asked_for(org):
    old = number(org, "7")
    with pytest.raises(NumberTaken, match="Say from which day"):
        number(org, "8", old.pavement)
    new = number(org, "8", old.pavement, date(2024, 5, 1))
    old.refresh_from_db()
    assert (old.to_on, new.from_on, old.is_taken_back) == (date(2024, 5, 1),) * 2 + (False,)
    assert number(org, "7").number == "7", "an ended number is free again"


def test_a_number_is_taken_back_once_by_its_own_organisation_with_a_reason(org):
    row, person = number(org, "7"), PersonFactory()
    with pytest.raises(CannotTakeBack, match="Only the organisation"):
        take_back_number(row, why="slip", by=person, organisation=OrganisationFactory())
    with pytest.raises(CannotTakeBack, match="Say why"):
        take_back_number(row, why=" ", by=person, organisation=org)
    taken = take_back_number(row, why="slip", by=person, organisation=org)
    assert taken.is_taken_back
    assert JournalLine.objects.about(row).filter(verb="taken back").get().why == "slip"
    with pytest.raises(CannotTakeBack, match="already"):
        take_back_number(row, why="slip", by=person, organisation=org)
