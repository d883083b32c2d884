"""What a crew has to know of a stop, in words: site, way in, hours, limits, what is to do there."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from zoneinfo import ZoneInfo

from registry.gathering.order_rows import area_at_hand_m2
from registry.models import DumpPlace, Panel, SiteWindow, WaterPoint, WindowKind, WorkOrder
from registry.models.panel import plan_order
from registry.units import Kind, System, show, show_limit, show_size

WHOLE = "the whole pavement"


@dataclass(frozen=True)
class StopWords:
    """A stop at an order's pavement; what is not known is empty.

    window, noise, closed   hours of the site on that day's season
    height, axle, way_in    limits of the site, in the units asked for
    """

    order: str
    pavement: str
    site: str
    address: str
    entrance: str
    contact: str
    window: str
    noise: str
    closed: str
    gate: str
    height: str
    axle: str
    way_in: str
    cars_out_by: str
    notice: str
    method: str
    rows: str
    area: str
    passes: str
    surface: str
    lowest: str
    do_not: tuple[str, ...]

    @property
    def access_notes(self) -> str:
        """Return how one gets in and what to mind there, on one line."""
        parts = {
            "entrance": self.entrance,
            "gate": self.gate,
            "hours": self.window,
            "noise": self.noise,
            "closed": self.closed,
            "height": self.height,
            "axle": self.axle,
            "way in": self.way_in,
            "cars out by": self.cars_out_by,
            "notice posted": self.notice,
        }
        return "; ".join(f"{label}: {words}" for label, words in parts.items() if words)


def stop_words(order: WorkOrder, on: date, system: System, rest: Sequence[Panel] = ()) -> StopWords:
    """Return the words of a stop on a day. `order` comes by `crew_day.with_site_facts`.

    rest   the panels still to do, where a part of the order was done before
    """
    area_m2 = area_at_hand_m2(order, rest)
    site = order.pavement.site
    posted = order.notice_posted_at
    hours = {kind: _hours(order, on, kind) for kind in WindowKind.values}
    return StopWords(
        order=order.number,
        pavement=order.pavement.name,
        site=site.name,
        address=site.address,
        entrance=site.entrance,
        contact=order.contact,
        window=hours[WindowKind.ACCESS] or site.access_hours,
        noise=hours[WindowKind.NOISE] or site.noise_hours,
        closed=hours[WindowKind.CLOSED],
        gate=site.gate,
        height=_limit(site.clearance_m, Kind.LENGTH, system),
        axle=_limit(site.axle_limit_kg, Kind.MASS, system),
        way_in=_limit(site.way_in_width_m, Kind.LENGTH, system),
        cars_out_by=order.cars_out_by,
        notice=f"{posted.astimezone(ZoneInfo(site.time_zone)):%Y-%m-%d %H:%M}" if posted else "",
        method=order.get_method_display(),
        rows=rest_in_words(rest) if rest else rows_in_words(order),
        area=show(area_m2, Kind.AREA, system) if area_m2 else "",
        passes=str(order.passes or ""),
        surface="dry only" if order.must_be_dry == "yes" else "",
        lowest=_least(order.lowest_c, Kind.TEMPERATURE, system),
        do_not=tuple(order.do_not_in_words),
    )


def rows_in_words(order: WorkOrder) -> str:
    """Return which rows are to do: as written, else the panels by name, else the whole."""
    if order.covers_all:
        return WHOLE
    parts = sorted(order.panels.all(), key=lambda part: plan_order(part.panel.name))
    return order.rows_text or ", ".join(str(part) for part in parts)


def rest_in_words(rest: Iterable[Panel]) -> str:
    """Return what is still to do of an order of which a part was done."""
    return f"the rest: {', '.join(panel.name for panel in rest)}"


def place_words(place: DumpPlace | WaterPoint) -> str:
    """Return what a crew has to know of a dump place or water point, on one line."""
    parts = [place.address, place.hours_in_words or "hours not written"]
    if place.permit:
        parts.append(f"permit {place.permit}")
    if isinstance(place, DumpPlace):
        parts.append("takes wash water" if place.takes_wash_water else "no wash water")
    return "; ".join(part for part in parts if part)


def _hours(order: WorkOrder, on: date, kind: str) -> str:
    told = [w for w in order.pavement.site.windows.all() if _holds(w, order, on, kind)]
    return "; ".join(
        f"{w.hours_in_words} ({w.because})" if w.because else w.hours_in_words for w in told
    )


def _holds(window: SiteWindow, order: WorkOrder, on: date, kind: str) -> bool:
    return (
        window.kind == kind
        and not window.is_void
        and window.double_of_id is None
        and window.pavement_id in (None, order.pavement_id)
        and (window.from_on is None or window.from_on <= on)
        and (window.to_on is None or window.to_on > on)
    )


def _limit(value_si: float | None, kind: Kind, system: System) -> str:
    return "" if value_si is None else show_limit(value_si, kind, system)


def _least(value_si: float | None, kind: Kind, system: System) -> str:
    return "" if value_si is None else show_size(value_si, kind, system)
