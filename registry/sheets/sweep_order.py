"""A work order gathered into the words of its sheet."""

from datetime import date
from typing import Any
from zoneinfo import ZoneInfo

from django.db.models import F

from registry.gathering.order_picture import swept_areas
from registry.gathering.order_rows import (
    area_of_panels_m2,
    area_to_do_m2,
    ordered_panels,
    rest_of_orders,
)
from registry.gathering.stop_words import rest_in_words
from registry.models import Pavement, SiteWindow, WindowKind, WorkOrder
from registry.plan import Layout
from registry.sheets.box import SheetError
from registry.sheets.contents import Heading, SweepContent, SweepOrder
from registry.units import Kind, System, show, show_limit, show_size


def next_order(pavement: Pavement) -> WorkOrder:
    """Return the open order of a pavement that comes first. Raises SheetError where none is."""
    rows = pavement.work_orders.open().select_related("crew", "dump_place", "water_point")
    first = rows.order_by(
        F("dated_for").asc(nulls_last=True), F("latest_on").asc(nulls_last=True), "pk"
    ).first()
    if first is None:
        raise SheetError(
            "This pavement has no open work order. Ask for one first, or print the sheet blank."
        )
    return first


def sweep_content(
    order: WorkOrder,
    heading: Heading,
    layout: Layout | None,
    printed_on: date,
    *,
    shows_price: bool = True,
) -> SweepContent:
    """Return what the sheet of an order says; the price is left out where it may not be shown."""
    words = SweepOrder(
        number=order.number,
        asked_by=order.asked_by,
        approved_by=order.approved_by,
        approved_on=_day(order.approved_on),
        price=_price(order) if shows_price else "as agreed",
        dated_for=_day(order.dated_for),
        crew=str(order.crew or order.sweeper or ""),
        **_site_words(order, heading.system, printed_on),
        **_work_words(order, heading.system),
        before_spots=_names(order.before_spots.all()),
        before_tests="" if order.before_spots.exists() else "none",
        after_spots=_names(order.after_spots.all()),
        after_due=_day(order.after_test_due_on),
    )
    return SweepContent(heading, layout, words, swept_areas(order, layout, printed_on))


def _site_words(order: WorkOrder, system: System, on: date) -> dict[str, Any]:
    site, dump = order.pavement.site, order.dump_place
    windows = [
        w
        for w in site.windows.standing().on(order.dated_for or on)
        if w.pavement_id in (None, order.pavement_id)
    ]
    posted = order.notice_posted_at
    zone = ZoneInfo(site.time_zone)
    is_decant = dump is not None and dump.takes_wash_water
    where = f"{dump}, {dump.hours_in_words}".rstrip(", ") if dump else site.dump_place
    point = order.water_point
    water = f"{point}, permit {point.permit or 'not written'}" if point else site.water_point
    return {
        "entrance": site.entrance,
        "contact": order.contact,
        "window": _hours(windows, WindowKind.ACCESS) or site.access_hours,
        "noise": _hours(windows, WindowKind.NOISE) or site.noise_hours,
        "gate": site.gate,
        "height": _limit(site.clearance_m, Kind.LENGTH, system),
        "axle": _limit(site.axle_limit_kg, Kind.MASS, system),
        "cars_out_by": order.cars_out_by,
        "notice": f"{posted.astimezone(zone):%Y-%m-%d %H:%M}" if posted else "",
        "water_point": water,
        "dump": where,
        "decant": str(dump) if is_decant else "",
    }


def _work_words(order: WorkOrder, system: System) -> dict[str, Any]:
    rest = rest_of_orders([order]).get(order.pk)
    area_m2 = area_of_panels_m2(rest) if rest else area_to_do_m2(order)
    rows = "the whole pavement" if order.covers_all else order.rows_text.removeprefix("rows ")
    if rest:
        rows = rest_in_words(rest)
    if not rows:
        rows = ", ".join(str(part) for part in ordered_panels(order))
    sized = f", {_measure(area_m2, Kind.AREA, system)}" if area_m2 else ""
    return {
        "method": order.get_method_display(),
        "rows": f"{rows}{sized}",
        "passes": str(order.passes or ""),
        "pattern": order.pattern,
        "must_be_dry": order.must_be_dry if order.must_be_dry in ("yes", "no") else "",
        "lowest": _least(order.lowest_c, Kind.TEMPERATURE, system),
        "do_not": tuple(order.do_not_in_words),
    }


def _price(order: WorkOrder) -> str:
    if order.price_agreed is None:
        return ""
    basis = order.get_price_basis_display() if order.price_basis else ""
    return ", ".join(filter(None, (f"{order.price_agreed}", basis)))


def _hours(windows: list[SiteWindow], kind: str) -> str:
    return "; ".join(w.hours_in_words for w in windows if w.kind == kind)


def _limit(value_si: float | None, kind: Kind, system: System) -> str:
    return "" if value_si is None else show_limit(value_si, kind, system)


def _least(value_si: float | None, kind: Kind, system: System) -> str:
    return "" if value_si is None else show_size(value_si, kind, system)


def _measure(value_si: float | None, kind: Kind, system: System) -> str:
    return "" if value_si is None else show(value_si, kind, system)


def _day(day: date | None) -> str:
    return day.isoformat() if day else ""


def _names(spots: object) -> str:
    return ", ".join(f"{spot.name} ({spot.place})" if spot.place else spot.name for spot in spots)  # type: ignore[attr-defined]
