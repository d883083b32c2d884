"""Quantities, days and condition words as the viewer reads them.

Everything stored is SI; what is shown is in the system the viewer chose, with sign and unit.
"""

from calendar import month_name
from collections.abc import Iterator
from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from django import template

from registry.measuring.spot_decline import Decline
from registry.models import Spot
from registry.models.choices import StratumKind, Word
from registry.models.pavement import ASKING
from registry.units import Kind, System, show, show_size, to_si, unit_sign

register = template.Library()


def system_of(context: template.Context) -> System:
    """Return the system to show: the one the page names, else the viewer's own.

    The page names one as `system` where it is drawn for paper.
    """
    named = context.get("system")
    if named:
        return System(named)
    request = getattr(context, "request", None)
    return System(getattr(getattr(request, "user", None), "shown_system", System.INCH_POUND))


@register.simple_tag(takes_context=True)
def rate(context: template.Context, value_mm_h: float | None, sign: str = "") -> str:
    """Show a rate in mm/h with its sign: "< 3.9 in/h"; nothing where there is no number."""
    return quantity(context, value_mm_h, "rate", sign)


@register.simple_tag(takes_context=True)
def level(context: template.Context, value_mm_h: float | None) -> str:
    """Show an action level in mm/h with one decimal: it is what a bound is read against."""
    if value_mm_h is None:
        return ""
    return show(value_mm_h, Kind.RATE, system_of(context), digits=1)


@register.simple_tag(takes_context=True)
def quantity(context: template.Context, value_si: float | None, kind: str, sign: str = "") -> str:
    """Show a quantity in SI; `kind` is a name of `registry.units.Kind` in small letters."""
    if value_si is None:
        return ""
    return show(value_si, Kind[kind.upper()], system_of(context), sign=sign)


@register.simple_tag(takes_context=True)
def size(context: template.Context, value_si: float | None, kind: str) -> str:
    """Show what a machine weighs or measures, or what must be kept, never as less than it is."""
    return "" if value_si is None else show_size(value_si, Kind[kind.upper()], system_of(context))


@register.simple_tag(takes_context=True)
def small_length(context: template.Context, value_m: float | None) -> str:
    """Show a depth, lip or width stored in metres the way tapes have it: in or mm."""
    return quantity(context, None if value_m is None else value_m * 1000, "small_length")


@register.simple_tag(takes_context=True)
def per_area(context: template.Context, per_m2: float) -> str:
    """Show a price per m2 for the unit of area that the viewer reads."""
    system = system_of(context)
    price = float(per_m2) * to_si(1.0, Kind.AREA, system)
    return f"{price:.4g} per {unit_sign(Kind.AREA, system)}"


@register.simple_tag(takes_context=True)
def unit(context: template.Context, kind: str) -> str:
    """Show the unit that quantities of a kind are shown in."""
    return unit_sign(Kind[kind.upper()], system_of(context))


@register.inclusion_tag("parts/_condition.html")
def condition(word: str | None) -> dict[str, Any]:
    """Show a condition word: mark first, then the word."""
    known = Word(word) if word else None
    return {"word": known, "asks": known in ASKING}


@register.simple_tag
def latest_decline(declines: dict[Spot, tuple[Decline, ...]], spot: Spot) -> dict[str, str]:
    """Show what a spot lost since its last restorative cleaning, in words.

    Keys are `loss`, `reaches`, and `beside`: half-life, and that its tests are of other seasons.
    """
    stretches = declines.get(spot, ())
    if not stretches:
        return {"loss": "", "reaches": "", "beside": ""}
    newest = stretches[-1]
    if newest.loss_per_year is None:
        why = newest.withheld.reason if newest.withheld else ""
        return {"loss": "not given", "reaches": why, "beside": ""}
    beside = "; ".join(_beside(newest))
    if newest.loss_per_year <= 0:
        rise = f", rises {-100 * newest.loss_per_year:.0f} %" if newest.loss_per_year < 0 else ""
        return {"loss": f"none shown{rise}", "reaches": "no date", "beside": beside}
    sign = f"{newest.sign} " if newest.sign else ""
    why_not = newest.no_date.reason if newest.no_date else ""
    reaches = f"{newest.reaches_on:%Y-%m}" if newest.reaches_on else why_not
    loss = f"{sign}{100 * newest.loss_per_year:.0f} %"
    return {"loss": loss, "reaches": reaches, "beside": beside}


def _beside(newest: Decline) -> Iterator[str]:
    if newest.half_life_years is not None:
        sign = f"{newest.time_sign} " if newest.time_sign else ""
        yield f"half-life {sign}{newest.half_life_years:.1f} yr"
    if newest.segment.months:
        names = ", ".join(month_name[month] for month in newest.segment.months)
        yield f"tests of {names}, not corrected for the season"


@register.filter
def stratum(value: str) -> str:
    """Show a stratum in words."""
    return str(StratumKind(value).label)


@register.filter
def day(value: date | None) -> str:
    """Show a day as the sheets write it: 2026-05-19."""
    return "" if value is None else f"{value:%Y-%m-%d}"


@register.filter
def at_site(value: datetime | None, zone: str) -> str:
    """Show an instant by the clock of a site: 2026-05-19 14:05."""
    return "" if value is None else f"{value.astimezone(ZoneInfo(zone)):%Y-%m-%d %H:%M}"


@register.filter
def empty_word(row: Any, field: str) -> str:
    """Say which kind of empty a field of an entry is, or nothing where it is filled."""
    return str(row.kind_of_empty(field))
