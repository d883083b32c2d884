"""A round is worked out in the background, checked, stored once; no order is touched."""

from dataclasses import replace
from datetime import timedelta

import pytest
from django.utils import timezone
from django_tasks_db.models import DBTaskResult

from registry.actions import work_on_round as working
from registry.actions.ask_for_round import ask_for_round
from registry.actions.stop_round import CannotStopRound, stop_round
from registry.actions.take_up_lost_work import take_up_lost_work
from registry.actions.work_on_round import MOST_ATTEMPTS, SILENT_AFTER, work_on_round
from registry.models import JournalLine, Round, RoundDay, RoundState, TravelTable, WorkOrder
from registry.planning.rounds.check_found import Found
from registry.planning.rounds.faults import RoundError
from registry.planning.rules import Rule
from tests.factories import RoundFactory
from tests.gathering.rounds import MONDAY, asked, crew, keeper, order

pytestmark = pytest.mark.django_db
MINUTE = timedelta(minutes=1)


@pytest.fixture
def town():
    org = keeper()
    crew(org)
    order(org, n=1)
    order(org, n=2, site={"heaviest_axle_kg": 3000.0})
    order(org, n=3, passes=None)
    return org


def ask(org, **fields):
    return ask_for_round(asked(org, **fields), by=None)


def test_round_asked_for_waits_and_is_queued(town):
    row = ask(town)
    assert (row.state, row.orders_given) == (RoundState.WAITING, 3)
    job = DBTaskResult.objects.get()
    assert (job.task_path, job.args_kwargs["args"]) == ("registry.tasks.work_out_round", [row.pk])
    assert JournalLine.objects.get(subject_kind="round").verb == "asked for"


def test_round_is_stored_with_its_days_and_what_was_left_out(town):
    before = list(WorkOrder.objects.order_by("pk").values())
    row = ask(town)
    assert work_on_round(row.pk) == "done"
    row.refresh_from_db()
    assert row.objective["placed"] == row.greedy["placed"] == 1
    assert row.objective["total"] <= row.greedy["total"]
    assert (row.stopped_by, row.iterations_done) == ("iterations", 50)
    day = row.crew_days.get()
    # 0.02 degrees of longitude at 44.09 N are 1.6 km; × 1.3 at 35 km/h: 3.6 minutes, so 4.
    assert (day.on, day.is_in_force, day.driving_min) == (MONDAY, False, 8)
    stop = day.stops.get()
    assert (stop.order.number, stop.drive_min) == ("W-1", 4)
    assert day.leaves_at + timedelta(minutes=4) == stop.arrives_at == stop.begins_at
    left = {row.order.number: row for row in row.left_out.all()}
    assert {number: row.rule for number, row in left.items()} == {"W-2": "AXLE", "W-3": "SERVICE"}
    assert left["W-2"].words.startswith("At most 3000 kg")
    assert list(WorkOrder.objects.order_by("pk").values()) == before


def test_done_twice_it_is_stored_once(town):
    row = ask(town)
    assert [work_on_round(row.pk), work_on_round(row.pk)] == ["done", "nothing to do"]
    assert RoundDay.objects.count() == 1


def test_worker_that_comes_second_stores_nothing(town, monkeypatch):
    row = ask(town)
    real = working.solve_gathered

    def slow(*given, **named):
        result = real(*given, **named)
        Round.objects.filter(pk=row.pk).update(worked_at=timezone.now() - SILENT_AFTER - MINUTE)
        monkeypatch.setattr(working, "solve_gathered", real)
        assert work_on_round(row.pk) == "done"
        return result

    monkeypatch.setattr(working, "solve_gathered", slow)
    assert work_on_round(row.pk) == "nothing to do"
    assert RoundDay.objects.count() == 1


def test_nobody_takes_on_what_is_being_worked_on(town):
    row = ask(town)
    Round.objects.update(state=RoundState.WORKING, worked_at=timezone.now())
    assert work_on_round(row.pk) == "nothing to do"


