"""Showing raw readings the way they were written, and entries' fields in words."""

from datetime import date
from decimal import Decimal
from typing import Any

from django import template
from django.apps import apps
from django.core.exceptions import FieldDoesNotExist

from registry.decline.estimates import DRIVER_WORDS
from registry.gathering.outlook_words import (
    ASSUMED,
    between_words,
    chance_words,
    day_words,
    loss_words,
    money_words,
    rate_words,
    read_day,
    share_facts,
    short_today,
    sweep_words,
    then_words,
)
from registry.models import InfiltrationTest, Outlook, UseOfTest
from registry.models.choices import Empty, StratumKind
from registry.models.entry import Entry
from registry.templatetags.quantities import system_of
from registry.units import Kind, System, show, to_si

register = template.Library()

UNITS = {
    "ring": {"inch_pound": "in", "si": "mm"},
    "water": {"inch_pound": "lb", "si": "kg"},
    "prewet_water": {"inch_pound": "lb", "si": "kg"},
    "water_left": {"inch_pound": "lb", "si": "kg"},
    "prewet_seconds": {"inch_pound": "s", "si": "s"},
    "seconds": {"inch_pound": "s", "si": "s"},
}

IN_SI = {"rain_mm": Kind.SMALL_LENGTH, "air_c": Kind.TEMPERATURE, "water_c": Kind.TEMPERATURE}
FURTHER = (
    "rain_mm",
    "standing_water",
    "surface",
    "broomed",
    "frost",
    "crack_in_ring",
    "seal_leaking",
    "slope_percent",
    "water_known_by",
    "wait_seconds",
    "limit_min",
    "air_c",
    "water_c",
)


@register.simple_tag
def rate_in(value: float | None, sign: str, system: str) -> str:
    """Show a rate in the system it was read in; `value` is in that system's unit."""
    if value is None:
        return ""
    return show(to_si(value, Kind.RATE, System(system)), Kind.RATE, System(system), sign=sign)


@register.inclusion_tag("infiltration_test/_reading.html")
def reading(row: Any, name: str) -> dict[str, Any]:
    """Show one raw reading with its unit, the text as written, or which kind of empty it is."""
    value = getattr(row, name)
    code = row.empties.get(name)
    return {
        "label": row._meta.get_field(name).verbose_name,
        "value": value,
        "unit": UNITS[name][row.system],
        "text": row.written(name),
        "empty": Empty(code).label if code else "not filled in",
    }


@register.filter
def further_readings(row: InfiltrationTest) -> list[tuple[str, str]]:
    """Return what else of a test's sheet is filled in, as label and words.

    Quantities have the unit of the system in which the test was read.
    """
    told = [("ring", "diameter assumed, not measured")] if row.ring_is_assumed else []
    for name in FURTHER:
        words_of = field_word(name, "infiltrationtest")
        label, _, unit = words_of.partition(", ")
        value, code = getattr(row, name), row.empties.get(name)
        if code:
            words = str(Empty(code).label)
        elif value in (None, ""):
            continue
        elif name in IN_SI:
            words = show(value, IN_SI[name], System(row.system))
        elif isinstance(value, float):
            words = f"{value:g} {unit}"
        else:
            label, words = words_of, str(getattr(row, f"get_{name}_display")())
        told.append((label, words))
    return told


@register.filter
def field_word(name: str, subject_kind: str) -> str:
    """Return what a column is called on pages."""
    try:
        model = apps.get_model("registry", subject_kind)
        if not issubclass(model, Entry):
            return name.replace("_", " ")
        plain = name.replace("_", " ")
        return str(getattr(model._meta.get_field(name), "verbose_name", plain))
    except (LookupError, FieldDoesNotExist):
        return name.replace("_", " ")


@register.filter
def stratum_word(code: str) -> str:
    """Return the words for a stratum."""
    return str(StratumKind(str(code)).label)


@register.simple_tag
def percent(share: float) -> str:
    """Show a share as whole per cent."""
    return f"{100 * share:.0f} %"


@register.simple_tag
def share(value: float | None) -> str:
    """Show a share found by counting, to a tenth of a per cent."""
    return "no number" if value is None else f"{100 * value:.1f} %"


@register.filter
def use_word(code: str) -> str:
    """Return the words for what a test may be used for."""
    return str(UseOfTest(code).label)


@register.inclusion_tag("infiltration_test/_gain.html")
def gain(found: Any) -> dict[str, Any]:
    """Show what a cleaning regained at a spot, or why no number is given."""
    return {"result": found.result, "given": hasattr(found.result, "factor")}


