"""Which panels and how much area an order asks for, and what is left of it to do."""

from collections.abc import Iterable, Sequence

from django.db.models import F, OuterRef, Q, QuerySet, Subquery
from shapely import Polygon

from registry.gathering.layouts import keep_plans, link_cuts
from registry.models import (
    CleanedPanel,
    Cleaning,
    OrderedPanel,
    Panel,
    Spot,
    WorkOrder,
    WorkOrderMove,
)
from registry.models.cleaning import CleaningQuerySet
from registry.models.panel import plan_order
from registry.models.together import together
from registry.once import is_page_open, keep, kept


def ordered_panels(order: WorkOrder) -> list[OrderedPanel]:
    """Return the panels that an order names, as they stand on a plan; none: the whole pavement."""
    rows = kept(("ordered", order.pk), lambda: tuple(order.panels.select_related("panel")))
    return sorted(rows, key=lambda row: plan_order(row.panel.name))


def spots_of(order: WorkOrder) -> tuple[Sequence[Spot], Sequence[Spot]]:
    """Return the spots to be tested before, and those to be tested after."""
    return kept(
        ("order spots", order.pk),
        lambda: (list(order.before_spots.all()), list(order.after_spots.all())),
    )


def swept_parts(order: WorkOrder) -> tuple[CleanedPanel, ...]:
    """Return the panels that the cleanings of an order covered or missed, those to redo too."""
    rows = _swept(order.cleanings.done()).select_related("panel")
    return kept(("swept", order.pk), lambda: tuple(rows))


def _swept(cleanings: CleaningQuerySet) -> QuerySet[CleanedPanel]:
    return CleanedPanel.objects.filter(cleaning__in=cleanings).order_by("pk")


def fetch_order_parts(order: WorkOrder) -> None:
    """Fetch the plan, panels, spots and sweeping of an order by one question, for this page."""
    if not is_page_open():
        return
    pavement = order.pavement
    plans, panels, ordered, before, after, swept, counting = together(
        pavement.plans.standing(),
        pavement.panels.all(),
        OrderedPanel.objects.filter(order=order),
        order.before_spots.all(),
        order.after_spots.all(),
        _swept(order.cleanings.done()),
        _swept(cleanings_that_count(order)),
    )
    named = link_cuts(panels)
    keep_plans(pavement, plans, [p for p in panels if p.void_at is None and p.double_of_id is None])
    for part in (*ordered, *swept, *counting):
        if part.panel_id in named:
            part.panel = named[part.panel_id]
    keep(("ordered", order.pk), tuple(ordered))
    keep(("order spots", order.pk), (before, after))
    keep(("swept", order.pk), tuple(swept))
    keep(("swept and counting", order.pk), tuple(counting))


def rows_in_words(order: WorkOrder) -> dict[str, str]:
    """Return which rows and spots an order says, as a line tells of them."""
    parts = ordered_panels(order)
    names = [part.panel.name for part in parts]
    where = "the whole pavement" if order.covers_all else ", ".join(names) or order.rows_text
    return {
        "where": where,
        "twice": ", ".join(part.panel.name for part in parts if part.is_twice),
        "before_spots": _names(spots_of(order)[0]),
        "after_spots": _names(spots_of(order)[1]),
    }


def _names(spots: Iterable[Spot]) -> str:
    return ", ".join(sorted((spot.name for spot in spots), key=plan_order))


def cleanings_that_count(order: WorkOrder) -> CleaningQuerySet:
    """Return the standing cleanings of an order since it was last said to be redone."""
    redo = order.moves.filter(to_state="to_redo").order_by("-at", "-pk").values("at")[:1]
    done: CleaningQuerySet = order.cleanings.done().annotate(redo_at=Subquery(redo))
    return done.filter(Q(redo_at=None) | Q(entered_at__gt=F("redo_at")))


def panels_left(order: WorkOrder) -> list[Panel]:
    """Return the panels still to do, in the order of the plan.

    Of an order by panels those that no cleaning of it has covered; of one for the whole pavement
    those that its cleanings missed, so none before the first of them.
    """
    rows = _swept(cleanings_that_count(order)).select_related("panel")
    parts = kept(("swept and counting", order.pk), lambda: tuple(rows))
    return _left(parts, None if order.covers_all else [row.panel for row in ordered_panels(order)])


def _left(parts: Iterable[CleanedPanel], asked: Iterable[Panel] | None) -> list[Panel]:
    """Return what is left of the panels asked for; of a whole pavement, None, of those missed."""
    parts = list(parts)
    if asked is None:
        asked = {part.panel_id: part.panel for part in parts if part.is_missed}.values()
    covered = {part.panel_id for part in parts if not part.is_missed}
    left = [panel for panel in asked if panel.pk not in covered]
    return sorted(left, key=lambda panel: plan_order(panel.name))


def rest_of_orders(orders: Iterable[WorkOrder]) -> dict[int, list[Panel]]:
    """Return the panels still to do of the orders of which a part was done, by order (one query).

    An order that is to be done as it was asked for is not in it.
    """
    found = {order.pk: order for order in orders}
    redo = WorkOrderMove.objects.filter(
        order=OuterRef("cleaning__work_order"), to_state="to_redo"
    ).order_by("-at", "-pk")
    rows = _swept(Cleaning.objects.done().filter(work_order__in=found))
    rows = rows.annotate(redo_at=Subquery(redo.values("at")[:1]))
    rows = rows.filter(Q(redo_at=None) | Q(cleaning__entered_at__gt=F("redo_at")))
    parts: dict[int, list[CleanedPanel]] = {}
    for part in rows.select_related("panel", "cleaning"):
        parts.setdefault(part.cleaning.work_order_id or 0, []).append(part)
    rest = {
        pk: _left(
            swept, None if found[pk].covers_all else [r.panel for r in found[pk].panels.all()]
        )
        for pk, swept in parts.items()
    }
    return {pk: left for pk, left in rest.items() if left}


def area_to_do_m2(order: WorkOrder) -> float | None:
    """Return the area of an order: as written, else of its panels, else of the pavement.

    None where neither is known.
    """
    if order.area_m2 is not None:
        return order.area_m2
    if order.covers_all:
        return order.pavement.area_m2
    return area_of_panels_m2(row.panel for row in ordered_panels(order)) or None


def area_at_hand_m2(order: WorkOrder, rest: Iterable[Panel] = ()) -> float | None:
    """Return the area of the rest of an order, else of the order, its panels fetched before."""
    if rest:
        return area_of_panels_m2(rest)
    if order.area_m2 is not None:
        return order.area_m2
    if order.covers_all:
        return order.pavement.area_m2
    return area_of_panels_m2(part.panel for part in order.panels.all()) or None


def area_of_panels_m2(panels: Iterable[Panel]) -> float:
    """Return the area of panels by their corners, or by width and length where none are drawn."""
    return sum(
        float(Polygon(panel.corners).area) if panel.corners else panel.width_m * panel.length_m
        for panel in panels
    )
