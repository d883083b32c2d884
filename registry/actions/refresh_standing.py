"""Work out the condition of pavements anew and keep it for lists."""

import hashlib
import json
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field
from datetime import date
from zoneinfo import ZoneInfo

from django.db import transaction
from django.db.models import Q
from django.utils import timezone

from registry.actions.judge_tests import judge_tests
from registry.actions.queue_work import queue_dues_at, queue_dues_kept_by, queue_standings
from registry.actions.refresh_callback import OF_A_CALLBACK, refresh_callbacks_of
from registry.actions.refresh_dues import refresh_dues
from registry.actions.refresh_outlooks import refresh_outlook_of
from registry.gathering.condition import PavementCondition, condition_of
from registry.gathering.due import TestDue, first_test, next_test
from registry.gathering.due_rows import FINDING
from registry.gathering.water import TELLING
from registry.gathering.word_limits import WHOSE
from registry.measuring.condition import USABLE_MONTHS
from registry.measuring.word_limits import first_day_without
from registry.models import (
    Cleaning,
    Criteria,
    Defect,
    HandOver,
    InfiltrationTest,
    Load,
    Machine,
    Observation,
    Panel,
    Pavement,
    PavementStanding,
    Price,
    RuleSetting,
    RunOnArea,
    Season,
    SeasonDay,
    Seat,
    Site,
    Spot,
    Spread,
    Stratum,
    Warranty,
)
from registry.models.entry import Entry

VIEWPOINTS = ("holder", "town")
REJUDGED = (InfiltrationTest, Cleaning, Spot, Panel, Pavement)
"""Entries after whose change the tests of the pavement are judged anew."""

FORETELLING = (*REJUDGED, Criteria, RunOnArea, Stratum)
"""Entries after whose change the outlook is another: readings and ages, action level, areas."""


OF_A_HOUSE = (Season, SeasonDay, Price, Machine, RuleSetting)
"""Entries of an organisation after whose change another thing may be due at all it keeps."""

OF_LOADS = (Load, Spread, HandOver, Warranty)
"""Entries that say which load lies where, and whether its work was handed over."""


@dataclass
class _Waiting:
    """What changed while `refreshed_at_the_end` is open: kinds of rows by pavement, and where more
    than one pavement hangs on it.
    """

    kinds: dict[int, set[type[Entry]]] = field(default_factory=dict)
    houses: set[int] = field(default_factory=set)
    rulers: set[int] = field(default_factory=set)
    sites: set[int] = field(default_factory=set)


_waiting: ContextVar[_Waiting | None] = ContextVar("waiting", default=None)


def refresh_after(row: Entry) -> None:
    """Bring everything derived from a row up to date, in the same transaction as its change.

    What hangs on an entry of an organisation or a site is queued: it may be thousands.
    """
    waiting = _waiting.get()
    changed = _Waiting() if waiting is None else waiting
    if isinstance(row, RuleSetting):
        changed.rulers.add(row.organisation_id)
    if isinstance(row, OF_A_HOUSE):
        changed.houses.add(row.organisation_id)
    if isinstance(row, Site):
        changed.sites.add(row.pk)
    if waiting is None:
        _queue(changed)
    if isinstance(row, OF_A_CALLBACK):
        refresh_callbacks_of(row)
        return
    if isinstance(row, Warranty):
        refresh_callbacks_of(row)
    if isinstance(row, Observation):
        refresh_after_defect(row.defect)
        return
    pavement_id = _pavement_of(row)
    if pavement_id is None:
        return
    if waiting is None:
        _refresh(pavement_id, {type(row)})
    else:
        waiting.kinds.setdefault(pavement_id, set()).add(type(row))


def _pavement_of(row: Entry) -> int | None:
    if isinstance(row, Spread):
        row = row.load
    if isinstance(row, Load):
        return row.placing_day.pavement_id
    return row.pk if isinstance(row, Pavement) else getattr(row, "pavement_id", None)


@contextmanager
def refreshed_at_the_end() -> Iterator[None]:
    """Within, pavements are brought up to date once at the end, and not once for each row.

    For a long load in one transaction that reads nothing derived meanwhile.
    """
    waiting = _Waiting()
    before = _waiting.set(waiting)
    try:
        yield
    finally:
        _waiting.reset(before)
    for pavement_id, kinds in waiting.kinds.items():
        _refresh(pavement_id, kinds)
    _queue(waiting)


def _queue(changed: _Waiting) -> None:
    """Queue what hangs on entries of organisations and sites, once for each."""
    for organisation_id in sorted(changed.rulers):
        queue_standings(_ruled_by(organisation_id))
    for organisation_id in sorted(changed.houses):
        queue_dues_kept_by(organisation_id)
    for site_id in sorted(changed.sites):
        queue_dues_at(site_id)


def _ruled_by(organisation_id: int) -> list[int]:
    """Return the pavements whose condition word goes by what an organisation sets."""
    roles = {role for setters in WHOSE.values() for role in setters}
    seats = Seat.objects.filter(organisation=organisation_id, role__in=roles, section=None)
    return sorted(set(seats.values_list("pavement_id", flat=True)))


