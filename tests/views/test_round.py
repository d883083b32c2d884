"""Rounds on pages: asked for, looked at week by week, changed by hand, taken over."""

from datetime import timedelta

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from registry.actions.work_on_round import work_on_round
from registry.models import Round, RoundDay, RoundState, WorkOrder
from tests.factories import MembershipFactory, PersonFactory, RoundFactory, SiteWindowFactory
from tests.gathering.rounds import MONDAY, asked, crew, keeper, order

pytestmark = pytest.mark.django_db
DAY = timedelta(days=1)
TUESDAY = MONDAY + DAY
ASKED = {
    "first_on": "2031-09-15", "days": "14", "seconds": "5", "iterations": "30", "seed": "1",
    "detour_factor": "1.3", "speed": "35 km/h", "time_zone": "America/New_York", "weather": "",
}  # fmt: skip


@pytest.fixture
def town():
    org = keeper()
    crew(org)
    for n in range(2):
        order(org, n=n)
    order(org, n=2, site={"heaviest_axle_kg": 3000.0})
    return org


@pytest.fixture
def planner(client, town):
    person = PersonFactory()
    MembershipFactory(person=person, organisation=town)
    client.force_login(person)
    return client


def at(name, *keys):
    return reverse(name, args=keys)


def get(number):
    return WorkOrder.objects.get(number=number)


def solved(org, **fields):
    row = asked(org, **fields)
    row.save()
    assert work_on_round(row.pk) == "done"
    row.refresh_from_db()
    return row


def ask(client, org, **fields):
    return client.post(at("round_add", org.pk), ASKED | fields)


def test_round_is_asked_for_and_waits(planner, town):
    answer = ask(
        planner,
        town,
        weather="2031-09-16 wet until 6:00 40 °F\n\n2031-09-17 dry\n2031-09-18 ? 5 °C",
    )
    row = Round.objects.get()
    assert answer["Location"] == at("round_page", row.pk)
    assert (row.days, row.iterations, row.speed_km_h) == (14, 30, 35)
    assert row.weather == [
        ["2031-09-16", True, pytest.approx(4.444, abs=0.001), "06:00"],
        ["2031-09-17", False, None, None],
        ["2031-09-18", None, 5.0, None],
    ]
    page = planner.get(answer["Location"]).content.decode()
    assert "It waits for its turn and begins by itself." in page
    assert 'data-look-again="2"' in page


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"first_on": "03/04/2031"}, "03/04/2031"),
        ({"first_on": "9999-12-31"}, "years go from 1900 to 2999"),
        ({"first_on": "2020-03-02"}, "or later; 2020-03-02 is past."),
        ({"days": "0"}, "greater than or equal to 1"),
        ({"seconds": "601"}, "less than or equal to 600"),
        ({"detour_factor": "0.5"}, "greater than or equal to 1"),
        ({"detour_factor": "nan"}, "Enter a number"),
        ({"speed": "0"}, "above 0"),
        ({"speed": "nk"}, "above 0"),
        ({"weather": "tomorrow wet"}, "Line 1:"),
        ({"weather": "2031-09-16 damp"}, "Line 1: write a day"),
        ({"weather": "2031-09-16 wet hot"}, "Line 1:"),
        ({"weather": "2031-09-16 wet until noon"}, "Line 1: write a day"),
        ({"weather": "2031-09-16 wet until 25:00"}, "no clock time"),
        ({"weather": "2031-09-16 dry until 06:00"}, "only of a wet day"),
        ({"travel": SimpleUploadedFile("t.csv", b"a,b\n")}, "first line of the table"),
        ({"travel": SimpleUploadedFile("t.csv", b"from,to,minutes\nyard,site 0,4\nsite 0,x,1\n")},
         "no time from"),
    ],
)  # fmt: skip
def test_what_cannot_be_asked_is_said(planner, town, fields, said):
    answer = ask(planner, town, **fields)
    assert answer.status_code == 200
    assert said in answer.content.decode()
    assert not Round.objects.exists()


