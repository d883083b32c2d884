"""Which panels a winter reaches with plow or salt between two looks: as seen there, else as logged.

The rule itself is `registry.placing.winter_zone`.
"""

from collections.abc import Iterable

from django.db.models import QuerySet

from registry.models import PanelEvidence, WinterEntry
from registry.models.callback import CallbackQuerySet
from registry.placing.winter_zone import ZoneLine, reaches


def zone_lines(rows: Iterable[WinterEntry]) -> list[ZoneLine]:
    """Return lines of the log as the rule takes them."""
    return [ZoneLine(row.done_on, frozenset(row.panels), does_reach(row)) for row in rows]


def does_reach(row: WinterEntry) -> bool:
    """Say whether a line makes a zone."""
    return reaches(deicer=row.deicer, plowed=row.plowed, shoes=row.shoes)


def said_rows(callbacks: CallbackQuerySet) -> QuerySet[PanelEvidence]:
    """Return the question for what people said of the zone at the panels of callbacks."""
    rows = PanelEvidence.objects.standing().filter(sign="at_entrance", is_there__isnull=False)
    return rows.filter(callback__in=callbacks.values("pk"))


def said_zone(rows: Iterable[PanelEvidence]) -> dict[str, bool]:
    """Return panels that were said to lie in the zone, or outside; of two that differ: inside."""
    said: dict[str, bool] = {}
    for one in rows:
        if one.sign == "at_entrance" and one.is_there is not None:
            said[one.panel] = said.get(one.panel, False) or one.is_there
    return said
