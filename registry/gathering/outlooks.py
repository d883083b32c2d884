"""What a fit means for each pavement, as rows to store.

A pavement with replaced panels has several lives (`decline_records`). Its own numbers are those of
its own concrete; the day it must be swept by is the earliest over all its lives and over the spots
that still exist, and the chance that lists show is the highest over the same: the worst place
decides.
"""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date
from typing import Any

import numpy as np

from registry.decline.outlook import Outlooks
from registry.decline.records import METHODS
from registry.decline.share import Share
from registry.decline.sustainable import sustainable_intervals
from registry.gathering.cleaned_places import CleanedPlaces
from registry.gathering.decline_records import PoolRows
from registry.gathering.surface_parts import LATER_PANELS

NO_AGE = "Not decided: the placing date is not known."
PART_NO_AGE = (
    "Not decided: the placing date of most of this pavement is not known. Numbers are given only "
    "for spots in panels placed later."
)
NO_FIT = (
    "Not decided: how the pavements of its pool decline could not be worked out yet (no fit has "
    "converged)."
)


@dataclass(frozen=True)
class PavementOutlook:
    """The numbers of one pavement; `values` are those of the row, by column name."""

    pavement: int
    values: dict[str, Any]
    spots: list[dict[str, Any]] = field(default_factory=list)
    by_method: list[dict[str, Any]] = field(default_factory=list)


def no_fit(message: str) -> str:
    """Return why a pavement of a pool without a good fit is not decided, as its newest fit has it.

    message  of that fit, "" where there is none: cut to what the column holds
    """
    return f"{NO_FIT} {message}".strip()[:300]


def undecided(pavement: int, why: str) -> PavementOutlook:
    """Return an outlook without numbers, with the reason in their place."""
    return PavementOutlook(pavement, {"why_not": why})


def outlooks_by_pavement(
    rows: PoolRows, outlooks: Outlooks, pavement_row: np.ndarray, spot_row: np.ndarray
) -> list[PavementOutlook]:
    """Return one outlook for each pavement of a pool.

    pavement_row, spot_row  rows of the records behind the portfolio's pavements and spots
    """
    gathered = _Gathered(rows, outlooks, pavement_row, spot_row)
    found = [gathered.outlook(pk) for pk in sorted(gathered.lives)]
    return found + [undecided(pk, NO_AGE) for pk in rows.without_age if pk not in gathered.lives]


