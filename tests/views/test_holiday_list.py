"""A holiday list names its weekly days of rest, or says that there are none; none is assumed."""

from datetime import date

import pytest
from django.urls import reverse

from registry.dossier import Book, words
from registry.dossier.claim_figures import add_claim_figures
from registry.gathering.callback_clocks import clocks_of
from registry.gathering.callback_rows import callback_rows
from registry.gathering.dossier_claim import add_claim
from registry.gathering.warranty_terms import calendar_of
from registry.models import HolidayList, Repair
from registry.models.choices import Role
from registry.models.holiday_list import NO_DAY_OF_REST
from registry.placing.faults import NotGiven
from tests.claim_rows import NEW_YORK, notice, terms
from tests.factories import MembershipFactory, SeatFactory

pytestmark = pytest.mark.django_db
FIELDS = {"system": "inch_pound", "name": "contract of 2026", "days": "2024-05-27 holiday"}


@pytest.fixture
def member(client):
    one = MembershipFactory(organisation=SeatFactory(role=Role.CONTRACTOR).organisation)
    client.force_login(one.person)
    return one


def send(client, member, rest):
    where = reverse("entry_add", args=["holiday_list", member.organisation.pk])
    return client.post(where, {**FIELDS, "rest_days": rest})


@pytest.mark.parametrize(
    ("rest", "says"),
    [
        ([], "Tick the contract’s days of rest"),
        ([6, NO_DAY_OF_REST], "not both"),
        (list(range(7)), "at least one working day"),
    ],
)
def test_a_list_that_does_not_say_its_days_of_rest_is_asked_for_them(client, member, rest, says):
    answer = send(client, member, rest)
    assert says in str(answer.context["form"].errors["rest_days"])
    assert "contract of 2026" in answer.content.decode()  # nothing typed is lost
    assert not HolidayList.objects.exists()


def test_no_day_is_ticked_before_a_person_ticks_it(client, member):
    page = client.get(reverse("entry_add", args=["holiday_list", member.organisation.pk]))
    assert page.context["form"]["rest_days"].value() in (None, [])


def test_no_weekly_day_of_rest_is_a_choice_and_counts_every_day(client, member):
    assert send(client, member, [NO_DAY_OF_REST]).status_code == 302
    row = HolidayList.objects.get()
    saturday, holiday = date(2024, 5, 25), date(2024, 5, 27)
    assert calendar_of(row).is_working(saturday) and not calendar_of(row).is_working(holiday)
    page = client.get(reverse("holiday_lists", args=[member.organisation.pk])).content.decode()
    assert "no weekly day of rest" in page


def old_list_without_days_of_rest():
    warranty = terms()
    HolidayList.objects.update(rest_days=[])
    warranty.holiday_list.refresh_from_db()
    return notice(warranty)


def test_a_stored_list_that_does_not_say_counts_no_working_day_and_every_clock_says_so(client):
    row = old_list_without_days_of_rest()
    assert row.counted_on is None and "which days of the week" in row.counted_why
    rows = callback_rows(row, notes=row.notes.all(), repairs=Repair.objects.all())
    found = {one.step: one.clock.due for one in clocks_of(row, rows, today=date(2024, 5, 2))}
    for step in ("acknowledge", "visit", "reply"):
        assert isinstance(found[step], NotGiven) and "which days of the week" in found[step].reason
    seat = SeatFactory(pavement=row.pavement, role=Role.OWNER)
    client.force_login(MembershipFactory(organisation=seat.organisation).person)
    for name, pk in (("callback_page", row.pk), ("warranty_page", row.warranty_id)):
        page = client.get(reverse(name, args=[pk])).content.decode()
        assert "does not say which days of the week are days of rest" in page, name
    client.force_login(
        MembershipFactory(organisation=row.warranty.holiday_list.organisation).person
    )
    listed = reverse("holiday_lists", args=[row.warranty.holiday_list.organisation_id])
    assert "not said: limits in working days are not counted" in client.get(listed).content.decode()


def test_a_dossier_works_no_working_day_out_of_a_list_that_does_not_say():
    row = old_list_without_days_of_rest()
    book = Book()
    add_claim(book, row, NEW_YORK, prepared="2024-05-02", zone_rule="")
    book.add("notice", row.number, {**book.of("notice")[row.number], "covered_by": words("")})
    add_claim_figures(book)
    assert book.read("holidays", row.warranty.holiday_list.name, "rest") is None
    for figure in ("counted received", "acknowledged due"):
        assert not book.has(figure)
        assert "which days of the week" in book.not_given[figure]
