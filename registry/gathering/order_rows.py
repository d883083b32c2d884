"""Which panels and how much area an order asks for, and what is left of it to do."""

from collections.abc import Iterable

from django.db.models import F, Prefetch, Q, Subquery, prefetch_related_objects
from shapely import Polygon

from registry.models import CleanedPanel, OrderedPanel, Panel, Spot, WorkOrder
from registry.models.cleaning import CleaningQuerySet
from registry.models.panel import plan_order
from registry.once import keep, kept


def ordered_panels(order: WorkOrder) -> list[OrderedPanel]:
    """Return the panels that an order names, as they stand on a plan; none: the whole pavement."""
    rows = kept(("ordered", order.pk), lambda: tuple(order.panels.select_related("panel")))
    return sorted(rows, key=lambda row: plan_order(row.panel.name))


def fetch_rows_and_spots(order: WorkOrder) -> None:
    """Fetch the panels and spots of an order onto it, for all who ask on this page."""
    parts = Prefetch("panels", OrderedPanel.objects.select_related("panel"))
    prefetch_related_objects([order], parts, "before_spots", "after_spots")
    keep(("ordered", order.pk), tuple(order.panels.all()))


def rows_in_words(order: WorkOrder) -> dict[str, str]:
    """Return which rows and spots an order says, as a line tells of them."""
    parts = ordered_panels(order)
    names = [part.panel.name for part in parts]
    where = "the whole pavement" if order.covers_all else ", ".join(names) or order.rows_text
    return {
        "where": where,
        "twice": ", ".join(part.panel.name for part in parts if part.is_twice),
        "before_spots": _names(order.before_spots.all()),
        "after_spots": _names(order.after_spots.all()),
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
    parts = CleanedPanel.objects.filter(cleaning__in=cleanings_that_count(order))
    parts = parts.select_related("panel")
    covered = {part.panel_id for part in parts if not part.is_missed}
    asked = [row.panel for row in ordered_panels(order) if not order.covers_all]
    if order.covers_all:
        asked = list({part.panel_id: part.panel for part in parts if part.is_missed}.values())
    left = [panel for panel in asked if panel.pk not in covered]
    return sorted(left, key=lambda panel: plan_order(panel.name))


def area_to_do_m2(order: WorkOrder) -> float | None:
    """Return the area of an order: as written, else of its panels, else of the pavement.

    None where neither is known.
    """
    if order.area_m2 is not None:
        return order.area_m2
    if order.covers_all:
        return order.pavement.area_m2
    return area_of_panels_m2(row.panel for row in ordered_panels(order)) or None


def area_of_panels_m2(panels: Iterable[Panel]) -> float:
    """Return the area of panels by their corners, or by width and length where none are drawn."""
    return sum(
        float(Polygon(panel.corners).area) if panel.corners else panel.width_m * panel.length_m
        for panel in panels
    )
