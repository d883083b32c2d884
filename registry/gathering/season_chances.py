"""Chances of pavements to lie below their action level by month, with and without planned orders.

The worst place decides, as in the outlook: the highest chance over the surface as a whole and the
tested spots that still exist.
"""

from collections import defaultdict
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from registry.decline.ahead import PlannedCleaning, chances_ahead
from registry.decline.outlook import DAYS_A_YEAR, Outlooks, outlooks_of
from registry.decline.portfolio import Gathered, gather_portfolio, select_pavements
from registry.decline.records import METHODS, Floats, Ints
from registry.gathering.decline_records import PoolRows, arrange_records
from registry.gathering.decline_together import few_questions
from registry.gathering.stored_fit import parameters_of
from registry.models import Fit, Outlook


@dataclass(frozen=True)
class PlannedSweep:
    """A cleaning taken as done on a day; `panels` None: everywhere.

    method_class  one of the four the figures tell apart, "" for one that takes nothing away
    """

    pavement: int
    on: date
    method_class: str
    panels: frozenset[int] | None = None


@dataclass(frozen=True, eq=False)
class PavementChances:
    """Of one pavement at the days asked for, (d,) each."""

    not_cleaned: Floats
    cleaned: Floats


def season_chances(
    pavements: Collection[int], sweeps: Iterable[PlannedSweep], days: Sequence[date], *, today: date
) -> dict[int, PavementChances]:
    """Return the chances of those pavements that the fit of their pool decides.

    days  today or later;  sweeps  today or later
    """
    fits: dict[Fit, set[int]] = defaultdict(set)
    rows = Outlook.objects.filter(pavement__in=pavements, why_not="", fit__isnull=False)
    for outlook in rows.select_related("fit").only("pavement", "fit__parameters"):
        if outlook.fit is not None:
            fits[outlook.fit].add(outlook.pavement_id)
    if not fits:
        return {}
    gathered = _Gathered.of([pk for ids in fits.values() for pk in ids], today)
    ahead = np.array([(day - today).days for day in days], float) / DAYS_A_YEAR
    planned = [sweep for sweep in sweeps if sweep.method_class]
    found: dict[int, PavementChances] = {}
    for fit, ids in fits.items():
        found |= gathered.chances(fit, ids, planned, ahead)
    return found


@dataclass(frozen=True)
class _Gathered:
    """The records of all pavements at once; each fit takes its own out of them."""

    rows: PoolRows
    portfolio: Gathered
    today: date

    @classmethod
    def of(cls, ids: Sequence[int], today: date) -> "_Gathered":
        rows = arrange_records(few_questions(ids), on=today)
        return cls(rows, gather_portfolio(rows.records, np.datetime64(today)), today)

    def chances(
        self, fit: Fit, ids: set[int], sweeps: Sequence[PlannedSweep], ahead: Floats
    ) -> dict[int, PavementChances]:
        """Return the chances of the pavements of one fit."""
        life = [self.rows.lives[row].pavement for row in self.portfolio.pavement_row.tolist()]
        wanted = np.array([pk in ids for pk in life], bool)
        whole = self.portfolio.portfolio
        own = [pk for pk in life if pk in ids]
        if not own:
            return {}
        spot_rows = self.portfolio.spot_row[wanted[whole.spot_pavement]]
        outlooks = outlooks_of(select_pavements(whole, wanted), parameters_of(fit))
        spots = spot_rows.tolist()
        owner = np.array([*own, *(own[n] for n in outlooks.portfolio.spot_pavement)], int)
        panel = [None] * len(own) + [self.rows.panels[row] for row in spots]
        planned = [self._planned(sweep, owner, panel, outlooks) for sweep in sweeps]
        bare = chances_ahead(outlooks, ahead)
        swept = chances_ahead(outlooks, ahead, [one for one in planned if len(one.places)])
        live = self._live(outlooks, [self.rows.spots[row][2] for row in spots])
        return {
            pk: PavementChances(_worst(bare, rows), _worst(swept, rows))
            for pk in dict.fromkeys(own)
            if len(rows := np.flatnonzero((owner == pk) & live))
            and not np.isnan(bare[rows[0]]).any()
        }

    def _planned(
        self, sweep: PlannedSweep, owner: Ints, panel: list[int | None], outlooks: Outlooks
    ) -> PlannedCleaning:
        """Return where a sweep goes: a spot in a panel that is not swept keeps its age."""
        rows = [
            row
            for row in np.flatnonzero(owner == sweep.pavement).tolist()
            if sweep.panels is None or panel[row] is None or panel[row] in sweep.panels
        ]
        recovery = outlooks.parameters.recovery[METHODS.index(sweep.method_class)]
        after = max((sweep.on - self.today).days, 0) / DAYS_A_YEAR
        return PlannedCleaning(after, float(recovery), np.array(rows, int))

    def _live(self, outlooks: Outlooks, ends: list[date | None]) -> np.ndarray:
        """The pavements themselves, and their tested spots that still exist."""
        own = len(outlooks.portfolio.ref)
        tested = outlooks.places.tests[own:] > 0
        there = np.array([end is None or end > self.today for end in ends], bool)
        return np.concatenate((np.ones(own, bool), tested & there))


def _worst(chances: Floats, rows: Ints) -> Floats:
    """The highest chance at each day over some places; what is not decided is left out."""
    return np.asarray(np.nanmax(chances[rows], axis=0))
