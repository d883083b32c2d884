"""The small tables a decline is read from by one question: for a page about some pavements."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from datetime import date
from operator import attrgetter
from typing import Any

from registry.gathering.decline_tables import (
    CLEANING_FIELDS,
    SPOT_FIELDS,
    DeclineTables,
    asked_of,
    cleanings_at,
    levels_told,
    named_at,
    panels_told,
    sides_told,
    spots_at,
    strata_at,
)
from registry.models import CleanedPanel
from registry.models.together import together

MOST_TOGETHER = 1_000
"""Each pavement is named once for each table, and a database takes only so many values."""

Rows = Iterable[tuple[Any, ...]]


def few_questions(ids: Collection[int]) -> DeclineTables:
    """Return the tables of pavements by as few questions as their number allows."""
    ordered = sorted(set(ids))
    return (TogetherTables if len(ordered) <= MOST_TOGETHER else DeclineTables)(ordered)


class TogetherTables(DeclineTables):
    """The same tables: pavements and tests by a query each, all others by one."""

    def __init__(self, ids: Sequence[int]) -> None:
        super().__init__(ids)
        (
            self._spots, self._cleanings, self._parts, self._before, self._after, self._criteria,
            self._run_on, self._strata,
        ) = together(
            spots_at(ids),
            cleanings_at(ids),
            CleanedPanel.objects.filter(cleaning__pavement__in=ids),
            *named_at(ids),
            *asked_of(ids),
            strata_at(ids),
        )  # fmt: skip

    def spots(self) -> Rows:
        """Return SPOT_FIELDS of each spot that is not void, by key."""
        return map(attrgetter(*SPOT_FIELDS), self._spots)

    def cleanings(self) -> Sequence[tuple[Any, ...]]:
        """Return CLEANING_FIELDS of each cleaning that took dirt away, by day."""
        rows = sorted(self._cleanings, key=attrgetter("done_on", "pk"))
        return [attrgetter(*CLEANING_FIELDS)(row) for row in rows]

    def sides(self) -> dict[int, str]:
        """Return the side on which cleanings name each test of their own day."""
        before, after = (
            [link.infiltrationtest_id for link in links] for links in (self._before, self._after)
        )
        return sides_told(before, after)

    def panels(self, cleanings: set[int]) -> dict[int, tuple[frozenset[int], frozenset[int]]]:
        """Return the panels that each of these cleanings covered and missed."""
        parts = [part for part in self._parts if part.cleaning_id in cleanings]
        return panels_told(map(attrgetter("cleaning_id", "panel_id", "is_missed"), parts))

    def action_levels(
        self, areas_m2: Mapping[int, float | None], on: date
    ) -> dict[int, float | None]:
        """Return the action level of each pavement on a day, mm/h; None where not known."""
        return levels_told(areas_m2, self._criteria, self._run_on, on)

    def strata(self) -> Iterable[tuple[int, str, float | None]]:
        """Return pavement, kind and area of each stratum."""
        return map(attrgetter("pavement_id", "kind", "area_m2"), self._strata)
