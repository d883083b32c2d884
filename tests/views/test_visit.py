from datetime import date

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from registry.actions.record_observation import record_observation
from registry.gathering.visit_panels import panels_on
from registry.models import DirtSource, ObservationWell, Visit, WellReading
from tests import factories
from tests.sheets.rows_of_lot import lot_of
from tests.views.record import manager_of
from tests.visit_rows import DAY, LAST_YEAR, answer, defect_at

pytestmark = pytest.mark.django_db


@pytest.fixture
def lot():
    return lot_of(2, 2)


@pytest.fixture
def person(lot, client):
    _, person = manager_of(lot)
    client.force_login(person)
    return person


@pytest.fixture
def visit(lot, person):
    organisation = person.memberships.get().organisation
    return factories.VisitFactory(pavement=lot, done_on=DAY, entered_for=organisation)


def press(client, visit, defect, found="found", **more):
    address = reverse("visit_answer", args=[visit.pk, defect.pk])
    sent = {f"d{defect.pk}-{name}": text for name, text in {"found": found, **more}.items()}
    return client.post(address, sent)


def test_a_visit_begins_with_today_and_leads_to_its_walk(client, lot, person):
    page = client.get(reverse("visit_add", args=[lot.pk]))
    form = page.context["form"]
    sent = {
        "done_on": form["done_on"].value(),
        "started_clock": form["started_clock"].value(),
        "walked_by": "M. Ferrand",
        "reasons": ["spring", "storm"],
        "system": "inch_pound",
        "air_c": "50",
    }
    answered = client.post(reverse("visit_add", args=[lot.pk]), sent)
    row = Visit.objects.get()
    assert answered.url == reverse("visit_walk", args=[row.pk])
    assert (row.reasons, row.air_c, row.is_open) == (["spring", "storm"], pytest.approx(10), True)
    assert row.started_at is not None


def test_one_press_answers_a_known_defect(client, lot, visit):
    defect = defect_at(lot, "A1 R 5.0 U 7.5")
    assert press(client, visit, defect).url.endswith(f"#d{defect.pk}")
    look = visit.observations.get()
    assert (look.found, look.seen_on, look.seen_by) == ("found", DAY, "M. Ferrand")


def test_extent_and_severity_go_with_the_press(client, lot, visit):
    defect = defect_at(lot, "A1 R 5.0 U 7.5")
    press(client, visit, defect, extent="9 ft2", severity="high", good_light="yes")
    look = visit.observations.get()
    assert look.area_m2 == pytest.approx(9 * 0.3048**2)
    assert (look.severity, look.severity_by_eye, look.written("area_m2")) == ("high", True, "9 ft2")


def test_could_not_look_asks_why_and_keeps_what_was_typed(client, lot, visit):
    defect = defect_at(lot, "A1 R 5.0 U 7.5")
    page = press(client, visit, defect, "could_not_look", note="P-12")
    assert "Say why you could not look." in page.content.decode()
    assert "P-12" in page.content.decode()
    assert not visit.observations.exists()


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"extent": "much"}, "is not a number"),
        ({"found": "perhaps"}, "perhaps is not one of the available choices"),
        ({"found": "not_found", "extent": "3"}, "yet an extent or severity is written"),
        ({"why_not": "a car"}, "It is found; why then"),
    ],
)
def test_a_wrong_answer_is_told_in_words_and_not_stored(client, lot, visit, wrong, words):
    defect = defect_at(lot, "A1 R 5.0 U 7.5")
    assert words in press(client, visit, defect, **wrong).content.decode()
    assert not visit.observations.exists()


def test_an_answer_that_came_in_meanwhile_is_shown_before_it_is_replaced(client, lot, visit):
    defect = defect_at(lot, "A1 R 5.0 U 7.5")
    first = record_observation(
        answer(visit, defect, area_m2=1.0), by=None, organisation=visit.entered_for
    )
    page = press(client, visit, defect, extent="20")
    assert "answered meanwhile" in page.content.decode()
    assert "20" in page.content.decode()
    press(client, visit, defect, extent="20", seen=first.pk)
    standing = visit.observations.standing().get()
    assert standing.area_m2 == pytest.approx(20 * 0.3048**2)


@pytest.mark.parametrize(
    ("route", "words"),
    [("yes", "Make it safe today"), ("", "Not decided"), ("no", "off the accessible route")],
)
def test_a_lip_over_a_quarter_inch_says_so_at_once(client, lot, visit, route, words):
    """Over 1/4 in on an accessible route (ADA standards 303, from memory): the same day."""
    lip = defect_at(lot, "A1|A2 R 1-3", "lip", on_accessible_route=route, look={"lip_m": 0.004})
    answered = client.post(
        reverse("visit_answer", args=[visit.pk, lip.pk]),
        {f"d{lip.pk}-found": "found", f"d{lip.pk}-extent": "3/8 in"},
        follow=True,
    )
    assert words in answered.content.decode()


