"""Rows of a pavement -> the facts of its condition -> the condition word of a day (5.4).

A reading stops telling of today's surface when its panel was replaced, or when a restorative
cleaning went over the spot and a later usable result, at the spot or in its stratum, stands.
A cleaning nobody tested after takes nothing away: a low reading stays until a better one is read.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import TypeVar

from django.db.models import Q, QuerySet

from registry.gathering.clogged_strip import StripRows, strip_width
from registry.gathering.demand import DemandOnDay, DemandRows, demand_rows
from registry.gathering.readings import PavementReadings, gather_readings, rain_within_24_h
from registry.gathering.spot_days import SpotDay, declines_of_spot, rate_of, spot_days
from registry.gathering.water import WaterOnDay, WaterRows, water_rows
from registry.gathering.word_limits import Ruling, find_ruling
from registry.measuring.certainty import is_below
from registry.measuring.condition import condition_of_pavement, condition_of_stratum
from registry.measuring.condition_facts import (
    BestCleaning,
    ConditionWord,
    PavementFacts,
    SpotResult,
    StratumFacts,
)
from registry.measuring.reading import Stratum
from registry.measuring.spot_decline import Decline
from registry.measuring.width_seen import WidthSeen, width_seen
from registry.measuring.word_limits import WordLimits
from registry.models import Cleaning, Defect, InfiltrationTest, Panel, Pavement, Spot, UseOfTest
from registry.models.choices import Role
from registry.units import System

AFTER_DAYS = 60
"""A result so many days after a cleaning still tells what the cleaning left."""


@dataclass(frozen=True)
class PavementCondition:
    """Everything a page or sheet says of a pavement's condition on a day.

    strata     word of each stratum, in the order of `Stratum`
    declines   N6 by spot, every stretch, oldest first
    lowest     the lowest usable result of today's surface, None where there is none
    water      what stood on it and in its wells
    changes_on first later day on which criteria, run-on areas or thresholds begin or end
    """

    today: date
    word: ConditionWord
    strata: tuple[ConditionWord, ...]
    demand: DemandOnDay
    days: tuple[SpotDay, ...]
    declines: dict[Spot, tuple[Decline, ...]]
    facts: PavementFacts
    lowest: SpotResult | None
    last_tested_on: date | None
    water: WaterOnDay
    changes_on: date | None = None


@dataclass(frozen=True)
class ConditionRows:
    """The rows that one pavement's condition is made of; no query is made from here.

    panels: all that stand, where a clogged strip is known
    days: the usable days of its tests, where they were worked out already
    """

    pavement: Pavement
    demand: DemandRows
    readings: PavementReadings
    has_open_source: bool
    strata_present: frozenset[str]
    water: WaterRows
    ruling: Ruling
    panels: tuple[Panel, ...] = ()
    days: tuple[SpotDay, ...] | None = None


def condition_rows(pavement: Pavement, *, viewpoint: str = "holder") -> ConditionRows:
    """Fetch what the condition needs. "town" leaves out what was not submitted to it."""
    tests = pavement.infiltration_tests.standing().select_related("spot")
    cleanings = pavement.cleanings.done().prefetch_related("panels")
    defects, visits = pavement.defects.all(), pavement.visits.all()
    if viewpoint == "town":
        tests = of_town(tests, pavement)
        cleanings = of_town(cleanings, pavement)
        defects, visits = of_town(defects, pavement), of_town(visits, pavement)
    wells = pavement.well_readings.filter(visit__in=visits).standing().select_related("well")
    water = water_rows(defects, visits, wells)
    strips = any(row.kind == "clogged" for row in water.defects)
    return ConditionRows(
        pavement=pavement,
        demand=demand_rows(pavement),
        readings=gather_readings(pavement.placed_on, tests, cleanings),
        has_open_source=pavement.dirt_sources.open().exists(),
        strata_present=frozenset(pavement.strata.standing().values_list("kind", flat=True)),
        water=water,
        ruling=find_ruling(pavement, viewpoint),
        panels=tuple(pavement.panels.standing()) if strips else (),
    )


Rows = TypeVar("Rows", bound=QuerySet)


def of_town(rows: Rows, pavement: Pavement) -> Rows:
    """Return what the municipality may judge by: what was submitted to it, or is its own."""
    towns = pavement.seats.filter(role=Role.MUNICIPALITY).values("organisation")
    return rows.filter(Q(submitted_on__isnull=False) | Q(entered_for__in=towns))


def condition_of(
    pavement: Pavement, *, viewpoint: str, today: date, system: System | str | None = None
) -> PavementCondition:
    """Return the condition of a pavement on a day, as seen from a viewpoint."""
    rows = condition_rows(pavement, viewpoint=viewpoint)
    return decide_condition(rows, today=today, system=system or pavement.sheet_system)


def decide_condition(
    rows: ConditionRows, *, today: date, system: System | str
) -> PavementCondition:
    """Return the condition from rows already fetched."""
    readings = rows.readings
    known = [t for t in readings.tests if t.started_on <= today]
    given = rows.days
    days = spot_days(known) if given is None else tuple(d for d in given if d.on <= today)
    demand = rows.demand.on(today)
    restorative = [c for c in readings.cleanings if c.is_restorative and c.done_on <= today]
    by_spot: dict[Spot, list[SpotDay]] = defaultdict(list)
    for day in days:
        by_spot[day.spot].append(day)
    declines = {
        spot: declines_of_spot(
            mine,
            [c.done_on for c in restorative if readings.covers(c, spot)],
            lambda day: rows.demand.on(day).action_mm_h,
            today,
        )
        for spot, mine in by_spot.items()
    }
    superseding = _Superseding(readings, restorative, days)
    limits = rows.ruling.on(today)
    strata = _strata(rows, known, days, declines, superseding, demand, limits)
    limit = demand.criteria.drawdown_limit_h if demand.criteria else None
    water = rows.water.on(today, limit, designed=rows.demand.on, system=System(system))
    facts = PavementFacts(
        today=today,
        action_mm_h=demand.action_mm_h,
        action_reason=demand.reason,
        strata=strata,
        source_open=rows.has_open_source,
        ponding=water.ponding,
        ponding_words=water.ponding_words,
        drawdown_h=water.drawdown_h,
        drawdown_words=water.drawdown_words,
        drawdown_limit_h=limit,
        left_in_small_storm=water.left_in_small_storm,
        left_words=water.left_words,
        system=System(system),
        limits=limits,
        width=_width(rows, days, demand),
    )
    dated = (rows.demand, rows.ruling)
    return PavementCondition(
        today=today,
        word=condition_of_pavement(facts),
        strata=tuple(condition_of_stratum(s, facts) for s in strata),
        demand=demand,
        days=days,
        declines=declines,
        facts=facts,
        lowest=_lowest(strata, today, limits),
        last_tested_on=max((d.on for d in days), default=None),
        water=water,
        changes_on=min(filter(None, (r.changes_after(today) for r in dated)), default=None),
    )


def _width(rows: ConditionRows, days: tuple[SpotDay, ...], demand: DemandOnDay) -> WidthSeen:
    strips = rows.water.open_on(demand.on, "clogged")
    there = [panel for panel in rows.panels if panel.is_there_on(demand.on)]
    found = strip_width(StripRows(strips, there, days, demand))
    return width_seen(found.result, found.why, is_strip_known=any(map(_may_be_at_edge, strips)))


def _may_be_at_edge(strip: Defect) -> bool:
    """Say whether nobody wrote that a clogged place lies elsewhere than at the run-on edge."""
    return all(look.is_at_run_on_edge is not False for look in strip.observations.all())


class _Superseding:
    """Tells why a result no longer speaks of today's surface."""

    def __init__(
        self,
        readings: PavementReadings,
        restorative: Sequence[Cleaning],
        days: Sequence[SpotDay],
    ) -> None:
        self.readings = readings
        self.restorative = restorative
        self.latest_at_spot: dict[int, date] = {}
        self.latest_in_stratum: dict[str, date] = {}
        self.words = {c.pk: c.get_method_display() for c in restorative}
        self.at_panel: dict[int | None, list[Cleaning]] = {}
        for day in days:
            if day.spot.ended_on is None:
                self.latest_at_spot[day.spot.pk] = day.on
                self.latest_in_stratum[day.stratum] = day.on

    def reason(self, spot: Spot, stratum: str, on: date, is_after: bool) -> str:
        """Return why a result of a spot and day is superseded, or an empty string."""
        if spot.ended_on is not None:
            return spot.ended_why or f"the spot ended on {spot.ended_on.isoformat()}"
        for cleaning in self.there(spot):
            if cleaning.done_on > on or (cleaning.done_on == on and not is_after):
                tested = max(
                    self.latest_at_spot.get(spot.pk, date.min),
                    self.latest_in_stratum.get(stratum, date.min),
                )
                if tested >= cleaning.done_on and tested > on:
                    method = self.words[cleaning.pk]
                    return f"before the cleaning of {cleaning.done_on.isoformat()} ({method})"
        return ""

    def there(self, spot: Spot) -> list[Cleaning]:
        """Return the restorative cleanings that went over a spot; spots of a panel share them."""
        found = self.at_panel.get(spot.panel_id)
        if found is None:
            found = [c for c in self.restorative if self.readings.covers(c, spot)]
            self.at_panel[spot.panel_id] = found
        return found


