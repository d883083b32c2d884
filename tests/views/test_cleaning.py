"""Recording a cleaning through its page, and what it regained."""

import pytest
from django.urls import reverse

from registry.models import Cleaning, JournalLine
from tests import factories

GIVEN = {
    "system": "inch_pound",
    "state": "done",
    "done_on": "2023-06-20",
    "method": "wash_and_vacuum",
    "passes": "1",
    "covers_all": "on",
    "area_m2": "4,320",
    "debris_m3": "1.3",
    "water_used_l": "1,450 gal",
    "water_disposal": "decant_yard",
}


@pytest.fixture
def seat(db):
    return factories.SeatFactory(
        role="manager", organisation=factories.MembershipFactory().organisation
    )


@pytest.fixture
def signed_in(client, seat):
    client.force_login(seat.organisation.people.get())
    return client


def add(client, seat, **changed):
    given = {k: v for k, v in {**GIVEN, **changed}.items() if v is not None}
    return client.post(reverse("cleaning_add", args=[seat.pavement_id]), given)


def test_areas_and_volumes_are_kept_as_written_and_as_read(signed_in, seat):
    assert add(signed_in, seat).status_code == 302
    row = Cleaning.objects.get()
    assert row.area_m2 == pytest.approx(4320 * 0.09290304)
    assert row.debris_m3 == pytest.approx(1.3 * 0.764554857984)
    assert row.water_used_l == pytest.approx(1450 * 3.785411784)
    assert row.as_written["area_m2"] == "4,320"
    assert row.is_restorative, "a wash is meant to bring the rate back"


@pytest.mark.parametrize(
    ("area", "said"),
    [
        ("602", "differ 10.76 times, as m² and ft² do"),
        ("69750", "differ 10.76 times, as m² and ft² do"),
        ("7,200", "The pavement has 6"),
        ("6,480", ""),
        ("1,800", ""),
    ],
)
def test_area_done_that_only_the_other_unit_makes_likely_is_asked_about(
    signed_in, seat, area, said
):
    """C-09 of the invented town: “602 ft²” of 6,480 ft² was m²; a part may be small."""
    seat.pavement.area_m2 = 6480 * 0.09290304
    seat.pavement.save(update_fields=["area_m2"])
    page = signed_in.get(add(signed_in, seat, area_m2=area).url).content.decode()
    assert said in page
    assert ("differ" in page or "The pavement has" in page) is bool(said)


def test_turned_away_is_an_event_with_its_reason_and_no_cleaning(signed_in, seat):
    answer = add(signed_in, seat, state="turned_away")
    assert "why_not" in answer.context["form"].errors
    assert add(signed_in, seat, state="turned_away", why_not="14 cars").status_code == 302
    row = Cleaning.objects.get()
    assert not row.is_cleaning
    assert not Cleaning.objects.done().exists()


def test_case_47_missed_panels_keep_the_date_of_their_last_cleaning(signed_in, seat):
    done = factories.PanelFactory(pavement=seat.pavement, name="A1")
    missed = factories.PanelFactory(pavement=seat.pavement, name="B1", right_m=3.048)
    given = {"covers_all": None, "state": "in_part", "covered": [done.pk], "missed": [missed.pk]}
    answer = add(signed_in, seat, **given)
    assert "missed_why" in answer.context["form"].errors
    assert add(signed_in, seat, **given, missed_why="cars").status_code == 302
    row = Cleaning.objects.get()
    assert {(p.panel.name, p.is_missed, p.why) for p in row.panels.all()} == {
        ("A1", False, ""),
        ("B1", True, "cars"),
    }


def test_each_panel_is_ticked_by_itself_so_that_no_tap_takes_away_another(signed_in, seat):
    panel = factories.PanelFactory(pavement=seat.pavement, name="A1")
    page = signed_in.get(reverse("cleaning_add", args=[seat.pavement.pk])).content.decode()
    for name in ("covered", "missed"):
        assert f'<input type="checkbox" name="{name}" value="{panel.pk}"' in page


def test_panel_covered_and_missed_at_once_is_refused(signed_in, seat):
    panel = factories.PanelFactory(pavement=seat.pavement, name="A1")
    answer = add(signed_in, seat, covered=[panel.pk], missed=[panel.pk], missed_why="cars")
    assert "A1" in str(answer.context["form"].errors["missed"])


