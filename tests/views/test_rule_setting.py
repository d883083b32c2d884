"""Limits and thresholds: written down, corrected and listed on the page of the seasons."""

from datetime import date

import pytest
from django.urls import reverse

from registry.models import RuleSetting
from tests import factories
from tests.views.record import written, wrongs

pytestmark = pytest.mark.django_db


@pytest.fixture
def firm(client):
    member = factories.MembershipFactory()
    client.force_login(member.person)
    return member.organisation


def add(client, firm, **given):
    url = reverse("entry_add", args=["rule_setting", firm.pk])
    usual = {"name": "dry_h", "value": "48", "source_document": "Permit 7", "system": "inch_pound"}
    return client.post(url, usual | given)


def test_limit_is_kept_and_stands_beside_the_house_rule(client, firm):
    answer = add(client, firm, name="lowest_wash_c", value="50", from_on="2026-05-01")
    assert answer.status_code == 302, wrongs(answer)
    row = RuleSetting.objects.get()
    assert (row.value, row.from_on) == (pytest.approx(10.0), date(2026, 5, 1))
    page = client.get(answer.url).content.decode()
    assert "Permit 7" in page and "50.0 °F" in page and "40.0 °F" in page


def test_threshold_of_the_word_stands_beside_the_usual_value(client, firm):
    answer = add(client, firm, name="watch_factor", value="2.5", source_document="Contract 12")
    assert answer.status_code == 302, wrongs(answer)
    row = RuleSetting.objects.get()
    assert (row.name, row.value) == ("watch_factor", 2.5)
    lines = client.get(answer.url).context["thresholds"]
    assert [(line.value, line.source) for line in lines if "times" in line.name] == [
        ("2", "usual value"),
        ("2.5", "Contract 12"),
    ]
    assert len(lines) == 7


@pytest.mark.parametrize(
    ("given", "field"),
    [
        ({"value": "x"}, "value"),
        ({"value": "-1"}, "value"),
        ({"value": "nk"}, "value"),
        ({"value": "400"}, "value"),
        ({"value": ""}, "value"),
        ({"name": "after_sand_days", "value": "10.5"}, "value"),
        ({"name": "frost_c", "value": "500"}, "value"),
        ({"name": "floor_mm_h", "value": "254"}, "name"),
        ({"name": "watch_factor", "value": "0.9"}, "value"),
        ({"name": "watch_reserve_percent", "value": "101"}, "value"),
        ({"name": "look_back_months", "value": "18.5"}, "value"),
        ({"name": "watch_years_left", "value": "-1"}, "value"),
        ({"source_document": ""}, "source_document"),
        ({"from_on": "2026-05-01", "to_on": "2026-05-01"}, "to_on"),
    ],
)
def test_what_cannot_be_meant_is_refused_beside_its_field(client, firm, given, field):
    answer = add(client, firm, **given)
    assert answer.status_code == 200 and set(wrongs(answer)) == {field}
    assert not RuleSetting.objects.exists()


def test_second_setting_for_the_same_days_is_refused_and_one_after_it_is_not(client, firm):
    assert add(client, firm, to_on="2027-01-01").status_code == 302
    answer = add(client, firm, from_on="2026-12-31")
    assert "“Permit 7” sets this limit" in str(wrongs(answer))
    assert add(client, firm, from_on="2027-01-01").status_code == 302
    assert RuleSetting.objects.count() == 2


def test_correction_shows_a_temperature_with_its_unit_and_keeps_what_was(client, firm):
    add(client, firm, name="frost_c", value="2 °C")
    row = RuleSetting.objects.get()
    url = reverse("entry_correct", args=["rule_setting", firm.pk, row.pk])
    form = written(client.get(url).context["form"])
    assert form["value"] == "35.6 °F"
    client.post(url, {**form, "why": "misread"})
    row.refresh_from_db()
    assert row.value == pytest.approx(2.0) and row.written("value") == "2 °C"
    client.post(url, {**form, "value": "3 °C", "why": "misread"})
    row.refresh_from_db()
    assert row.value == pytest.approx(3.0)


def test_limits_of_another_organisation_are_not_reached(client, firm):
    other = factories.OrganisationFactory()
    row = other.rule_settings.create(name="dry_h", value=48, source_document="Permit 7")
    for name, args in (
        ("entry_add", ["rule_setting", row.organisation_id]),
        ("entry_correct", ["rule_setting", row.organisation_id, row.pk]),
        ("entry_correct", ["rule_setting", firm.pk, row.pk]),
    ):
        assert client.get(reverse(name, args=args)).status_code == 404
