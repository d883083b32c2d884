"""What is due: the list, its file, the block on the pavement's page, the link to a filled order."""

import csv
from datetime import date, timedelta
from io import StringIO
from zoneinfo import ZoneInfo

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from registry.models import Due, WorkOrder
from registry.models.choices import Role
from registry.units import Kind, System, show
from tests import factories
from tests.views.record import written

pytestmark = pytest.mark.django_db
DAY = timedelta(days=1)
MOST_QUERIES = 12
URL = "/due/"


@pytest.fixture
def member():
    return factories.MembershipFactory()


@pytest.fixture
def signed_in(client, member):
    client.force_login(member.person)
    return client


def today():
    """The day at the sites of these tests, which in the evening is not yet that of UTC."""
    return timezone.localdate(timezone=ZoneInfo(factories.SiteFactory.time_zone))


def due(member, role=Role.MANAGER, name="", **fields):
    """A line at a pavement where the member's organisation holds a seat."""
    seat = factories.SeatFactory(organisation=member.organisation, role=role)
    if name:
        type(seat.pavement).objects.filter(pk=seat.pavement_id).update(name=name)
        seat.pavement.refresh_from_db()
    rules = [
        {"rule": n, "holds": False, "words": "It does not say so.", "missing": ""}
        for n in range(1, 7)
    ]
    given = {
        "method": "vacuum", "no_method": "", "method_why": "dry dust or sand on top",
        "gain_median": 1.44, "gain_low": 1.18, "gain_high": 1.92, "no_gain": "",
        "latest_on": today() + 30 * DAY, "latest_by": "fit", "latest_why": "chance reaches 10 %",
        "earliest_on": today(), "earliest_why": "summer", "season_last_on": today() + 9 * DAY,
        "reason": "chance reaches 10 %; dry dust or sand on top", "area_m2": 200.0,
        "no_longer_enough": False, "enough": {"si": rules, "inch_pound": rules},
        "as_of_on": today(), **fields,
    }  # fmt: skip
    return factories.DueFactory(pavement=seat.pavement, **given)


def shown(client, **asked):
    answer = client.get(URL, asked)
    assert answer.status_code == 200
    return answer


def names(answer):
    return [line.due.pavement.name for line in answer.context["lines"]]


def text_of(answer):
    return " ".join(answer.content.decode().split())


def test_line_says_what_by_when_from_when_why_and_what_it_gives(signed_in, member):
    row = due(member, name="North lot")
    text = text_of(shown(signed_in))
    for words in (
        "North lot", "full vacuum sweeper", f"{row.latest_on:%Y-%m-%d}",
        f"now, until <span class=\"nowrap\">{row.season_last_on:%Y-%m-%d}</span>",
        "1.4 times", "1.2 to 1.9", "Chance reaches 10 %; dry dust or sand on top.",
    ):  # fmt: skip
        assert words in text, words


def test_lines_stand_by_their_latest_day_and_those_without_one_last(signed_in, member):
    due(member, name="later", latest_on=today() + 90 * DAY)
    due(member, name="none", latest_on=None, latest_by="")
    due(member, name="past", latest_on=today() - 2 * DAY)
    answer = shown(signed_in)
    assert names(answer) == ["past", "later", "none"]
    assert '<strong class="due">past</strong>' in text_of(answer)


