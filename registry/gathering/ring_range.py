"""A run whose ring nobody wrote down: what each ring it may have been would give, in words."""

from collections.abc import Iterable

from registry.gathering.readings import reading_of
from registry.measuring.reading import NoRate, Rate, rate_range_for_rings
from registry.models import InfiltrationTest, Ring
from registry.units import Kind, System, show, unit_sign


def ring_range_words(row: InfiltrationTest, rings: Iterable[Ring]) -> str:
    """Return the rates that the listed rings of the run's own units would give.

    Empty where the ring is written down, none is listed, or something else is missing too. It
    informs whoever knows which ring it was; the run keeps no rate.
    """
    if row.ring is not None:
        return ""
    system = System(row.system)
    sizes = sorted({ring.inside_diameter for ring in rings if ring.system == system})
    found = rate_range_for_rings(reading_of(row), tuple(sizes))
    if isinstance(found, NoRate):
        return ""
    unit = unit_sign(Kind.RING, system)
    each = "; ".join(f"{size:g} {unit} gives {_shown(rate)}" for size, rate in found.by_ring)
    apart = f" They lie {100 * found.spread:.1f} % apart." if len(sizes) > 1 else ""
    return (
        f"By the list of rings: {each}.{apart} No rate is given until someone who knows says which "
        "ring it was: correct the reading."
    )


def _shown(rate: Rate) -> str:
    return show(rate.mm_h, Kind.RATE, rate.system, sign=rate.sign)
