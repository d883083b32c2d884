"""The rows behind what is due at many pavements: each table is asked once for all of them."""

from collections import defaultdict
from collections.abc import Collection, Iterable
from dataclasses import dataclass, field
from datetime import date, datetime
from operator import attrgetter
from typing import Any
from zoneinfo import ZoneInfo

from django.db.models import Q

from registry.gathering.demand import DemandRows
from registry.models import (
    Cleaning,
    Core,
    Criteria,
    Defect,
    DirtSource,
    Fit,
    InfiltrationTest,
    Load,
    Machine,
    Outlook,
    Panel,
    Pavement,
    PavementStanding,
    PermitMinimum,
    PlacingDay,
    Price,
    RuleSetting,
    RunOnArea,
    Season,
    SeasonDay,
    Seat,
    Spot,
    Spread,
)
from registry.models.choices import Role
from registry.models.rights import KEEPERS

WITH_GAINS = ("vacuum", "regenerative_air")
"""Classes of method whose gain is asked for beside that of the restorative ones."""
OF_THE_FIT = ("pk", "pool", "parameters", "covariance")
PARTS_OF_CLEANING = ("before_tests", "after_tests", "panels__panel")
FINDING = ("clogged", "growth")
"""Kinds of defect that say what lies on or in the surface."""


@dataclass(frozen=True)
class DueRows:
    """The rows of one pavement; no query is made from here.

    today      the day at its site
    standing   as its holders see it;  demand  the dated rows of what it must do
    cleanings  all that stand, turned away and called off too, oldest first
    tests      those that a gain, the width left or a load's rate may be made of: none where
               nothing was cleaned, nothing is clogged and no load is known
    spreads    of loads handed over, with load and day; laid_panels  all that ever were, where any
    panels     there today;  panel_of  of spots, by the spot's id
    keepers    organisations that manage it, then those that own it
    sweepers   organisations whose machines may come
    """

    pavement: Pavement
    today: date
    outlook: Outlook | None
    fit: Fit | None
    standing: PavementStanding | None
    demand: DemandRows
    cleanings: tuple[Cleaning, ...]
    tests: tuple[InfiltrationTest, ...]
    panels: tuple[Panel, ...]
    panel_of: dict[int, Panel]
    defects: tuple[Defect, ...]
    cores: tuple[Core, ...]
    spreads: tuple[Spread, ...]
    laid_panels: tuple[Panel, ...]
    dirt: tuple[DirtSource, ...]
    permits: tuple[PermitMinimum, ...]
    keepers: tuple[int, ...]
    sweepers: frozenset[int]


@dataclass(frozen=True)
class HouseRows:
    """What organisations keep, by their ids: machines, prices, calendars, dated days, limits."""

    machines: dict[int, list[Machine]]
    prices: dict[int, list[Price]]
    seasons: dict[int, list[Season]]
    days: dict[int, list[SeasonDay]]
    limits: dict[int, list[RuleSetting]] = field(default_factory=dict)


def gather_due_rows(
    pavement_ids: Collection[int], *, at: datetime, today: date | None = None
) -> tuple[list[DueRows], HouseRows]:
    """Return the rows of the pavements in service among these, and of who keeps and sweeps them.

    `today` defaults to the day at each site at the instant `at`.
    """
    rows = Pavement.objects.filter(pk__in=pavement_ids).in_service().standing()
    pavements = list(rows.select_related("site").order_by("pk"))
    tables = _Tables([pavement.pk for pavement in pavements], at)
    found = [
        tables.of(p, today or at.astimezone(ZoneInfo(p.site.time_zone)).date()) for p in pavements
    ]
    return found, _house_rows({o for row in found for o in (*row.keepers, *row.sweepers)})


