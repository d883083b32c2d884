"""Rows of a pavement -> the facts from which `planning.due` says what is due there.

What lies on the surface is read from open defects (clogged, growth) and from open sources of dirt;
what lies there otherwise is written nowhere. Prices decide alone which method that holds is the
cheapest; what anything costs is worked out for who asks.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date

from registry.decline.faults import DeclineError
from registry.decline.parameters import NAMES
from registry.decline.records import METHODS
from registry.decline.written import covariance_from_plain
from registry.gathering.clogged_strip import StripRows, strip_width
from registry.gathering.due_rank import candidate_of
from registry.gathering.due_rows import DueRows, HouseRows
from registry.gathering.due_seasons import Seasons, SensibleDays
from registry.gathering.enough_facts import CleaningsTold, enough_facts
from registry.gathering.spot_days import spot_days
from registry.gathering.stored_fit import parameters_of
from registry.gathering.upkeep import upkeep_at
from registry.measuring import Gain, is_below
from registry.models import CLASS_OF, Cleaning, Fit, PermitMinimum, Price, Site, Surface
from registry.models.dirt_source import DirtSource
from registry.planning.due import DueFacts, SweepBy
from registry.planning.enough import is_sweeping_enough
from registry.planning.enough_facts import Enough, EnoughFacts
from registry.planning.expected_gain import Clogging, ExpectedGain, Recovery, expected_gain
from registry.planning.methods import METHOD_CLASS, Method, SurfaceKind
from registry.planning.permit_minimums import Minimum, PermitCount, Visit, permit_count
from registry.planning.proposal import (
    DRY_GAIN_ENOUGH,
    Find,
    Found,
    Proposal,
    WayIn,
    proposed_method,
)
from registry.planning.seasons import YearDay
from registry.planning.sweep_order import Candidate
from registry.planning.words import NotDecided
from registry.units import System

NO_OUTLOOK = NotDecided("Not decided: no outlook was worked out yet.", ("outlook",))
SURFACE = {
    Surface.FINE_PERVIOUS_CONCRETE: SurfaceKind.PERVIOUS_CONCRETE,
    Surface.PERVIOUS_CONCRETE: SurfaceKind.PERVIOUS_CONCRETE,
    Surface.PERMEABLE_PAVERS: SurfaceKind.PERMEABLE_PAVERS,
    Surface.POROUS_ASPHALT: SurfaceKind.POROUS_ASPHALT,
    Surface.GRID: SurfaceKind.GRID,
}
FIND_OF_DEFECT = {"clogged": Find.PORES_SHUT, "growth": Find.MOSS}
FIND_BROUGHT = {
    "leaf": Find.LEAVES, "fruit": Find.LEAVES, "mulch": Find.LEAVES, "sand": Find.DUST_OR_SAND,
    "silt": Find.DUST_OR_SAND, "clay": Find.DUST_OR_SAND, "oil": Find.OIL_OR_FOOD,
}  # fmt: skip
DRY_CLASSES = ("vacuum", "regenerative_air")


@dataclass(frozen=True)
class Limits:
    """What the way into a site allows; None: no limit is written."""

    axle_kg: float | None
    height_m: float | None
    width_m: float | None
    turning_m: float | None


@dataclass(frozen=True)
class GatheredDue:
    """One pavement's facts. `days` are the sensible days; `enough` answers by unit system; `rank`
    is what its place in the order of sweeping rests on.
    """

    rows: DueRows
    facts: DueFacts
    days: SensibleDays | NotDecided
    enough: dict[System, Enough]
    rank: Candidate


def gather_due(rows: DueRows, house: HouseRows, seasons: Seasons) -> GatheredDue:
    """Return the facts of one pavement; no query is made."""
    told = CleaningsTold(rows)
    surface = SURFACE[Surface(rows.pavement.surface)]
    proposal = proposed_method(_found(rows, house, told, surface), _way_in(rows, house))
    if isinstance(proposal, Proposal):
        days = seasons.sensible_days(rows, proposal.method)
    else:
        days = NotDecided("Not decided: no method is proposed.", proposal.missing)
    facts = DueFacts(
        as_of=rows.today,
        proposal=proposal,
        earliest=days if isinstance(days, NotDecided) else days.earliest,
        sweep_by=_sweep_by(rows),
        gain=_gain(rows, proposal),
        permits=tuple(_permit(row, rows) for row in rows.permits),
        sand_by=seasons.sand_by(rows),
        sand_within=seasons.limits(rows).after_sand_days,
        is_below=_is_below(rows),
    )
    strip = strip_width(_strip_rows(rows))
    rank = candidate_of(
        rows, is_below=facts.is_below, strip=strip, missed=seasons.has_missed_window(rows)
    )
    return GatheredDue(rows, facts, days, _enough(enough_facts(rows, told, surface, strip)), rank)


def _strip_rows(rows: DueRows) -> StripRows:
    is_asked = any(row.kind == "clogged" for row in rows.defects)
    days = spot_days(t for t in rows.tests if is_asked and t.double_of_id is None)
    return StripRows(rows.defects, rows.panels, days, rows.demand.on(rows.today))


def _enough(facts: EnoughFacts) -> dict[System, Enough]:
    return {system: is_sweeping_enough(replace(facts, system=system)) for system in System}


def _found(rows: DueRows, house: HouseRows, told: CleaningsTold, surface: SurfaceKind) -> Found:
    finds = {FIND_OF_DEFECT.get(row.kind) for row in rows.defects}
    finds |= {_find_brought(row) for row in rows.dirt}
    return Found(
        surface=surface,
        finds=frozenset(find for find in finds if find is not None),
        dry_gain=_dry_gain(told),
        cheapest_class=_cheapest(rows, house),
        is_below=_is_below(rows),
    )


def _find_brought(row: DirtSource) -> Find | None:
    return Find.MOSS if row.kind == "moss" else FIND_BROUGHT.get(row.brings)


def _dry_gain(told: CleaningsTold) -> float | None:
    """Return the lowest gain of the last dry vacuum of which one is known.

    One before the last restorative cleaning says nothing of the pores of today.
    """
    last = max((c.done_on for c in told.restorative), default=date.min)
    for cleaning in reversed(told.done):
        if cleaning.done_on >= last and _is_dry_vacuum(cleaning):
            gains = [g.result for g in told.gains(cleaning) if isinstance(g.result, Gain)]
            usable = [gain.factor for gain in gains if _decides(gain)]
            if usable:
                return min(usable)
    return None


def _is_dry_vacuum(cleaning: Cleaning) -> bool:
    return cleaning.method_class in DRY_CLASSES and cleaning.surface == "dry"


def _decides(gain: Gain) -> bool:
    """Say whether a gain, or a bound of one, tells on which side of the limit it lies."""
    if gain.sign == "<":
        return gain.factor <= DRY_GAIN_ENOUGH
    return not gain.sign or gain.factor >= DRY_GAIN_ENOUGH


def _cheapest(rows: DueRows, house: HouseRows) -> str:
    """Return the class of method that holds the level for ever at the least cost a year."""
    if rows.outlook is None:
        return ""
    for keeper in rows.keepers:
        prices = _prices_on(rows.today, house.prices.get(keeper, []))
        if prices:
            upkeep = upkeep_at(rows.pavement, rows.outlook, prices)
            return next((one.method for one in upkeep if one.is_proposed), "")
    return ""


def _prices_on(day: date, prices: list[Price]) -> Mapping[str, Price]:
    return {price.method_class: price for price in prices if price_holds(price, day)}


def price_holds(price: Price, day: date) -> bool:
    """Say whether a price holds on a day."""
    begun = price.from_on is None or price.from_on <= day
    return begun and (price.to_on is None or day < price.to_on)


def _way_in(rows: DueRows, house: HouseRows) -> WayIn:
    machines = [m for firm in sorted(rows.sweepers) for m in house.machines.get(firm, ())]
    return WayIn(
        limits=_limits(rows.pavement.site),
        machines=tuple((Method(code), machine) for machine in machines for code in machine.methods),
    )


def _limits(site: Site) -> Limits:
    return Limits(site.axle_limit_kg, site.clearance_m, site.way_in_width_m, site.turning_m)


def _sweep_by(rows: DueRows) -> SweepBy | NotDecided:
    outlook = rows.outlook
    if outlook is None:
        return NO_OUTLOOK
    if outlook.why_not and outlook.sweep_by_on is None:
        return NotDecided(outlook.why_not, ("fit",))
    return SweepBy(outlook.sweep_by_on, outlook.sweep_by_place, outlook.risk)


def _gain(rows: DueRows, proposal: Proposal | NotDecided) -> ExpectedGain | NotDecided:
    if isinstance(proposal, NotDecided):
        return NotDecided("Not decided: no method is proposed.", proposal.missing)
    outlook = rows.outlook
    if outlook is None:
        return NO_OUTLOOK
    method = METHOD_CLASS[proposal.method]
    if not method:
        return NotDecided("Not decided: the figures do not tell this method apart.")
    clogging = Clogging(
        outlook.slope_per_yr, outlook.sd_slope_per_yr, outlook.effective_age_yr, outlook.why_not
    )
    return expected_gain(clogging, recovery_of(rows.fit, method))


def recovery_of(fit: Fit | None, method_class: str) -> Recovery | None:
    """Return what a fit says of a method: its share and the spread of its logit.

    None where there is no fit, or where how sure it is is not known: it was given, or lies at the
    edge of what is searched.
    """
    if fit is None or fit.covariance is None:
        return None
    try:
        share = float(parameters_of(fit).recovery[METHODS.index(method_class)])
        place = NAMES.index(method_class)
        variance = float(covariance_from_plain(fit.covariance)[place, place])
    except DeclineError:
        return None
    return Recovery(share, math.sqrt(variance)) if variance > 0 else None


def _permit(row: PermitMinimum, rows: DueRows) -> PermitCount:
    minimum = Minimum(
        row.times,
        YearDay(row.begins_month, row.begins_day),
        row.source_document,
        row.days_between,
    )
    counted = [c for c in rows.cleanings if _counts(c, row)]
    names = frozenset(panel.name for panel in rows.panels)
    return permit_count(minimum, [_visit(c, names) for c in counted], names, rows.today)


def _counts(cleaning: Cleaning, row: PermitMinimum) -> bool:
    if row.methods:
        return cleaning.method in row.methods
    return bool(CLASS_OF[cleaning.method])


def _visit(cleaning: Cleaning, names: frozenset[str]) -> Visit:
    """Return what became of a visit; of a whole pavement with rows missed, the others."""
    parts = list(cleaning.panels.all())
    missed = frozenset(part.panel.name for part in parts if part.is_missed)
    covered = frozenset(part.panel.name for part in parts if not part.is_missed)
    if cleaning.covers_all:
        return Visit(cleaning.done_on, cleaning.state, names - missed if missed else None)
    return Visit(cleaning.done_on, cleaning.state, covered - missed)


def _is_below(rows: DueRows) -> bool | None:
    """Say whether the lowest usable rate lies below the level of the day; None: not known."""
    standing, action = rows.standing, rows.demand.on(rows.today).action_mm_h
    if standing is None or standing.lowest_mm_h is None or action is None:
        return None
    return is_below(standing.lowest_mm_h, standing.lowest_sign, action)
