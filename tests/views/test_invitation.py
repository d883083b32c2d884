"""Invitations by link: given, mailed, withdrawn, taken up once."""

from datetime import timedelta

import pytest
from django.core import mail
from django.urls import reverse
from django.utils import timezone

from registry.models import Invitation, JournalLine, Membership, Person, digest_of
from tests.factories import (
    InvitationFactory,
    MembershipFactory,
    OrganisationFactory,
    PersonFactory,
)

PASSWORD = "rain on the stone"
pytestmark = pytest.mark.django_db


@pytest.fixture
def inviter():
    return MembershipFactory(may_invite=True)


def invite(client, inviter, **data):
    client.force_login(inviter.person)
    address = reverse("invitation_add", args=[inviter.organisation_id])
    return client.post(address, {"email": "new@example.org", **data})


def link_to(token):
    return reverse("invitation_accept", args=[token])


def take_up(client, token, **data):
    given = {"name": "New Person", "password": PASSWORD, "again": PASSWORD}
    return client.post(link_to(token), {**given, **data})


def test_link_is_shown_and_mailed_and_only_its_digest_is_stored(client, inviter):
    page = invite(client, inviter)
    link = page.context["issued"].link
    token = link.rstrip("/").rsplit("/", 1)[1]
    row = Invitation.objects.get()
    assert row.token_digest == digest_of(token)
    assert token not in str(vars(row))
    assert link in page.content.decode()
    assert [m.to for m in mail.outbox] == [["new@example.org"]]
    assert link in mail.outbox[0].body
    assert timedelta(days=13, hours=23) < row.expires_at - timezone.now() <= timedelta(days=14)


def test_link_is_shown_though_the_mail_server_is_out_of_order(client, inviter, settings):
    settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
    settings.EMAIL_HOST, settings.EMAIL_PORT = "127.0.0.1", 1
    page = invite(client, inviter)
    assert "could not be mailed" in page.content.decode()
    assert page.context["issued"].link in page.content.decode()


def test_second_invitation_makes_the_first_link_useless(client, inviter):
    first = invite(client, inviter).context["issued"].link
    invite(client, inviter)
    client.logout()
    assert client.get(first.removeprefix("http://127.0.0.1:8000")).status_code == 404


def test_plain_member_may_not_invite(client):
    member = MembershipFactory()
    assert invite(client, member).status_code == 403


def test_outsider_does_not_learn_that_the_organisation_exists(client, inviter):
    client.force_login(PersonFactory())
    address = reverse("invitation_add", args=[inviter.organisation_id])
    assert client.post(address, {"email": "new@example.org"}).status_code == 404


def test_member_is_not_invited_again(client, inviter):
    member = MembershipFactory(organisation=inviter.organisation)
    page = invite(client, inviter, email=member.person.email.upper())
    assert "belongs to" in page.content.decode()
    assert not Invitation.objects.exists()


def test_new_person_sets_name_and_password_and_is_signed_in(client):
    invitation = InvitationFactory(token="t", may_invite=True)
    assert client.get(link_to("t")).status_code == 200
    take_up(client, "t")
    person = Person.objects.get(email=invitation.email)
    assert person.name == "New Person"
    assert person.check_password(PASSWORD)
    membership = Membership.objects.get(person=person)
    assert (membership.organisation, membership.may_invite) == (invitation.organisation, True)
    assert client.get(reverse("person_page")).status_code == 200
    assert JournalLine.objects.filter(verb="joined", by=person).count() == 1


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"password": "short", "again": "short"}, "too short"),
        ({"password": "123456789012", "again": "123456789012"}, "entirely numeric"),
        ({"password": "q1w2e3r4t5y6", "again": "q1w2e3r4t5y6"}, "too common"),
        ({"again": "rain on the roof"}, "differ"),
        ({"name": ""}, "required"),
    ],
)
def test_weak_password_or_no_name_is_refused_and_the_link_still_works(client, given, said):
    invitation = InvitationFactory(token="t")
    assert said in take_up(client, "t", **given).content.decode()
    assert not Person.objects.filter(email=invitation.email).exists()
    assert take_up(client, "t").status_code == 302


def test_looking_at_the_link_changes_nothing(client):
    InvitationFactory(token="t")
    client.get(link_to("t"))
    assert not Membership.objects.exists()


def test_link_works_once(client):
    InvitationFactory(token="t")
    take_up(client, "t")
    client.logout()
    assert client.get(link_to("t")).status_code == 404
    assert take_up(client, "t").status_code == 404


@pytest.mark.parametrize(
    "state",
    [
        {"expires_at": timezone.now() - timedelta(seconds=1)},
        {"withdrawn_at": timezone.now()},
        {"accepted_at": timezone.now()},
    ],
)
def test_old_withdrawn_or_used_link_is_void(client, state):
    InvitationFactory(token="t", **state)
    assert take_up(client, "t").status_code == 404
    assert not Membership.objects.exists()


def test_guessed_link_is_void(client):
    InvitationFactory(token="t")
    assert client.get(link_to("u")).status_code == 404
    assert client.get(link_to(digest_of("t"))).status_code == 404


def test_person_known_here_has_to_sign_in_and_keeps_the_password(client):
    person = PersonFactory(email="known@example.org", password=PASSWORD)
    InvitationFactory(token="t", email="Known@example.org")
    page = take_up(client, "t", password="another rain here", again="another rain here")
    assert "sign in with it first" in page.content.decode()
    person.refresh_from_db()
    assert person.check_password(PASSWORD)
    assert not Membership.objects.exists()
    client.force_login(person)
    client.post(link_to("t"))
    assert Membership.objects.get().person == person


def test_somebody_else_who_is_signed_in_cannot_take_it_up(client):
    other = PersonFactory()
    InvitationFactory(token="t")
    client.force_login(other)
    assert "It is for somebody else" in client.post(link_to("t")).content.decode()
    assert not Membership.objects.exists()
    assert Invitation.objects.get().accepted_at is None


def test_member_gains_the_right_to_invite_by_an_invitation(client, inviter):
    member = MembershipFactory(organisation=inviter.organisation)
    link = invite(client, inviter, email=member.person.email, may_invite="on").context["issued"]
    client.force_login(member.person)
    client.post(link.link.removeprefix("http://127.0.0.1:8000"))
    member.refresh_from_db()
    assert member.may_invite
    assert Membership.objects.count() == 2


def test_withdrawing_is_for_those_who_may_invite(client, inviter):
    row = InvitationFactory(token="t", organisation=inviter.organisation)
    address = reverse("invitation_withdraw", args=[row.pk])
    plain = MembershipFactory(organisation=inviter.organisation)
    for person, status in [(PersonFactory(), 404), (plain.person, 403)]:
        client.force_login(person)
        assert client.post(address).status_code == status
    client.force_login(inviter.person)
    client.post(address)
    client.logout()
    assert client.get(link_to("t")).status_code == 404


def test_inviter_of_one_organisation_cannot_withdraw_anothers(client, inviter):
    row = InvitationFactory(organisation=OrganisationFactory())
    client.force_login(inviter.person)
    assert client.post(reverse("invitation_withdraw", args=[row.pk])).status_code == 404


def test_mail_that_stays_in_a_file_is_not_called_mailed(client, inviter, settings, tmp_path):
    settings.EMAIL_BACKEND = "django.core.mail.backends.filebased.EmailBackend"
    settings.EMAIL_FILE_PATH = tmp_path
    text = invite(client, inviter).content.decode()
    assert "could not be mailed (no mail server is set up here" in text
    assert "/invitation/" in text
    assert len(list(tmp_path.iterdir())) == 1