class _Gathered:
    """Places of the model by pavement."""

    def __init__(
        self, rows: PoolRows, outlooks: Outlooks, pavement_row: np.ndarray, spot_row: np.ndarray
    ) -> None:
        self.rows, self.outlooks = rows, outlooks
        self.without_age = frozenset(rows.without_age)
        self.lives: dict[int, list[int]] = defaultdict(list)
        for place, row in enumerate(pavement_row.tolist()):
            self.lives[rows.lives[row].pavement].append(place)
        self.spots: dict[int, list[tuple[int, int]]] = defaultdict(list)
        owners = outlooks.portfolio.spot_pavement.tolist()
        for nth, (owner, row) in enumerate(zip(owners, spot_row.tolist(), strict=True)):
            self.spots[owner].append((len(pavement_row) + nth, row))
        self.tests = outlooks.places.tests
        self.as_of = outlooks.portfolio.as_of
        parts = [rows.parts[rows.lives[row].pavement].edge_part for row in pavement_row.tolist()]
        edge_part = np.array([np.nan if part is None else part for part in parts], float)
        self.whole_share = outlooks.shares_below.whole(edge_part)
        places = {min(of_it): self._places(pk) for pk, of_it in self.lives.items()}
        names = [rows.spots[row][1] for row in spot_row.tolist()]
        self.cleaned = CleanedPlaces(outlooks, places, names)

    def _places(self, pavement: int) -> list[int]:
        """Return a pavement's own life and the tested spots of all its lives that still exist."""
        lives = sorted(self.lives[pavement])
        return [lives[0], *(place for life in lives for place, _ in self._live(life))]

    def outlook(self, pavement: int) -> PavementOutlook:
        """Return the outlook of one pavement; its own life is the one that began first."""
        lives = sorted(self.lives[pavement])
        own = lives[0]
        spots = [self._spot(place, row) for life in lives for place, row in self._live(life)]
        if pavement in self.without_age:
            return PavementOutlook(pavement, self._of_later_panels(own, spots), spots)
        why_not = self.outlooks.why_not(own)
        values = self._numbers(own)
        values["why_not"] = why_not
        if not why_not:
            values |= self._sweep_by(own, spots)
            values |= _worst([(values["p_below"], ""), *_chances(spots)])
            values |= self._shares(pavement, own)
            values |= {
                "is_beyond_sweeping": bool(self.outlooks.beyond_sweeping[own])
                or any(s["is_beyond_sweeping"] for s in spots),
            }
        return PavementOutlook(
            pavement, values, spots, self._by_method(own, self._places(pavement))
        )

    def _shares(self, pavement: int, own: int) -> dict[str, Any]:
        """Return the columns of the shares below: away from an edge, at it, and of the whole."""
        shares, parts = self.outlooks.shares_below, self.rows.parts[pavement]
        found = _share("share_below", shares.away, own)
        if parts.has_edge:
            found |= _share("edge_share_below", shares.edge, own)
        if len(self.lives[pavement]) > 1:
            return found | {"whole_share_why_not": LATER_PANELS}
        if parts.edge_part is None:
            return found | {"whole_share_why_not": parts.why_not}
        return found | _share("whole_share_below", self.whole_share, own)

    def _of_later_panels(self, own: int, spots: list[dict[str, Any]]) -> dict[str, Any]:
        """Return what may be said where only the later panels have an age: when a spot is due.

        New panels say nothing of the old concrete around them, which may be clogged today.
        """
        decided = [s for s in spots if not s["why_not"] and s["own_sweep_by_on"]]
        first = min(decided, key=lambda s: s["own_sweep_by_on"], default=None)
        return {
            "why_not": PART_NO_AGE,
            "action_rate_mm_h": _number(np.exp(self.outlooks.places.ln_action[own])),
            "sweep_by_on": first["own_sweep_by_on"] if first else None,
            "sweep_by_place": first["name"] if first else "",
            **_worst(_chances(spots)),
            "is_beyond_sweeping": any(s["is_beyond_sweeping"] for s in spots),
        }

    def _live(self, life: int) -> Iterable[tuple[int, int]]:
        """Yield the tested spots of a life that still exist."""
        day = self.as_of.astype(date)
        for place, row in self.spots[life]:
            ended_on = self.rows.spots[row][2]
            if self.tests[place] > 0 and (ended_on is None or ended_on > day):
                yield place, row

    def _numbers(self, place: int) -> dict[str, Any]:
        found, joint = self.outlooks, self.outlooks.places.joint
        return {
            "effective_age_yr": _number(found.places.age[place]),
            "intercept": _number(joint.a[place]),
            "slope_per_yr": _number(joint.k[place]),
            "sd_intercept": _number(np.sqrt(joint.aa[place])),
            "sd_slope_per_yr": _number(np.sqrt(joint.kk[place])),
            "rate_mm_h": _number(found.rates.rate[place]),
            "low_mm_h": _number(found.rates.low[place]),
            "high_mm_h": _number(found.rates.high[place]),
            "action_rate_mm_h": _number(np.exp(found.places.ln_action[place])),
            "p_below": _number(found.p_below[place]),
            "own_sweep_by_on": _day(found.sweep_by[place]),
        }

    def _spot(self, place: int, row: int) -> dict[str, Any]:
        pk, name, _ = self.rows.spots[row]
        return {
            "spot": pk,
            "name": name,
            **self._numbers(place),
            "is_beyond_sweeping": bool(self.outlooks.beyond_sweeping[place]),
            "why_not": self.outlooks.why_not(place),
            "infiltration_tests": int(self.tests[place]),
        }

    def _sweep_by(self, own: int, spots: list[dict[str, Any]]) -> dict[str, Any]:
        days = [(_day(self.outlooks.sweep_by[own]), "")]
        days += [(s["own_sweep_by_on"], s["name"]) for s in spots if not s["why_not"]]
        known = [(day, place) for day, place in days if day is not None]
        if not known:
            return {"sweep_by_on": None, "sweep_by_place": ""}
        day, place = min(known, key=lambda found: found[0])
        return {"sweep_by_on": day, "sweep_by_place": place}

    def _by_method(self, own: int, places: list[int]) -> list[dict[str, Any]]:
        """Return what each method would do today, and the longest interval it holds for ever.

        Rate and chance are of the surface as a whole; of its `places` the worst decides until when
        and how long, and `worst_p_below` is the chance there. Prices are the payer's, so they wait
        for who asks.
        """
        after = self.outlooks.after
        worst = min(places, key=lambda place: self.outlooks.reaching_age[place])
        intervals = sustainable_intervals(self.outlooks, worst, {})
        return [
            {
                "method": method,
                "rate_mm_h": _number(after.rate[own, nth]),
                "low_mm_h": _number(after.low[own, nth]),
                "high_mm_h": _number(after.high[own, nth]),
                "p_below": _number(after.p_below[own, nth]),
                "worst_p_below": _number(self.cleaned.chance[own, nth]),
                "worst_place": self.cleaned.name(own, nth),
                "sweep_by_on": self.cleaned.sweep_by(own, nth),
                "interval_yr": intervals[nth].years,
                "interval_is_longer": intervals[nth].longer,
                "no_interval": "" if intervals[nth].years else intervals[nth].reason,
            }
            for nth, method in enumerate(METHODS)
        ]


def _share(name: str, share: Share, own: int) -> dict[str, float | None]:
    return {
        name: _number(share.expected[own]),
        f"{name}_low": _number(share.low[own]),
        f"{name}_high": _number(share.high[own]),
    }


def _chances(spots: list[dict[str, Any]]) -> list[tuple[float | None, str]]:
    return [(s["p_below"], s["name"]) for s in spots if not s["why_not"]]


def _worst(chances: list[tuple[float | None, str]]) -> dict[str, Any]:
    """Return the columns of the highest chance and the place it is from, "" for the surface."""
    known = [(chance, place) for chance, place in chances if chance is not None]
    chance, place = max(known, key=lambda found: found[0], default=(None, ""))
    return {"worst_p_below": chance, "worst_place": place}


def _number(value: Any) -> float | None:
    """Return a plain number, or None for what is not finite: such never reach the database."""
    number = float(value)
    return number if np.isfinite(number) else None


def _day(value: np.datetime64) -> date | None:
    return None if np.isnat(value) else value.astype("datetime64[D]").astype(date)
