"""The list of defects: narrowed, sorted, given out as files of just what it shows."""

import csv
import json
from datetime import date, timedelta
from io import BytesIO, StringIO

import openpyxl
import pytest
from django.urls import reverse

from registry.forms import defect_filters
from registry.models import Person
from tests.factories import (
    DefectFactory,
    MembershipFactory,
    ObservationFactory,
    PavementFactory,
    SeatFactory,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def manager(client):
    member = MembershipFactory()
    pavement = PavementFactory(
        name="North lot", datum_lon=-71.0, datum_lat=42.0, bearing_of_up_deg=0.0
    )
    SeatFactory(pavement=pavement, organisation=member.organisation, role="manager")
    client.force_login(member.person)
    return pavement


def noted(pavement, **fields):
    return DefectFactory(pavement=pavement, **fields)


def shown(client, **asked):
    return [line.defect for line in client.get(reverse("defect_list"), asked).context["lines"]]


def test_empty_list_says_what_to_do_first(client, manager):
    page = client.get(reverse("defect_list")).content.decode()
    assert "No defects are noted." in page


def test_list_is_narrowed_by_kind_state_text_and_year(client, manager):
    crack = noted(manager, kind="crack", place="C8 R 1.0 U 2.0", first_seen_on=date(2022, 5, 1))
    closed = noted(manager, kind="stain", state="closed")
    assert shown(client, kind="crack") == [crack]
    assert shown(client, is_open="open") == [crack]
    assert shown(client, is_open="closed") == [closed]
    assert shown(client, state="closed") == [closed]
    assert shown(client, text="c8") == [crack]
    assert shown(client, first_seen="2022") == [crack]
    assert shown(client, pavement=manager.pk) == [crack, closed]


def test_severity_is_that_of_the_last_look_that_found_it(client, manager):
    defect = noted(manager)
    ObservationFactory(defect=defect, severity="high", seen_on=date(2024, 5, 1))
    ObservationFactory(defect=defect, severity="low", seen_on=date(2025, 5, 1))
    assert shown(client, severity="low") == [defect]
    assert shown(client, severity="high") == []


def test_a_look_that_measured_nothing_takes_no_severity_extent_or_growth_away(client, manager):
    row = noted(manager, kind="stain")
    for year, area, severity in ((2024, 1.0, "high"), (2025, 2.0, ""), (2026, None, "")):
        told = {"area_m2": area, "severity": severity, "method": "tape"}
        ObservationFactory(defect=row, seen_on=date(year, 5, 3), **told)
    noted(manager, kind="stain", place="never looked at")
    assert shown(client, severity="high") == [row]
    assert shown(client, severity="none") != [] and row not in shown(client, severity="none")
    page = client.get(reverse("defect_list"))
    (line, bare) = page.context["lines"]
    assert (line.seen.seen_on, line.size, line.graded.severity) == (
        date(2026, 5, 3),
        21.5278,
        "high",
    )
    assert line.size_a_year == pytest.approx(10.7639 * 365.25 / 365, rel=1e-4)
    assert line.days_told == "measured 2025-05-03, graded 2024-05-03"
    assert (bare.days_told, bare.growth) == ("", "")
    assert "measured 2025-05-03, graded 2024-05-03" in page.content.decode()
    (told, _) = csv.DictReader(StringIO(given_out(client, "csv").decode()))
    assert (told["last_seen_on"], told["measured_on"]) == ("2026-05-03", "2025-05-03")


def test_look_over_a_year_ago_is_overdue(client, manager):
    today = date.today()  # noqa: DTZ011  # the list itself asks for the day of the server
    late, fresh = noted(manager), noted(manager)
    ObservationFactory(defect=late, seen_on=date(2024, 4, 18))
    ObservationFactory(defect=fresh, seen_on=today - timedelta(days=30))
    assert shown(client, overdue="on") == [late]


def test_a_later_look_that_measured_no_lip_makes_a_high_one_no_less_urgent(client, manager):
    lip = noted(manager, kind="lip", on_accessible_route="yes")
    ObservationFactory(defect=lip, lip_m=0.010, seen_on=date(2026, 4, 1))
    ObservationFactory(defect=lip, seen_on=date(2026, 5, 1))
    assert shown(client, urgent="on") == [lip]
    assert "act today" in client.get(reverse("defect_list")).content.decode()
    ObservationFactory(defect=lip, lip_m=0.003, seen_on=date(2026, 6, 1))
    assert shown(client, urgent="on") == []
    assert "act today" not in client.get(reverse("defect_list")).content.decode()


def test_high_lip_on_an_accessible_route_is_urgent_until_made_safe(client, manager):
    lip = noted(manager, kind="lip", on_accessible_route="yes")
    ObservationFactory(defect=lip, lip_m=0.010)
    assert shown(client, urgent="on") == [lip]
    type(lip).objects.filter(pk=lip.pk).update(state="made_safe")
    assert shown(client, urgent="on") == []


@pytest.mark.parametrize(
    "asked",
    [
        {"text": "\0"}, {"owner": "\0"}, {"kind": "moon"}, {"pavement": "x"}, {"page": "99999"},
        {"first_seen": "1e400"}, {"sort": "up"}, {"severity": "moon"}, {"overdue": "maybe"},
    ],
)  # fmt: skip
def test_nonsense_asked_is_no_fault_of_the_server(client, manager, asked):
    noted(manager)
    assert client.get(reverse("defect_list"), asked).status_code == 200


def test_others_defects_are_not_listed(client, manager):
    noted(PavementFactory())
    assert shown(client) == []


def test_longest_unseen_comes_first_whatever_was_entered_last(client, manager):
    late, early, never = (noted(manager, place=place) for place in ("late", "early", "never"))
    for defect, on in (
        (late, date(2024, 5, 2)),
        (early, date(2020, 5, 2)),
        (late, date(2019, 1, 1)),
    ):
        ObservationFactory(defect=defect, seen_on=on)
    ObservationFactory(defect=early, seen_on=date(2025, 1, 1), found="not_found")
    assert shown(client, sort="seen") == [never, early, late]


@pytest.mark.parametrize("sort", ["pavement", "seen", "first", "kind"])
def test_twenty_more_defects_ask_no_more_queries(
    client, manager, sort, django_assert_max_num_queries
):
    def add(count):
        for _ in range(count):
            ObservationFactory(defect=noted(manager), severity="low")

    asked = {"sort": sort, "severity": "low", "overdue": "on"}
    add(2)
    with django_assert_max_num_queries(12) as few:
        client.get(reverse("defect_list"), asked)
    add(20)
    with django_assert_max_num_queries(12) as many:
        client.get(reverse("defect_list"), asked)
    assert len(few) == len(many)


def given_out(client, form, **asked):
    response = client.get(reverse("defect_export", args=(form,)), asked)
    return b"".join(response.streaming_content)


def test_files_hold_what_the_list_shows_and_no_formula(client, manager):
    noted(manager, kind="crack", place="=1+1")
    noted(manager, kind="stain")
    rows = list(csv.DictReader(StringIO(given_out(client, "csv", kind="crack").decode())))
    assert [(row["kind"], row["place"]) for row in rows] == [("crack", "'=1+1")]
    sheet = openpyxl.load_workbook(BytesIO(given_out(client, "xlsx", kind="crack"))).active
    assert (sheet.max_row, sheet["F2"].value, sheet["F2"].data_type) == (2, "'=1+1", "s")


@pytest.mark.parametrize(
    ("system", "size", "unit", "a_year"),
    [("inch_pound", 21.5278, "ft²", 10.74185), ("si", 2.0, "m²", 0.997951)],
)
def test_files_give_extent_and_growth_as_numbers_in_the_units_of_who_asks(
    client, manager, system, size, unit, a_year
):
    """1 m2 more in 366 days of years of 365.25; a square foot is 0.09290304 m2 (NIST SP 811)."""
    Person.objects.update(shown_system=system)
    row = noted(manager, kind="stain")
    for year, area in ((2024, 1.0), (2025, 2.0)):
        day = date(year, 4, 18) + timedelta(days=year - 2024)
        ObservationFactory(defect=row, seen_on=day, area_m2=area, entered_for=row.entered_for)
    noted(manager, kind="prints", place="nowhere measured")
    sheet = openpyxl.load_workbook(BytesIO(given_out(client, "xlsx"))).active
    header = [cell.value for cell in sheet[1]]
    measured, bare = (
        dict(zip(header, (cell.value for cell in line), strict=True)) for line in sheet.iter_rows(2)
    )
    assert (measured["extent_number"], measured["extent_unit"]) == (size, unit)
    assert measured["growth_number_a_year"] == pytest.approx(a_year, rel=1e-5)
    assert (bare["extent_number"], bare["growth_number_a_year"]) == (None, None)
    [feature, empty] = json.loads(given_out(client, "geojson"))["features"]
    assert feature["properties"]["extent_number"] == size
    assert empty["properties"]["extent_number"] is None
    assert feature["properties"]["number"] == row.number


def test_geojson_has_true_positions_where_the_datum_has_one(client, manager):
    noted(manager, outline=[[0.0, 100.0]], outline_kind="spot")
    noted(manager)
    found = json.loads(given_out(client, "geojson"))
    placed, unplaced = (feature["geometry"] for feature in found["features"])
    assert unplaced is None
    # 100 m north of the datum: 1 minute of latitude is 1852 m near enough for 2 m here.
    lon, lat = placed["coordinates"]
    assert lon == pytest.approx(-71.0, abs=2e-5)
    assert (lat - 42.0) * 60 * 1852 == pytest.approx(100, abs=2)


def test_page_of_a_defect_tells_the_position_that_the_file_has(client, manager):
    spot = noted(manager, outline=[[0.0, 100.0]], outline_kind="spot")
    square = [[0.0, 100.0], [2.0, 100.0], [2.0, 102.0], [0.0, 102.0]]
    area = noted(manager, outline=square, outline_kind="area")
    [placed, _] = json.loads(given_out(client, "geojson"))["features"]
    lon, lat = placed["geometry"]["coordinates"]
    page = client.get(reverse("defect_page", args=(spot.pk,))).content.decode()
    assert f"longitude {lon:.6f}, latitude {lat:.6f}, from the datum" in page
    page = client.get(reverse("defect_page", args=(area.pk,))).content.decode()
    # 1 m east and 101 m north of the datum, on the ellipsoid of WGS 84.
    assert "longitude -70.999988, latitude 42.000909, of its middle, from the datum" in page


def test_of_very_many_pavements_none_is_listed_to_choose_and_a_link_still_narrows(
    client, manager, monkeypatch
):
    defect = noted(manager)
    chooser = '<select name="pavement"'
    assert chooser in client.get(reverse("defect_list")).content.decode()
    monkeypatch.setattr(defect_filters, "MOST_TO_CHOOSE", 0)
    page = client.get(reverse("defect_list"), {"pavement": manager.pk}).content.decode()
    assert chooser not in page
    assert f'<input type="hidden" name="pavement" value="{manager.pk}"' in page
    assert shown(client, pavement=manager.pk) == [defect]
