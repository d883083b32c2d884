"""The tables a decline is read from: asked of the database, or of rows a page has fetched."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from datetime import date
from typing import Any

from django.db.models import F, QuerySet

from registry.gathering.demand import DemandRows
from registry.models import (
    CleanedPanel,
    Cleaning,
    Criteria,
    InfiltrationTest,
    Pavement,
    RunOnArea,
    Spot,
    Stratum,
)

RUN_FIELDS = (
    "spot_id", "started_on", "started_at", "result_rate_mm_h", "result_sign", "use", "use_code",
    "reason", "void_at", "double_of_id", "method", "run", "pk",
)  # fmt: skip
PAVEMENT_FIELDS = (
    "pk", "area_m2", "placed_on", "heavy_trees", "winter_sand", "bare_soil_run_on",
    "site__time_zone",
)  # fmt: skip
SPOT_FIELDS = (
    "pk", "pavement_id", "name", "stratum", "concrete_placed_on", "ended_on", "panel_id",
)  # fmt: skip
CLEANING_FIELDS = ("pk", "pavement_id", "done_on", "started_at", "method", "covers_all")


class DeclineTables:
    """The tables that a decline is read from, each by one query, as tuples of its columns."""

    def __init__(self, ids: Sequence[int]) -> None:
        self.ids = ids

    def pavements(self) -> Iterable[tuple[Any, ...]]:
        """Return PAVEMENT_FIELDS of each pavement."""
        return Pavement.objects.filter(pk__in=self.ids).values_list(*PAVEMENT_FIELDS)

    def spots(self) -> Iterable[tuple[Any, ...]]:
        """Return SPOT_FIELDS of each spot that is not void, by key."""
        return spots_at(self.ids).order_by("pk").values_list(*SPOT_FIELDS)

    def runs(self) -> Iterable[tuple[Any, ...]]:
        """Return RUN_FIELDS of each test that was done, by spot and day."""
        rows = InfiltrationTest.objects.filter(pavement__in=self.ids, state="done")
        return rows.order_by("spot_id", "started_on", "pk").values_list(*RUN_FIELDS)

    def cleanings(self) -> Sequence[tuple[Any, ...]]:
        """Return CLEANING_FIELDS of each cleaning that took dirt away, by day."""
        rows = cleanings_at(self.ids).order_by("done_on", "pk")
        return list(rows.values_list(*CLEANING_FIELDS))

    def sides(self) -> dict[int, str]:
        """Return the side on which cleanings name each test of their own day."""
        before, after = (
            rows.values_list("infiltrationtest_id", flat=True) for rows in named_at(self.ids)
        )
        return sides_told(before, after)

    def panels(self, cleanings: set[int]) -> dict[int, tuple[frozenset[int], frozenset[int]]]:
        """Return the panels that each of these cleanings covered and missed."""
        rows = CleanedPanel.objects.filter(cleaning__in=cleanings)
        return panels_told(rows.values_list("cleaning_id", "panel_id", "is_missed"))

    def action_levels(
        self, areas_m2: Mapping[int, float | None], on: date
    ) -> dict[int, float | None]:
        """Return the action level of each pavement on a day, mm/h; None where not known."""
        criteria, run_on = asked_of(areas_m2)
        return levels_told(areas_m2, criteria, run_on, on)

    def strata(self) -> Iterable[tuple[int, str, float | None]]:
        """Return pavement, kind and area of each stratum."""
        return strata_at(self.ids).values_list("pavement_id", "kind", "area_m2")


def spots_at(ids: Collection[int]) -> QuerySet[Spot]:
    """Return the spots of pavements that are not void."""
    return Spot.objects.filter(pavement__in=ids, void_at__isnull=True)


def cleanings_at(ids: Collection[int]) -> QuerySet[Cleaning]:
    """Return the cleanings of pavements that took dirt away."""
    return Cleaning.objects.filter(pavement__in=ids).done()


def strata_at(ids: Collection[int]) -> QuerySet[Stratum]:
    """Return the strata of pavements."""
    return Stratum.objects.filter(pavement__in=ids).standing()


def asked_of(ids: Collection[int]) -> tuple[QuerySet[Criteria], QuerySet[RunOnArea]]:
    """Return what makes the action level of pavements."""
    there = {"pavement__in": ids}
    return Criteria.objects.filter(**there).standing(), RunOnArea.objects.filter(**there).standing()


def named_at(ids: Collection[int]) -> tuple[QuerySet, QuerySet]:
    """Return the links of cleanings to tests of their own day, named before and after."""
    asked = {
        "cleaning__pavement__in": ids,
        "cleaning__void_at__isnull": True,
        "cleaning__done_on": F("infiltrationtest__started_on"),
    }
    return (
        Cleaning.before_tests.through.objects.filter(**asked),
        Cleaning.after_tests.through.objects.filter(**asked),
    )


def sides_told(before: Iterable[int], after: Iterable[int]) -> dict[int, str]:
    """Return the side on which cleanings name each of their tests; none where they disagree."""
    found: dict[int, str] = {}
    for side, named in (("before", before), ("after", after)):
        for pk in named:
            found[pk] = "" if found.get(pk, side) != side else side
    return found


def panels_told(
    rows: Iterable[tuple[int, int, bool]],
) -> dict[int, tuple[frozenset[int], frozenset[int]]]:
    """Return the panels that each cleaning covered and missed, of [cleaning, panel, is missed]."""
    covered: dict[int, set[int]] = {}
    missed: dict[int, set[int]] = {}
    for cleaning, panel, is_missed in rows:
        (missed if is_missed else covered).setdefault(cleaning, set()).add(panel)
    return {
        pk: (frozenset(covered.get(pk, ())), frozenset(missed.get(pk, ())))
        for pk in covered.keys() | missed.keys()
    }


def levels_told(
    areas_m2: Mapping[int, float | None],
    criteria: Iterable[Criteria],
    run_on: Iterable[RunOnArea],
    on: date,
) -> dict[int, float | None]:
    """Return the action level of each pavement on a day, mm/h; None where it is not known."""
    asked: dict[int, list[Criteria]] = {}
    for row in criteria:
        asked.setdefault(row.pavement_id, []).append(row)
    areas: dict[int, list[RunOnArea]] = {}
    for area in run_on:
        areas.setdefault(area.pavement_id, []).append(area)
    return {
        pk: DemandRows(area_m2, tuple(asked.get(pk, ())), tuple(areas.get(pk, ())))
        .on(on)
        .action_mm_h
        for pk, area_m2 in areas_m2.items()
    }
