"""The first page says what needs the person now, why, and by when."""

from datetime import timedelta
from zoneinfo import ZoneInfo

import pytest
from django.urls import reverse
from django.utils import timezone
from django.utils.html import escape

from registry.models import Callback
from registry.models.choices import Role
from tests.factories import (
    DefectFactory,
    DirtSourceFactory,
    InfiltrationTestFactory,
    MembershipFactory,
    ObservationFactory,
    PavementFactory,
    SeatFactory,
    SiteFactory,
    StandingFactory,
    VisitFactory,
    WorkOrderFactory,
)

pytestmark = pytest.mark.django_db


def today():
    """The day at the sites of these tests, which in the evening is not yet that of UTC."""
    return timezone.localdate(timezone=ZoneInfo(SiteFactory.time_zone))


@pytest.fixture
def member():
    return MembershipFactory()


def held(member, role=Role.MANAGER, **standing):
    """A pavement at which the member's organisation has a seat, with its stored condition."""
    seat = SeatFactory(organisation=member.organisation, role=role)
    if standing:
        StandingFactory(pavement=seat.pavement, **standing)
    return seat.pavement


def shown(client, member):
    client.force_login(member.person)
    answer = client.get(reverse("home"))
    assert answer.status_code == 200
    return answer


def needs_of(client, member):
    return shown(client, member).context["needs"]


def test_test_that_was_due_is_overdue_with_its_reason(client, member):
    lot = held(
        member,
        next_test_due_on=today() - timedelta(days=12),
        next_test_why="a year after the last test",
        last_tested_on=today() - timedelta(days=377),
    )
    page = shown(client, member)
    (need,) = page.context["needs"].overdue
    assert (need.pavement_name, need.days in (-12, -13)) == (lot.name, True)
    text = page.content.decode()
    assert "A year after the last test" in text
    assert f"{today() - timedelta(days=377):%Y-%m-%d}" in text


def test_test_due_in_sixty_days_is_listed_and_one_in_ninety_is_not(client, member):
    near = held(member, next_test_due_on=today() + timedelta(days=50))
    held(member, next_test_due_on=today() + timedelta(days=90))
    assert [n.pavement_name for n in needs_of(client, member).ahead] == [near.name]


@pytest.mark.parametrize(
    ("word", "asks"),
    [
        ("not_working", True),
        ("restore", True),
        ("clean", True),
        ("not_decided", True),
        ("watch", False),
        ("working", False),
    ],
)
def test_only_words_that_ask_something_are_listed(client, member, word, asks):
    held(member, word=word, next_step="Restorative cleaning this season.")
    assert [n.word for n in needs_of(client, member).conditions] == ([word] if asks else [])


def test_condition_is_shown_with_value_spot_date_level_and_rule(client, member):
    held(
        member,
        word="clean",
        lowest_mm_h=99.06,
        lowest_sign="<",
        lowest_spot="U",
        lowest_on=today(),
        action_rate_mm_h=317.5,
        reason="A usable result is below the action level.",
    )
    text = shown(client, member).content.decode()
    said = f"Lowest < 3.9 in/h at U, {today():%Y-%m-%d}; action level 12.5 in/h."
    assert escape(said) in text
    assert "A usable result is below the action level." in text


def test_worst_word_comes_first(client, member):
    for word in ("not_decided", "clean", "not_working", "restore"):
        held(member, word=word)
    words = [n.word for n in needs_of(client, member).conditions]
    assert words == ["not_working", "restore", "clean", "not_decided"]


def test_doubts_are_counted_by_pavement(client, member):
    lot = held(member)
    for _ in range(3):
        InfiltrationTestFactory(pavement=lot, has_open_doubts=True, doubts=[{"code": "x"}])
    InfiltrationTestFactory(pavement=lot)
    (need,) = needs_of(client, member).doubts
    assert need.why.startswith("3 infiltration tests wait for an answer")


def test_tester_is_asked_only_about_the_testers_own_tests(client, member):
    lot = held(member, role=Role.TESTER)
    InfiltrationTestFactory(pavement=lot, has_open_doubts=True)
    assert needs_of(client, member).doubts == ()
    InfiltrationTestFactory(pavement=lot, has_open_doubts=True, entered_for=member.organisation)
    assert len(needs_of(client, member).doubts) == 1


def test_contractor_sees_the_end_of_its_warranty_and_no_condition(client, member):
    lot = held(member, role=Role.CONTRACTOR, word="clean")
    lot.seats.update(warranty_last_on=today() + timedelta(days=30))
    needs = needs_of(client, member)
    assert [n.what for n in needs.ahead] == ["Warranty ends"]
    assert needs.conditions == ()


def test_manager_sees_the_warranties_of_its_pavements(client, member):
    lot = held(member)
    SeatFactory(pavement=lot, role=Role.CONTRACTOR, warranty_last_on=today() + timedelta(days=9))
    SeatFactory(role=Role.CONTRACTOR, warranty_last_on=today() + timedelta(days=9))
    assert [n.pavement_name for n in needs_of(client, member).ahead] == [lot.name]


