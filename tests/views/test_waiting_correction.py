"""Two people correct one sheet from pages opened apart; the pages keep both and ask a person."""

import pytest
from django.urls import reverse

from registry.actions.refresh_standing import refresh_standings
from registry.models import WaitingCorrection
from tests.factories import (
    CleaningFactory,
    InfiltrationTestFactory,
    MembershipFactory,
    OrganisationFactory,
    PavementFactory,
    PersonFactory,
    PhotoFactory,
    SeatFactory,
    SectionFactory,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def side():
    organisation = OrganisationFactory()
    pavement = PavementFactory()
    SeatFactory(pavement=pavement, organisation=organisation, role="manager")
    people = [PersonFactory(name=name) for name in ("First", "Second")]
    for person in people:
        MembershipFactory(person=person, organisation=organisation)
    return pavement, organisation, people


def opened(client, person, address):
    """Return what a correction page holds when a person opens it, ready to be sent."""
    client.force_login(person)
    form = client.get(address).context["form"]
    held = {name: form[name].value() for name in form.fields}
    return {n: v for n, v in held.items() if v not in (None, "", False) and not isinstance(v, list)}


def sent(client, person, address, held, **changed):
    client.force_login(person)
    return client.post(address, {**held, **changed, "why": "read again"})


def rows_of(pavement, organisation):
    given = {"pavement": pavement, "entered_for": organisation}
    test = InfiltrationTestFactory(**given)
    yield "test", test, reverse("infiltration_test_correct", args=(test.pk,)), "tester_name"
    cleaning = CleaningFactory(**given)
    yield "cleaning", cleaning, reverse("cleaning_correct", args=(cleaning.pk,)), "operator"
    section = SectionFactory(**given)
    photo = PhotoFactory(**given, subject="dirt")
    yield "photo", photo, reverse("photo_correct", args=(photo.pk,)), "taken_by"
    where = ("section", pavement.pk, section.pk)
    yield "section", section, reverse("entry_correct", args=where), "mix"


@pytest.mark.parametrize("at", range(4), ids=["test", "cleaning", "photo", "section"])
def test_case_55_pages_opened_apart_lose_no_correction(client, side, at):
    pavement, organisation, (first, second) = side
    _, row, address, field = list(rows_of(pavement, organisation))[at]
    refresh_standings([pavement.pk])
    one, other = opened(client, first, address), opened(client, second, address)
    assert sent(client, first, address, one, **{field: "Alder"}).status_code == 302
    answer = sent(client, second, address, other, note="wind from the west")
    assert answer.status_code == 200
    assert "kept beside it" in answer.content.decode()
    row.refresh_from_db()
    assert (getattr(row, field), row.note) == ("Alder", "")
    waiting = WaitingCorrection.objects.get()
    assert set(waiting.changes) == {"note"}
    page = client.get(reverse("home")).content.decode()
    assert reverse("correction_choose", args=(waiting.pk,)) in page
    choose = reverse("correction_choose", args=(waiting.pk,))
    assert "wind from the west" in client.get(choose).content.decode()
    assert client.post(choose, {"choice": "waiting", "why": "both hold"}).status_code == 302
    row.refresh_from_db()
    assert (getattr(row, field), row.note) == ("Alder", "wind from the west")


def test_page_with_a_seen_text_of_nobodys_making_is_refused_in_words(client, side):
    pavement, organisation, (first, _) = side
    row = InfiltrationTestFactory(pavement=pavement, entered_for=organisation)
    address = reverse("infiltration_test_correct", args=(row.pk,))
    held = opened(client, first, address) | {"seen": "forged"}
    answer = sent(client, first, address, held, tester_name="Alder")
    assert "too old to tell what it showed" in answer.content.decode()


def test_choice_without_a_reason_is_asked_again(client, side):
    pavement, organisation, (first, second) = side
    row = InfiltrationTestFactory(pavement=pavement, entered_for=organisation)
    address = reverse("infiltration_test_correct", args=(row.pk,))
    one, other = opened(client, first, address), opened(client, second, address)
    sent(client, first, address, one, tester_name="Alder")
    sent(client, second, address, other, tester_name="Birch")
    choose = reverse("correction_choose", args=(WaitingCorrection.objects.get().pk,))
    assert "Say why you chose so." in client.post(choose, {"choice": "standing"}).content.decode()
