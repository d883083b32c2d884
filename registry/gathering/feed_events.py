"""What stands on a calendar as the events of a feed: no price, no name of a person, no gate code.

An order is one event for ever: its UID comes from the row, its SEQUENCE counts what was written of
it (moves, corrections, rounds), and what was called off or is void stays as CANCELLED.
"""

import uuid
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.db.models import Count, Max, Q, QuerySet

from registry.agenda import FeedEvent, Item
from registry.gathering.calendar import (
    GIVEN_UP,
    Span,
    due_visits,
    latest_days,
    order_item,
    with_stops,
)
from registry.gathering.crew_days_off import days_off
from registry.models import Crew, JournalLine, Pavement, RoundStop, WorkOrder
from registry.models.work_order import WorkOrderQuerySet

NAMESPACE = uuid.UUID("6f1d3a52-0c7b-5b0e-9d0e-6a4d2f1b7c90")
"""Fixed for ever: a UID must not change with the address of the server."""
NEVER_DATED = ("asked_for", "approved")
CANCELLED = (*GIVEN_UP, "dropped")
FIRST_DAY = date(2020, 1, 1)
"""From which the days are counted on which something was worked out anew."""
SUBJECTS = {"visit": "visit", "day_off": "crewholiday", "extra_shift": "extrashift"}
"""Kinds of things, and as what the journal knows their rows."""
TITLES = {
    "visit": "Inspection due: {title}",
    "sweep_by": "Latest day to sweep: {title}",
    "day_off": "{title}: not out",
    "day_called_off": "{title}: day called off",
    "extra_shift": "{title}: extra shift",
}


@dataclass(frozen=True)
class Written:
    """How often something was written of a row, and when last."""

    count: int = 0
    last_at: datetime | None = None


def feed_events(
    span: Span, *, orders: WorkOrderQuerySet, kept: QuerySet[Pavement], crews: QuerySet[Crew]
) -> list[FeedEvent]:
    """Return the events of a span: orders, next looks, latest days, days off of crews."""
    rows = orders.filter(double_of__isnull=True, dated_for__range=span.days)
    found = list(with_stops(rows.exclude(state__in=NEVER_DATED).for_list()))
    others = [
        *due_visits(kept, span),
        *latest_days(kept, span),
        *days_off(crews, *span.days, zone=span.zone),
    ]
    lines, planned = _journal(found, others), _planned(found)
    events = [
        _order(row, span, lines.get(("workorder", row.pk)), planned.get(row.pk)) for row in found
    ]
    for item in others:
        events.append(_other(item, lines.get((SUBJECTS.get(item.kind, ""), item.row_id))))
    return events


def uid_of(kind: str, row_id: int, entered_at: datetime | None) -> str:
    """Return the UID of a row (RFC 7986, 5.3: a UUID); the instant tells databases apart."""
    told = "" if entered_at is None else f"{entered_at.timestamp():.6f}"
    return str(uuid.uuid5(NAMESPACE, f"{kind} {row_id} {told}"))


def _journal(orders: Iterable[WorkOrder], others: Iterable[Item]) -> dict[tuple[str, int], Written]:
    """Return how often the journal tells of each row."""
    subjects: dict[str, list[int]] = {"workorder": [row.pk for row in orders]}
    for item in others:
        if item.kind in SUBJECTS:
            subjects.setdefault(SUBJECTS[item.kind], []).append(item.row_id)
    asked = Q()
    for kind, ids in subjects.items():
        asked |= Q(subject_kind=kind, subject_id__in=ids)
    counted = JournalLine.objects.filter(asked).order_by().values("subject_kind", "subject_id")
    return {
        (row["subject_kind"], row["subject_id"]): Written(row["n"], row["last"])
        for row in counted.annotate(n=Count("pk"), last=Max("at"))
    }


def _planned(orders: Iterable[WorkOrder]) -> dict[int, Written]:
    """Return how often each order stood in a round that was taken over."""
    rows = RoundStop.objects.filter(
        order__in=[row.pk for row in orders], day__taken_over_at__isnull=False
    )
    counted = (
        rows.order_by().values("order").annotate(n=Count("pk"), last=Max("day__taken_over_at"))
    )
    return {row["order"]: Written(row["n"], row["last"]) for row in counted}


def _order(row: WorkOrder, span: Span, lines: Written | None, planned: Written | None) -> FeedEvent:
    told = [written for written in (lines, planned) if written is not None]
    times = [written.last_at for written in told if written.last_at is not None]
    return FeedEvent(
        uid=uid_of("order", row.pk, row.entered_at),
        item=order_item(row, span.today),
        sequence=sum(written.count for written in told),
        changed_at=max([row.entered_at, *times]),
        summary=f"{row.number} {row.pavement.name}: {row.get_method_display()}",
        description=_words(row),
        is_cancelled=row.is_void or row.state in CANCELLED,
    )


def _words(row: WorkOrder) -> str:
    state = "void" if row.is_void else row.get_state_display()
    lines: dict[str, Any] = {
        "Order": f"{row.number}, {state}",
        "Method": row.get_method_display(),
        "Rows": "the whole pavement" if row.covers_all else row.rows_text,
        "Passes": row.passes,
        "Crew": row.crew,
        "Surface": "dry only" if row.must_be_dry == "yes" else "",
    }
    return "\n".join(f"{label}: {value}" for label, value in lines.items() if value)


def _other(item: Item, lines: Written | None) -> FeedEvent:
    """Return a day that is no order. Why a crew is not out (leave, illness) is the firm's own."""
    written_at = item.written_at
    assert written_at is not None
    count, last_at = (lines.count, lines.last_at) if lines else (0, None)
    is_worked_out = item.kind == "sweep_by"
    return FeedEvent(
        uid=uid_of(item.kind, item.row_id, None if is_worked_out else written_at),
        item=item,
        sequence=max((written_at.date() - FIRST_DAY).days, 0) if is_worked_out else count,
        changed_at=max(written_at, last_at or written_at),
        summary=TITLES[item.kind].format(title=item.title),
        takes_time=item.kind == "extra_shift",
    )
