"""Month and day pages of the calendar."""

from datetime import UTC, date, datetime

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from tests.factories import (
    CrewFactory,
    CrewHolidayFactory,
    OrganisationFactory,
    RoundDayFactory,
    RoundStopFactory,
    SeatFactory,
    VisitFactory,
    WorkOrderFactory,
)
from tests.views.record import manager_of

pytestmark = pytest.mark.django_db
DAY = date(2026, 9, 14)
AT = datetime(2026, 9, 14, 11, 30, tzinfo=UTC)
MOST_QUERIES = 12


class Town:
    """A manager with a crew of its own, signed in, and orders on a day."""

    def __init__(self, client):
        self.pavement, self.person = manager_of()
        self.firm = self.person.organisations.get()
        self.crew = CrewFactory(organisation=self.firm)
        self.client = client
        client.force_login(self.person)

    def order(self, **fields):
        given = {
            "pavement": self.pavement, "organisation": self.firm, "sweeper": self.firm,
            "crew": self.crew, "state": "dated", "dated_for": DAY,
        }  # fmt: skip
        return WorkOrderFactory(**{**given, **fields})

    def month(self, **query):
        return self.client.get(reverse("calendar_month"), {"month": "2026-09", **query})

    def day(self, day="2026-09-14", **query):
        return self.client.get(reverse("calendar_day", args=[day]), query)


@pytest.fixture
def town(client):
    return Town(client)


def cells(answer):
    return {c["day"]: c for week in answer.context["weeks"] for c in week}


def titles(answer, day=DAY):
    return [item.title for item in cells(answer)[day]["items"]]


def test_month_shows_an_order_on_its_day_and_leads_to_it(town):
    order = town.order()
    answer = town.month()
    assert titles(answer) == [f"{order.number} {town.pavement.name}"]
    assert reverse("work_order_page", args=[order.pk]) in answer.content.decode()


def test_orders_that_may_not_be_seen_stand_on_no_day(town):
    WorkOrderFactory(state="dated", dated_for=DAY)
    assert titles(town.month()) == []
    assert town.day().context["crews"] == []


def test_months_lead_to_the_one_before_and_after_and_keep_what_was_chosen(town):
    page = town.month(crew=town.crew.pk).content.decode()
    for month in ("2026-08", "2026-10"):
        assert f'href="?month={month}&amp;crew={town.crew.pk}"' in page
    page = town.day(crew=town.crew.pk).content.decode()
    for day in ("2026-09-13", "2026-09-15"):
        assert f'href="/calendar/{day}/?crew={town.crew.pk}"' in page


@pytest.mark.parametrize("month", ["2026-13", "x", "9999-99", "2026-09-01"])
def test_month_that_cannot_be_read_is_named_and_this_month_shown(town, month):
    answer = town.client.get(reverse("calendar_month"), {"month": month})
    assert f"“{month}” is no month" in answer.content.decode()
    assert answer.context["month"].holds(answer.context["today"])


@pytest.mark.parametrize("day", ["2026-02-30", "2026-9-1", "today", "20260914", "2026-W01-1", "٢"])
def test_day_that_is_none_is_not_found(town, day):
    assert town.day(day).status_code == 404


@pytest.mark.parametrize("chosen", ["x", "999999", "-1", "1e9"])
def test_crew_or_owner_that_cannot_be_read_is_named_beside_its_field(town, chosen):
    town.order()
    answer = town.month(crew=chosen, owner=chosen)
    assert set(answer.context["form"].errors) == {"crew", "owner"}
    assert len(titles(answer)) == 1


def test_narrowed_to_a_crew_its_days_without_shift_are_told(town):
    town.order()
    town.order(crew=CrewFactory(organisation=town.firm))
    CrewHolidayFactory(organisation=town.firm, first_on=DAY, last_on=DAY)
    VisitFactory(pavement=town.pavement, state="done", next_due_on=DAY)
    answer = town.month(crew=town.crew.pk)
    assert [i.kind for i in cells(answer)[DAY]["items"]] == ["order", "day_off"]
    saturday = cells(answer)[date(2026, 9, 19)]["items"]
    assert [i.kind for i in saturday] == ["no_shift"]
    assert cells(answer)[date(2026, 9, 18)]["items"] == []


def test_narrowed_to_an_owner_only_its_pavements_are_told(town):
    owner = OrganisationFactory()
    SeatFactory(pavement=town.pavement, organisation=owner, role="owner")
    town.order()
    other = SeatFactory(organisation=town.firm, role="manager").pavement
    town.order(pavement=other)
    assert len(titles(town.month())) == 2
    assert len(titles(town.month(owner=owner.pk))) == 1


def test_busy_day_of_a_month_says_how_many_more_there_are(town):
    for _ in range(7):
        town.order()
    answer = town.month()
    assert len(titles(answer)) == 4
    assert "and 3 more" in answer.content.decode()
    assert len(town.day().context["crews"][0]["items"]) == 7


def test_day_with_many_things_comes_in_pages_crew_by_crew(town):
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("registry.views.calendar.THINGS_A_PAGE", 3)
        for n in range(4):
            town.order(number=f"W-{n}")
        town.order(number="W-9", crew=CrewFactory(organisation=town.firm, name="zz"))
        first, second = town.day(), town.day(page=2)
    told = [
        [[item.title.split()[0] for item in crew["items"]] for crew in answer.context["crews"]]
        for answer in (first, second)
    ]
    assert told == [[["W-0", "W-1", "W-2"]], [["W-3"], ["W-9"]]]
    assert "1 to 3 of 5 of this day" in first.content.decode()
    assert "page=2" in first.content.decode() and "page=1" in second.content.decode()


def test_day_tells_each_crew_its_orders_by_the_times_of_the_round(town):
    first, second = town.order(), town.order(starts_at=AT.replace(hour=10))
    day = RoundDayFactory(crew=town.crew, on=DAY, is_in_force=True, taken_over_at=AT)
    RoundStopFactory(
        day=day, order=first, arrives_at=AT.replace(hour=9), begins_at=AT.replace(hour=9)
    )
    (crew,) = town.day().context["crews"]
    assert [item.row_id for item in crew["items"]] == [first.pk, second.pk]
    assert crew["items"][0].clock == "05:30-09:30"


def test_sheet_is_offered_for_one_s_own_crews_alone(town):
    town.order()
    town.order(crew=CrewFactory(), number="W-other")
    page = town.day().content.decode()
    assert page.count("Print the driver") == 1
    assert reverse("crew_day_sheet", args=["2026-09-14", town.crew.pk]) in page


def test_whoever_belongs_nowhere_gets_an_empty_month(client, django_user_model):
    person = django_user_model.objects.create_user("a@example.org", "rain on the stone")
    client.force_login(person)
    assert "Nothing stands in this month" in client.get(reverse("calendar_month")).content.decode()


@pytest.mark.parametrize("page", ["month", "day"])
def test_more_orders_ask_no_more_queries(town, page):
    def asked():
        with CaptureQueriesContext(
            connection,
        ) as queries:
            assert getattr(town, page)(crew=town.crew.pk).status_code == 200
        return len(queries)

    town.order()
    few = asked()
    for n in range(20):
        town.order(dated_for=date(2026, 9, 1 + n))
        CrewFactory(organisation=town.firm)
    assert asked() == few <= MOST_QUERIES
