"""Pour plans: planned with figures live, stored, corrected, shown to the owner, printed."""

from io import BytesIO

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from pypdf import PdfReader

from registry.models import PourPlan
from tests import factories
from tests.placing_factories import PourPlanFactory
from tests.placing_rows import north_lot
from tests.views.record import manager_of, wrongs

FORECAST = (
    "time, air °F, humidity %, wind mph, concrete °F\n"
    "07:43, 66, 73, 3, 72\n08:45, 72, 60, 6, 76\n09:20, 76, 53, 8, 79\n09:52, 79, 48, 10, 82\n"
)
TYPED = {
    "system": "inch_pound", "planned_on": "2023-08-22", "first_at": "06:18", "lanes": "A\nC 0-132",
    "thickness_mm": "6", "load_m3": "7", "placing_speed_m_min": "1.125", "cover_min": "15",
    "cover_within_min": "20", "plant_min": "28", "limit_by": "no_bleed", "forecast": FORECAST,
    "forecast_source": "airport station, 04:00",
}  # fmt: skip
STOP = "After 08:18 no further load."


@pytest.fixture
def lot(db, client):
    pavement, person = manager_of(north_lot(with_shares=False), role="contractor")
    client.force_login(person)
    return pavement


def add(client, lot, **more):
    return client.post(reverse("pour_plan_add", args=[lot.pk]), {**TYPED, **more})


def live(client, lot, **more):
    answer = client.post(reverse("pour_plan_figures", args=[lot.pk]), {**TYPED, **more})
    return answer.content.decode()


def test_form_offers_the_lanes_of_the_plan_in_their_order(client, lot):
    form = client.get(reverse("pour_plan_add", args=[lot.pk])).context["form"]
    assert form["lanes"].value() == "A\nB\nC\nD"


def test_plan_is_stored_with_what_was_written_and_shown_with_its_stop_rule(client, lot):
    answer = add(client, lot)
    assert answer.status_code == 302, wrongs(answer)
    row = PourPlan.objects.get()
    assert [lane for lane, _, _ in row.lanes] == ["A", "C"] and row.system == "inch_pound"
    assert row.written("load_m3") == "7" and row.written("forecast").startswith("time, air °F")
    assert len(row.forecast) == 4 and row.forecast[0][0] == "07:43"
    page = client.get(answer.url).content.decode()
    assert STOP in page and "A 126.0-132.0 ft; C 0.0-25.5 ft" in page and "0.121 lb/ft²/h" in page


def test_figures_follow_while_it_is_typed_and_nothing_is_stored(client, lot):
    assert STOP in live(client, lot)
    assert "There is no forecast" in live(client, lot, forecast="")
    assert "Write the day first" in live(client, lot, planned_on="")
    assert "Row 2, column “air”" in live(client, lot, forecast="time, air °F, humidity, wind mph\n"
                                          "06:00, warm, 84, 2")  # fmt: skip
    assert "contract asks for 10 min" in live(client, lot, cover_within_min="10")
    assert not PourPlan.objects.exists()


def test_forecast_as_a_file_is_the_same(client, lot):
    file = SimpleUploadedFile("hours.csv", FORECAST.encode())
    assert add(client, lot, forecast="", forecast_file=file).status_code == 302
    row = PourPlan.objects.get()
    assert len(row.forecast) == 4 and row.written("forecast") == FORECAST.strip()
    assert STOP in client.get(reverse("pour_plan_page", args=[row.pk])).content.decode()


def test_hours_of_other_days_are_left_out_and_counted(client, lot):
    more = FORECAST + "2023-08-23 06:00, 61, 84, 2, 70\n"
    assert "Hours of other days left out: 1." in live(client, lot, forecast=more)
    add(client, lot, forecast=more)
    assert len(PourPlan.objects.get().forecast) == 4


