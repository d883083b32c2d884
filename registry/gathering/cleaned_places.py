"""Every place of a pool as if cleaned today: which decides after each method, and its chance.

The surface as a whole may be fine after a cleaning while the worst spot is below all the same, so
both are told. P pavements, S spots, n = P + S places as in `registry.decline.outlook`.
"""

from collections.abc import Mapping, Sequence
from datetime import date

import numpy as np

from registry.decline.outlook import Outlooks, chance_at, days_reaching
from registry.decline.records import METHODS


class CleanedPlaces:
    """What each of METHODS would leave at the places of each pavement.

    places  by a pavement's own life, its place and those of its spots; the lives left out get 0
    names   of the S spots, as people know them
    """

    def __init__(
        self, outlooks: Outlooks, places: Mapping[int, list[int]], names: Sequence[str]
    ) -> None:
        self.names = names
        self.pavements = len(outlooks.portfolio.ref)
        left = outlooks.places.age[:, None] * (1 - outlooks.parameters.recovery)
        years = np.nan_to_num(outlooks.reaching_age[:, None] - left, nan=np.inf)
        self.days = days_reaching(years, outlooks.portfolio.as_of, outlooks.options)
        self.deciding = np.zeros((self.pavements, len(METHODS)), np.int64)
        for own, of_it in places.items():
            some = np.array(of_it)
            self.deciding[own] = some[years[some].argmin(axis=0)]
        place, method = self.deciding.ravel(), np.tile(np.arange(len(METHODS)), self.pavements)
        chance = chance_at(
            outlooks.places.joint.take(place),
            left[place, method],
            outlooks.places.ln_action[place],
        )
        # The worst place is never better off than the surface as a whole.
        self.chance = np.fmax(chance.reshape(self.deciding.shape), outlooks.after.p_below)

    def sweep_by(self, own: int, method: int) -> date | None:
        """Return the day by which the place that decides is due again, None for none searched."""
        day = self.days[self.deciding[own, method], method]
        return None if np.isnat(day) else day.astype("datetime64[D]").astype(date)

    def name(self, own: int, method: int) -> str:
        """Return the name of the spot that decides, "" where it is the surface as a whole."""
        spot = int(self.deciding[own, method]) - self.pavements
        return self.names[spot] if spot >= 0 else ""