def _strata(
    rows: ConditionRows,
    tests: Sequence[InfiltrationTest],
    days: Sequence[SpotDay],
    declines: dict[Spot, tuple[Decline, ...]],
    superseding: _Superseding,
    demand: DemandOnDay,
    limits: WordLimits,
) -> tuple[StratumFacts, ...]:
    results: dict[str, list[SpotResult]] = defaultdict(list)
    for day in days:
        results[day.stratum or "other"] += _results(day, superseding)
    for row in tests:
        alarm = _alarm(row, superseding)
        if alarm is not None:
            results[alarm.stratum].append(alarm)
    present = set(results) | set(rows.strata_present)
    first = limits.first_day(demand.on)
    if "other" not in rows.strata_present and _is_left_behind(results["other"], days, first):
        present = present - {"other"} or present
    return tuple(
        StratumFacts(
            stratum=stratum,
            results=tuple(results[stratum.value]),
            years_left=_years_left(stratum, declines),
            best_cleaning=_best_cleaning(stratum, days, superseding, demand.action_mm_h),
        )
        for stratum in Stratum
        if stratum.value in present
    )


def _is_left_behind(others: Sequence[SpotResult], days: Sequence[SpotDay], first: date) -> bool:
    """Say whether "other" only stands for old spots whose stratum nobody wrote, as at acceptance.

    Such a spot is no part of the surface that has to be tested again; while its result counts it
    decides like any other.
    """
    is_named = any(d.stratum == "other" for d in days)
    return not is_named and all(r.on < first for r in others)


