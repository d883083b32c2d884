"""Rows gathered into what stands on the days of a calendar; as many queries, however many rows.

Who may see which rows `access/calendars.py` says; here they are fetched and put into words.
"""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any

from django.db.models import (
    Case,
    Count,
    DateTimeField,
    Exists,
    F,
    OuterRef,
    Prefetch,
    Q,
    QuerySet,
    Subquery,
    Value,
    When,
    Window,
)
from django.db.models.functions import Coalesce, RowNumber

from registry.agenda import Item
from registry.gathering.crew_days_off import days_off
from registry.models import (
    Crew,
    Due,
    Pavement,
    RoundStop,
    Visit,
    VisitState,
    WorkOrder,
    WorkOrderMove,
)
from registry.models.work_order import WorkOrderQuerySet
from registry.planning.order_moves import OPEN

NOT_DATED = OPEN - {"dated"}
GIVEN_UP = ("called_off", "turned_away")
NOT_ON_A_DAY = ("asked_for", "approved", "dropped", *GIVEN_UP)
"""States in which an order stands on no day: of those given up their event tells the day."""
OF_PAVEMENT = ("name", "site__name", "site__address", "site__time_zone")
OF_ORDER = ("number", "state", "method", "dated_for", "starts_at", "latest_on", "latest_why")
FIELDS = (
    *OF_ORDER,
    "entered_at",
    "crew__name",
    "sweeper__name",
    *(f"pavement__{name}" for name in OF_PAVEMENT),
)
"""What is read of an order: a month may hold 10 000, and a whole row takes five times as long."""


@dataclass(frozen=True)
class Span:
    """The days asked for, both included, and today; `zone` is the organisation's local time."""

    first_on: date
    last_on: date
    today: date
    zone: str

    def __contains__(self, day: date | None) -> bool:
        return day is not None and self.first_on <= day <= self.last_on

    @property
    def days(self) -> tuple[date, date]:
        """Return the first and the last day."""
        return self.first_on, self.last_on


@dataclass
class Cut:
    """How many things of one kind are fetched of a day, and how many more each day has.

    most  None fetches all;  left_out  filled while the things are read
    """

    most: int | None = None
    left_out: Counter[date] = field(default_factory=Counter)

    def first(self, rows: QuerySet, day: Any, *order: Any) -> Iterator[Any]:
        """Yield the first rows of each day, which is an expression of their table."""
        if self.most is None:
            yield from rows
            return
        marked = rows.annotate(
            cut_day=day,
            nth=Window(RowNumber(), partition_by=[F("cut_day")], order_by=[*order, F("pk").asc()]),
            of_day=Window(Count("*"), partition_by=[F("cut_day")]),
        )
        for row in marked.filter(nth__lte=self.most):
            if row.nth == 1:
                self.left_out[row.cut_day] += max(0, row.of_day - self.most)
            yield row


ALL = Cut()


def calendar_items(
    span: Span,
    *,
    orders: WorkOrderQuerySet,
    kept: QuerySet[Pavement],
    crews: QuerySet[Crew],
    cut: Cut = ALL,
) -> list[Item]:
    """Return what stands on the days of a span, in no order.

    orders  that may be seen;  kept  pavements whose next days are told;  crews  whose days off are
    cut     of orders on their days, inspections and latest days, the first in a day's order
    """
    standing = orders.standing()
    return [
        *_on_days(standing, span, cut),
        *_called_off(standing, span),
        *due_visits(kept, span, cut),
        *latest_days(kept, span, cut),
        *days_off(crews, *span.days, zone=span.zone),
    ]


def with_stops(orders: WorkOrderQuerySet) -> WorkOrderQuerySet:
    """Fetch with each order `stops_in_force`: its stop of the round in force on its day."""
    return orders.prefetch_related(
        Prefetch("round_stops", queryset=_stops_in_force(), to_attr="stops_in_force")
    )


def _stops_in_force() -> QuerySet[RoundStop]:
    rows = RoundStop.objects.filter(
        day__is_in_force=True, day__on=F("order__dated_for"), day__crew=F("order__crew")
    )
    return rows.order_by("sequence")


def _on_days(orders: WorkOrderQuerySet, span: Span, cut: Cut) -> Iterator[Item]:
    """Yield orders on their days, and those that have none on their latest."""
    dated = Q(dated_for__range=span.days) & ~Q(state__in=NOT_ON_A_DAY)
    undated = Q(latest_on__range=span.days, state__in=NOT_DATED)
    rows = with_stops(orders.filter(dated | undated).for_list().only(*FIELDS))
    stops = _stops_in_force().filter(order=OuterRef("pk"))
    at = Coalesce(Subquery(stops.values("begins_at")[:1]), F("starts_at"))
    has_no_day = Q(state__in=NOT_DATED)
    clock = Case(When(has_no_day, then=Value(None)), default=at, output_field=DateTimeField())
    kind = Case(When(has_no_day, then=1), default=0)
    day = Case(When(has_no_day, then=F("latest_on")), default=F("dated_for"))
    told = (clock.asc(nulls_last=True), kind.asc(), "number", "pavement__name")
    for row in cut.first(rows, day, *told):
        if row.state not in NOT_ON_A_DAY and row.dated_for in span:
            yield order_item(row, span.today)
        if row.state in NOT_DATED and row.latest_on in span:
            yield _latest_of(row, span)


