"""What the page of one pavement is made of: rows asked for by a few questions, and passed on."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from operator import attrgetter
from typing import Any

from django.db.models import Exists, OuterRef, QuerySet

from registry.gathering.condition import ConditionRows, of_town
from registry.gathering.decline_tables import (
    CLEANING_FIELDS,
    PAVEMENT_FIELDS,
    RUN_FIELDS,
    SPOT_FIELDS,
    DeclineTables,
)
from registry.gathering.demand import DemandRows
from registry.gathering.layouts import keep_plans
from registry.gathering.readings import gather_readings
from registry.gathering.spot_days import SpotDay, spot_days
from registry.gathering.water import WaterRows, in_order
from registry.gathering.word_limits import Ruling, ruling_of, seats_asked, settings_asked
from registry.models import (
    Cleaning,
    Defect,
    DefectMove,
    DirtSource,
    InfiltrationTest,
    ObservationWell,
    Panel,
    Pavement,
    Spot,
    Stratum,
    Structure,
    Visit,
    WellReading,
)
from registry.models.cleaning import with_parts
from registry.models.infiltration_test import InfiltrationTestQuerySet, veil_fetched
from registry.models.narrow import narrow
from registry.models.together import together
from registry.models.visit import VisitQuerySet

TEST_FIELDS = (
    "pavement_id", "spot_id", "number", "state", "method", "reason", "stratum", "started_on",
    "started_at", "run", "system", "ring", "ring_is_assumed", "prewet_seconds", "water", "seconds",
    "ended", "water_left", "limit_min", "rain_within_24_h", "rain_ended_at", "void_at",
    "double_of_id", "result_value", "result_sign", "result_constant", "result_rate_mm_h",
    "result_estimate", "no_result_reason", "computed_at", "use", "use_code", "use_reason", "doubts",
)  # fmt: skip
"""What pages tell of a test. Of 10 000 whole rows, reading took a third of the page's time."""


@dataclass(frozen=True)
class RecordRows:
    """All tests and cleanings of a pavement. Only what its reader may see is shown one by one.

    seen_tests, seen_cleanings  without doubles, newest first
    town_tests, town_cleanings  what a municipality judges by; all, where nobody asked for that
    """

    tests: Sequence[InfiltrationTest]
    cleanings: Sequence[Cleaning]
    seen_tests: list[InfiltrationTest]
    seen_cleanings: list[Cleaning]
    town_tests: list[InfiltrationTest]
    town_cleanings: list[Cleaning]

    @property
    def restorative(self) -> list[Cleaning]:
        """Return the standing cleanings meant to bring the rate back, whoever wrote them."""
        return [c for c in self.cleanings if _counts(c) and c.is_restorative]

    @cached_property
    def town_days(self) -> tuple[SpotDay, ...]:
        """Return the usable days of all spots that the condition is made of, oldest first."""
        return spot_days(self.judged_by)

    @cached_property
    def judged_by(self) -> list[InfiltrationTest]:
        """Return the standing tests that the condition is made of."""
        return [t for t in self.town_tests if _counts(t)]

    @cached_property
    def seen_days(self) -> tuple[SpotDay, ...]:
        """Return the usable days of all spots by the tests that are seen, oldest first."""
        seen = [t for t in self.seen_tests if _counts(t)]
        if _keys(seen) == _keys(self.judged_by):
            return self.town_days
        return spot_days(seen)


def record_rows(
    pavement: Pavement,
    seen: tuple[InfiltrationTestQuerySet, QuerySet],
    *,
    viewpoint: str | None,
    spots: Sequence[Spot],
) -> RecordRows:
    """Return the tests and cleanings of a pavement, by three queries.

    seen: the tests and the cleanings that the reader may see. Without a viewpoint, from which no
    condition is shown, tests that the reader does not see are not fetched. spots: all of the
    pavement; its tests share them, for a spot read again with each of 10 000 tests takes longer
    than the tests.
    """
    is_town = viewpoint == "town"
    tests = pavement.infiltration_tests.all() if viewpoint else seen[0]
    marked = _marked(tests.select_related(None), seen[0], pavement, is_town)
    all_tests = narrow(seen[0].veiling(marked), TEST_FIELDS)
    _link_spots(all_tests, spots)
    veil_fetched(t for t in all_tests if _is_seen(t))
    all_cleanings = with_parts(_marked(pavement.cleanings.all(), seen[1], pavement, is_town))
    return RecordRows(
        tests=all_tests,
        cleanings=all_cleanings,
        seen_tests=[t for t in all_tests if _is_seen(t)],
        seen_cleanings=[c for c in all_cleanings if _is_seen(c)],
        town_tests=[t for t in all_tests if _is_of_town(t)],
        town_cleanings=[c for c in all_cleanings if _is_of_town(c)],
    )


