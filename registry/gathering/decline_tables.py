"""The tables a decline is read from: asked of the database, or of rows a page has fetched."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import Any

from django.db.models import F

from registry.gathering.demand import DemandRows
from registry.models import (
    CleanedPanel,
    Cleaning,
    Criteria,
    InfiltrationTest,
    Pavement,
    RunOnArea,
    Spot,
)

RUN_FIELDS = (
    "spot_id", "started_on", "started_at", "result_rate_mm_h", "result_sign", "use", "use_code",
    "reason", "void_at", "double_of_id", "method", "pk",
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
        rows = Spot.objects.filter(pavement__in=self.ids, void_at__isnull=True)
        return rows.order_by("pk").values_list(*SPOT_FIELDS)

    def runs(self) -> Iterable[tuple[Any, ...]]:
        """Return RUN_FIELDS of each test that was done, by spot and day."""
        rows = InfiltrationTest.objects.filter(pavement__in=self.ids, state="done")
        return rows.order_by("spot_id", "started_on", "pk").values_list(*RUN_FIELDS)

    def cleanings(self) -> Sequence[tuple[Any, ...]]:
        """Return CLEANING_FIELDS of each cleaning that took dirt away, by day."""
        rows = Cleaning.objects.filter(pavement__in=self.ids).done().order_by("done_on", "pk")
        return list(rows.values_list(*CLEANING_FIELDS))

    def sides(self) -> dict[int, str]:
        """Return the side on which cleanings name each test of their own day."""
        return _sides_named(self.ids)

    def panels(self, cleanings: set[int]) -> dict[int, tuple[frozenset[int], frozenset[int]]]:
        """Return the panels that each of these cleanings covered and missed."""
        return _panels_of(cleanings)

    def action_levels(
        self, areas_m2: Mapping[int, float | None], on: date
    ) -> dict[int, float | None]:
        """Return the action level of each pavement on a day, mm/h; None where not known."""
        return _action_levels(areas_m2, on)


def _sides_named(ids: Sequence[int]) -> dict[int, str]:
    """Return the side on which cleanings name each of their tests; none where they disagree."""
    found: dict[int, str] = {}
    for side, through in (
        ("before", Cleaning.before_tests.through),
        ("after", Cleaning.after_tests.through),
    ):
        named = through.objects.filter(cleaning__pavement__in=ids, cleaning__void_at__isnull=True)
        same = named.filter(cleaning__done_on=F("infiltrationtest__started_on"))
        for pk in same.values_list("infiltrationtest_id", flat=True):
            found[pk] = "" if found.get(pk, side) != side else side
    return found


def _panels_of(cleanings: set[int]) -> dict[int, tuple[frozenset[int], frozenset[int]]]:
    covered: dict[int, set[int]] = {}
    missed: dict[int, set[int]] = {}
    rows = CleanedPanel.objects.filter(cleaning__in=cleanings)
    for cleaning, panel, is_missed in rows.values_list("cleaning_id", "panel_id", "is_missed"):
        (missed if is_missed else covered).setdefault(cleaning, set()).add(panel)
    return {
        pk: (frozenset(covered.get(pk, ())), frozenset(missed.get(pk, ())))
        for pk in covered.keys() | missed.keys()
    }


def _action_levels(areas_m2: Mapping[int, float | None], on: date) -> dict[int, float | None]:
    """Return the action level of each pavement on a day, mm/h; None where it is not known."""
    criteria: dict[int, list[Criteria]] = {}
    for row in Criteria.objects.filter(pavement__in=areas_m2).standing():
        criteria.setdefault(row.pavement_id, []).append(row)
    run_on: dict[int, list[RunOnArea]] = {}
    for area in RunOnArea.objects.filter(pavement__in=areas_m2).standing():
        run_on.setdefault(area.pavement_id, []).append(area)
    return {
        pk: DemandRows(area_m2, tuple(criteria.get(pk, ())), tuple(run_on.get(pk, ())))
        .on(on)
        .action_mm_h
        for pk, area_m2 in areas_m2.items()
    }