def test_open_source_of_dirt_stays_until_it_is_stopped(client, member):
    source = DirtSourceFactory(pavement=held(member), who_can_stop_it="landscaper")
    (need,) = needs_of(client, member).dirt
    assert "landscaper" in need.why
    source.stopped_on = today()
    source.save(update_fields=["stopped_on"])
    assert needs_of(client, member).dirt == ()


def test_municipality_sees_what_was_sent_in_and_its_own_view_of_the_condition(client, member):
    lot = held(member, role=Role.MUNICIPALITY, word="clean", viewpoint="holder")
    StandingFactory(pavement=lot, viewpoint="town", word="not_decided")
    InfiltrationTestFactory(pavement=lot, submitted_on=today())
    InfiltrationTestFactory(pavement=lot)
    needs = needs_of(client, member)
    assert [n.word for n in needs.conditions] == ["not_decided"]
    assert len(needs.sent_in) == 1


def test_a_visit_under_way_and_the_next_inspection_are_named(client, member):
    lot = held(member, role=Role.MANAGER)
    walk = VisitFactory(
        pavement=lot, entered_for=member.organisation, done_on=today(), walked_by="Ines"
    )
    [under_way] = needs_of(client, member).visits
    assert under_way.by_words == f"under way since {today()}"
    assert "Begun by Ines" in under_way.why
    walk.state = "done"
    walk.next_due_on = today() + timedelta(days=5)
    walk.save(update_fields=["state", "next_due_on"])
    needs = needs_of(client, member)
    assert needs.visits == ()
    assert [(n.what, n.days) for n in needs.ahead] == [("Inspection", 5)]


def test_a_later_visit_settles_what_an_earlier_one_set(client, member):
    lot = held(member, role=Role.MANAGER)
    VisitFactory(pavement=lot, state="done", next_due_on=today())
    assert [n.what for n in needs_of(client, member).today] == ["Inspection"]
    VisitFactory(pavement=lot, state="in_part", done_on=today())
    assert needs_of(client, member).today == ()


def test_nothing_of_others_is_listed(client, member):
    stranger = PavementFactory()
    StandingFactory(pavement=stranger, word="not_working")
    DirtSourceFactory(pavement=stranger)
    InfiltrationTestFactory(pavement=stranger, has_open_doubts=True)
    VisitFactory(pavement=stranger)
    VisitFactory(pavement=stranger, state="done", next_due_on=today())
    assert needs_of(client, member).is_empty


def test_seat_that_ended_asks_for_nothing(client, member):
    lot = held(member, word="clean")
    lot.seats.update(to_at=timezone.now() - timedelta(days=1))
    assert needs_of(client, member).is_empty


def test_empty_page_says_what_to_do_first(client, member):
    text = shown(client, member).content.decode()
    assert "No pavements yet." in text
    held(member)
    assert "Nothing needs you in the next 60 days." in shown(client, member).content.decode()


def test_more_of_a_kind_than_fit_are_named_not_hidden(client, member):
    for _ in range(21):
        held(member, word="clean")
    page = shown(client, member)
    assert len(page.context["needs"].conditions) == 20
    assert "more conditions that ask something" in page.content.decode()


def fill(member, count):
    for _ in range(count):
        lot = held(
            member,
            role=Role.MANAGER,
            word="clean",
            next_test_due_on=today(),
        )
        SeatFactory(pavement=lot, role=Role.CONTRACTOR, warranty_last_on=today())
        DirtSourceFactory(pavement=lot)
        WorkOrderFactory(pavement=lot)
        InfiltrationTestFactory(pavement=lot, has_open_doubts=True)
        VisitFactory(pavement=lot, entered_for=member.organisation)
        VisitFactory(pavement=lot, state="done", next_due_on=today())


ALL_ROLES = tuple(Role)


@pytest.mark.parametrize("roles", [(role,) for role in ALL_ROLES] + [ALL_ROLES], ids=str)
@pytest.mark.parametrize("asks", [True, False], ids=["much", "nothing"])
def test_twelve_queries_at_most_for_every_seat_and_for_all_of_them(
    client, member, roles, asks, django_assert_max_num_queries
):
    for role in roles:
        held(member, role=role, **({"word": "clean"} if asks else {}))
    if asks and Role.MANAGER in roles:
        fill(member, 2)
    client.force_login(member.person)
    with django_assert_max_num_queries(12):
        client.get(reverse("home"))


def test_twelve_queries_at_most_where_every_pavement_is_void(
    client, member, django_assert_max_num_queries
):
    for role in ALL_ROLES:
        lot = held(member, role=role)
        lot.void_at = timezone.now()
        lot.void_why = "entered twice"
        lot.save(update_fields=["void_at", "void_why"])
    client.force_login(member.person)
    with django_assert_max_num_queries(12):
        page = client.get(reverse("home"))
    assert "No pavements yet." in page.content.decode()