def test_stop_keeps_the_best_so_far(town):
    row = ask(town, iterations=10**9)

    def stop_after_a_while(progress):
        stop_round(row, by=None)
        return Round.objects.filter(pk=row.pk, stop_asked=True).exists()

    working_tell = working._tell
    try:
        working._tell = lambda _, progress: stop_after_a_while(progress)
        assert work_on_round(row.pk) == "stopped"
    finally:
        working._tell = working_tell
    row.refresh_from_db()
    assert (row.stopped_by, row.crew_days.count()) == ("person", 1)
    with pytest.raises(CannotStopRound):
        stop_round(row, by=None)


def test_progress_is_written_down(town, monkeypatch):
    row = ask(town, iterations=3)
    told = []
    real = working._tell
    monkeypatch.setattr(working, "_tell", lambda r, p: told.append(p) or real(r, p))
    work_on_round(row.pk)
    assert told
    assert told[0].iterations == 0


def test_round_that_waits_is_stopped_before_it_begins(town):
    row = stop_round(ask(town), by=None)
    assert (row.state, row.message) == ("failed", "Stopped before the work on it began.")
    assert work_on_round(row.pk) == "nothing to do"


def test_plan_that_breaks_a_rule_is_not_stored(town, monkeypatch):
    row = ask(town)
    real = working.solve_gathered

    def careless(asked_for, given, **named):
        result = real(asked_for, given, **named)
        return replace(result, found=(Found(Rule.AXLE, "Too heavy."),))

    monkeypatch.setattr(working, "solve_gathered", careless)
    assert work_on_round(row.pk) == "failed"
    row.refresh_from_db()
    assert "the axle load is within the limit" in row.message
    assert not RoundDay.objects.exists()


def test_what_cannot_be_gathered_any_more_fails_in_words(town):
    row = ask(town)
    table = TravelTable.of([["yard", "site 1", 5], ["site 1", "x", 5]])
    table.save()
    Round.objects.update(travel=table)
    assert work_on_round(row.pk) == "failed"
    row.refresh_from_db()
    assert "no time from" in row.message


@pytest.mark.parametrize(("silent", "queued"), [(SILENT_AFTER + MINUTE, 1), (MINUTE, 0)])
@pytest.mark.parametrize("state", [RoundState.WAITING, RoundState.WORKING])
def test_silent_round_is_queued_once_more(silent, queued, state):
    RoundFactory(state=state, worked_at=timezone.now() - silent)
    assert take_up_lost_work() == DBTaskResult.objects.count() == queued


def test_round_that_kills_its_worker_again_and_again_is_given_up(town):
    row = ask(town)
    Round.objects.update(
        state=RoundState.WORKING, begun=MOST_ATTEMPTS, worked_at=timezone.now() - SILENT_AFTER * 2
    )
    assert work_on_round(row.pk) == "nothing to do"
    row.refresh_from_db()
    assert (row.state, row.message) == ("failed", "Begun 3 times; no worker came to its end.")


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"last_on": MONDAY + timedelta(days=366)}, "1 to 366 days"),
        ({"last_on": MONDAY - timedelta(days=1)}, "1 to 366 days"),
        ({"seconds": 601}, "At most 600 seconds"),
        (
            {"travel": TravelTable.of([["yard", "site 1", 5.0], ["site 1", "x", 1.0]])},
            "no time from",
        ),
    ],
)
def test_what_cannot_be_asked_is_refused(town, fields, said):
    with pytest.raises(RoundError, match=said):
        ask(town, **fields)
    assert not Round.objects.exists()


def test_without_a_crew_or_an_order_nothing_is_queued():
    org = keeper()
    with pytest.raises(RoundError, match="no crew that could be planned"):
        ask(org)
    row = crew(org)
    with pytest.raises(RoundError, match="no work order to plan"):
        ask(org)
    row.machine = None
    row.save(update_fields=["machine"])
    with pytest.raises(RoundError, match="no machine is chosen"):
        ask(org)