def test_panels_all_but_some(client, lot, visit):
    panels = panels_on(lot, DAY)
    address = reverse("visit_walk", args=[visit.pk])
    sent = {"part": "panels", "unseen": [panels[0].pk], "why": "cars", "rest_walked": "on"}
    assert client.post(address, sent).status_code == 302
    told = {row.panel.name: row.why for row in visit.panels.select_related("panel")}
    assert told == {"A1": "cars", "A2": "", "B1": "", "B2": ""}
    page = client.post(address, {"part": "panels", "unseen": [panels[1].pk]})
    assert "Say why these panels were not seen." in page.content.decode()


def test_water_and_dirt_are_kept_part_by_part(client, lot, visit):
    address = reverse("visit_walk", args=[visit.pk])
    seen = client.get(address).context["water_form"].initial["seen"]
    sent = {"part": "water", "system": "inch_pound", "seen": seen, "water_stands": "yes"}
    sent |= {"water_depth_m": "1/2 in", "water_minutes": "40", "ran_off": "yes", "rain_mm": "0"}
    sent |= {"rain_hours": "6", "rain_ended_day": "2024-04-18", "rain_ended_clock": "6:00"}
    refused = client.post(address, sent).content.decode()
    assert "Write depth and hours of the rain as more than 0" in refused
    client.post(address, {**sent, "rain_mm": "0.8", "rain_known_by": "gauge"})
    visit.refresh_from_db()
    assert (visit.water_stands, visit.water_minutes, visit.ran_off) == ("yes", 40, "yes")
    assert visit.water_depth_m == pytest.approx(0.0127)
    assert (visit.rain_mm, visit.rain_hours) == (pytest.approx(20.32), 6)
    page = client.get(reverse("visit_page", args=[visit.pk])).content.decode()
    assert "0.80 in, 6 h, by gauge" in page
    seen = client.get(address).context["dirt_form"].initial["seen"]
    dirt = {"part": "dirt", "seen": seen, "dirt_from": "the bed"}
    client.post(address, {**dirt, "new_kind": "bed", "new_detail": "above D7"})
    source = DirtSource.objects.get()
    assert (source.kind, source.seen_on, list(visit.dirt_sources.all())) == ("bed", DAY, [source])
    stale = client.post(address, {**dirt, "dirt_from": "the bed"}).content.decode()
    assert "changed after you opened it" in stale and visit.dirt_sources.exists()
    dirt["seen"] = client.get(address).context["dirt_form"].initial["seen"]
    client.post(address, dirt)  # no longer ticked
    assert not visit.dirt_sources.exists() and DirtSource.objects.open().exists()


def test_two_people_write_the_same_part_and_neither_is_lost(client, lot, visit):
    address = reverse("visit_walk", args=[visit.pk])
    seen = client.get(address).context["ground_form"].initial["seen"]
    sent = {"part": "ground", "seen": seen}
    client.post(address, {**sent, "made_safe": "cone at C8"})
    page = client.post(address, {**sent, "made_safe": "tape at C8"})
    assert "tape at C8" in page.content.decode()
    assert "changed after you opened it" in page.content.decode()
    visit.refresh_from_db()
    assert visit.made_safe == "cone at C8"


def test_a_part_written_by_another_does_not_stop_this_one(client, lot, visit):
    address = reverse("visit_walk", args=[visit.pk])
    forms = client.get(address).context
    water, ground = (forms[name].initial["seen"] for name in ("water_form", "ground_form"))
    client.post(address, {"part": "ground", "seen": ground, "drains": "clear"})
    client.post(address, {"part": "water", "system": "si", "seen": water, "water_stands": "no"})
    visit.refresh_from_db()
    assert (visit.drains, visit.water_stands) == ("clear", "no")


def test_a_well_is_read_on_the_walk(client, lot, visit):
    well = ObservationWell.objects.create(pavement=lot, name="1", depth_mm=914.4)
    address = f"{reverse('well_reading_add', args=[lot.pk])}?visit={visit.pk}"
    sent = {"well": well.pk, "read_on": "2024-04-18", "to_water": "28 in", "clock": "9:40"}
    assert client.post(address, sent).url == f"{reverse('visit_walk', args=[visit.pk])}#wells"
    row = WellReading.objects.get()
    assert row.to_water_m == pytest.approx(0.7112) and row.visit == visit
    page = client.post(address, {**sent, "to_water": "40 in"})
    assert "36.0 in) deep" in page.content.decode()
    page = client.post(address, {**sent, "is_dry": "on"})
    assert "It is dry, yet a depth is written." in page.content.decode()
    assert WellReading.objects.count() == 1


