"""Showing what a cleaning took off and what it cost, in the viewer's units."""

from django import template

from registry.planning.debris import DebrisOnArea
from registry.planning.words import NotDecided
from registry.templatetags.quantities import system_of
from registry.units import Kind, System, to_si, unit_sign

register = template.Library()


@register.simple_tag(takes_context=True)
def debris(context: template.Context, found: DebrisOnArea | NotDecided) -> str:
    """Show N23 to one digit: per 1 000 ft2 or 100 m2, wet or dry noted; or why not given."""
    if isinstance(found, NotDecided):
        return f"Not given: {found}"
    if system_of(context) == System.SI:
        amounts = [(found.litres_a_m2, 100.0, "L"), (found.kg_a_m2, 100.0, "kg")]
        area = "100 m²"
    else:
        amounts = [(found.yd3_a_1000_ft2, 1.0, "yd³"), (found.lb_a_1000_ft2, 1.0, "lb")]
        area = "1000 ft²"
    known = [f"{one_digit(v * per)} {unit}" for v, per, unit in amounts if v is not None]
    return f"{', '.join(known)} per {area}, {found.noted}"


@register.simple_tag(takes_context=True)
def cost_per_area(context: template.Context, per_m2: float | NotDecided) -> str:
    """Show money per ft2 or m2, or why not given."""
    if isinstance(per_m2, NotDecided):
        return f"Not given: {per_m2}"
    system = system_of(context)
    price = per_m2 * to_si(1.0, Kind.AREA, system)
    return f"{price:.2f} per {unit_sign(Kind.AREA, system)}"


def one_digit(value: float) -> str:
    """Return a number to one digit that counts: 0.4, 3, 20."""
    if value == 0:
        return "0"
    return f"{float(f'{value:.0e}'):.10g}"
