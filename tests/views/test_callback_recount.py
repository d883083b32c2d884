"""A day counted by terms that say something else now stays, and is counted anew by a line."""

from datetime import date

import pytest
from django.urls import reverse

from registry.actions.correct_entry import correct_entry
from registry.models import Callback, JournalLine
from registry.models.choices import Role
from registry.models.entry import Change
from tests.claim_rows import HOLIDAYS, NOBODY, lived_through, notice, terms
from tests.factories import MembershipFactory, SeatFactory

pytestmark = pytest.mark.django_db
MONDAY, TUESDAY = date(2024, 4, 29), date(2024, 4, 30)


@pytest.fixture
def row(client):
    """A notice of Friday after hours, and a person of the side that answers it."""
    found = notice(terms())
    given = {"pavement": found.pavement, "role": Role.CONTRACTOR, "organisation": found.contractor}
    placer = MembershipFactory(organisation=SeatFactory(**given).organisation)
    holidays = found.warranty.holiday_list
    type(holidays).objects.update(organisation=placer.organisation)
    client.force_login(placer.person)
    return found


def name_a_holiday(row):
    """The Monday on which the notice counted turns out to be a holiday of the contract."""
    listed = row.warranty.holiday_list
    days = [[MONDAY.isoformat(), "founder's day"], *([day, ""] for day in HOLIDAYS)]
    correct_entry(listed, changes={"days": Change(days, "")}, why="left out", **NOBODY)


def shown(client, name, pk):
    text = client.get(reverse(name, args=[pk])).content.decode()
    return " ".join(text.split())


def test_a_corrected_holiday_list_moves_no_day_and_three_pages_say_so(row, client):
    lists = row.contractor_id
    assert "something else now" not in shown(client, "callback_page", row.pk)
    acknowledge_by = row.next_due_on
    name_a_holiday(row)
    row.refresh_from_db()
    assert row.counted_on == MONDAY
    assert row.next_due_on == acknowledge_by  # five working days after the holiday, as before
    page = shown(client, "callback_page", row.pk)
    assert "something else now" in page and reverse("callback_recount", args=[row.pk]) in page
    assert "Notices counted otherwise" in shown(client, "warranty_page", row.warranty_id)
    assert "Notices counted otherwise" in shown(client, "holiday_lists", lists)


def test_a_notice_is_counted_anew_by_a_line_with_a_reason(row, client):
    name_a_holiday(row)
    address = reverse("callback_recount", args=[row.pk])
    assert client.post(address, {"why": ""}).status_code == 200
    assert client.post(address, {"why": "the list lacked a holiday"}).status_code == 302
    row.refresh_from_db()
    assert row.counted_on == TUESDAY and row.next_due_on == date(2024, 5, 7)
    line = JournalLine.objects.about(row).corrections().get()
    assert line.changes["counted_on"] == ["2024-04-29", "2024-04-30"]
    assert "nothing to count anew" in shown(client, "callback_recount", row.pk)
    client.post(address, {"why": "again"})
    assert JournalLine.objects.about(row).corrections().count() == 1


def test_a_list_that_says_no_day_of_rest_any_more_gives_no_day_to_count_to(row, client):
    type(row.warranty.holiday_list).objects.update(rest_days=[])
    page = shown(client, "callback_page", row.pk)
    assert 'By the terms as they stand: <strong class="nowrap">no day</strong>' in page
    address = reverse("callback_recount", args=[row.pk])
    assert address not in page
    answer = client.post(address, {"why": "try"}).content.decode()
    assert "No day can be counted" in answer
    assert Callback.objects.get().counted_on == MONDAY


def test_a_notice_in_dispute_is_not_counted_anew(row, client):
    name_a_holiday(row)
    lived_through(row, until="disputed")
    page = shown(client, "callback_page", row.pk)
    assert "In a dispute it is not counted anew" in page
    address = reverse("callback_recount", args=[row.pk])
    assert "frozen" in client.post(address, {"why": "try"}).content.decode()
    assert Callback.objects.get().counted_on == MONDAY
