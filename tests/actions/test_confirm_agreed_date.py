"""A date that one side says was agreed moves a clock once the other side confirms it."""

from datetime import date

import pytest
from django.urls import reverse

from registry.actions.add_entry import add_entry
from registry.actions.confirm_agreed_date import CannotBeConfirmed, confirm_agreed_date
from registry.actions.correct_entry import CannotBeCorrected, correct_entry
from registry.actions.refresh_callback import refresh_callbacks_of
from registry.actions.void_entry import CannotBeVoided, void_entry
from registry.gathering.dossier_book import book_of, whole_record
from registry.models import AgreedDate, Callback, JournalLine
from registry.models.choices import Role
from registry.models.entry import Change
from tests.claim_rows import NOBODY, lived_through, notice, terms
from tests.factories import MembershipFactory, SeatFactory

pytestmark = pytest.mark.django_db
BY_TERMS, NEW = date(2024, 5, 20), date(2024, 6, 7)


@pytest.fixture
def row():
    owner = MembershipFactory().organisation
    row = lived_through(notice(terms(), claimed_for=owner), until="visit_set")
    SeatFactory(pavement=row.pavement, role=Role.CONTRACTOR, organisation=row.contractor)
    SeatFactory(pavement=row.pavement, role=Role.OWNER, organisation=owner)
    return row


def said(row: Callback, due_on: date = NEW) -> AgreedDate:
    """Return a date that the contractor says was agreed, by the action its page uses."""
    given = AgreedDate(callback=row, step="visit", due_on=due_on, signed_on=date(2024, 5, 6))
    return add_entry(given, by=None, organisation=row.contractor)


def confirmed(row: Callback, agreed: AgreedDate, **more) -> AgreedDate:
    given = {"due_on": agreed.due_on, "signed_by": "M. Teller", "by": None}
    return confirm_agreed_date(agreed, **{**given, "organisation": row.claimed_for, **more})


def next_day(row: Callback) -> date:
    row.refresh_from_db()
    return row.next_due_on


def open_as(client, row: Callback, organisation, name="callback_page", *more):
    client.force_login(MembershipFactory(organisation=organisation).person)
    return client.get(reverse(name, args=[row.pk, *more]))


def test_one_side_alone_moves_no_clock_and_the_page_says_whose_word_it_is(client, row):
    refresh_callbacks_of(said(row))
    assert next_day(row) == BY_TERMS
    words = f"said by {row.contractor}, not confirmed by {row.claimed_for}"
    for side in (row.contractor, row.claimed_for):
        page = open_as(client, row, side).content.decode()
        assert words in page
        assert ("Read and confirm it" in page) is (side == row.claimed_for)
    book = book_of(row, whole_record(row), {}, system="si", prepared="")
    assert book.of("said_days")["visit"]["words"].shown == words
    assert book.read("clocks", "visit", "agreed_on") is None


def test_the_other_side_confirms_by_its_page_and_the_clock_follows(client, row):
    agreed = said(row)
    address = reverse("agreed_date_confirm", args=[row.pk, agreed.pk])
    assert open_as(client, row, row.contractor, "agreed_date_confirm", agreed.pk).status_code == 403
    given = {"due_on": NEW.isoformat(), "signed_by": "M. Teller"}
    assert client.post(address, given).status_code == 403
    assert (
        open_as(client, row, row.claimed_for, "agreed_date_confirm", agreed.pk).status_code == 200
    )
    assert client.post(address, given | {"signed_by": " "}).status_code == 200
    assert next_day(row) == BY_TERMS
    assert client.post(address, given).status_code == 302
    assert next_day(row) == NEW
    assert JournalLine.objects.about(agreed).filter(verb="confirmed").exists()
    book = book_of(row, whole_record(row), {}, system="si", prepared="")
    assert book.read("clocks", "visit", "agreed_on") == NEW.isoformat()


def test_neither_side_alone_confirms_changes_or_voids_what_both_signed(row):
    agreed = said(row)
    for organisation in (row.contractor, None):
        with pytest.raises(CannotBeConfirmed, match="The other side confirms it"):
            confirmed(row, agreed, organisation=organisation)
    with pytest.raises(CannotBeConfirmed, match="corrected meanwhile"):
        confirmed(row, agreed, due_on=date(2024, 6, 3))
    confirmed(row, agreed)
    with pytest.raises(CannotBeConfirmed, match="already"):
        confirmed(row, agreed)
    with pytest.raises(CannotBeCorrected, match="Both sides signed"):
        correct_entry(agreed, changes={"due_on": Change(BY_TERMS, "")}, why="mistyped", **NOBODY)
    with pytest.raises(CannotBeVoided, match="Both sides signed"):
        void_entry(agreed, why="mistyped", **NOBODY)


def test_a_void_date_is_not_confirmed_and_the_last_confirmed_one_counts(row):
    wrong = said(row)
    void_entry(wrong, why="mistyped", **NOBODY)
    with pytest.raises(CannotBeConfirmed, match="void"):
        confirmed(row, wrong)
    confirmed(row, said(row))
    later = said(row, date(2024, 6, 21))
    assert next_day(row) == NEW
    confirmed(row, later)
    assert next_day(row) == date(2024, 6, 21)
