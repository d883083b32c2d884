"""Recording, correcting, answering and voiding a test through its pages."""

from datetime import date

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from registry.models import InfiltrationTest, JournalLine
from tests import factories

READINGS = {
    "system": "inch_pound",
    "started_on": "2024-05-21",
    "clock": "10:20",
    "method": "c1701",
    "run": "1",
    "ring": "12.05",
    "prewet_water": "8.0",
    "prewet_seconds": "655.0",
    "water": "7.98",
    "seconds": "387.4",
    "ended": "drained",
    "rain_within_24_h": "no",
}


@pytest.fixture
def seat(db):
    return factories.SeatFactory(
        role="manager", organisation=factories.MembershipFactory().organisation
    )


@pytest.fixture
def person(seat):
    return seat.organisation.people.get()


@pytest.fixture
def spot(seat):
    return factories.SpotFactory(pavement=seat.pavement, name="W", stratum="wheel_path")


@pytest.fixture
def signed_in(client, person):
    client.force_login(person)
    return client


def add(client, at, /, **changed):
    url = reverse("infiltration_test_add", args=[at.pavement_id])
    return client.post(url, {**READINGS, "spot": at.pk, **changed})


def store(client, spot, **changed):
    """Post once, and once more with the doubts seen."""
    answer = add(client, spot, **changed)
    if answer.status_code == 200 and answer.context["judged"]:
        answer = add(client, spot, shown=answer.context["shown"], **changed)
    assert answer.status_code == 302, answer.context["form"].errors
    return InfiltrationTest.objects.latest("pk")


def test_without_a_spot_the_form_leads_to_the_first_one(signed_in, seat):
    url = reverse("infiltration_test_add", args=[seat.pavement_id])
    link = f'href="{reverse("spot_add", args=[seat.pavement_id])}">Add a fixed point'
    assert link in signed_in.get(url).content.decode()
    factories.SpotFactory(pavement=seat.pavement)
    assert link not in signed_in.get(url).content.decode()


def test_spot_that_took_no_water_keeps_its_bound_and_gets_no_estimate_of_zero(signed_in, spot):
    row = store(signed_in, spot, ended="stopped", seconds="1800", water="8", water_left="8")
    assert (row.result_sign, round(row.result_value, 1), row.result_estimate) == ("<", 3.9, None)
    refused = add(signed_in, spot, ended="stopped", seconds="1800", water="8", water_left="8.1")
    assert "No more water can be left" in str(refused.context["form"].errors)


def test_rate_of_a_stored_run_equals_the_worked_value(signed_in, spot):
    row = store(signed_in, spot)
    # 126 870 x 7.98 / (12.05^2 x 387.4) = 18.0 in/h; ASTM C1701, constant from memory
    assert row.result_value == pytest.approx(126870 * 7.98 / (12.05**2 * 387.4))
    assert round(row.result_value) == 18
    assert (row.use, row.as_written["ring"]) == ("trend", "12.05")


def test_text_with_a_decimal_comma_is_kept_as_written(signed_in, spot):
    row = store(signed_in, spot, ring="11,98")
    assert (row.ring, row.as_written["ring"]) == (11.98, "11,98")


def test_doubt_is_shown_before_anything_is_stored(signed_in, spot):
    answer = add(signed_in, spot, rain_within_24_h="yes")
    assert answer.status_code == 200
    assert b"Rain ended less than 24 h" in answer.content
    assert not InfiltrationTest.objects.exists()


def test_other_readings_ask_again_although_the_old_doubts_were_seen(signed_in, spot):
    first = add(signed_in, spot, rain_within_24_h="yes")
    again = add(signed_in, spot, rain_within_24_h="yes", seconds="99", shown=first.context["shown"])
    assert again.status_code == 200
    assert not InfiltrationTest.objects.exists()


def test_time_that_can_be_read_in_two_ways_is_asked_with_both_readings(signed_in, spot):
    answer = add(signed_in, spot, seconds="3.42", ring="12.05", water="40.02")
    page = " ".join(answer.content.decode().split())  # thousands are parted by a narrow blank
    # 126 870 × 40.02 / (12.05² × 3.42 | 222 | 205.2), by hand.
    assert "3.42 s gives 10 224 in/h; 3 min 42 s gives 158 in/h" in page
    assert "3.42 minutes gives 170 in/h" in page
    assert not InfiltrationTest.objects.exists()


