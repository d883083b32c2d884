"""A work order that is done is a cleaning on record: the outlook is another in the same moment."""

from datetime import timedelta

import pytest
from django.utils import timezone

from registry.actions.call_off_work_order import call_off_work_order
from registry.actions.check_work_order import check_work_order
from registry.actions.do_work_order import do_work_order
from registry.actions.invent_portfolio import invent_portfolio
from registry.actions.refresh_outlooks import refresh_outlooks
from registry.actions.void_entry import void_entry
from registry.models import Cleaning, Outlook
from tests import factories

pytestmark = pytest.mark.django_db
NOBODY = {"by": None, "organisation": None}


@pytest.fixture
def today():
    return timezone.localdate()


@pytest.fixture
def order(today):
    """A dated order at the pavement of a fitted pool that lies below its level most likely."""
    owner = invent_portfolio(pavements=12, seed=5, as_of=today)
    list(refresh_outlooks(as_of=today))
    rows = Outlook.objects.filter(why_not="", worst_p_below__lt=0.999).order_by("-worst_p_below")
    return factories.WorkOrderFactory(
        pavement=rows.first().pavement, organisation=owner, method="wash_and_vacuum",
        state="dated", dated_for=today,
    )  # fmt: skip


def outlook(order):
    return Outlook.objects.get(pavement=order.pavement)


def done(order, today, **fields):
    row = Cleaning(method=order.method, done_on=today, state="done", **fields)
    return do_work_order(order, cleaning=row, **NOBODY)


def test_done_order_takes_its_share_of_clogging_away_at_once(order, today):
    before = outlook(order)
    done(order, today)
    after = outlook(order)
    recovery = before.fit.parameters["recovery"]["wash_and_vacuum"]
    # a cleaning of the very day counts as done: V+ = (1 - r) V-, V- taken at noon of that day
    noon = before.effective_age_yr + 0.5 / 365.25
    assert after.effective_age_yr == pytest.approx((1 - recovery) * noon, rel=1e-6)
    assert after.worst_p_below < before.worst_p_below
    told = next(m for m in before.by_method if m["method"] == "wash_and_vacuum")
    assert after.p_below == pytest.approx(told["p_below"], rel=0.01)
    assert after.fit == before.fit  # no refit: the parameters stay until the worker's next


def test_void_entry_gives_the_clogging_back(order, today):
    before = outlook(order)
    void_entry(done(order, today), why="another lot", **NOBODY)
    after = outlook(order)
    assert (after.effective_age_yr, after.worst_p_below) == pytest.approx(
        (before.effective_age_yr, before.worst_p_below)
    )


def test_turned_away_changes_nothing(order, today):
    before = outlook(order)
    event = Cleaning(state="turned_away", done_on=today, why_not="14 cars", cost=350)
    call_off_work_order(order, event=event, **NOBODY)
    assert outlook(order).effective_age_yr == before.effective_age_yr


def test_check_with_a_test_after_it_moves_the_outlook_again(order, today):
    done(order, today - timedelta(days=2))
    before = outlook(order)
    spot = order.pavement.spots.first()
    newest = order.pavement.infiltration_tests.order_by("-started_on").first()
    test = factories.InfiltrationTestFactory(
        pavement=order.pavement, spot=spot, started_on=today, method=newest.method,
        seconds=40.0, rain_within_24_h="no",
    )  # fmt: skip
    check_work_order(
        order, verdict="accepted", on=today, checked_by="M. Ferrand", after_tests=[test], **NOBODY
    )
    assert order.state == "accepted"
    assert outlook(order).worst_p_below != before.worst_p_below
