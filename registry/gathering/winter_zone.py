"""Which panels a winter log reaches with plow or salt between two looks."""

from collections.abc import Iterable
from datetime import date

from registry.models import WinterEntry


def winter_zone(
    rows: Iterable[WinterEntry], after: date, until: date, names: Iterable[str]
) -> set[str]:
    """Return the panels in the zone of lines between two days.

    A line over the whole pavement tells no panel from another: it makes no zone.
    """
    known = set(names)
    zone: set[str] = set()
    for row in rows:
        within = after < row.done_on <= until
        own = set(row.panels) & known
        if within and own and own != known:
            zone |= own
    return zone
