"""Work a round out in the background: claim it, search, hold the plan against the rules, store it.

Safe to be done twice, and by two workers at once: a worker claims the round, shows by `worked_at`
that it lives, and stores in one transaction that only the first to end comes through. A worker that
is killed leaves nothing behind; no work order is touched here at all.
"""

from datetime import timedelta
from importlib.metadata import version
from time import monotonic

from django.db import transaction
from django.db.models import F, Q
from django.utils import timezone

from registry.actions.store_round_plan import store_plan
from registry.faults import DomainError
from registry.gathering.round_plan import RoundResult, plan_of, solve_gathered, stored_days
from registry.gathering.round_problem import RoundInput, gather_round
from registry.models import Round, RoundState
from registry.planning.rounds.plan import Plan
from registry.planning.rounds.solve import Progress

SILENT_AFTER = timedelta(minutes=2)
"""A round nobody has worked on for so long is taken to have lost its worker."""

MOST_ATTEMPTS = 3
"""A round whose worker was killed so often is the likely reason for it, and is given up."""

BY_A_PERSON = "person"


def work_on_round(round_id: int) -> str:
    """Work a round out and return its state; do nothing where it is not due."""
    row = _claim(round_id)
    if row is None:
        return "nothing to do"
    try:
        given = gather_round(row, at=timezone.now())
        begin = _begin(row, given)
        result = solve_gathered(
            row, given, clock=monotonic, on_progress=lambda p: _tell(row, p), begin=begin
        )
    except DomainError as fault:
        return _fail(row, fault.message)
    if result.found:
        named = "; ".join(f"{f.rule.value}: {f}" for f in result.found[:3])
        return _fail(row, f"The check of the plan found what must not be: {named}")
    return _store(row, result)


def _claim(round_id: int) -> Round | None:
    """Take the round on, unless somebody else is at it or nothing is to be done."""
    now = timezone.now()
    lost = Q(state=RoundState.WORKING) & (
        Q(worked_at__lt=now - SILENT_AFTER) | Q(worked_at__isnull=True)
    )
    due = Q(state=RoundState.WAITING) | lost
    taken = Round.objects.filter(due, pk=round_id).update(
        state=RoundState.WORKING,
        worked_at=now,
        begun=F("begun") + 1,
        iterations_done=0,
        seconds_done=0,
        best_so_far=None,
    )
    if not taken:
        return None
    row = Round.objects.select_related("organisation", "made_from").get(pk=round_id)
    if row.begun > MOST_ATTEMPTS:
        _fail(row, f"Begun {MOST_ATTEMPTS} times; no worker came to its end.")
        return None
    return row


def _begin(row: Round, given: RoundInput) -> Plan | None:
    """The plan of the round it is made from, to begin the search from."""
    if row.made_from is None or not row.made_from.has_a_plan:
        return None
    return plan_of(given, stored_days(row.made_from))


def _tell(row: Round, progress: Progress) -> bool:
    """Write how far the search is; say whether it is to stop."""
    Round.objects.filter(pk=row.pk).update(
        iterations_done=progress.iterations,
        seconds_done=progress.seconds or 0,
        best_so_far=progress.best_cost,
        worked_at=timezone.now(),
    )
    return Round.objects.filter(pk=row.pk, stop_asked=True).exists()


@transaction.atomic
def _store(row: Round, result: RoundResult) -> str:
    is_stopped = result.solved.stopped_by == BY_A_PERSON
    state = RoundState.STOPPED if is_stopped else RoundState.DONE
    if not _end(row, state=state, **_answer(result)):
        return "nothing to do"
    store_plan(row, result.given, result.plan)
    return str(state)


def _answer(result: RoundResult) -> dict[str, object]:
    return {
        "stopped_by": result.solved.stopped_by,
        "iterations_done": result.solved.iterations,
        "seconds_done": result.solved.seconds or 0,
        "best_so_far": result.objective["total"],
        "objective": result.objective,
        "greedy": result.greedy,
        "input_digest": result.given.digest,
        "orders_given": len(result.given.orders) + len(result.given.not_ready),
        "notes": list(result.given.notes),
    }


def _fail(row: Round, message: str) -> str:
    _end(row, state=RoundState.FAILED, message=message[:500])
    return str(RoundState.FAILED)


def _end(row: Round, **fields: object) -> bool:
    """Write the end of the work, unless another worker wrote it before."""
    now = timezone.now()
    given = {"worked_at": now, "ended_at": now, "code_version": f"pyvrp {version('pyvrp')}"}
    mine = Round.objects.filter(pk=row.pk, state=RoundState.WORKING)
    return bool(mine.update(**given | fields))