@register.simple_tag
def chance(value: float | None) -> str:
    """Show a chance or share: "under 1 %", "12 %", "over 99 %"; never a bare 0 or 1."""
    return chance_words(value)


@register.simple_tag
def shares_below(outlook: Outlook) -> tuple[tuple[str, str], ...]:
    """Show what part of the surface is reckoned to lie below: (of what, how much)."""
    return share_facts(outlook)


@register.simple_tag
def yearly_loss(slope_per_yr: float | None) -> str:
    """Show the loss a year that a slope of ln rate makes."""
    return loss_words(slope_per_yr)


@register.simple_tag(takes_context=True)
def about(context: template.Context, value_mm_h: float | None) -> str:
    """Show an estimated rate to two figures."""
    return rate_words(value_mm_h, system_of(context))


@register.simple_tag(takes_context=True)
def between(context: template.Context, low_mm_h: float | None, high_mm_h: float | None) -> str:
    """Show an interval of an estimated rate, the unit once."""
    return between_words(low_mm_h, high_mm_h, system_of(context))


@register.simple_tag
def sweep_day(outlook: Outlook, day: date | str | None) -> str:
    """Show a day to sweep by of an outlook, and whether what it waits for is there already."""
    return sweep_words(read_day(day), outlook.as_of_on)


@register.simple_tag
def about_day(outlook: Outlook) -> str:
    """Show the day to sweep by as short as a list has it."""
    return day_words(outlook.sweep_by_on, outlook.as_of_on)


@register.simple_tag
def then_by(outlook: Outlook, one: dict[str, Any]) -> str:
    """Show until when a cleaning today by one method would last."""
    return then_words(one["p_below"], read_day(one["sweep_by_on"]), outlook.as_of_on)


@register.simple_tag
def not_enough_today(outlook: Outlook) -> frozenset[str]:
    """Return the methods after which, today, the worst place would be due again at once."""
    return short_today(outlook)


@register.filter
def about_money(amount: Decimal) -> str:
    """Show a yearly cost that an estimate divides, to two figures: 650, 8.4."""
    return money_words(amount)


@register.simple_tag
def assumed() -> str:
    """Say what stands behind a method that no test follows."""
    return ASSUMED


@register.simple_tag
def interval(years: float) -> str:
    """Show how often: in months up to three years, then in years."""
    if years < 1 / 12:
        return "under a month"
    if years < 3:
        return f"{12 * years:.0f} months"
    return f"{years:.1f} years"


@register.filter
def driver_word(name: str) -> str:
    """Return the words for a driver of clogging."""
    return DRIVER_WORDS[name]


CHECK_WORDS = {
    "converged": "the search came to rest",
    "gradient": "slope left at the end",
    "parameters_at_a_bound": "parameters at the edge of what is searched",
    "bounds_settled": "stopped and too fast runs settled",
    "residuals_beyond_2": "tests beyond −2 and +2 in the pictures below",
}
FEW_NUMBERS = 30
"""Under so many, a share in per cent would say more than was seen."""


@register.simple_tag
def check_figure(name: str, value: float) -> str:
    """Show what a check found or allows: a share in per cent, a count, or how small a slope."""
    if name == "residuals_beyond_2":
        return f"{100 * value:.1f} %"
    if value == int(value) and name != "gradient":
        return f"{value:.0f}"
    return "under 0.001" if value < 0.001 else f"{value:.3f}"


@register.simple_tag
def foretold(inside: float | None, numbers: int) -> str:
    """Show a share of the numbers foretold: "3 of 3", from 30 numbers up "81.3 %"."""
    if inside is None:
        return "no number"
    return share(inside) if numbers >= FEW_NUMBERS else f"{inside * numbers:.0f} of {numbers}"


@register.filter
def two_decimals(value: float | None) -> str:
    """Show a number of a back-test, a true minus before what is below 0."""
    return "no number" if value is None else f"{value:.2f}".replace("-", "−")


@register.filter
def closer(one: dict[str, Any]) -> str:
    """Say which came closer to what was measured: the fit or the way beside it."""
    if one["rmse"] is None or one["model_rmse"] is None:
        return "not decided"
    if f"{one['rmse']:.2f}" == f"{one['model_rmse']:.2f}":
        return "alike"
    return "the fit" if one["model_rmse"] < one["rmse"] else "this way"


@register.filter
def check_word(name: str) -> str:
    """Return the words for a check of a fit."""
    return CHECK_WORDS.get(name, name.replace("_", " "))
