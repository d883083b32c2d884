"""Rounds asked for and changed by who should not, or with what no round can be."""

from datetime import date, timedelta

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from django.utils import timezone

from registry.actions.take_over_round import take_over_round
from registry.actions.work_on_round import work_on_round
from registry.gathering.travel_table import TravelTableError, read_travel_table
from registry.models import Round, RoundDay, WorkOrder
from tests.factories import MembershipFactory, RoundDayFactory, RoundFactory
from tests.gathering.rounds import MONDAY, asked, crew, keeper, order
from tests.views.record import wrongs

pytestmark = pytest.mark.django_db
DAY = timedelta(days=1)
ASKED = {
    "first_on": "2031-09-15", "days": "14", "seconds": "5", "iterations": "30", "seed": "1",
    "detour_factor": "1.3", "speed": "35 km/h", "time_zone": "America/New_York", "weather": "",
}  # fmt: skip


@pytest.fixture
def town():
    org = keeper()
    crew(org)
    order(org, n=0)
    order(org, n=1)
    return org


@pytest.fixture
def other_town():
    org = keeper("Others")
    crew(org, name="crew of others")
    order(org, n=7)
    return org


@pytest.fixture
def planner(client, town):
    client.force_login(MembershipFactory(organisation=town).person)
    return client


def solved(org, **fields):
    row = asked(org, **fields)
    row.save()
    assert work_on_round(row.pk) == "done"
    row.refresh_from_db()
    return row


@pytest.mark.parametrize(
    "given",
    [
        {"first_on": "9999-12-31"},
        {"first_on": "0001-01-01"},
        {"first_on": "2031-09-15\0"},
        {"days": "0"}, {"days": "-1"}, {"days": "9" * 30}, {"days": "1e3"}, {"days": "nan"},
        {"seconds": "601"}, {"seconds": "9" * 30}, {"seconds": "-1"}, {"seconds": "inf"},
        {"iterations": "9" * 30}, {"iterations": "-1"}, {"iterations": "0"},
        {"seed": "-1"}, {"seed": "9" * 30}, {"seed": "2147483648"},
        {"detour_factor": "nan"}, {"detour_factor": "inf"}, {"detour_factor": "0"},
        {"speed": "0"}, {"speed": "-5 km/h"}, {"speed": "nan"}, {"speed": "inf"},
        {"speed": "9" * 38}, {"speed": "nk"},
        {"weather": "2031-09-17 wet \0"}, {"weather": "2031-09-17 wet nan"},
        {"weather": "2031-09-17 wet " + "9" * 38}, {"weather": "9999-12-31 dry"},
        {"weather": "x" * 30_000},
    ],
)  # fmt: skip
def test_round_that_cannot_be_is_told_beside_its_field(planner, town, given):
    answer = planner.post(reverse("round_add", args=[town.pk]), ASKED | given)
    assert answer.status_code == 200 and wrongs(answer), given
    assert not Round.objects.exists()


@pytest.mark.parametrize("first_on", ["1900-01-01", "2099-12-31"])
def test_round_of_the_first_and_last_day_of_time_is_asked_for_or_refused(planner, town, first_on):
    answer = planner.post(reverse("round_add", args=[town.pk]), ASKED | {"first_on": first_on})
    assert answer.status_code == 302 or wrongs(answer)
    for row in Round.objects.all():
        assert work_on_round(row.pk) in ("done", "failed")
        assert planner.get(reverse("round_page", args=[row.pk])).status_code == 200


@pytest.mark.parametrize(
    "lines",
    ["a,b,-1", "a,b,nan", "a,b,inf", "a,b,1e400", "a,b,1_0", "a,b,\u0661\u0662", "a,b,0x10",
     "a,b,=1+1", "a,b,", "a,b", "a,b,1,2", ",b,1", "a\0,b,1", "a,b,1441", '"a,b,1', "  ",
     "a,b,1\r\n\ufeffa,b,x"],
)  # fmt: skip
def test_driving_times_that_are_none_are_refused_with_the_line(lines):
    with pytest.raises(TravelTableError):
        read_travel_table(f"from,to,minutes\r\n{lines}\r\n".encode())


