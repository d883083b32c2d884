"""Who comes back, who tries another's rows, who is only looking: every door, held once more."""

from datetime import timedelta

import pytest
from django.urls import get_resolver, reverse
from django.utils import timezone

from registry.models import Membership, Pavement
from registry.models.choices import Role
from tests import factories

pytestmark = pytest.mark.django_db
OPEN = {
    "calendar_feed_file",  # its address is a secret of its own: tests/attacks/test_feeds.py
    "healthz",
    "invitation_accept",
    "account_login",
    "account_logout",
    "account_inactive",
    "account_reset_password",
    "account_reset_password_done",
    "account_reset_password_from_key",
    "account_reset_password_from_key_done",
    "mfa_authenticate",
}
ARGUMENTS = {
    "kind": "panels",
    "noun": "criteria",
    "number": "I-0001",
    "token": "none",
    "form": "csv",
    "uidb36": "1",
    "key": "set-password",
}


def addresses():
    """Every named address of the map, with an argument for each place in it."""
    found = {}
    for name, routes in get_resolver().reverse_dict.lists():
        if isinstance(name, str):
            names = routes[0][0][0][1]
            found[name] = {n: ARGUMENTS.get(n, 1) for n in names}
    return sorted(found.items())


@pytest.mark.parametrize("method", ["get", "post"])
def test_nobody_signed_out_reads_or_writes_anything(client, method):
    factories.SeatFactory()
    told = addresses()
    assert len(told) > 80
    for name, arguments in told:
        if name in OPEN:
            continue
        answer = getattr(client, method)(reverse(name, kwargs=arguments))
        assert answer.status_code == 302, name
        assert answer.url.startswith(reverse("account_login")), name


def test_every_form_that_writes_needs_its_secret(client, settings):
    client.handler.enforce_csrf_checks = True
    seat = factories.SeatFactory()
    client.force_login(factories.MembershipFactory(organisation=seat.organisation).person)
    for name, arguments in addresses():
        if name != "healthz":
            assert client.post(reverse(name, kwargs=arguments)).status_code == 403, name


def test_whose_work_has_ended_sees_nothing_more(client):
    seat = factories.SeatFactory(role=Role.MANAGER)
    member = factories.MembershipFactory(organisation=seat.organisation)
    client.force_login(member.person)
    address = reverse("pavement_page", args=[seat.pavement_id])
    assert client.get(address).status_code == 200
    Membership.objects.filter(pk=member.pk).update(to_at=timezone.now() - timedelta(seconds=1))
    assert client.get(address).status_code == 404
    assert client.get(reverse("pavement_points")).json()["rows"] == []
    assert client.get(reverse("ring_list", args=[seat.organisation_id])).status_code == 404


@pytest.mark.parametrize("noun", ["run_on", "well", "section", "criteria", "structure", "edge"])
def test_an_entry_of_another_pavement_is_not_found_under_ones_own(client, noun):
    seat = factories.SeatFactory(role=Role.OWNER)
    client.force_login(factories.MembershipFactory(organisation=seat.organisation).person)
    stranger = factories.SectionFactory()
    for what in ("correct", "end", "void"):
        address = f"/record/{noun}/{seat.pavement_id}/{stranger.pk}/{what}/"
        assert client.post(address, {"why": "mine now"}).status_code == 404
        address = f"/record/{noun}/{stranger.pavement_id}/{stranger.pk}/{what}/"
        assert client.post(address, {"why": "mine now"}).status_code == 404


def test_a_site_of_others_is_no_choice_for_a_pavement(client):
    member = factories.MembershipFactory()
    client.force_login(member.person)
    other = factories.SeatFactory().pavement.site
    sent = {
        "system": "si",
        "site": other.pk,
        "name": "Mine",
        "surface": "pervious_concrete",
        "organisation": member.organisation_id,
        "state": "in_service",
    }
    answer = client.post(reverse("pavement_add"), sent)
    assert "site" in answer.context["form"].errors
    theirs = {**sent, "site": "", "organisation": factories.OrganisationFactory().pk}
    answer = client.post(reverse("pavement_add"), theirs)
    assert "organisation" in answer.context["form"].errors
    assert not Pavement.objects.filter(name="Mine").exists()
