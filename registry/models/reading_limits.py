"""Limits beyond which no reading of a ring test can lie, so that a slip is never stored as one.

They are far beyond any use: a ring of 12 in (300 mm) takes 40 lb (18 kg) of water at most and a run
is stopped after minutes. Common practice, no source. What lies within them may still be doubtful;
`measuring/doubts.py` asks about that.
"""

from django.db.models import Q

from registry.units import Kind, System, from_si, show

RING_MM = (50.0, 2000.0)
MOST_WATER_KG = 1000.0
LONGEST_S = 86_400.0
MASSES = ("water", "prewet_water", "water_left")
TIMES = ("seconds", "prewet_seconds", "wait_seconds")


def beyond_limits(name: str, value: float, system: System) -> str:
    """Say why a reading cannot be one; empty where it can.

    name    a column of InfiltrationTest
    value   in or mm for "ring", lb or kg for a mass, by `system`; s for a time
    """
    if name in TIMES and value > LONGEST_S:
        return (
            "This is longer than a day (86 400 s). Look at the time again; as 3:42 or in seconds."
        )
    if name in MASSES and value > most_water(system):
        most = show(MOST_WATER_KG, Kind.MASS, system, digits=0)
        return f"No ring test takes more than {most} of water. Look at the number and its unit."
    if name == "ring":
        least, most_mm = ring_range(system)
        if not least <= value <= most_mm:
            ends = [show(end, Kind.RING, system) for end in RING_MM]
            return f"A ring is {ends[0]} to {ends[1]} wide. Look at the number and its unit."
    return ""


def most_water(system: System) -> float:
    """Return the most water of a reading, lb or kg."""
    return from_si(MOST_WATER_KG, Kind.MASS, system)


def ring_range(system: System) -> tuple[float, float]:
    """Return the least and most inside diameter of a ring, in or mm."""
    least, most = (from_si(end, Kind.RING, system) for end in RING_MM)
    return least, most


def ring_is_within(column: str) -> Q:
    """Return the condition that a column holds no ring beyond the limits, in either system."""
    return Q(
        *(
            Q(system=system.value) & Q(**{f"{column}__range": ring_range(system)})
            for system in System
        ),
        _connector=Q.OR,
    )


def readings_are_within() -> Q:
    """Return the condition that no reading of a test lies beyond the limits."""
    within = Q(ring__isnull=True) | ring_is_within("ring")
    for name in TIMES:
        within &= Q(**{f"{name}__isnull": True}) | Q(**{f"{name}__lte": LONGEST_S})
    for name in MASSES:
        in_system = Q(
            *(Q(system=s.value) & Q(**{f"{name}__lte": most_water(s)}) for s in System),
            _connector=Q.OR,
        )
        within &= Q(**{f"{name}__isnull": True}) | in_system
    return within
