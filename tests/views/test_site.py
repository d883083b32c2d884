"""Sites and rings through their pages."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from registry.models import JournalLine, Ring, Site
from tests import factories
from tests.views.record import manager_of, written, wrongs


@pytest.fixture
def pavement(db, client):
    pavement, person = manager_of()
    client.force_login(person)
    return pavement


@pytest.fixture
def organisation(pavement):
    return pavement.seats.get().organisation


def correct(client, site, **changed):
    url = reverse("site_correct", args=[site.pk])
    sent = written(client.get(url).context["form"])
    return client.post(url, {**sent, "why": "called the owner", **changed})


def test_site_is_corrected_with_names_and_measures_as_written(client, pavement):
    site = pavement.site
    names = "Old tannery, used by the town\nLot 7"
    answer = correct(client, site, other_names=names, clearance_m="8 ft 2 in", gate="na")
    assert answer.status_code == 302, wrongs(answer)
    site.refresh_from_db()
    assert site.other_names == [
        {"name": "Old tannery", "used_by": "the town"},
        {"name": "Lot 7", "used_by": ""},
    ]
    assert site.clearance_m == pytest.approx((8 + 2 / 12) * 0.3048)
    assert site.kind_of_empty("gate") == "does not apply"
    page = client.get(reverse("site_page", args=[site.pk])).content.decode()
    assert "Old tannery (used by the town)" in page
    assert JournalLine.objects.corrections().get().changes["other_names"] == ["", names]
    assert correct(client, site).status_code == 200  # untouched: nothing to correct


def test_half_a_position_is_refused(client, pavement):
    assert "both" in str(wrongs(correct(client, pavement.site, lon="-73.5")))


def test_tester_sees_the_site_and_corrects_nothing(client, pavement):
    _, tester = manager_of(pavement, role="tester")
    client.force_login(tester)
    page = client.get(reverse("site_page", args=[pavement.site_id]))
    assert page.status_code == 200
    assert b"Correct the site" not in page.content
    assert client.get(reverse("site_correct", args=[pavement.site_id])).status_code == 403
    parcel = reverse("entry_add", args=["parcel", pavement.site_id])
    assert client.get(parcel).status_code == 403


def test_site_of_others_is_not_found(client, pavement):
    assert client.get(reverse("site_page", args=[factories.SiteFactory().pk])).status_code == 404


def test_site_is_added_by_itself_and_a_known_name_asked_about(client, pavement, organisation):
    url = reverse("site_add")
    given = {"organisation": organisation.pk, "name": "Yard", "address": "1 Quay"}
    given["time_zone"] = "America/New_York"
    assert client.post(url, given).status_code == 302
    assert "1 Quay" in str(wrongs(client.post(url, given)))
    assert Site.objects.filter(name="Yard").count() == 1


def test_parcel_with_a_recorded_agreement_needs_its_number(client, pavement):
    url = reverse("entry_add", args=["parcel", pavement.site_id])
    given = {"system": "si", "number": "12-4", "agreement_state": "recorded"}
    assert "agreement" in wrongs(client.post(url, given))
    assert client.post(url, {**given, "agreement": "nk"}).status_code == 302
    parcel = pavement.site.parcels.get()
    assert parcel.kind_of_empty("agreement") == "not known"


def test_list_of_sites_takes_no_more_queries_with_more_sites(client, pavement, organisation):
    url = reverse("site_list")
    client.get(url)
    with CaptureQueriesContext(connection) as few:
        client.get(url)
    for _ in range(20):
        factories.SiteFactory(organisation=organisation)
    with CaptureQueriesContext(connection) as many:
        client.get(url)
    assert len(many) == len(few)


def add_ring(client, organisation, **given):
    url = reverse("entry_add", args=["ring", organisation.pk])
    return client.post(url, {"system": "inch_pound", "name": "R1", **given})


def test_ring_is_kept_in_the_unit_it_was_measured_in(client, organisation):
    assert add_ring(client, organisation, inside_diameter="11,98").status_code == 302
    ring = Ring.objects.get()
    assert (ring.inside_diameter, ring.system) == (11.98, "inch_pound")
    assert ring.as_written["inside_diameter"] == "11,98"
    page = client.get(reverse("ring_list", args=[organisation.pk])).content.decode()
    assert "11.98 in" in page


@pytest.mark.parametrize(
    ("text", "words"), [("306 mm", "in mm"), ("0", "more than zero"), ("nk", "written down")]
)
def test_ring_without_a_diameter_in_its_unit_is_refused(client, organisation, text, words):
    answer = add_ring(client, organisation, inside_diameter=text)
    assert words in str(wrongs(answer)["inside_diameter"])


def test_ring_name_is_once_in_an_organisation(client, organisation):
    add_ring(client, organisation, inside_diameter="12.05")
    answer = add_ring(client, organisation, inside_diameter="11.98")
    assert "already" in str(wrongs(answer)["name"])


def test_ring_is_corrected_by_a_line(client, organisation):
    add_ring(client, organisation, inside_diameter="12.05")
    url = reverse("entry_correct", args=["ring", organisation.pk, Ring.objects.get().pk])
    sent = written(client.get(url).context["form"])
    assert client.post(url, {**sent, "why": "none"}).status_code == 200
    client.post(url, {**sent, "inside_diameter": "12.02", "why": "measured again"})
    assert Ring.objects.get().inside_diameter == 12.02
    line = JournalLine.objects.corrections().get()
    assert line.changes["inside_diameter"] == ["12.05 in", "12.02 in"]


def test_rings_of_another_organisation_are_not_found(client, pavement):
    other = factories.OrganisationFactory()
    assert client.get(reverse("ring_list", args=[other.pk])).status_code == 404
    assert add_ring(client, other, inside_diameter="12").status_code == 404


def zone_field(client):
    return client.get(reverse("site_add")).context["form"].fields["time_zone"]


def test_local_time_of_ones_other_sites_is_chosen_and_said(client, pavement, organisation):
    Site.objects.filter(pk=pavement.site_id).update(time_zone="America/Denver", name="Kept")
    assert "From your other site Kept;" in zone_field(client).help_text
    factories.SiteFactory(organisation=organisation, name="Yard", time_zone="America/Denver")
    field = zone_field(client)
    assert field.initial == "America/Denver"
    assert "From your other site Yard; change it if wrong." in field.help_text
    page = client.get(reverse("site_add")).content.decode()
    assert '<option value="America/Denver" selected>' in page
    page = client.get(reverse("pavement_add")).content.decode()
    assert '<option value="America/Denver" selected>' in page


def test_local_time_is_asked_where_ones_sites_differ_or_there_is_none(
    client, pavement, organisation
):
    for zone in ("America/Denver", "America/New_York"):
        factories.SiteFactory(organisation=organisation, time_zone=zone)
    assert zone_field(client).initial is None
    given = {"organisation": organisation.pk, "name": "Yard", "time_zone": ""}
    answer = client.post(reverse("site_add"), given)
    assert "Choose the local time of the site" in str(wrongs(answer))