def _results(day: SpotDay, superseding: _Superseding) -> list[SpotResult]:
    is_after = any(t.reason == "after_cleaning" for t in day.tests)
    why = superseding.reason(day.spot, day.stratum, day.on, is_after)
    dry = all(rain_within_24_h(t) is False for t in day.tests)
    return [
        SpotResult(
            mm_h, day.spot.name, day.on, Stratum(day.stratum or "other"), sign, dry, superseded=why
        )
        for mm_h, sign in day.values
    ]


def _alarm(row: InfiltrationTest, superseding: _Superseding) -> SpotResult | None:
    """Return a looked-at run as an alarm: it may raise one, never lower one."""
    rate = rate_of(row) if row.use == UseOfTest.LOOKED_AT else None
    if rate is None:
        return None
    stratum = row.stratum or row.spot.stratum or "other"
    why = superseding.reason(row.spot, stratum, row.started_on, row.reason == "after_cleaning")
    return SpotResult(
        rate.mm_h,
        row.spot.name,
        row.started_on,
        Stratum(stratum),
        rate.sign,
        is_alarm=True,
        superseded=why,
    )


def _years_left(stratum: Stratum, declines: dict[Spot, tuple[Decline, ...]]) -> float | None:
    left = [
        stretches[-1].years_left
        for spot, stretches in declines.items()
        if spot.ended_on is None and spot.stratum == stratum.value and stretches
    ]
    return min((years for years in left if years is not None), default=None)


def _best_cleaning(
    stratum: Stratum,
    days: Sequence[SpotDay],
    superseding: _Superseding,
    action_mm_h: float | None,
) -> BestCleaning | None:
    """Return what the latest restorative cleaning with a test after it left in a stratum."""
    mine = [d for d in days if d.stratum == stratum.value and d.spot.ended_on is None]
    for cleaning in reversed(superseding.restorative):
        reached = [d for d in mine if superseding.readings.covers(cleaning, d.spot)]
        after = [d for d in reached if _is_after(d, cleaning)]
        soon = [d for d in after if d.on <= cleaning.done_on + timedelta(days=AFTER_DAYS)]
        if soon:
            mm_h, sign, day = min(
                ((v[0], v[1], d) for d in soon for v in d.values[:1]), key=lambda found: found[0]
            )
            back = [
                d.on
                for d in after
                if d not in soon
                and action_mm_h is not None
                and any(is_below(v, s, action_mm_h) for v, s in d.values)
            ]
            return BestCleaning(
                cleaning.done_on, mm_h, day.spot.name, day.on, sign, min(back, default=None)
            )
    return None


def _is_after(day: SpotDay, cleaning: Cleaning) -> bool:
    same_day_after = any(t.reason == "after_cleaning" for t in day.tests)
    return day.on > cleaning.done_on or (day.on == cleaning.done_on and same_day_after)


def _lowest(strata: Iterable[StratumFacts], today: date, limits: WordLimits) -> SpotResult | None:
    first = limits.first_day(today)
    results = [r for s in strata for r in s.results if first <= r.on <= today]
    live = [r for r in results if not r.superseded and not r.is_alarm]
    return min(live, key=lambda r: (r.mm_h, r.sign != "<"), default=None)