def test_time_in_two_ways_is_asked_without_rates_where_the_ring_is_not_known(signed_in, spot):
    answer = add(signed_in, spot, seconds="3.42", ring="nk")
    page = answer.content.decode()
    assert "3 min 42 s" in page and "gives" not in page
    assert not InfiltrationTest.objects.exists()


@pytest.mark.parametrize(
    ("field", "text", "word"),
    [
        ("started_on", "2023-02-29", "not a"),
        ("started_on", "03/04/2022", "2022-0"),
        ("ring", "-12", "negative"),
        ("water", "8 kg", "system"),
        ("seconds", "0", "zero"),
        ("clock", "25:10", "time"),
        ("spot", "", "required"),
    ],
)
def test_bad_reading_is_an_error_beside_its_field(signed_in, spot, field, text, word):
    answer = add(signed_in, spot, **{field: text})
    assert answer.status_code == 200
    assert word in str(answer.context["form"].errors[field]), answer.context["form"].errors


def test_kind_of_empty_is_kept(signed_in, spot):
    row = store(signed_in, spot, ring="nk")
    assert b"By the list of rings" not in _page(signed_in, row)  # none is listed
    assert (row.ring, row.empties["ring"], row.use) == (None, "nk", "not_computed")


def _page(client, row):
    return client.get(reverse("infiltration_test_page", args=[row.pk])).content


def test_case_11_without_its_ring_both_listed_rings_are_shown_and_no_rate_is_given(signed_in, spot):
    """(12.05 / 11.98)^2 = 1.0117: the spread is the squared ratio of the two diameters."""
    rings = spot.pavement.seats.get().organisation.rings
    for system, size in (("inch_pound", 11.98), ("inch_pound", 12.05), ("si", 300.0)):
        rings.create(name=f"{size}", inside_diameter=size, system=system)
    row = store(signed_in, spot, ring="")
    assert (row.use, row.result_rate_mm_h) == ("not_computed", None)
    told = " ".join(_page(signed_in, row).decode().split())
    low, high = (126870 * 7.98 / (size**2 * 387.4) for size in (12.05, 11.98))
    assert f"11.98 in gives {high:.0f} in/h; 12.05 in gives {low:.0f} in/h" in told
    assert "They lie 1.2 % apart. No rate is given until someone who knows says which" in told
    assert "300 in gives" not in told


def test_same_run_typed_twice_is_refused_and_named(signed_in, spot):
    store(signed_in, spot)
    answer = add(signed_in, spot)
    if answer.context["judged"]:
        answer = add(signed_in, spot, shown=answer.context["shown"])
    assert b"in the record already" in answer.content
    assert InfiltrationTest.objects.count() == 1


def test_correction_keeps_the_old_reading_and_computes_anew(signed_in, spot):
    row = store(signed_in, spot, water="18.14", prewet_seconds="16.2", seconds="116.5")
    url = reverse("infiltration_test_correct", args=[row.pk])
    given = {**READINGS, "spot": spot.pk, "water": "39.992", "prewet_seconds": "16.2"}
    given["seen"] = signed_in.get(url).context["form"]["seen"].value()
    answer = signed_in.post(url, {**given, "seconds": "116.5", "why": "tester: it was kg"})
    assert answer.status_code == 302, answer.context["form"].errors
    row.refresh_from_db()
    assert round(row.result_value) == 300
    line = JournalLine.objects.corrections().get()
    assert line.changes == {"water": ["18.14", "39.992"]}
    assert row.as_written["water"] == "18.14"


def test_form_of_a_correction_shows_what_is_stored(signed_in, spot):
    row = store(signed_in, spot)
    page = signed_in.get(reverse("infiltration_test_correct", args=[row.pk]))
    shown = page.context["form"].initial
    assert (shown["water"], shown["clock"], shown["ring"]) == ("7.98", "10:20", "12.05")


def test_void_run_says_why_and_gives_no_rate_any_more(signed_in, spot):
    row = store(signed_in, spot)
    signed_in.post(reverse("infiltration_test_void", args=[row.pk]), {"why": "core hole in ring"})
    row.refresh_from_db()
    assert row.is_void
    assert row.use == "void"
    assert (
        b"core hole in ring"
        in signed_in.get(reverse("infiltration_test_page", args=[row.pk])).content
    )


