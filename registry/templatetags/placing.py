"""Clocks, minutes and figures of the placing day as the viewer reads them."""

from datetime import datetime
from zoneinfo import ZoneInfo

from django import template

from registry.models import PlacingDay
from registry.placing.area_rates import AreaRate, rate_words
from registry.placing.covered import duration_words
from registry.placing.faults import NotGiven
from registry.placing.winter import WinterLoad
from registry.templatetags.quantities import system_of
from registry.units import Kind, System, show

register = template.Library()


@register.simple_tag
def clock(at: datetime | None, day: PlacingDay) -> str:
    """Show an instant by the clock at the site; its day too where it is not the placing day's."""
    if at is None:
        return "not written"
    local = at.astimezone(ZoneInfo(day.pavement.site.time_zone))
    same = local.date() == day.placed_on
    return f"{local:%H:%M}" if same else f"{local:%Y-%m-%d %H:%M}"


@register.simple_tag
def days_old(at: datetime, day: PlacingDay) -> str:
    """Show how old the concrete of a day was at an instant, by dates at the site: "12 days"."""
    on = at.astimezone(ZoneInfo(day.pavement.site.time_zone)).date()
    days = (on - day.placed_on).days
    if days < 0:
        return "before the placing day"
    return f"{days} day{'' if days == 1 else 's'} old"


@register.simple_tag
def minutes(value: float | NotGiven) -> str:
    """Show whole minutes, or why there are none."""
    return value.reason if isinstance(value, NotGiven) else f"{value:.0f} min"


@register.simple_tag
def duration(seconds: float) -> str:
    """Show a time that passed: "3 h 33 min"."""
    return duration_words(seconds)


@register.simple_tag(takes_context=True)
def load_volume(context: template.Context, value_m3: float | None) -> str:
    """Show the volume of one load as tickets have it: quarters of a cubic yard stay whole."""
    if value_m3 is None:
        return ""
    return show(value_m3, Kind.VOLUME, system_of(context), digits=2)


@register.simple_tag(takes_context=True)
def signed_small_length(context: template.Context, value_mm: float) -> str:
    """Show a deviation with its sign: "-0.1 in"."""
    shown = show(abs(value_mm), Kind.SMALL_LENGTH, system_of(context))
    return f"{'-' if value_mm < 0 else '+'}{shown}"


@register.simple_tag(takes_context=True)
def winter_load(context: template.Context, load: WinterLoad) -> str:
    """Show what a winter put on a pavement: lb per 1 000 ft², or kg per 100 m²."""
    if system_of(context) is System.SI and isinstance(load.kg_per_m2, float):
        return f"{100 * load.kg_per_m2:.3g} kg per 100 m²"
    found = load.lb_per_1000_ft2()
    return f"{found:.3g} lb per 1 000 ft²" if isinstance(found, float) else found.reason


@register.simple_tag(takes_context=True)
def area_rate(context: template.Context, rate: AreaRate) -> str:
    """Show a share of the area placed with its limits: "308 (91 to 640)"."""
    return rate_words(rate, system_of(context))


@register.filter
def percent(share: float | NotGiven | None) -> str:
    """Show a share as percent with one decimal, or why there is none."""
    if share is None:
        return ""
    return share.reason if isinstance(share, NotGiven) else f"{100 * share:.1f} %"


@register.filter
def points(change: float | NotGiven) -> str:
    """Show a change of a share in points with its sign, or why there is none."""
    return change.reason if isinstance(change, NotGiven) else f"{100 * change:+.1f}"


@register.filter
def of_key(rows: dict[str, object], key: str) -> object:
    """Return what a mapping holds of a name."""
    return rows.get(key)