class _Tables:
    """One pass over each table."""

    def __init__(self, ids: list[int], at: datetime) -> None:
        there = {"pavement__in": ids}
        outlooks = Outlook.objects.filter(**there)
        self.outlooks = {row.pavement_id: row for row in outlooks}
        fits = {row.fit_id for row in self.outlooks.values() if row.fit_id is not None}
        self.fits = Fit.objects.only(*OF_THE_FIT).in_bulk(fits)
        standings = PavementStanding.objects.filter(viewpoint="holder", **there)
        self.standings = {row.pavement_id: row for row in standings}
        self.criteria = _by_pavement(Criteria.objects.filter(**there).standing())
        self.run_on = _by_pavement(RunOnArea.objects.filter(**there).standing())
        cleanings = Cleaning.objects.filter(**there).standing().in_order()
        self.cleanings = _by_pavement(cleanings.prefetch_related(*PARTS_OF_CLEANING))
        self.panels = _by_pavement(Panel.objects.filter(exists_to_on=None, **there).standing())
        spots = Spot.objects.filter(panel__isnull=False, **there).standing()
        self.spots = _by_pavement(spots.select_related("panel").only("pavement", "panel"))
        defects = Defect.objects.filter(kind__in=FINDING, **there).open()
        self.defects = _by_pavement(defects.prefetch_related("observations"))
        days = PlacingDay.objects.standing().filter(**there).handed_over(at)
        spreads = Spread.objects.standing().filter(load__in=Load.objects.placed().of_days(days))
        spreads = spreads.select_related("load__placing_day")
        self.spreads = _grouped(spreads, "load.placing_day.pavement_id")
        laid = Panel.objects.filter(pavement__in=list(self.spreads)).standing()
        self.laid_panels = _by_pavement(laid.select_related("plan", "cut_from"))
        self.tests = _by_pavement(_tests(self.cleanings, self.defects, self.spreads))
        self.cores = _by_pavement(Core.objects.filter(**there).standing())
        self.dirt = _by_pavement(DirtSource.objects.filter(**there).open())
        self.permits = _by_pavement(PermitMinimum.objects.filter(**there).standing())
        seats = Seat.objects.held_at(at).filter(
            Q(role__in=KEEPERS | {Role.SWEEPER}), section__isnull=True, **there
        )
        self.seats = _by_pavement(seats.order_by("pk"))

    def of(self, pavement: Pavement, today: date) -> DueRows:
        """Return the rows of one pavement."""
        pk = pavement.pk
        outlook = self.outlooks.get(pk)
        seats = self.seats[pk]
        return DueRows(
            pavement=pavement,
            today=today,
            outlook=outlook,
            fit=self.fits.get(outlook.fit_id) if outlook and outlook.fit_id else None,
            standing=self.standings.get(pk),
            demand=DemandRows(pavement.area_m2, tuple(self.criteria[pk]), tuple(self.run_on[pk])),
            cleanings=tuple(row for row in self.cleanings[pk] if row.done_on <= today),
            tests=tuple(row for row in self.tests[pk] if row.started_on <= today),
            panels=tuple(self.panels[pk]),
            panel_of={spot.pk: spot.panel for spot in self.spots[pk]},
            defects=tuple(self.defects[pk]),
            cores=tuple(row for row in self.cores[pk] if row.taken_on <= today),
            spreads=tuple(self.spreads[pk]),
            laid_panels=tuple(self.laid_panels[pk]),
            dirt=tuple(self.dirt[pk]),
            permits=tuple(row for row in self.permits[pk] if _holds(row, today)),
            keepers=tuple(
                seat.organisation_id
                for role in (Role.MANAGER, Role.OWNER)
                for seat in seats
                if seat.role == role
            ),
            sweepers=frozenset(seat.organisation_id for seat in seats),
        )


def _tests(
    cleanings: dict[int, list[Cleaning]],
    defects: dict[int, list[Defect]],
    spreads: dict[int, list[Spread]],
) -> Any:
    """Return the usable tests of pavements with a clogged strip or loads, or cleaned for a gain."""
    asked = [pk for pk, rows in defects.items() if any(row.kind == "clogged" for row in rows)]
    asked += [
        pk
        for pk, rows in cleanings.items()
        if any(row.is_restorative or row.method_class in WITH_GAINS for row in rows)
    ]
    asked += list(spreads)
    rows = InfiltrationTest.objects.filter(pavement__in=asked).usable()
    return rows.select_related("spot").in_order()


def _house_rows(organisations: set[int]) -> HouseRows:
    of_them = {"organisation__in": organisations}
    return HouseRows(
        machines=_grouped(Machine.objects.filter(**of_them).standing(), "organisation_id"),
        prices=_grouped(
            Price.objects.filter(**of_them).standing().in_order(),
            "organisation_id",
        ),
        seasons=_grouped(Season.objects.filter(**of_them).standing(), "organisation_id"),
        days=_grouped(SeasonDay.objects.filter(**of_them).standing(), "organisation_id"),
        limits=_grouped(RuleSetting.objects.filter(**of_them).standing(), "organisation_id"),
    )


def _holds(row: PermitMinimum, day: date) -> bool:
    begun = row.from_on is None or row.from_on <= day
    return begun and (row.to_on is None or day < row.to_on)


def _by_pavement(rows: Iterable[Any]) -> dict[int, list[Any]]:
    return _grouped(rows, "pavement_id")


def _grouped(rows: Iterable[Any], name: str) -> dict[int, list[Any]]:
    found: dict[int, list[Any]] = defaultdict(list)
    key = attrgetter(name)
    for row in rows:
        found[key(row)].append(row)
    return found
