"""A pavement's page: how it stands, what made each number, and what is not known."""

from datetime import date, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from registry.actions.judge_tests import judge_tests
from registry.actions.refresh_standing import refresh_standings
from registry.models.choices import Role
from tests.factories import (
    CleaningFactory,
    CriteriaFactory,
    DirtSourceFactory,
    InfiltrationTestFactory,
    MembershipFactory,
    NumberFactory,
    OrganisationFactory,
    PanelFactory,
    PavementFactory,
    PlanFactory,
    SeatFactory,
    SpotFactory,
    StratumFactory,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def member():
    return MembershipFactory()


@pytest.fixture
def lot():
    """A lot with an action level of 12.5 in/h and one spot on a panel."""
    lot = PavementFactory(
        name="North lot",
        site__name="Cooper's Yard",
        site__address="14 Canal St",
        placed_on=date(2023, 8, 22),
        empties={"heavy_trees": "nk", "thickness_mm": "nm"},
        as_written={"area_m2": "1,076 sq ft"},
    )
    CriteriaFactory(pavement=lot, action_rate_mm_h=317.5, source_document="permit SW-118")
    PlanFactory(pavement=lot, number=2, drawn_on=date(2023, 9, 1))
    SpotFactory(
        pavement=lot, panel=PanelFactory(pavement=lot, name="D6"), name="U", stratum="run_on_edge"
    )
    return lot


def hold(member, lot, role=Role.MANAGER, **fields):
    return SeatFactory(pavement=lot, organisation=member.organisation, role=role, **fields)


def read(lot, seconds, *, ended="drained", **fields):
    """Store a run with the readings of an 8 lb pour through a 12 in ring, and judge it."""
    row = InfiltrationTestFactory(
        pavement=lot,
        spot=lot.spots.get(),
        started_on=timezone.now().date() - timedelta(days=10),
        water=8.0,
        seconds=seconds,
        prewet_water=8.0,
        prewet_seconds=57.0,
        ended=ended,
        rain_within_24_h="no",
        **fields,
    )
    judge_tests([lot.pk])
    refresh_standings([lot.pk])
    return row


def page(client, member, lot, name="pavement_page"):
    client.force_login(member.person)
    return client.get(reverse(name, args=[lot.pk]))


def text_of(client, member, lot):
    answer = page(client, member, lot)
    assert answer.status_code == 200
    return answer.content.decode()


def test_stranger_finds_no_such_pavement(client, member, lot):
    assert page(client, member, lot).status_code == 404


def test_title_block_names_numbers_site_placing_plan_and_day(client, member, lot):
    hold(member, lot)
    NumberFactory(pavement=lot, organisation=member.organisation, number="BC-01")
    town = OrganisationFactory(name="Town of Sedgewater")
    NumberFactory(pavement=lot, organisation=town, number="PP-23-07")
    head = page(client, member, lot).context["head"]
    assert (head.title, head.under) == ("North lot", "Cooper's Yard, 14 Canal St")
    cells = dict(head.cells)
    assert cells["own number"] == "BC-01"
    assert cells["others' numbers"] == "PP-23-07 (Town of Sedgewater)"
    assert cells["placed on"] == "2023-08-22"
    assert cells["plan"] == "plan 2, 2023-09-01"
    assert date.fromisoformat(cells["as of"])


def test_condition_word_stands_with_value_spot_date_level_and_rule(client, member, lot):
    hold(member, lot)
    test = read(lot, 1800, ended="stopped", water_left=2.0)
    text = text_of(client, member, lot)
    for part in (
        "#clean",
        "&lt; 3.9 in/h",
        "at U",
        f"{test.started_on:%Y-%m-%d}",
        "12.5 in/h",
        "A usable result is below the action level",
        "Restorative cleaning this season.",
    ):
        assert part in text
    assert "12.5 in/h. A usable" in " ".join(text.split())


def test_number_opens_to_readings_formula_constant_and_date(client, member, lot):
    hold(member, lot)
    read(lot, 352)
    (row,) = page(client, member, lot).context["tests"]
    made_of = dict(row.made_of)
    assert made_of["readings"].startswith("ring 12 in, water 8 lb, 352 s, drained")
    assert made_of["formula"].startswith("I = K M / (D² t)")
    assert "K = 126 870" in made_of["constant"].replace("\u202f", " ")
    assert made_of["read on"] == f"{row.test.started_on:%Y-%m-%d}"
    assert "<details" in text_of(client, member, lot)


def test_reason_stands_where_no_number_may_be_given(client, member, lot):
    hold(member, lot)
    row = read(lot, 352, ring_is_assumed=False)
    type(row).objects.filter(pk=row.pk).update(ring=None)
    judge_tests([lot.pk])
    row.refresh_from_db()
    assert row.no_result_reason
    assert row.no_result_reason in text_of(client, member, lot)


def test_void_test_stays_in_sight_with_its_reason(client, member, lot):
    hold(member, lot)
    row = read(lot, 352)
    type(row).objects.filter(pk=row.pk).update(void_at=timezone.now(), void_why="seal leaked")
    judge_tests([lot.pk])
    text = text_of(client, member, lot)
    assert "seal leaked" in text
    assert "is-set-aside" in text


def test_plan_and_chart_are_drawn(client, member, lot):
    hold(member, lot)
    read(lot, 352)
    text = text_of(client, member, lot)
    assert text.count("<svg xmlns") == 2
    assert "plan-title" in text
    assert "rates-title" in text


def test_words_that_people_wrote_cannot_break_out_of_the_drawing(client, member, lot):
    hold(member, lot)
    lot.spots.update(name="<script>U", right_m=1.0, up_m=1.0)
    assert "<script>U" not in text_of(client, member, lot)


def test_plan_that_cannot_be_drawn_says_why_in_its_place(client, member, lot):
    hold(member, lot)
    PanelFactory(pavement=lot, name="D7")
    assert "D6 and D7 lie on each other." in text_of(client, member, lot)


def test_kinds_of_empty_are_said_in_words(client, member, lot):
    hold(member, lot)
    kinds = dict(page(client, member, lot).context["not_known"])
    assert "heavy trees" in kinds["not known"]
    assert "planned thickness" in kinds["not measured"]
    assert "accepted by" in kinds["not filled in yet"]


def test_what_was_written_stands_beside_what_is_shown(client, member, lot):
    hold(member, lot)
    assert "(written: 1,076 sq ft)" in text_of(client, member, lot)


def test_numbers_are_shown_in_the_viewers_units(client, member, lot):
    hold(member, lot)
    read(lot, 352)
    member.person.shown_system = "si"
    member.person.save(update_fields=["shown_system"])
    text = text_of(client, member, lot)
    assert "100 m²" in text
    assert "317.5 mm/h" in text
    assert "20.02 in/h, shown in the units you chose" in text


def test_contractor_is_shown_no_condition_and_only_acceptance_tests(client, member, lot):
    hold(member, lot, role=Role.CONTRACTOR)
    read(lot, 1800, ended="stopped", water_left=2.0)
    answer = page(client, member, lot)
    assert answer.context["condition"] is None
    assert answer.context["tests"] == []
    assert "no condition word is shown" in answer.content.decode()


def test_tester_sees_the_plan_and_no_criteria(client, member, lot):
    hold(member, lot, role=Role.TESTER)
    answer = page(client, member, lot)
    assert answer.context["criteria"] == []
    assert "permit SW-118" not in answer.content.decode()
    assert "plan-title" in answer.content.decode()


@pytest.mark.parametrize(
    ("role", "offered"),
    [(Role.MANAGER, True), (Role.CONTRACTOR, False), (Role.MUNICIPALITY, True)],
)
def test_links_offer_only_what_the_seat_allows(client, member, lot, role, offered):
    hold(member, lot, role=role)
    text = text_of(client, member, lot)
    assert (reverse("infiltration_test_add", args=[lot.pk]) in text) is offered


def test_open_sources_of_dirt_and_seats_are_listed(client, member, lot):
    hold(member, lot)
    DirtSourceFactory(pavement=lot, detail="bed above D9")
    text = text_of(client, member, lot)
    assert "bed above D9" in text
    assert str(member.organisation) in text


def test_cleaning_that_was_turned_away_is_shown_as_such(client, member, lot):
    hold(member, lot)
    CleaningFactory(pavement=lot, state="turned_away", why_not="parked cars")
    text = text_of(client, member, lot)
    assert "turned away" in text
    assert "parked cars" in text


def test_gain_of_a_cleaning_stands_beside_it(client, member, lot):
    hold(member, lot)
    before = read(lot, 1800, ended="stopped", water_left=2.0)
    after = read(lot, 352)
    cleaned_on = before.started_on + timedelta(days=3)
    type(after).objects.filter(pk=after.pk).update(started_on=cleaned_on + timedelta(days=3))
    CleaningFactory(pavement=lot, done_on=cleaned_on, is_restorative=True)
    CleaningFactory(pavement=lot, done_on=date(2020, 1, 1))
    judge_tests([lot.pk])
    text = text_of(client, member, lot)
    assert "U: &gt; 5.1" in text
    assert "not known" in text


def test_gain_between_tests_far_off_says_how_far_where_it_stands(client, member, lot):
    hold(member, lot)
    before = read(lot, 352)
    after = read(lot, 300)
    cleaned_on = before.started_on - timedelta(days=300)
    type(before).objects.filter(pk=before.pk).update(started_on=cleaned_on - timedelta(days=40))
    CleaningFactory(pavement=lot, done_on=cleaned_on)
    judge_tests([lot.pk])
    text = text_of(client, member, lot)
    assert "before tested 40 days earlier, after tested 300 days later" in text
    assert after.started_on == before.started_on


def test_word_without_a_result_says_which_stratum_decides(client, member, lot):
    """A stratum that nobody tested decides over one that works; its spot had no usable result."""
    hold(member, lot)
    read(lot, 60)
    SpotFactory(pavement=lot, name="W", stratum="wheel_path")
    StratumFactory(pavement=lot, kind="wheel_path")
    refresh_standings([lot.pk])
    text = " ".join(text_of(client, member, lot).split())
    assert "Stratum that decides: wheel path. Action level" in text
    assert "no usable result" in text


def test_pavement_of_which_nothing_is_known_has_a_page(client, member):
    bare = PavementFactory(area_m2=None)
    hold(member, bare)
    text = text_of(client, member, bare)
    assert "not decided" in text
    assert "none drawn yet" in text
    assert "Test the fixed points first" in text


def test_twenty_more_rows_ask_no_more_queries(
    client, member, lot, django_assert_num_queries, django_assert_max_num_queries
):
    def fill(count):
        for _ in range(count):
            read(lot, 352, entered_for=member.organisation)
            CleaningFactory(pavement=lot, entered_for=member.organisation)
            SeatFactory(pavement=lot, role=Role.SWEEPER)
            NumberFactory(pavement=lot)

    hold(member, lot)
    fill(2)
    client.force_login(member.person)
    with django_assert_max_num_queries(45) as few:
        client.get(reverse("pavement_page", args=[lot.pk]))
    fill(20)
    with django_assert_num_queries(len(few)):
        client.get(reverse("pavement_page", args=[lot.pk]))