def test_local_time_is_asked_for_where_sites_keep_different_ones(planner, town):
    order(town, n=7, site={"time_zone": "America/Chicago"})
    assert "Select a valid choice" in ask(planner, town, time_zone="Asia/Tokyo").content.decode()
    assert ask(planner, town, time_zone="America/Chicago").status_code == 302
    assert Round.objects.get().time_zone == "America/Chicago"


def test_table_of_driving_times_is_kept(planner, town):
    names = ("yard", "site 0", "site 1", "site 2")
    lines = [f"{a},{b},7" for a in names for b in names if a != b]
    table = SimpleUploadedFile("t.csv", "\n".join(["from,to,minutes", *lines]).encode())
    assert ask(planner, town, travel=table).status_code == 302
    assert Round.objects.get().travel.rows[0] == ["yard", "site 0", 7.0]
    assert "site 2" in planner.get(at("round_add", town.pk)).content.decode()


def test_page_shows_days_times_and_why_one_is_left_out(planner, town):
    row = solved(town)
    page = planner.get(at("round_page", row.pk)).content.decode()
    assert "crew A</a>, leaves 07:00" in page
    assert "07:02-" in page or "07:03-" in page
    assert "the axle load is within the limit of slab and way in" in page
    assert "At most 3000 kg" in page
    assert "2 of 3" in page


def test_weeks_are_shown_one_at_a_time(planner, town):
    row = solved(town, last_on=MONDAY + 20 * DAY)
    second = planner.get(at("round_page", row.pk), {"week": "2031-09-24"}).content.decode()
    assert "Week of 2031-09-22: 0 crew-days" in second
    for nonsense in ("2031-09-99", "x", "1900-01-01", ""):
        first = planner.get(at("round_page", row.pk), {"week": nonsense}).content.decode()
        assert "Week of 2031-09-15: 1 crew-day" in first


def change(client, row, number, **fields):
    return client.post(at("round_order", row.pk, get(number).pk), fields)


def test_order_is_moved_by_the_form_and_the_new_week_is_shown(planner, town):
    row = solved(town)
    who = town.crews.get().pk
    answer = change(planner, row, "W-1", what="move", on="2031-09-16", crew=who)
    new = Round.objects.get(made_from=row)
    assert answer["Location"] == at("round_page", new.pk) + "?week=2031-09-16"
    assert RoundDay.objects.get(round=new, on=TUESDAY).stops.get().order == get("W-1")
    assert (
        "A later round was made from this one"
        in planner.get(at("round_page", row.pk)).content.decode()
    )
    page = planner.get(answer["Location"]).content.decode()
    assert "pinned to 2031-09-16, crew A" in page


def test_move_that_breaks_a_rule_names_it(planner, town):
    row = solved(town)
    SiteWindowFactory(site=get("W-1").pavement.site, hours=[[0, "07:00", "15:00"]])
    who = town.crews.get().pk
    page = change(planner, row, "W-1", what="move", on="2031-09-16", crew=who).content.decode()
    assert "W-1 cannot go to 2031-09-16. Broken: inside the hours of the site." in page
    heavy = change(planner, row, "W-2", what="move", on="2031-09-16", crew=who).content.decode()
    assert "Broken: the axle load is within the limit of slab and way in." in heavy
    assert Round.objects.count() == 1


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"what": "move", "on": "2031-09-16"}, "Say to which crew"),
        ({"what": "move"}, "Say to which day it is moved"),
        ({"what": "pin"}, "Say to which day or crew it is pinned"),
        ({"what": "pin", "on": "2031-09-22"}, "The round runs from 2031-09-15 to 2031-09-21"),
        ({"what": "swap"}, "Select a valid choice"),
        ({"what": "pin", "crew": "999999"}, "Select a valid choice"),
    ],
)
def test_half_a_change_is_refused(planner, town, fields, said):
    row = solved(town)
    assert said in change(planner, row, "W-1", **fields).content.decode()
    assert not row.pins.exists()