def order_item(row: WorkOrder, today: date) -> Item:
    """Return an order on its day, with the times of the round in force where there are such.

    `row` comes by `with_stops` and has a day.
    """
    assert row.dated_for is not None
    stop: RoundStop | None = next(iter(row.stops_in_force), None)  # type: ignore[attr-defined]
    return Item(
        kind="order",
        words=row.get_method_display(),
        starts_at=stop.begins_at if stop else row.starts_at,
        ends_at=stop.ends_at if stop else None,
        is_past_due=row.state == "dated" and row.dated_for < today,
        crew=str(row.crew or row.sweeper or ""),
        crew_id=row.crew_id,
        **_of_order(row, row.dated_for),
    )


def _latest_of(row: WorkOrder, span: Span) -> Item:
    assert row.latest_on is not None
    return Item(
        kind="latest",
        words=row.latest_why,
        is_past_due=row.latest_on < span.today,
        **_of_order(row, row.latest_on),
    )


def _of_order(row: WorkOrder, day: date) -> dict[str, Any]:
    site = row.pavement.site
    return {
        "title": f"{row.number} {row.pavement.name}",
        "first_on": day,
        "last_on": day,
        "zone": site.time_zone,
        "row_id": row.pk,
        "state": row.get_state_display(),
        "place": site.address or site.name,
        "page": ("work_order_page", row.pk),
        "written_at": row.entered_at,
    }


def _called_off(orders: WorkOrderQuerySet, span: Span) -> Iterator[Item]:
    """Yield days on which orders were called off or turned away, whatever became of them since."""
    rows = WorkOrderMove.objects.filter(
        order__in=orders,
        to_state__in=GIVEN_UP,
        cleaning__done_on__range=span.days,
        cleaning__void_at__isnull=True,
    ).select_related("order__pavement__site", "cleaning")
    dated = WorkOrderMove.objects.filter(
        order=OuterRef("order"), to_state="dated", pk__lt=OuterRef("pk")
    ).order_by("-pk")
    rows = rows.annotate(
        crew_then=Subquery(dated.values("crew")[:1]),
        name_then=Subquery(dated.values("crew__name")[:1]),
    )
    for row in rows:
        assert row.cleaning is not None
        told = _of_order(row.order, row.cleaning.done_on)
        told |= {"state": row.get_to_state_display(), "crew": row.name_then or ""}
        yield Item(kind="called_off", words=row.cleaning.why_not, crew_id=row.crew_then, **told)


def due_visits(kept: QuerySet[Pavement], span: Span, cut: Cut = ALL) -> Iterator[Item]:
    """Yield the next inspections, as the last visit of each pavement set them."""
    later = Visit.objects.closed().filter(
        pavement=OuterRef("pavement"), done_on__gt=OuterRef("done_on")
    )
    rows = Visit.objects.standing().exclude(state=VisitState.PLANNED)
    rows = rows.filter(pavement__in=kept, next_due_on__range=span.days).filter(~Exists(later))
    rows = rows.select_related("pavement__site")
    for row in cut.first(rows, F("next_due_on"), "pavement__name"):
        assert row.next_due_on is not None
        words = f"set by the visit of {row.done_on}"
        yield _of_pavement("visit", row, row.next_due_on, row.entered_at, span, words)


def latest_days(kept: QuerySet[Pavement], span: Span, cut: Cut = ALL) -> Iterator[Item]:
    """Yield the latest days to sweep, as what is due was last worked out."""
    rows = Due.objects.filter(pavement__in=kept, latest_on__range=span.days)
    for row in cut.first(rows.with_pavement(), F("latest_on"), "pavement__name"):
        assert row.latest_on is not None
        yield _of_pavement("sweep_by", row, row.latest_on, row.worked_out_at, span, row.latest_why)


def _of_pavement(
    kind: str, row: Visit | Due, day: date, written_at: datetime, span: Span, words: str
) -> Item:
    pavement, site = row.pavement, row.pavement.site
    return Item(
        kind=kind,
        title=pavement.name,
        first_on=day,
        last_on=day,
        zone=site.time_zone,
        row_id=row.pk,
        words=words,
        place=site.address or site.name,
        page=("pavement_page", pavement.pk),
        written_at=written_at,
        is_past_due=day < span.today,
    )
