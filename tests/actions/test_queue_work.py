"""What the worker does of its own accord: once a day, and after records came in."""

from datetime import date, timedelta

import pytest
from django.core.management import call_command
from django.utils import timezone
from django_tasks_db.models import DBTaskResult

from registry.actions.invent_portfolio import invent_portfolio
from registry.actions.queue_work import DAILY, queue_daily_work, queue_outlooks
from registry.actions.work_out_outlooks import work_out_outlooks
from registry.models import Fit, Outlook, PavementStanding
from tests.factories import OrganisationFactory, PavementFactory, StandingFactory

pytestmark = pytest.mark.django_db


def queued():
    return sorted(DBTaskResult.objects.values_list("task_path", flat=True))


def test_daily_work_is_queued_once_a_day():
    assert queue_daily_work() == len(DAILY)
    assert queue_daily_work() == 0
    DBTaskResult.objects.update(enqueued_at=timezone.now() - timedelta(hours=25))
    assert queue_daily_work() == len(DAILY)
    assert set(queued()) == {f"registry.tasks.{name}" for name in DAILY}


def test_worker_fits_foretells_and_backtests_and_does_nothing_twice():
    owner = invent_portfolio(pavements=12, seed=4, as_of=timezone.now().date())
    assert work_out_outlooks() == 12
    fit = Fit.objects.get()
    assert fit.back_test["pavements"] > 0
    assert work_out_outlooks(near=owner.pk) == 12
    assert Fit.objects.get() == fit


def test_records_that_come_in_leave_the_pools_of_others_alone():
    owner = invent_portfolio(pavements=5, seed=4, as_of=timezone.now().date())
    invent_portfolio(pavements=5, seed=5, as_of=timezone.now().date())
    assert work_out_outlooks(near=owner.pk) == 5
    assert set(Outlook.objects.values_list("pavement__entered_for", flat=True)) == {owner.pk}
    assert work_out_outlooks(near=OrganisationFactory().pk) == 0


@pytest.mark.django_db(transaction=True)
def test_worker_does_what_is_queued():
    owner = invent_portfolio(pavements=5, seed=4, as_of=timezone.now().date())
    queue_outlooks(owner.pk)
    call_command("db_worker", batch=True, interval=0, startup_delay=False, verbosity=0)
    assert Outlook.objects.count() == 5
    assert not DBTaskResult.objects.filter(status="FAILED").exists()


@pytest.mark.django_db(transaction=True)
def test_condition_that_time_has_overtaken_is_worked_out_by_the_daily_work():
    stale = StandingFactory(
        pavement=PavementFactory(), changes_on=date(2024, 2, 1), as_of_on=date(2024, 1, 1)
    )
    fresh = StandingFactory(changes_on=date(2999, 1, 1), as_of_on=date(2024, 1, 1))
    from_path = "registry.tasks.work_out_stale_standings"
    queue_daily_work()
    call_command("db_worker", batch=True, interval=0, startup_delay=False, verbosity=0)
    assert DBTaskResult.objects.get(task_path=from_path).status == "SUCCESSFUL"
    days = dict(PavementStanding.objects.values_list("pk", "as_of_on"))
    assert days[stale.pk] > date(2024, 1, 1)
    assert days[fresh.pk] == date(2024, 1, 1)