def test_pin_lock_and_solve_again(planner, town):
    row = solved(town)
    assert change(planner, row, "W-1", what="pin", on="2031-09-18").status_code == 302
    day = row.crew_days.get()
    planner.post(at("round_lock", row.pk, day.pk), {"locked": "1"})
    planner.post(at("round_lock", row.pk, day.pk), {"locked": "0"})
    planner.post(at("round_solve_again", row.pk))
    new = Round.objects.get(made_from=row)
    work_on_round(new.pk)
    assert RoundDay.objects.get(round=new, stops__order__number="W-1").on == MONDAY + 3 * DAY
    change(planner, new, "W-1", what="free")
    assert not new.pins.exists()
    again = planner.post(at("round_solve_again", row.pk), follow=True).content.decode()
    assert "A later round was made from this one. Change that one." in again


def test_day_is_called_off_and_the_rest_planned_anew(planner, town):
    row = solved(town)
    said = planner.post(at("round_call_off", row.pk), {"on": "2031-09-22", "why": "rain"})
    assert "The round runs from" in said.content.decode()
    planner.post(at("round_call_off", row.pk), {"on": "2031-09-15", "why": "rain from 02:00"})
    new = Round.objects.get(made_from=row)
    work_on_round(new.pk)
    page = planner.get(at("round_page", new.pk)).content.decode()
    assert "Called off: Mon 2031-09-15, rain from 02:00." in page
    assert {day.on for day in new.crew_days.all()} == {TUESDAY}


def test_order_on_a_day_kept_of_the_round_before_is_set_free(planner, town):
    row = solved(town)
    assert change(planner, row, "W-1", what="pin", on="2031-09-18").status_code == 302
    planner.post(at("round_call_off", row.pk), {"on": "2031-09-16", "why": "rain"})
    new = Round.objects.get(made_from=row)
    work_on_round(new.pk)
    assert RoundDay.objects.get(round=new, stops__order__number="W-1").on == MONDAY < new.first_on
    page = at("round_take_over", new.pk)
    days = {"first_on": "2031-09-15", "last_on": "2031-09-21"}
    assert "Pinned to 2031-09-18" in planner.post(page, days).content.decode()
    assert change(planner, new, "W-1", what="free", on="2031-09-15").status_code == 302
    assert planner.post(page, days).status_code == 302 and get("W-1").dated_for == MONDAY


def test_days_are_taken_over(planner, town):
    row = solved(town)
    backwards = {"first_on": "2031-09-16", "last_on": "2031-09-15"}
    assert (
        "before the first"
        in planner.post(at("round_take_over", row.pk), backwards).content.decode()
    )
    days = {"first_on": "2031-09-15", "last_on": "2031-09-21"}
    page = planner.post(at("round_take_over", row.pk), days, follow=True).content.decode()
    assert "Taken over: 1 crew-day with 2 orders." in page
    assert "taken over</strong>" in page
    assert get("W-1").state == "dated"


def test_stop_and_failure_are_shown(planner, town):
    row = RoundFactory(organisation=town)
    page = planner.post(at("round_stop", row.pk), follow=True).content.decode()
    assert "Stopped before the work on it began." in page
    again = planner.post(at("round_stop", row.pk), follow=True).content.decode()
    assert "no longer being worked out" in again


def test_order_that_is_not_in_the_round_is_not_found(planner, town):
    row = RoundFactory(organisation=town, state=RoundState.WAITING)
    assert planner.get(at("round_order", row.pk, get("W-1").pk)).status_code == 404


def test_list_shows_the_newest_of_each(planner, town):
    row = solved(town)
    RoundFactory(organisation=town, made_from=row, because="solved again")
    page = planner.get(at("round_list", town.pk)).content.decode()
    assert page.count("2031-09-15 to 2031-09-21") == 0
    assert "solved again" in page


def test_pages_ask_at_most_12_questions(planner, town, django_assert_max_num_queries):
    for n in range(20):
        order(town, n=n + 10)
    row = solved(town)
    for _ in range(20):
        RoundFactory(organisation=town)
    pages = [at("round_page", row.pk), at("round_list", town.pk), at("round_add", town.pk)]
    pages += [at("round_order", row.pk, get("W-1").pk), at("round_call_off", row.pk)]
    for address in [*pages, at("round_take_over", row.pk)]:
        with django_assert_max_num_queries(12):
            assert planner.get(address).status_code == 200
