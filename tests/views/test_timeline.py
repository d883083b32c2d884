"""The timeline: everything that happened to a pavement, by dates."""

from datetime import UTC, date, datetime, timedelta

import pytest
from django.urls import reverse

from registry.actions.write_journal import write_line
from registry.models import InfiltrationTest
from registry.models.choices import Role
from tests.factories import (
    CleaningFactory,
    CriteriaFactory,
    InfiltrationTestFactory,
    MembershipFactory,
    PanelFactory,
    PavementFactory,
    SeatFactory,
    SpotFactory,
    VisitFactory,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def member():
    return MembershipFactory()


@pytest.fixture
def lot(member):
    """A lot to which one thing of every kind happened."""
    lot = PavementFactory(placed_on=date(2019, 8, 22))
    SeatFactory(
        pavement=lot,
        organisation=member.organisation,
        role=Role.MANAGER,
        from_at=datetime(2020, 1, 1, 4, 30, tzinfo=UTC),
    )
    CriteriaFactory(pavement=lot, from_on=date(2021, 7, 1), source_document="permit SW-118")
    InfiltrationTestFactory(
        pavement=lot, started_on=date(2022, 5, 2), result_rate_mm_h=99.06, result_sign="<"
    )
    CleaningFactory(
        pavement=lot, done_on=date(2022, 6, 3), state="turned_away", why_not="parked cars"
    )
    PanelFactory(pavement=lot, name="C6", exists_to_on=date(2023, 6, 3), ended_as="replaced")
    write_line(lot, "corrected", by=member.person, changes={"area_m2": ["4,800 m2", "4,800 ft2"]})
    return lot


def events(client, member, lot, query=""):
    client.force_login(member.person)
    answer = client.get(f"{reverse('pavement_timeline', args=[lot.pk])}?{query}")
    assert answer.status_code == 200
    return list(answer.context["page"])


def test_every_kind_is_told_newest_first(client, member, lot):
    told = events(client, member, lot)
    assert [e.kind for e in told] == [
        "correction",
        "panel",
        "cleaning",
        "test",
        "criteria",
        "seat",
        "placed",
    ]
    assert [e.on for e in told] == sorted((e.on for e in told), reverse=True)


def test_oldest_may_come_first(client, member, lot):
    assert events(client, member, lot, "order=oldest")[0].kind == "placed"


def test_kinds_can_be_chosen(client, member, lot):
    told = events(client, member, lot, "kind=test&kind=cleaning")
    assert {e.kind for e in told} == {"test", "cleaning"}
    assert len(events(client, member, lot, "kind=nonsense")) == 7


def test_bound_keeps_its_sign(client, member, lot):
    (told,) = events(client, member, lot, "kind=test")
    assert told.what.endswith(": < 3.9 in/h")


def test_visit_that_was_turned_away_is_told_as_no_cleaning(client, member, lot):
    (told,) = events(client, member, lot, "kind=cleaning")
    assert "turned away" in told.what
    assert "parked cars" in told.detail
    assert told.is_set_aside


def test_seat_is_dated_by_the_clock_of_the_site(client, member, lot):
    (told,) = events(client, member, lot, "kind=seat")
    assert told.on == date(2019, 12, 31)
    assert "from 23:30" in told.what


def test_correction_shows_old_and_new_as_written(client, member, lot):
    (told,) = events(client, member, lot, "kind=correction")
    assert told.detail.startswith("area: 4,800 m2 → 4,800 ft2. by ")


def test_other_changes_are_no_corrections_and_seats_are_told_once(client, member, lot):
    for verb in ("numbered", "seat given", "added", "void"):
        write_line(lot, verb, by=member.person, why="as agreed")
    (other,) = events(client, member, lot, "kind=other")
    assert other.what.endswith("numbered")
    corrections = events(client, member, lot, "kind=correction")
    assert sorted(e.what.split()[-1] for e in corrections) == ["corrected", "void"]


def test_tester_is_not_told_of_tests_by_others_nor_of_criteria(client, lot):
    tester = MembershipFactory()
    SeatFactory(pavement=lot, organisation=tester.organisation, role=Role.TESTER)
    kinds = {e.kind for e in events(client, tester, lot)}
    assert kinds & {"test", "cleaning", "criteria", "correction"} == set()


def test_panels_of_one_day_are_one_line_that_opens(client, member, lot):
    for name in ("A10", "A2", "A1"):
        PanelFactory(pavement=lot, name=name, exists_to_on=date(2024, 6, 3), ended_as="redrawn")
    told = events(client, member, lot, "kind=panel")
    assert [e.what for e in told] == [
        "3 panels drawn anew on a later plan: A1 ... A10",
        "Panel C6: replaced",
    ]
    assert told[0].each == ("A1", "A2", "A10")
    page = client.get(reverse("pavement_timeline", args=[lot.pk])).content.decode()
    assert "A1, A2, A10" in page


def test_points_are_told_in_the_units_of_the_sheets(client, member, lot):
    change = {"outline": ["", "[[3.048, 15.24]]"]}
    write_line(lot, "corrected", by=member.person, changes=change)
    details = [e.detail for e in events(client, member, lot, "kind=correction")]
    assert any("empty → R 10.0 ft U 50.0 ft" in detail for detail in details)


def test_years_without_a_test_are_named_where_tests_are_told(client, member, lot):
    InfiltrationTestFactory(pavement=lot, started_on=date(2025, 5, 2))
    InfiltrationTestFactory(pavement=lot, started_on=date(2023, 5, 2), state="planned")
    address = reverse("pavement_timeline", args=[lot.pk])
    client.force_login(member.person)
    told = "after 2022-05-02 until 2025-05-02, 3.0 years"
    assert told in client.get(address).content.decode().replace("\u2011", "-")
    assert "without a test" not in client.get(address, {"kind": "cleaning"}).content.decode()


def test_stranger_finds_no_timeline(client, lot):
    client.force_login(MembershipFactory().person)
    assert client.get(reverse("pavement_timeline", args=[lot.pk])).status_code == 404


def test_two_hundred_stand_on_a_page(client, member, lot):
    for _ in range(200):
        CleaningFactory(pavement=lot)
    assert len(events(client, member, lot)) == 200
    assert len(events(client, member, lot, "page=2")) == 7


def test_twenty_more_rows_ask_no_more_queries(
    client, member, lot, django_assert_num_queries, django_assert_max_num_queries
):
    def fill(count):
        for _ in range(count):
            InfiltrationTestFactory(pavement=lot, entered_for=member.organisation)
            CleaningFactory(pavement=lot)
            SeatFactory(pavement=lot, role=Role.SWEEPER)
            write_line(lot, "corrected", by=member.person, changes={"name": ["a", "b"]})

    fill(2)
    client.force_login(member.person)
    address = reverse("pavement_timeline", args=[lot.pk])
    with django_assert_max_num_queries(30) as few:
        client.get(address)
    fill(20)
    with django_assert_num_queries(len(few)):
        client.get(address)


def test_page_reads_the_rows_that_stand_on_it_and_no_others(client, member, lot, monkeypatch):
    read = []
    made = InfiltrationTest.from_db.__func__
    spot = SpotFactory(pavement=lot)
    for day in range(1, 29):
        InfiltrationTestFactory(pavement=lot, spot=spot, started_on=date(2024, 2, day))
    monkeypatch.setattr("registry.views.timeline.A_PAGE", 5)
    monkeypatch.setattr(
        InfiltrationTest,
        "from_db",
        classmethod(lambda cls, *row: read.append(made(cls, *row)) or read[-1]),
    )
    told = events(client, member, lot, "kind=test&page=2")
    assert [e.on.day for e in told] == [23, 22, 21, 20, 19]
    assert all(e.what.startswith(f"{spot}: ") for e in told)
    assert len(read) == 5


def test_page_of_every_kind_asks_at_most_twelve_questions(
    client, member, lot, django_assert_max_num_queries
):
    VisitFactory(pavement=lot)
    assert len(events(client, member, lot)) == 8
    with django_assert_max_num_queries(12):
        client.get(reverse("pavement_timeline", args=[lot.pk]))


def test_lines_of_one_loading_stand_as_one_with_each_below_it(client, member, lot):
    for count in range(6):
        write_line(lot, "numbered", by=member.person, changes={"name": ["", f"No. {count}"]})
    (told,) = events(client, member, lot, "kind=other")
    assert told.what == f"Record entered by {member.person}: 6 lines"
    assert [line.what.endswith("numbered") for line in told.folded] == [True] * 6
    page = client.get(f"{reverse('pavement_timeline', args=[lot.pk])}?kind=other")
    assert all(f"No. {count}" in page.content.decode() for count in range(6))


def test_few_lines_others_lines_and_those_of_another_time_are_not_folded(client, member, lot):
    for person in (member.person, MembershipFactory().person):
        for count in range(4):
            write_line(lot, "numbered", by=person, why=f"go {count}")
    assert len(events(client, member, lot, "kind=other")) == 8
    lines = list(lot.journal.filter(verb="numbered", by=member.person).order_by("pk"))
    for count in range(2):
        line = write_line(lot, "numbered", by=member.person, why=f"later {count}")
        at = lines[-1].at + timedelta(minutes=5 + count / 10)
        lot.journal.filter(pk=line.pk).update(at=at)
    assert all(not e.folded for e in events(client, member, lot, "kind=other"))


def test_corrections_stand_each_by_itself(client, member, lot):
    for count in range(6):
        write_line(lot, "corrected", by=member.person, changes={"name": ["a", f"b{count}"]})
    assert len(events(client, member, lot, "kind=correction")) == 7
