"""Acceptance tests laid over the loads of a pavement: which load was low since it was placed.

A test lies on the load whose limits its ring is within; where its point is not on record, on the
load that fills its panel. Where two loads come into question it is told and decides nothing. Only
work that was handed over counts, since what is due is read by the owner's side too.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from shapely import Point

from registry.faults import DomainError
from registry.gathering.gains import GainAtSpot
from registry.gathering.layouts import plan_panel
from registry.gathering.load_pattern import lay_named, load_name
from registry.gathering.spot_days import SpotDay
from registry.measuring import Gain, is_below
from registry.models import Cleaning, Panel, Spot
from registry.models import Spread as SpreadRow
from registry.placing.load_shares import LoadShares, Piece
from registry.planning.enough_facts import LoadSincePlacing
from registry.planning.proposal import DRY_GAIN_ENOUGH

RING_RADIUS_M = 0.15
"""Of the ring of ASTM C1701 (300 mm inside, from memory): limits of loads nearer than that to a
test leave open which load it tells of."""
WHOLE_SHARE = 0.99
GONE = ("replaced", "removed")


@dataclass(frozen=True)
class LoadRates:
    """Loads with an acceptance test; `untold` says of tests that lie on no load for certain."""

    loads: tuple[LoadSincePlacing, ...] = ()
    placed: int = 0
    untold: str = ""


def load_rates(
    spreads: Sequence[SpreadRow],
    panels: Iterable[Panel],
    days: Mapping[Spot, Sequence[SpotDay]],
    gains: Sequence[tuple[Cleaning, GainAtSpot]],
    action_mm_h: float | None,
) -> LoadRates:
    """Return the loads with their lowest acceptance rate and what cleaning did on each.

    spreads  of the first work, with load and placing day
    panels   all that ever were, with their plan
    gains    of every cleaning at every spot it reached
    """
    if not spreads or action_mm_h is None:
        return LoadRates()
    rows = _panels_when_new(spreads, panels)
    try:
        shares, trouble = lay_named(named_spreads(spreads), [plan_panel(row) for row in rows])
    except DomainError as fault:
        shares, trouble = None, fault.message
    if shares is None:
        return LoadRates(untold=trouble)
    loads_of = _loads_of(days, shares, rows, _new_on(spreads))
    accepted = [day for spot in loads_of for day in days[spot] if _is_acceptance(day)]
    found = []
    for load in shares.loads:
        spots = {spot for spot, loads in loads_of.items() if loads == (load,)}
        own = [day for day in accepted if day.spot in spots]
        if own:
            mm_h, sign = min(value for day in own for value in day.values)
            later = [day for spot in spots for day in days[spot] if day not in own]
            above = any(_is_above(day, action_mm_h) for day in later)
            best = _best_gain([(c, gain) for c, gain in gains if gain.spot in spots])
            found.append(LoadSincePlacing(f"load {load}", mm_h, sign, best, above))
    return LoadRates(tuple(found), len(shares.loads), _untold(accepted, loads_of, action_mm_h))


def named_spreads(rows: Iterable[SpreadRow]) -> dict[str, list[SpreadRow]]:
    """Return spreads by the name of their load."""
    named: dict[str, list[SpreadRow]] = {}
    name_of: dict[int, str] = {}
    for row in sorted(rows, key=lambda row: (row.load.placing_day.placed_on, row.load_id, row.pk)):
        if row.load_id not in name_of:
            name_of[row.load_id] = load_name(row.load.number, named, row.load.placing_day)
        named.setdefault(name_of[row.load_id], []).append(row)
    return named


def _new_on(spreads: Iterable[SpreadRow]) -> date:
    return max(row.load.placing_day.placed_on for row in spreads)


def _panels_when_new(spreads: Iterable[SpreadRow], panels: Iterable[Panel]) -> list[Panel]:
    """Return the panels of the newest plan as they were when the last of the loads was new."""
    new_on = _new_on(spreads)
    there = [row for row in panels if row.is_there_on(new_on)]
    newest = max((row.plan.number for row in there if row.plan), default=None)
    return [row for row in there if row.plan is None or row.plan.number == newest]


def _loads_of(
    spots: Iterable[Spot], shares: LoadShares, panels: Iterable[Panel], new_on: date
) -> dict[Spot, tuple[str, ...]]:
    """Return the loads each spot may lie on; spots on concrete taken out since are left away."""
    names = {row.pk: row.name for row in panels}
    gone = {row.name for row in panels if row.ended_as in GONE}
    found = {}
    for spot in spots:
        pieces = _pieces_at(spot, shares, names)
        is_gone = bool(pieces) and all(piece.panel in gone for piece in pieces)
        if not is_gone and (spot.concrete_placed_on or new_on) <= new_on:
            found[spot] = tuple(dict.fromkeys(piece.load for piece in pieces))
    return found


def _pieces_at(spot: Spot, shares: LoadShares, names: Mapping[int, str]) -> list[Piece]:
    """Return the pieces of loads that a spot may lie on; one load where that is certain."""
    if spot.right_m is not None and spot.up_m is not None:
        ring = Point(spot.right_m, spot.up_m).buffer(RING_RADIUS_M)
        return [piece for piece in shares.pieces if piece.outline.intersects(ring)]
    panel = names.get(spot.panel_id or 0)
    pieces = [piece for piece in shares.pieces if piece.panel == panel]
    return [piece for piece in pieces if piece.share >= WHOLE_SHARE] or pieces


def _is_acceptance(day: SpotDay) -> bool:
    return bool(day.values) and any(test.reason == "acceptance" for test in day.tests)


def _is_above(day: SpotDay, action_mm_h: float) -> bool:
    answers = [is_below(mm_h, sign, action_mm_h) for mm_h, sign in day.values]
    return bool(answers) and all(answer is False for answer in answers)


def _best_gain(gains: Iterable[tuple[Cleaning, GainAtSpot]]) -> float | None:
    """Return the best gain; None where a bound or no restorative cleaning leaves it open."""
    told = [(cleaning, one.result) for cleaning, one in gains if isinstance(one.result, Gain)]
    helped = [g.factor for _, g in told if g.sign != "<" and g.factor >= DRY_GAIN_ENOUGH]
    if helped:
        return max(helped)
    if any(g.sign == ">" or (g.sign == "<" and g.factor > DRY_GAIN_ENOUGH) for _, g in told):
        return None
    if not any(cleaning.is_restorative for cleaning, _ in told):
        return None
    return max(gain.factor for _, gain in told)


def _untold(
    accepted: Iterable[SpotDay], loads_of: Mapping[Spot, tuple[str, ...]], action_mm_h: float
) -> str:
    """Say which low acceptance tests lie on a load that cannot be told for certain."""
    said = []
    for day in accepted:
        loads = loads_of[day.spot]
        if len(loads) != 1 and not _is_above(day, action_mm_h):
            where = f"lies on load {' or '.join(loads)}" if loads else "lies on no load"
            said.append(f"{day.spot.name} of {day.on} {where}")
    return f"Low at acceptance, but the load is open: {'; '.join(said)}." if said else ""
