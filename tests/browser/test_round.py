"""A round in a browser: an order is drawn to another day, and the same is done by keyboard."""

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from registry.actions.work_on_round import work_on_round
from registry.models import Membership, Round, RoundDay, WorkOrder
from tests.browser.conftest import DESK, PHONE
from tests.browser.test_every_page import faults_of
from tests.factories import MembershipFactory, SiteWindowFactory
from tests.gathering.rounds import asked, crew, keeper, order

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
TUESDAY = "2031-09-16"


@pytest.fixture
def member() -> Membership:
    org = keeper()
    crew(org)
    for n in range(2):
        order(org, n=n)
    order(org, n=2, site={"heaviest_axle_kg": 3000.0})
    return MembershipFactory(organisation=org)


@pytest.fixture
def worked_out(member) -> Round:
    row = asked(member.organisation)
    row.save()
    assert work_on_round(row.pk) == "done"
    return row


def board(page, on):
    return page.locator(f'[data-drop-on="{on}"]')


def day_of(number: str, row: Round) -> RoundDay:
    return RoundDay.objects.get(round=row, stops__order__number=number)


def test_order_is_drawn_to_another_day(open_page, member, worked_out):
    page = open_page(reverse("round_page", args=[worked_out.pk]), person=member.person)
    drawn = page.get_by_role("row", name="W-1")
    expect(drawn).to_have_count(1)
    drawn.drag_to(board(page, TUESDAY))
    expect(page.get_by_text("W-1 moved to 2031-09-16, crew A")).to_be_visible(timeout=15_000)
    expect(board(page, TUESDAY)).to_contain_text("W-1")
    new = Round.objects.get(made_from=worked_out)
    assert day_of("W-1", new).on.isoformat() == TUESDAY


def test_order_is_drawn_a_second_and_a_third_time(open_page, member, worked_out):
    """Each draw pins it; the next one takes the pin along. By the row, then by a link in it."""
    page = open_page(reverse("round_page", args=[worked_out.pk]), person=member.person)
    page.get_by_role("row", name="W-1").drag_to(board(page, TUESDAY))
    expect(page.get_by_text("W-1 moved to 2031-09-16, crew A")).to_be_visible(timeout=15_000)
    page.get_by_role("row", name="W-1").drag_to(board(page, "2031-09-17"))
    expect(page.get_by_text("W-1 moved to 2031-09-17, crew A")).to_be_visible(timeout=15_000)
    page.get_by_role("link", name="W-1", exact=True).first.drag_to(board(page, TUESDAY))
    expect(page.get_by_text("W-1 moved to 2031-09-16, crew A")).to_be_visible(timeout=15_000)
    newest = Round.objects.newest_of_each().get()
    assert day_of("W-1", newest).on.isoformat() == TUESDAY
    assert newest.pins.get().on.isoformat() == TUESDAY


def test_draw_that_breaks_a_rule_names_it_and_changes_nothing(open_page, member, worked_out):
    site = WorkOrder.objects.get(number="W-1").pavement.site
    SiteWindowFactory(site=site, hours=[[0, "07:00", "15:00"]])
    page = open_page(reverse("round_page", args=[worked_out.pk]), person=member.person)
    page.get_by_role("row", name="W-1").drag_to(board(page, TUESDAY))
    expect(page.get_by_text("Broken: inside the hours of the site.")).to_be_visible(timeout=15_000)
    assert Round.objects.count() == 1


def test_draw_onto_a_locked_day_names_the_lock(open_page, member, worked_out):
    """And back on the page, the next draw is made."""
    page = open_page(reverse("round_page", args=[worked_out.pk]), person=member.person)
    page.get_by_role("row", name="W-1").drag_to(board(page, TUESDAY))
    expect(page.get_by_text("W-1 moved to 2031-09-16, crew A")).to_be_visible(timeout=15_000)
    page.get_by_role("button", name="Lock crew A on 2031-09-16").click()
    expect(board(page, TUESDAY)).to_contain_text("locked", timeout=15_000)
    page.get_by_role("row", name="W-0").drag_to(board(page, TUESDAY))
    expect(page.get_by_text("Broken: locked days stay as they are.")).to_be_visible(timeout=15_000)
    page.go_back()
    page.get_by_role("row", name="W-0").drag_to(board(page, "2031-09-17"))
    expect(page.get_by_text("W-0 moved to 2031-09-17, crew A")).to_be_visible(timeout=15_000)


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_order_is_moved_without_a_mouse(open_page, member, worked_out, size):
    path = reverse("round_page", args=[worked_out.pk])
    page = open_page(path, person=member.person, size=size)
    page.get_by_role("link", name="Move or pin W-1").focus()
    page.keyboard.press("Enter")
    day = page.get_by_label("day", exact=True)
    day.fill(TUESDAY, timeout=15_000)
    day.press("Enter")
    expect(page.get_by_text("W-1 moved to 2031-09-16, crew A")).to_be_visible(timeout=15_000)


def test_search_is_watched_and_stopped(open_page, member):
    row = asked(member.organisation)
    row.save()
    path = reverse("round_page", args=[row.pk])
    page = open_page(path, person=member.person, size=PHONE)
    expect(page.get_by_text("It waits for its turn and begins by itself.")).to_be_visible()
    Round.objects.update(state="working", iterations_done=1200, seconds_done=3.0, best_so_far=741)
    expect(page.get_by_text("1200 steps in 3 seconds.")).to_be_visible(timeout=15_000)
    page.get_by_role("button", name="Stop").click()
    expect(page.get_by_text("It was asked to stop.")).to_be_visible(timeout=15_000)
    assert Round.objects.get().stop_asked


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_pages_are_accessible_and_fit(open_page, member, worked_out, size):
    one, org = worked_out.pk, member.organisation_id
    first = WorkOrder.objects.get(number="W-1").pk
    waiting = asked(member.organisation)
    waiting.save()
    paths = [
        reverse("round_list", args=[org]), reverse("round_add", args=[org]),
        reverse("round_page", args=[one]), reverse("round_order", args=[one, first]),
        reverse("round_call_off", args=[one]), reverse("round_take_over", args=[one]),
        reverse("round_page", args=[waiting.pk]),
    ]  # fmt: skip
    page = open_page(paths[0], person=member.person, size=size)
    faults = {}
    for path in paths:
        assert page.goto(path).ok, path
        if found := faults_of(page, size):
            faults[path] = found
    assert faults == {}