@pytest.mark.parametrize(
    ("field", "text"),
    [("done_on", "2023-02-29"), ("area_m2", "-5"), ("method", "hoover"), ("debris_m3", "lots")],
)
def test_bad_input_is_an_error_beside_its_field(signed_in, seat, field, text):
    assert field in add(signed_in, seat, **{field: text}).context["form"].errors


def test_gain_stands_with_both_readings_or_says_why_not(signed_in, seat):
    spot = factories.SpotFactory(pavement=seat.pavement, name="U", stratum="run_on_edge")
    shared = {
        "pavement": seat.pavement,
        "spot": spot,
        "result_constant": 126870.0,
        "rain_within_24_h": "no",
    }
    for day, value, reason in (
        ("2022-06-02", 640, "acceptance"),
        ("2023-05-21", 260, ""),
        ("2023-06-21", 480, "after_cleaning"),
    ):
        factories.InfiltrationTestFactory(
            **shared,
            started_on=day,
            result_value=value,
            reason=reason,
            result_rate_mm_h=value * 25.4,
            ring=12.0,
            water=40.0,
            seconds=126870 * 40 / (144 * value),
            prewet_seconds=10,
            prewet_water=8,
        )
    add(signed_in, seat)
    page = signed_in.get(reverse("cleaning_page", args=[Cleaning.objects.get().pk]))
    text = page.content.decode()
    # gain 480/260 = 1.8, regained (480-260)/(640-260) = 58 %: the worked row of the trade's N7
    assert "1.8 times" in text
    assert "58 %" in text


def test_spot_in_a_missed_panel_shows_no_gain(signed_in, seat):
    panel = factories.PanelFactory(pavement=seat.pavement, name="B1")
    done = factories.PanelFactory(pavement=seat.pavement, name="A1", right_m=3.048)
    spot = factories.SpotFactory(pavement=seat.pavement, name="missed spot", panel=panel)
    for day, value in (("2023-05-21", 100), ("2023-06-21", 300)):
        factories.InfiltrationTestFactory(
            pavement=seat.pavement,
            spot=spot,
            started_on=day,
            result_value=value,
            result_constant=126870.0,
            result_rate_mm_h=value * 25.4,
        )
    given = {"covers_all": None, "state": "in_part", "missed_why": "cars"}
    add(signed_in, seat, covered=[done.pk], missed=[panel.pk], **given)
    page = signed_in.get(reverse("cleaning_page", args=[Cleaning.objects.get().pk]))
    assert page.context["gains"] == ()
    assert b"not known" in page.content


def test_price_of_the_other_side_is_not_shown(client, signed_in, seat):
    add(signed_in, seat, cost="1944")
    row = Cleaning.objects.get()
    url = reverse("cleaning_page", args=[row.pk])
    assert b"1944" in signed_in.get(url).content
    buyer = factories.SeatFactory(
        pavement=seat.pavement,
        role="buyer",
        organisation=factories.MembershipFactory().organisation,
    )
    client.force_login(buyer.organisation.people.get())
    answer = client.get(url)
    assert answer.status_code == 200
    assert b"1944" not in answer.content


def test_correction_and_void_are_lines_with_a_reason(signed_in, seat):
    add(signed_in, seat, area_m2="602")
    row = Cleaning.objects.get()
    url = reverse("cleaning_correct", args=[row.pk])
    seen = signed_in.get(url).context["form"]["seen"].value()
    given = {**GIVEN, "seen": seen, "area_m2": "602 m²", "why": "602 was square metres"}
    answer = signed_in.post(url, given)
    assert answer.status_code == 302, answer.context["form"].errors
    row.refresh_from_db()
    assert row.area_m2 == pytest.approx(602)
    assert JournalLine.objects.corrections().get().changes["area_m2"] == ["602", "602 m²"]
    signed_in.post(reverse("cleaning_void", args=[row.pk]), {"why": ""})
    row.refresh_from_db()
    assert not row.is_void
    signed_in.post(reverse("cleaning_void", args=[row.pk]), {"why": "other lot"})
    row.refresh_from_db()
    assert row.is_void