def _link_spots(tests: Sequence[InfiltrationTest], spots: Sequence[Spot]) -> None:
    named = {spot.pk: spot for spot in spots}
    for test in tests:
        if test.spot_id in named:
            test.spot = named[test.spot_id]


def _is_seen(row: Any) -> bool:
    return bool(row.is_seen) and row.double_of_id is None


def _is_of_town(row: Any) -> bool:
    return bool(row.is_of_town)


def _marked(rows: QuerySet, seen: QuerySet, pavement: Pavement, is_town: bool) -> QuerySet:
    own = {"pk": OuterRef("pk")}
    judged = of_town(seen.model.objects.filter(pavement=pavement), pavement) if is_town else rows
    return rows.annotate(
        is_seen=Exists(seen.order_by().filter(**own)),
        is_of_town=Exists(judged.order_by().filter(**own)),
    )


def _keys(rows: Iterable[InfiltrationTest]) -> list[int]:
    return [row.pk for row in rows]


def _counts(row: InfiltrationTest | Cleaning) -> bool:
    stands = row.void_at is None and row.double_of_id is None
    return stands and (not isinstance(row, Cleaning) or row.is_cleaning)


@dataclass(frozen=True)
class PavementRows:
    """The small tables of a pavement; `parts` are what it was split into or is split from."""

    pavement: Pavement
    panels: list[Panel]
    all_spots: list[Spot]
    demand: DemandRows
    dirt_sources: list[DirtSource]
    strata: list[Stratum]
    structures: list[Structure]
    water: WaterRows
    parts: list[Pavement]
    ruling: Ruling

    @property
    def spots(self) -> list[Spot]:
        """Return the spots that stand, each with its panel."""
        return [s for s in self.all_spots if s.void_at is None and s.double_of_id is None]

    def condition_rows(self, records: RecordRows) -> ConditionRows:
        """Return what the condition is made of, as `condition_rows` fetches it."""
        cleanings = [c for c in records.town_cleanings if _counts(c)]
        return ConditionRows(
            pavement=self.pavement,
            demand=self.demand,
            readings=gather_readings(self.pavement.placed_on, records.judged_by, cleanings),
            has_open_source=bool(self.dirt_sources),
            strata_present=frozenset(row.kind for row in self.strata),
            water=self.water,
            ruling=self.ruling,
            panels=tuple(p for p in self.panels if p.void_at is None and p.double_of_id is None),
            days=records.town_days,
        )


def pavement_rows(
    pavement: Pavement,
    *,
    viewpoint: str | None,
    parts: QuerySet[Pavement],
    today: date,
    with_structure: bool = True,
    told: VisitQuerySet | None = None,
) -> PavementRows:
    """Return the small tables of a pavement by one query, its plans kept for the page.

    With what lies below it comes one query more, for its layers. told: visits to tell of where
    there is no viewpoint.
    """
    below = pavement.structures.standing().on(today).prefetch_related("layers")
    defects, visits = pavement.defects.all(), pavement.visits.all()
    if viewpoint == "town":
        defects, visits = of_town(defects, pavement), of_town(visits, pavement)
    elif viewpoint is None:
        defects, visits = defects.none(), visits.none() if told is None else told
    seen = WaterRows.defects_of(defects)
    whose = viewpoint or "town"
    thresholds, seats = settings_asked(pavement, whose), seats_asked(pavement, whose)
    read = WellReading.objects.filter(visit__in=visits).standing()
    (
        plans, panels, spots, criteria, run_on, dirt, strata, structures, there, moves, walked,
        readings, wells, others, set_by_them, setters,
    ) = together(
        pavement.plans.standing(),
        pavement.panels.all(),
        pavement.spots.all(),
        pavement.criteria.standing(),
        pavement.run_on_areas.standing(),
        pavement.dirt_sources.open(),
        pavement.strata.standing(),
        below if with_structure else below.none(),
        seen.prefetch_related("observations"),
        DefectMove.objects.filter(defect__in=seen.values("pk")),
        WaterRows.visits_of(visits),
        read,
        ObservationWell.objects.filter(readings__in=read.values("pk")).distinct(),
        parts,
        thresholds if viewpoint else thresholds.none(),
        seats.filter(organisation__in=thresholds.values("organisation")),
    )  # fmt: skip
    _link_panels(panels, spots)
    keep_plans(pavement, plans, [p for p in panels if p.void_at is None and p.double_of_id is None])
    return PavementRows(
        pavement=pavement,
        panels=panels,
        all_spots=spots,
        demand=DemandRows(pavement.area_m2, tuple(criteria), tuple(run_on)),
        dirt_sources=dirt,
        strata=strata,
        structures=structures,
        water=_water(there, moves, walked, readings, wells),
        parts=others,
        ruling=ruling_of(pavement, whose, set_by_them, setters),
    )