def _refresh(pavement_id: int, kinds: set[type[Entry]]) -> None:
    """Work out what hangs on rows of these kinds."""
    # Whoever takes the lock last sees the rows of all others, on every database.
    Pavement.objects.filter(pk=pavement_id).held().first()
    if all(issubclass(kind, OF_LOADS) for kind in kinds):
        refresh_dues([pavement_id])
        return
    if any(issubclass(kind, REJUDGED) for kind in kinds):
        judge_tests([pavement_id])
    refresh_standings([pavement_id])
    if any(issubclass(kind, FORETELLING) for kind in kinds):
        _refresh_outlook(pavement_id)
    refresh_dues([pavement_id])


def refresh_after_defect(row: Defect) -> None:
    """Bring up to date what hangs on a defect: of standing water and a clogged strip the condition,
    of dirt and growth what is due. Its pavement's tests and outlook hang on none.
    """
    if row.kind in TELLING:
        Pavement.objects.filter(pk=row.pavement_id).held().first()
        refresh_standings([row.pavement_id])
    if row.kind in FINDING:
        refresh_dues([row.pavement_id])


def _refresh_outlook(pavement_id: int) -> None:
    pavement = Pavement.objects.select_related("site").get(pk=pavement_id)
    today = timezone.now().astimezone(ZoneInfo(pavement.site.time_zone)).date()
    refresh_outlook_of(pavement, as_of=today)


@transaction.atomic
def refresh_standings(pavement_ids: Iterable[int], *, today: date | None = None) -> int:
    """Work out and store the condition of these pavements; return how many changed.

    `today` defaults to the local date at each site. The parts of a split pavement go with it.
    """
    now = timezone.now()
    changed = 0
    ids = list(pavement_ids)
    # A part's next test hangs on what its whole was tested.
    asked = Q(pk__in=ids) | Q(parent__in=ids)
    pavements = Pavement.objects.filter(asked).held().select_related("site")
    for pavement in pavements:
        local = today or now.astimezone(ZoneInfo(pavement.site.time_zone)).date()
        for viewpoint in VIEWPOINTS:
            condition = condition_of(pavement, viewpoint=viewpoint, today=local)
            changed += _store(pavement, viewpoint, condition)
    return changed


def refresh_stale_standings(*, now_on: date | None = None, at_once: int = 200) -> int:
    """Refresh conditions that the passing of time alone may have changed; return how many did.

    `now_on` defaults to today in UTC.
    """
    on = now_on or timezone.now().date()
    stale = PavementStanding.objects.filter(changes_on__lte=on)
    ids = sorted(set(stale.values_list("pavement_id", flat=True)))
    starts = range(0, len(ids), at_once)
    return sum(refresh_standings(ids[start : start + at_once]) for start in starts)


def _store(pavement: Pavement, viewpoint: str, condition: PavementCondition) -> int:
    word, lowest = condition.word, condition.lowest
    due = _due(pavement, viewpoint, condition)
    fields = {
        "changes_on": _changes_on(condition),
        "word": word.word.value,
        "reason": word.rule,
        "next_step": word.next_step,
        "lowest_mm_h": lowest.mm_h if lowest else None,
        "lowest_sign": lowest.sign if lowest else "",
        "lowest_spot": lowest.spot if lowest else "",
        "lowest_on": lowest.on if lowest else None,
        "action_rate_mm_h": condition.demand.action_mm_h,
        "last_tested_on": condition.last_tested_on,
        "next_test_due_on": due.on,
        "next_test_why": due.why,
        "strata": [
            {
                "stratum": str(w.stratum),
                "word": w.word.value,
                "rule": w.rule,
                "mm_h": w.mm_h,
                "sign": w.sign,
                "spot": w.spot,
                "on": w.on.isoformat() if w.on else None,
            }
            for w in condition.strata
        ],
    }
    digest = hashlib.sha256(json.dumps(fields, default=str, sort_keys=True).encode()).hexdigest()
    stored = PavementStanding.objects.filter(pavement=pavement, viewpoint=viewpoint)
    if stored.filter(input_digest=digest).update(as_of_on=condition.today):
        return 0
    PavementStanding.objects.update_or_create(
        pavement=pavement,
        viewpoint=viewpoint,
        defaults={**fields, "as_of_on": condition.today, "input_digest": digest},
    )
    return 1


def _due(pavement: Pavement, viewpoint: str, condition: PavementCondition) -> TestDue:
    """Return the next test; of a part that nobody tested, by what its whole was tested."""
    if condition.last_tested_on is not None:
        return next_test(condition)
    whole = None
    if pavement.parent is not None:
        whole = condition_of(pavement.parent, viewpoint=viewpoint, today=condition.today)
    return first_test(pavement, whole)


def _changes_on(condition: PavementCondition) -> date | None:
    """Return the first later day on which time alone could change the word or the next test."""
    months = int(condition.facts.limits.look_back_months.value)
    results = (r for s in condition.facts.strata for r in s.results if not r.superseded)
    days = [first_day_without(r.on, months) for r in results]
    days += [first_day_without(on, USABLE_MONTHS) for on in condition.water.rests_on]
    if condition.changes_on is not None:
        days.append(condition.changes_on)
    return min((d for d in days if d > condition.today), default=None)