def test_closing_names_what_is_left_and_then_closes(client, lot, visit):
    defect = defect_at(lot, "A1 R 5.0 U 7.5")
    address = reverse("visit_close", args=[visit.pk])
    sent = {"signed_by": "M. Ferrand", "next_due_on": "2024-11", "note": "dry spell"}
    page = client.post(address, sent)
    assert "1 known defect has no answer yet: no. 1" in page.content.decode()
    press(client, visit, defect)
    client.post(reverse("visit_walk", args=[visit.pk]), {"part": "panels", "rest_walked": "on"})
    assert client.post(address, sent).url == reverse("visit_page", args=[visit.pk])
    visit.refresh_from_db()
    assert (visit.state, visit.next_due_on, visit.note) == ("done", date(2024, 11, 1), "dry spell")
    assert client.get(reverse("visit_walk", args=[visit.pk])).status_code == 302


def test_a_visit_is_corrected_by_a_line_and_voided(client, lot, visit):
    visit.water_depth_m, visit.as_written = 0.01, {"water_depth_m": "10 mm"}
    visit.save(update_fields=["water_depth_m", "as_written"])
    address = reverse("visit_correct", args=[visit.pk])
    form = client.get(address).context["form"]
    sent = {"seen": form.initial["seen"], "system": "si", "done_on": "2024-04-18"}
    sent |= {"walked_by": "M. Ferrand", "water_depth_m": "12 mm", "why": "misread"}
    assert client.post(address, sent).status_code == 302
    visit.refresh_from_db()
    assert visit.water_depth_m == pytest.approx(0.012)
    line = client.get(reverse("visit_page", args=[visit.pk])).context["lines"][0]
    assert line.changes == {"water_depth_m": ["10 mm", "12 mm"]}
    client.post(reverse("visit_void", args=[visit.pk]), {"why": "other lot"})
    visit.refresh_from_db()
    assert visit.void_why == "other lot"


def test_a_visit_whose_day_was_wrong_takes_what_it_saw_along(client, lot, visit):
    known, new = defect_at(lot, "A1"), defect_at(lot, "A2", first_seen_on=DAY)
    press(client, visit, known)
    new.observations.update(visit=visit)
    form = client.get(reverse("visit_correct", args=[visit.pk])).context["form"]
    sent = {"seen": form.initial["seen"], "system": "si", "walked_by": "M. Ferrand"}
    sent |= {"done_on": "2024-04-19", "why": "the sheet says 19"}
    assert client.post(reverse("visit_correct", args=[visit.pk]), sent).status_code == 302
    assert {look.seen_on for look in visit.observations.all()} == {date(2024, 4, 19)}
    new.refresh_from_db()
    known.refresh_from_db()
    assert (new.first_seen_on, known.first_seen_on) == (date(2024, 4, 19), LAST_YEAR)


@pytest.mark.parametrize(("role", "numbers"), [("tester", [1, 2]), ("municipality", [2])])
def test_who_walks_for_the_keepers_walks_with_all_that_is_known(client, lot, role, numbers):
    defect_at(lot, "A1")
    defect_at(lot, "A2", submitted_on=date(2023, 6, 1))
    _, person = manager_of(lot, role=role)
    client.force_login(person)
    organisation = person.memberships.get().organisation
    walk = factories.VisitFactory(pavement=lot, done_on=DAY, entered_for=organisation)
    page = client.get(reverse("visit_walk", args=[walk.pk]))
    assert [row.known.defect.number for row in page.context["rows"]] == numbers


def count_of(client, address):
    client.get(address)
    with CaptureQueriesContext(connection) as queries:
        assert client.get(address).status_code == 200
    return len(queries)


def test_twenty_more_rows_ask_no_more_queries(client, lot, visit):
    closed = factories.VisitFactory(pavement=lot, state="done", entered_for=visit.entered_for)
    pages = [
        reverse("visit_list", args=[lot.pk]),
        reverse("visit_walk", args=[visit.pk]),
        reverse("visit_page", args=[closed.pk]),
    ]

    def add(nth):
        defect = defect_at(lot, f"A1 R {nth}.0 U 2.0")
        factories.ObservationFactory(defect=defect, visit=closed, seen_on=date(2023, 9, 1))
        ObservationWell.objects.create(pavement=lot, name=f"w{nth}")

    add(0)
    few = [count_of(client, page) for page in pages]
    for nth in range(1, 11):
        add(nth)
        factories.VisitFactory(pavement=lot, state="done", entered_for=visit.entered_for)
    for nth in range(11, 21):
        factories.VisitFactory(pavement=lot, state="done", entered_for=visit.entered_for)
        add_more = defect_at(lot, f"B1 R {nth / 2} U 2.0")
        factories.ObservationFactory(defect=add_more, visit=closed, seen_on=date(2023, 9, 1))
    assert [count_of(client, page) for page in pages] == few