@pytest.mark.parametrize(
    ("asked", "left"),
    [
        ({}, {"A", "B", "C"}),
        ({"pavement": "b"}, {"B"}),
        ({"within": "late"}, {"A"}),
        ({"within": "60"}, {"A", "B"}),
        ({"within": "none"}, {"C"}),
        ({"by": "permit"}, {"A"}),
        ({"method": "broom"}, {"B"}),
        ({"method": ["broom", "vacuum"]}, {"A", "B"}),
        ({"undecided": "method"}, {"C"}),
        ({"undecided": "day"}, {"C"}),
        ({"undecided": "gain"}, {"C"}),
        ({"no_longer": "on"}, {"B"}),
        ({"permit": "on"}, {"A"}),
        ({"owner": "quay"}, {"C"}),
        ({"site": "mill"}, {"A"}),
        ({"within": "soon"}, {"A", "B", "C"}),
    ],
)
def test_list_is_narrowed(signed_in, member, asked, left):
    a = due(member, name="A", latest_on=today() - 3 * DAY, latest_by="permit", is_permit_short=True)
    due(member, name="B", method="broom", no_longer_enough=True)
    c = due(
        member, name="C", latest_on=None, latest_by="", method="", no_method="Not decided.",
        gain_median=None, gain_low=None, gain_high=None, no_gain="Not decided.",
    )  # fmt: skip
    type(a.pavement.site).objects.filter(pk=a.pavement.site_id).update(name="Mill Lane")
    factories.SeatFactory(pavement=c.pavement, organisation__name="Quay Ltd", role=Role.OWNER)
    assert set(names(shown(signed_in, **asked))) == left


@pytest.mark.parametrize("sort", ["latest", "earliest", "gain", "pavement", "nonsense"])
def test_every_order_answers(signed_in, member, sort):
    due(member, name="B", gain_median=3.0, gain_high=4.0, earliest_on=today() + DAY)
    due(member, name="A", latest_on=today() + 40 * DAY)
    first = {"latest": "B", "earliest": "A", "gain": "B", "pavement": "A", "nonsense": "B"}[sort]
    assert names(shown(signed_in, sort=sort))[0] == first


def test_no_longer_enough_is_told_with_its_rule_and_figures_in_both_systems(signed_in, member):
    def holds(words):
        return [{"rule": 1, "holds": True, "words": words, "missing": ""}]

    enough = {"si": holds("U 120 mm/h."), "inch_pound": holds("U 4.7 in/h.")}
    row = due(member, no_longer_enough=True, enough=enough)
    said = "Rule 1, below right after the best method: U 4.7 in/h."
    assert said in text_of(shown(signed_in))
    page = signed_in.get(reverse("pavement_page", args=[row.pavement_id]))
    assert "U 4.7 in/h." in text_of(page)
    type(member.person).objects.update(shown_system="si")
    assert "U 120 mm/h." in text_of(shown(signed_in))


def test_reason_stands_in_place_of_each_number_that_is_not_decided(signed_in, member):
    why = "Not decided: no outlook was worked out yet."
    due(
        member, latest_on=None, latest_by="", gain_median=None, gain_low=None, gain_high=None,
        no_gain=why, not_decided=[why],
    )  # fmt: skip
    text = text_of(shown(signed_in))
    assert f"<li>{why}</li>" in text
    assert "Not decided: your side has no price for this method." in text


def test_conflict_of_season_and_latest_day_is_said(signed_in, member):
    due(member, conflict="To be done by X, but not sensible before Y.")
    assert "but not sensible before Y." in text_of(shown(signed_in))


def test_price_is_shown_to_who_pays_and_to_nobody_else(signed_in, member, client):
    own = due(member)
    member.organisation.prices.create(
        method_class="vacuum", per_m2="2", at_least="100", currency="$"
    )
    buyer = factories.MembershipFactory()
    factories.SeatFactory(pavement=own.pavement, organisation=buyer.organisation, role=Role.BUYER)
    page = reverse("pavement_page", args=[own.pavement_id])
    assert "$ 400" in text_of(shown(signed_in)) and "$ 400" in text_of(signed_in.get(page))
    client.force_login(buyer.person)
    buyer.organisation.prices.create(method_class="vacuum", per_m2="9", at_least="9", currency="$")
    text = text_of(shown(client))
    assert "400" not in text and "1800" not in text and "not shown" in text
    assert "Ask for a work order" not in text
    assert "400" not in text_of(client.get(page))


