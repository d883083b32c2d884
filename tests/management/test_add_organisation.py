"""A record is begun without the demonstration: an organisation, and the person who invites."""

import io

import pytest
from django.core.management import CommandError, call_command

from registry import access
from registry.management.commands import add_organisation
from registry.models import JournalLine, Organisation, Person
from tests.factories import OrganisationFactory, PersonFactory

pytestmark = pytest.mark.django_db
WORDS = "gravel lantern forty one"
FACTS = {
    "role": "manager",
    "time_zone": "America/New_York",
    "units": "si",
    "email": "Ann@example.org",
    "person": "Ann Lee",
}


def begin(monkeypatch, name="Oakum Care", password=WORDS, **facts) -> str:
    monkeypatch.setattr("sys.stdin", io.StringIO(f"{password}\n"))
    out = io.StringIO()
    call_command("add_organisation", name, **FACTS | facts, stdout=out)
    return out.getvalue()


def test_first_person_signs_in_sees_the_first_page_and_may_invite(monkeypatch, client):
    said = begin(monkeypatch)
    assert "Ann Lee signs in as ann@example.org with that password" in said
    person, firm = Person.objects.get(), Organisation.objects.get()
    assert (firm.time_zone, firm.system, person.shown_system) == ("America/New_York", "si", "si")
    assert access.may_invite(person, firm)
    assert set(JournalLine.objects.values_list("verb", flat=True)) == {"added", "joined"}
    client.post("/sign-in/", {"login": "ann@example.org", "password": WORDS})
    assert "Add a pavement" in client.get("/").content.decode()


def test_who_signs_in_already_joins_with_the_password_they_have(monkeypatch):
    person = PersonFactory(email="ann@example.org")
    before = person.password
    said = begin(monkeypatch, person="")
    assert "with the password they have" in said
    person.refresh_from_db()
    assert person.password == before
    assert access.may_invite(person, Organisation.objects.get(name="Oakum Care"))


@pytest.mark.parametrize(
    ("facts", "said"),
    [
        ({"time_zone": "EST5 or so"}, "“EST5 or so” is no local time"),
        ({"person": " "}, "Nobody signs in as Ann@example.org yet: add --person"),
        ({"password": "short"}, "too short"),
        ({"email": "ann at example"}, "valid e-?mail"),
        ({"name": "oakum ltd", "email": "b@example.org"}, "already"),
        ({"role": "king"}, "invalid choice"),
    ],
)
def test_what_is_wrong_is_said_and_nothing_is_stored(monkeypatch, facts, said):
    OrganisationFactory(name="Oakum Ltd")
    facts = {"name": "Oakum Care"} | facts
    with pytest.raises(CommandError, match=said):
        begin(monkeypatch, **facts)
    assert Organisation.objects.count() == 1
    assert not Person.objects.exists()


def test_two_passwords_that_differ_are_refused(monkeypatch):
    words = iter(["gravel lantern forty one", "gravel lantern forty two"])
    monkeypatch.setattr(add_organisation, "getpass", lambda prompt: next(words))
    monkeypatch.setattr("sys.stdin.isatty", lambda: True, raising=False)
    with pytest.raises(CommandError, match="differ"):
        call_command("add_organisation", "Oakum Care", **FACTS)
    assert not Organisation.objects.exists()