@pytest.mark.parametrize(
    "data", [b"", b"\xff\xfe\0a", b"PK\x03\x04", b"from;to;minutes\n", b"a" * 200_000]
)
def test_file_that_is_no_table_is_told_beside_its_field(planner, town, data):
    file = SimpleUploadedFile("=cmd.csv\0", data)
    answer = planner.post(reverse("round_add", args=[town.pk]), ASKED | {"travel": file})
    assert answer.status_code == 200 and "travel" in wrongs(answer)


def test_table_larger_than_it_may_be_is_refused():
    with pytest.raises(TravelTableError, match="20 MB"):
        read_travel_table(b"a" * (20 * 2**20 + 1))


def test_no_row_of_others_comes_in_by_its_id(planner, town, other_town):
    row, foreign = solved(town), solved(other_town)
    theirs = other_town.crews.get()
    foreign_order = WorkOrder.objects.get(number="W-7")
    mine = WorkOrder.objects.get(number="W-0")
    assert planner.get(reverse("round_order", args=[row.pk, foreign_order.pk])).status_code == 404
    for what in ("move", "pin"):
        sent = {"what": what, "on": "2031-09-16", "crew": theirs.pk}
        answer = planner.post(reverse("round_order", args=[row.pk, mine.pk]), sent)
        assert "crew" in wrongs(answer)
    day = foreign.crew_days.first()
    lock = reverse("round_lock", args=[row.pk, day.pk])
    assert planner.post(lock, {"locked": "1"}).status_code == 404
    called_off = reverse("round_call_off", args=[row.pk])
    sent = {"on": "2031-09-15", "crew": theirs.pk, "why": "rain"}
    assert "crew" in wrongs(planner.post(called_off, sent))
    assert not row.pins.exists() and Round.objects.count() == 2


@pytest.mark.parametrize(
    "name", ["round_stop", "round_solve_again", "round_take_over", "round_call_off", "round_page",
             "round_file"],
)  # fmt: skip
def test_round_of_others_is_not_found(planner, other_town, name):
    row = RoundFactory(organisation=other_town, state="working")
    address = reverse(name, args=[row.pk])
    assert planner.post(address, {"on": "2031-09-15", "why": "x"}).status_code in (404, 405)
    assert planner.get(address).status_code in (404, 405)
    row.refresh_from_db()
    assert not row.stop_asked and row.state == "working"


@pytest.mark.parametrize("week", ["0001-01-01", "9999-12-31", "\0", "2026-W01-1", "9" * 30, "²"])
def test_week_that_is_none_shows_the_round(planner, town, week):
    row = solved(town)
    assert planner.get(reverse("round_page", args=[row.pk]), {"week": week}).status_code == 200


def test_days_outside_of_a_round_stay_in_force_whatever_span_is_asked_for(town):
    row = solved(town)
    the_crew = town.crews.get()
    taken = {"crew": the_crew, "is_in_force": True, "taken_over_at": timezone.now()}
    earlier = RoundFactory(organisation=town, first_on=date(2020, 3, 2), last_on=date(2020, 3, 6))
    past = RoundDayFactory(round=earlier, on=date(2020, 3, 3), **taken)
    after = row.last_on + 30 * DAY
    later = RoundFactory(organisation=town, first_on=after, last_on=after)
    ahead = RoundDayFactory(round=later, on=after, **taken)
    take_over_round(row, first_on=date(1900, 1, 1), last_on=date(2099, 12, 31), by=None)
    for day in (past, ahead):
        day.refresh_from_db()
        assert day.is_in_force, day
    assert RoundDay.objects.filter(round=row, is_in_force=True).exists()


def test_day_ahead_of_a_take_over_form_is_refused_in_words(planner, town):
    row = solved(town)
    address = reverse("round_take_over", args=[row.pk])
    for sent in ({"first_on": "9999-12-31", "last_on": "9999-12-31"},
                 {"first_on": "\0", "last_on": "2031-09-15"},
                 {"first_on": str(MONDAY), "last_on": str(MONDAY - DAY)}):  # fmt: skip
        assert wrongs(planner.post(address, sent))
    assert not RoundDay.objects.filter(is_in_force=True).exists()
