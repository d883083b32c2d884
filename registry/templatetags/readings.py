"""Showing raw readings the way they were written, and entries' fields in words."""

from typing import Any

from django import template
from django.apps import apps
from django.core.exceptions import FieldDoesNotExist

from registry.models import UseOfTest
from registry.models.choices import Empty, StratumKind
from registry.models.entry import Entry
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
def field_word(name: str, subject_kind: str) -> str:
    """Return what a column is called on pages."""
    try:
        model = apps.get_model("registry", subject_kind)
        if not issubclass(model, Entry):
            return name.replace("_", " ")
        return str(model._meta.get_field(name).verbose_name)  # type: ignore[union-attr]
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


@register.filter
def use_word(code: str) -> str:
    """Return the words for what a test may be used for."""
    return str(UseOfTest(code).label)


@register.inclusion_tag("infiltration_test/_gain.html")
def gain(found: Any) -> dict[str, Any]:
    """Show what a cleaning regained at a spot, or why no number is given."""
    return {"result": found.result, "given": hasattr(found.result, "factor")}