def _link_panels(panels: Sequence[Panel], spots: Sequence[Spot]) -> None:
    named: Mapping[int | None, Panel] = {panel.pk: panel for panel in panels}
    for panel in panels:
        panel.cut_from = named.get(panel.cut_from_id)
    for spot in spots:
        spot.panel = named.get(spot.panel_id)


def _water(
    defects: list[Defect],
    moves: list[DefectMove],
    visits: list[Visit],
    readings: list[WellReading],
    wells: list[ObservationWell],
) -> WaterRows:
    named = {well.pk: well for well in wells}
    for reading in readings:
        reading.well = named[reading.well_id]
    return in_order(defects, moves, visits, readings)


class FetchedTables(DeclineTables):
    """The tables of one pavement's decline, from rows that its page has fetched already."""

    def __init__(self, rows: PavementRows, records: RecordRows) -> None:
        super().__init__([rows.pavement.pk])
        self.rows, self.records = rows, records

    def pavements(self) -> list[tuple]:
        """Return PAVEMENT_FIELDS of the pavement."""
        return _columns([self.rows.pavement], PAVEMENT_FIELDS)

    def spots(self) -> list[tuple]:
        """Return SPOT_FIELDS of each spot that is not void, by key."""
        return _columns((s for s in self.rows.all_spots if s.void_at is None), SPOT_FIELDS)

    def runs(self) -> list[tuple]:
        """Return RUN_FIELDS of each test that was done, by spot and day."""
        done = [t for t in self.records.tests if t.state == "done"]
        done.sort(key=lambda t: (t.spot_id, t.started_on, t.pk))
        return _columns(done, RUN_FIELDS)

    def cleanings(self) -> list[tuple]:
        """Return CLEANING_FIELDS of each cleaning that took dirt away, by day."""
        done = sorted((c for c in self.records.cleanings if _counts(c)), key=_by_day)
        return _columns(done, CLEANING_FIELDS)

    def sides(self) -> dict[int, str]:
        """Return the side on which cleanings name each test of their own day."""
        day_of = {t.pk: t.started_on for t in self.records.tests}
        found: dict[int, str] = {}
        for place, side in enumerate(("before", "after")):
            for cleaning in self.records.cleanings:
                named = cleaning.tests_named()[place] if cleaning.void_at is None else ()
                for pk in named:
                    if day_of.get(pk) == cleaning.done_on:
                        found[pk] = "" if found.get(pk, side) != side else side
        return found

    def panels(self, cleanings: set[int]) -> dict[int, tuple[frozenset[int], frozenset[int]]]:
        """Return the panels that each of these cleanings covered and missed."""
        return {c.pk: c.panels_told() for c in self.records.cleanings if c.pk in cleanings}

    def strata(self) -> list[tuple[int, str, float | None]]:
        """Return pavement, kind and area of each stratum."""
        return [(row.pavement_id, row.kind, row.area_m2) for row in self.rows.strata]

    def action_levels(
        self, areas_m2: Mapping[int, float | None], on: date
    ) -> dict[int, float | None]:
        """Return the action level of the pavement on a day, mm/h; None where not known."""
        return {pk: self.rows.demand.on(on).action_mm_h for pk in areas_m2}


def _by_day(row: Cleaning) -> tuple[date, int]:
    return row.done_on, row.pk


def _columns(rows: Iterable[object], names: Sequence[str]) -> list[tuple]:
    of = attrgetter(*(name.replace("__", ".") for name in names))
    return [of(row) for row in rows]