def test_answer_lifts_a_slip_of_units_but_never_a_wet_day(signed_in, spot):
    store(signed_in, spot, seconds="40", started_on="2023-05-20")
    slip = store(signed_in, spot, water="18.14", prewet_seconds="16.2", seconds="116.5")
    assert slip.use == "looked_at"
    url = reverse("infiltration_test_answer", args=[slip.pk])
    signed_in.post(url, {"code": slip.use_code, "text": "weighed again: 18.14 lb", "lifts": "on"})
    slip.refresh_from_db()
    assert slip.use == "trend"
    wet = store(signed_in, spot, rain_within_24_h="yes", started_on="2025-05-20")
    url = reverse("infiltration_test_answer", args=[wet.pk])
    signed_in.post(url, {"code": "wet_day", "text": "it looked dry", "lifts": "on"})
    wet.refresh_from_db()
    assert wet.use == "looked_at"


def test_doubled_hour_of_autumn_is_asked(signed_in, spot):
    spot.pavement.site.time_zone = "America/New_York"
    spot.pavement.site.save(update_fields=["time_zone"])
    answer = add(signed_in, spot, started_on="2025-11-02", clock="01:30")
    assert "first" in str(answer.context["form"].errors["clock"])
    row = store(signed_in, spot, started_on="2025-11-02", clock="01:30", fold="second")
    assert row.started_at.utcoffset().total_seconds() == 0
    assert row.started_at.hour == 6


def test_contractor_records_acceptance_alone(client, spot):
    member = factories.MembershipFactory()
    factories.SeatFactory(
        pavement=spot.pavement, role="contractor", organisation=member.organisation
    )
    client.force_login(member.person)
    answer = add(client, spot, reason="yearly")
    assert "reason" in answer.context["form"].errors
    assert store(client, spot, reason="acceptance").reason == "acceptance"


def test_page_asks_the_same_number_of_queries_with_more_corrections(signed_in, spot):
    row = store(signed_in, spot)
    url = reverse("infiltration_test_page", args=[row.pk])
    signed_in.get(url)
    counted = _count(signed_in, url)
    for _ in range(20):
        JournalLine.objects.create(
            subject_kind="infiltrationtest",
            subject_id=row.pk,
            verb="corrected",
            by=row.entered_by,
            by_organisation=row.entered_for,
        )
    assert _count(signed_in, url) == counted


def _count(client, url):
    with CaptureQueriesContext(connection) as queries:
        assert client.get(url).status_code == 200
    return len(queries)


def test_day_is_the_sites_day(signed_in, spot):
    assert store(signed_in, spot).started_on == date(2024, 5, 21)


def test_point_at_which_nothing_could_be_tested_is_kept_with_its_reason(signed_in, spot):
    row = store(signed_in, spot, **NOTHING_READ)
    assert (row.state, row.use, row.result_value) == ("not_done", "not_computed", None)
    page = signed_in.get(reverse("infiltration_test_page", args=[row.pk])).content.decode()
    assert "Not done: bike rack over the point" in page


def test_reason_for_no_test_beside_readings_is_asked_about(signed_in, spot):
    answer = add(signed_in, spot, not_done_why="bike rack over the point")
    assert "Something was read" in str(answer.context["form"].errors["not_done_why"])
    assert not InfiltrationTest.objects.exists()


def test_test_that_was_done_after_all_takes_its_readings_by_a_correction(signed_in, spot):
    row = store(signed_in, spot, **NOTHING_READ)
    url = reverse("infiltration_test_correct", args=[row.pk])
    given = {**READINGS, "spot": spot.pk, "why": "the rack was moved"}
    given["seen"] = signed_in.get(url).context["form"]["seen"].value()
    answer = signed_in.post(url, given)
    assert answer.status_code == 302, answer.context["form"].errors
    row.refresh_from_db()
    assert (row.state, row.not_done_why, round(row.result_value)) == ("done", "", 18)


NOTHING_READ = {
    "not_done_why": "bike rack over the point",
    **dict.fromkeys(("ring", "prewet_water", "prewet_seconds", "water", "seconds", "ended"), ""),
}