def test_twenty_more_rows_ask_no_more_queries(client, member, django_assert_max_num_queries):
    for role in ALL_ROLES:
        held(member, role=role, word="clean")
    fill(member, 2)
    client.force_login(member.person)
    with django_assert_max_num_queries(12) as few:
        client.get(reverse("home"))
    fill(member, 20)
    with django_assert_max_num_queries(12) as many:
        client.get(reverse("home"))
    assert len(many) == len(few)


def test_first_of_each_kind_are_those_in_its_own_order_although_fetched_together(client, member):
    """Due tests and words that ask come by one query: neither may push the other out."""
    for days in range(25):
        held(member, word="watch", next_test_due_on=today() + timedelta(days=days + 1))
    for n in range(25):
        held(member, word="clean", lowest_mm_h=500.0 - n, lowest_on=today())
    held(member, word="clean")
    needs = needs_of(client, member)
    assert [n.days for n in needs.ahead][:2] in ([1, 2], [2, 3])
    assert len(needs.ahead) == len(needs.conditions) == 20
    assert "Lowest 19 in/h" in needs.conditions[0].why, "476 mm/h, the lowest"
    assert len(needs.more) == 2


def test_planned_test_and_one_sent_in_stand_in_their_own_lists(client, member):
    kept, reviewed = held(member), held(member, role=Role.MUNICIPALITY)
    InfiltrationTestFactory(
        pavement=kept, state="planned", entered_for=member.organisation, started_on=today()
    )
    for days in (3, 1, 2):
        InfiltrationTestFactory(pavement=reviewed, submitted_on=today() - timedelta(days=days))
    needs = needs_of(client, member)
    assert [n.pavement_name for n in (*needs.overdue, *needs.today, *needs.ahead)] == [kept.name]
    sent = [n.why.partition(", sent ")[2] for n in needs.sent_in]
    assert sent == [f"{today() - timedelta(days=days):%Y-%m-%d}." for days in (1, 2, 3)]


def test_high_lip_on_an_accessible_route_is_to_be_made_safe_today(client, member):
    defect = DefectFactory(
        pavement=held(member, word="working"),
        kind="lip",
        place="C8 R 1.0 U 2.0",
        on_accessible_route="yes",
    )
    ObservationFactory(defect=defect, lip_m=0.010)
    client.force_login(member.person)
    page = client.get(reverse("home")).content.decode()
    assert "Make safe today" in page
    assert "C8 R 1.0 U 2.0" in page


def test_sweeper_is_told_the_day_of_its_order_and_led_to_it(client, member):
    lot = held(member, role=Role.SWEEPER)
    day = today() + timedelta(days=3)
    order = WorkOrderFactory(
        pavement=lot, sweeper=member.organisation, state="dated", dated_for=day, number="W-7"
    )
    WorkOrderFactory(pavement=lot, state="dated", dated_for=day)
    page = shown(client, member)
    assert [(n.what, n.by_on) for n in page.context["needs"].ahead] == [("Sweep by order W-7", day)]
    assert reverse("work_order_page", args=[order.pk]) in page.content.decode()


@pytest.mark.parametrize(
    ("state", "keeper", "sweeper"),
    [
        ("asked_for", "Approve order", None),
        ("approved", "Give order", "Give order"),
        ("done", "Check order", None),
        ("paid", None, None),
    ],
)
def test_an_order_asks_its_keeper_and_its_sweeper_for_their_own_steps(
    client, member, state, keeper, sweeper
):
    given = MembershipFactory()
    lot = held(member)
    SeatFactory(pavement=lot, organisation=given.organisation, role=Role.SWEEPER)
    WorkOrderFactory(pavement=lot, sweeper=given.organisation, state=state)
    for one, told in ((member, keeper), (given, sweeper)):
        found = [n.what[: len(told or "")] for n in needs_of(client, one).orders]
        assert found == ([told] if told else [])


def test_a_callback_without_a_day_by_its_terms_is_not_silent(client, member):
    lot = held(member, role=Role.CONTRACTOR)
    give_callback(lot, contractor=member.organisation, number="CB-7", state="visit_set")
    assert [n.what for n in needs_of(client, member).claims] == ["Callback CB-7"]


@pytest.mark.parametrize(("state", "count"), [("evaluator_named", 1), ("visit_set", 0)])
def test_an_evaluator_is_told_where_it_is_named(client, member, state, count):
    lot = held(member, role=Role.EVALUATOR)
    give_callback(lot, contractor=SeatFactory().organisation, number="CB-9", state=state)
    assert len(needs_of(client, member).claims) == count


def give_callback(pavement, **given):
    return Callback.objects.create(pavement=pavement, claim="loose stones", **given)


def test_a_producer_who_reads_no_pavement_is_told_so(client, member):
    held(member, role=Role.PRODUCER)
    assert "No pavement is shown to your seat" in shown(client, member).content.decode()