@pytest.mark.parametrize(
    ("more", "field", "words"),
    [
        ({"lanes": "Q"}, "lanes", "There is no lane Q on the plan; there are A, B, C, D."),
        ({"lanes": "A 0-140"}, "lanes", "The lane goes from 0.0 ft to 132.0 ft."),
        ({"lanes": "A 60-20"}, "lanes", "“to” lies beyond “from”."),
        ({"lanes": "lane A first"}, "lanes", "Write A, or C 0-60."),
        ({"lanes": ""}, "lanes", "required"),
        ({"load_m3": "0"}, "__all__", "does not hold together"),
        ({"load_m3": "seven"}, "load_m3", "not a number"),
        ({"first_at": "at dawn"}, "first_at", "is no clock time"),
        ({"wasted_percent": "90"}, "wasted_percent", "out of range"),
        ({"limit_by": "own"}, "drying_limit_kg_m2_h", "own limit"),
        ({"forecast": "06:00, 61"}, "forecast", "Row 1 names no column"),
        ({"forecast": FORECAST.replace("07:43", "2023-08-21 07:43")
          .replace("08:45", "2023-08-21 08:45").replace("09:20", "2023-08-21 09:20")
          .replace("09:52", "2023-08-21 09:52")}, "forecast", "No hour of it is on 2023-08-22."),
    ],
    ids=[
        "no lane", "too far", "backwards", "words", "none", "empty truck", "no number", "no clock",
        "waste", "own limit", "no header", "other day",
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_beside_its_field(client, lot, more, field, words):
    answer = add(client, lot, **more)
    assert answer.status_code == 200 and words in str(wrongs(answer)[field].as_text())
    assert not PourPlan.objects.exists()


def test_forecast_given_twice_is_asked(client, lot):
    file = SimpleUploadedFile("hours.csv", FORECAST.encode())
    assert "once" in str(wrongs(add(client, lot, forecast_file=file))["forecast_file"])


def test_workbook_in_place_of_text_is_refused_in_words(client, lot):
    file = SimpleUploadedFile("hours.xlsx", b"PK\x03\x04\xff\xfe")
    told = wrongs(add(client, lot, forecast="", forecast_file=file))["forecast_file"]
    assert "saved as CSV first" in str(told)


def test_correction_keeps_the_old_as_a_line(client, lot):
    add(client, lot)
    row = PourPlan.objects.get()
    url = reverse("pour_plan_correct", args=[row.pk])
    form = client.get(url).context["form"]
    assert form["lanes"].value()[0][0] == "A" and form["forecast"].value() == FORECAST.strip()
    sent = {**TYPED, "seen": form["seen"].value(), "cover_min": "18", "why": "two people more"}
    answer = client.post(url, sent)
    assert answer.status_code == 302, wrongs(answer)
    row.refresh_from_db()
    assert row.cover_min == 18 and row.planned_on.isoformat() == "2023-08-22"
    assert (
        "two people more" in client.get(reverse("pour_plan_page", args=[row.pk])).content.decode()
    )


def test_owner_sees_it_once_it_was_shown(client, lot):
    add(client, lot)
    row = PourPlan.objects.get()
    _, owner = manager_of(lot, role="owner")
    client.force_login(owner)
    page, rows = (reverse(n, args=[k]) for n, k in (("pour_plan_page", row.pk),
                                                     ("pour_plan_list", lot.pk)))  # fmt: skip
    assert client.get(page).status_code == 404
    assert "No pour plan that you may see" in client.get(rows).content.decode()
    PourPlan.objects.update(shown_on="2023-08-20")
    assert client.get(page).status_code == 200 and "2023-08-22" in client.get(rows).content.decode()
    assert client.get(reverse("pour_plan_correct", args=[row.pk])).status_code == 403


@pytest.mark.parametrize(
    ("typed", "system", "km"),
    [("12", "inch_pound", 19.312128), ("12 mi", "si", 19.312128), ("19", "si", 19.0),
     ("19 km", "inch_pound", 19.0)],
)  # fmt: skip
def test_way_from_the_plant_is_read_in_miles_or_kilometres(client, lot, typed, system, km):
    sizes = {"thickness_mm": "6 in", "load_m3": "7 yd3", "placing_speed_m_min": "1.125 ft/min"}
    sizes |= {"lanes": "A\nC"}
    answer = add(client, lot, plant_km=typed, system=system, **sizes)
    assert answer.status_code == 302, wrongs(answer)
    row = PourPlan.objects.get()
    assert row.plant_km == pytest.approx(km) and row.written("plant_km") == typed
    told = "Plant: 12 mi away." if km > 19.1 else "Plant: 11.8 mi away."
    assert told in client.get(answer.url).content.decode()


def test_another_contractor_sees_none_of_it(client, lot):
    add(client, lot)
    other = factories.MembershipFactory(organisation__usual_role="contractor")
    factories.SeatFactory(organisation=other.organisation, role="contractor", pavement=lot)
    client.force_login(other.person)
    row = PourPlan.objects.get()
    for name in ("pour_plan_page", "pour_plan_paper", "pour_plan_correct"):
        assert client.get(reverse(name, args=[row.pk])).status_code == 404


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_day_of_few_loads_takes_one_page_of_paper(client, lot, paper):
    add(client, lot)
    url = reverse("pour_plan_paper", args=[PourPlan.objects.get().pk])
    answer = client.get(f"{url}?paper={paper}")
    (page,) = PdfReader(BytesIO(answer.content)).pages
    text = page.extract_text()
    assert STOP in text and "126.0-132.0 ft" in text and "Wet cement burns" in text
    assert client.get(f"{url}?paper=a3").status_code == 404


def test_pavement_without_a_plan_says_what_to_do_first(client, db):
    pavement, person = manager_of(role="contractor")
    client.force_login(person)
    row = PourPlanFactory(pavement=pavement, entered_for=person.organisations.first())
    page = client.get(reverse("pour_plan_page", args=[row.pk])).content.decode()
    assert "Draw the panel plan first" in page