@pytest.mark.parametrize(
    ("role", "sees"),
    [
        (Role.OWNER, True), (Role.MANAGER, True), (Role.BUYER, True), (Role.EVALUATOR, True),
        (Role.TESTER, False), (Role.SWEEPER, False), (Role.MUNICIPALITY, False),
        (Role.CONTRACTOR, False),
    ],
)  # fmt: skip
def test_only_who_reads_all_of_the_record_sees_what_is_due(signed_in, member, role, sees):
    row = due(member, role=role)
    assert bool(names(shown(signed_in))) == sees
    assert ("Only pavements are listed of which" in text_of(shown(signed_in))) != sees
    page = signed_in.get(reverse("pavement_page", args=[row.pavement_id]))
    assert ("Sweeping: what is due and why" in text_of(page)) == sees
    file = b"".join(signed_in.get("/due/file/").streaming_content).decode()
    assert (row.pavement.name in file) == sees


def test_former_owner_sees_nothing_of_what_is_due_now(signed_in, member):
    due(member, role=Role.OWNER)
    member.organisation.seats.update(to_at=timezone.now() - DAY)
    assert names(shown(signed_in)) == []


def test_link_fills_the_form_of_an_order_and_the_order_can_be_stored(signed_in, member):
    row = due(member, latest_by="permit", latest_why="1 of 2 by permit 7", rows_text="A")
    factories.PanelFactory(pavement=row.pavement, name="A1")
    (line,) = shown(signed_in).context["lines"]
    url = f"{reverse('work_order_add', args=[row.pavement_id])}?{line.ask_query}"
    assert url.replace("&", "&amp;") in shown(signed_in).content.decode()
    sent = written(signed_in.get(url).context["form"])
    assert signed_in.post(url, {**sent, "do_not": ["wire_broom"]}).status_code == 302
    order = WorkOrder.objects.get()
    assert (order.method, order.reason, order.latest_on) == ("vacuum", "permit", row.latest_on)
    assert (order.rows_text, order.covers_all) == ("A", False)
    assert order.because == row.reason
    text = text_of(shown(signed_in))
    assert str(order) in text and "Ask for another" in text
    assert str(order) in text_of(signed_in.get(reverse("pavement_page", args=[row.pavement_id])))


def test_where_the_season_comes_too_late_the_link_fills_only_the_latest_day(signed_in, member):
    clash = "To be done by X, but not sensible before Y."
    due(member, earliest_on=today() + 200 * DAY, conflict=clash)
    (line,) = shown(signed_in).context["lines"]
    assert "earliest_on" not in line.asks
    assert (line.asks["because"], line.is_too_early) == (clash, True)


def test_file_holds_what_the_list_shows_and_no_formula(signed_in, member):
    due(member, name="=HYPERLINK(1)", not_decided=["Not decided."])
    due(member, name="other", method="broom")
    answer = signed_in.get("/due/file/", {"method": "vacuum"})
    assert answer["Content-Type"].startswith("text/csv")
    (row,) = csv.DictReader(StringIO(b"".join(answer.streaming_content).decode()))
    assert row["pavement"] == "'=HYPERLINK(1)"
    # 200 m2 / 0.3048^2 = 2152.8 ft2
    assert (row["area_ft2"], row["gain"], row["rows"]) == ("2152.8", "1.44", "all")
    assert date.fromisoformat(row["latest_on"]) == today() + 30 * DAY


def test_twenty_lines_more_ask_nothing_more(signed_in, member):
    def ask(url):
        with CaptureQueriesContext(connection) as asked:
            answer = signed_in.get(url)
            if answer.streaming:
                b"".join(answer.streaming_content)
        return len(asked)

    def one():
        row = due(member)
        factories.WorkOrderFactory(pavement=row.pavement, organisation=member.organisation)

    member.organisation.prices.create(
        method_class="vacuum", per_m2="2", at_least="100", currency="$"
    )
    one()
    few = [ask(URL), ask("/due/file/")]
    for _ in range(20):
        one()
    assert [ask(URL), ask("/due/file/")] == few
    assert max(few) <= MOST_QUERIES
    assert Due.objects.count() == 21


def test_pages_of_the_list_go_on(signed_in, member):
    for _ in range(51):
        due(member)
    assert len(names(shown(signed_in))) == 50
    assert len(names(shown(signed_in, page=2))) == 1


def test_first_page_tells_what_to_sweep_and_where_it_is_no_longer_enough(signed_in, member):
    rules = [{"rule": 2, "holds": True, "words": "Back below twice.", "missing": ""}]
    due(member, name="soon", latest_on=today() + 20 * DAY, rows_text="B")
    due(member, name="late", latest_on=today() + 70 * DAY)
    due(
        member, name="worn", latest_on=None, latest_by="", no_longer_enough=True,
        enough={"si": rules, "inch_pound": rules},
    )  # fmt: skip
    answer = signed_in.get(reverse("home"))
    needs = answer.context["needs"]
    assert [n.pavement_name for n in needs.ahead] == ["soon"]
    assert needs.ahead[0].what == "Sweep: full vacuum sweeper"
    assert "Rows B." in needs.ahead[0].why
    (worn,) = needs.conditions
    assert (worn.pavement_name, worn.what) == ("worn", "Sweeping is no longer enough")
    assert "Back below twice." in worn.why


@pytest.mark.parametrize("role", [Role.BUYER, Role.EVALUATOR])
def test_first_page_of_who_does_not_keep_it_asks_for_no_sweep(signed_in, member, role):
    due(member, role=role)
    assert not signed_in.get(reverse("home")).context["needs"].ahead


def test_order_of_need_numbers_the_lines_and_says_why(signed_in, member):
    due(member, name="far", is_below=False, months_left=30.0, rank_why="30 months")
    due(member, name="near", is_below=False, months_left=3.0, rank_why="3 months")
    worst = {"rank_why": "below the action level", "rank_open": ["reserve of width"]}
    due(member, name="below", is_below=True, latest_on=today() + 90 * DAY, **worst)
    answer = shown(signed_in, sort="rank")
    assert names(answer) == ["below", "near", "far"]
    text = text_of(answer)
    assert '<span class="quiet">1.</span>' in text and '<span class="quiet">3.</span>' in text
    assert "Need: below the action level." in text and "Not known: reserve of width." in text
    assert '<span class="quiet">1.</span>' not in text_of(shown(signed_in))


def test_need_names_the_run_on_area_where_list_and_file_are_read(signed_in, member):
    """The keys before it are the same or not known here, so the area alone has decided."""
    for name, area in (("small", 100.0), ("large", 200.0)):
        due(member, name=name, rank_why="not decided", run_on_m2=area)
    answer = shown(signed_in, sort="rank")
    assert names(answer) == ["large", "small"]
    # 200 m2 / 0.3048^2 = 2152.8 ft2
    need = f"not decided, run-on area {show(200.0, Kind.AREA, System.INCH_POUND)}"
    assert f"Need: {need}." in text_of(answer)
    file = signed_in.get("/due/file/", {"sort": "rank"})
    row = next(csv.DictReader(StringIO(b"".join(file.streaming_content).decode())))
    assert row["need"] == need and "ft²" in need


def test_paper_is_told_which_lines_these_are_and_what_narrowed_them(signed_in, member, monkeypatch):
    monkeypatch.setattr("registry.views.due.A_PAGE", 1)
    due(member, name="lot one", method="broom")
    due(member, name="lot two", method="broom")
    assert ("lines", "2 to 2") in shown(signed_in, page="2").context["cells"]
    cells = dict(shown(signed_in, pavement="one", method="broom").context["cells"])
    assert cells["narrowed by"] == "pavement, proposed" and "lines" not in cells
