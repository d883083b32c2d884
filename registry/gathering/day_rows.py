"""All that is written down of a placing day, by one question."""

from dataclasses import dataclass

from registry.gathering.cover_figures import Cure, strips_of
from registry.models import (
    Blemish,
    Cover,
    CoverBreak,
    CoverWalk,
    EarlyLoad,
    Load,
    PlacingDay,
    Spread,
    StrikeOff,
    Uncover,
    WeatherReading,
)
from registry.models.together import together


@dataclass(frozen=True)
class DayRows:
    """The entries of one day, void ones included; loads in the order in which they came."""

    loads: list[Load]
    spreads: list[Spread]
    weather: list[WeatherReading]
    strike_offs: list[StrikeOff]
    blemishes: list[Blemish]
    early_loads: list[EarlyLoad]
    covers: list[Cover]
    breaks: list[CoverBreak]
    walks: list[CoverWalk]
    uncovers: list[Uncover]

    def cure(self, day: PlacingDay) -> Cure:
        """Return covers and walks that stand, with the hours of each strip."""
        strips = strips_of(day, self.covers, self.breaks, self.walks, self.uncovers)
        standing = (row for row in self.walks if not row.is_void)
        walks = tuple(sorted(standing, key=lambda row: (row.at, row.pk)))
        breaks = tuple(row for row in self.breaks if not row.is_void)
        covers = tuple(row for row in self.covers if not row.is_void)
        return Cure(covers, breaks, walks, tuple(strips))


def day_rows(day: PlacingDay) -> DayRows:
    """Return the rows of a day, each with the load it belongs to."""
    loads, spreads, weather, *rest = together(
        day.loads.all(),
        Spread.objects.filter(load__placing_day=day),
        day.weather.all(),
        day.strike_offs.all(),
        day.blemishes.all(),
        day.early_loads.all(),
        day.covers.all(),
        day.cover_breaks.all(),
        day.cover_walks.all(),
        day.uncovers.all(),
    )
    by_pk = {load.pk: load for load in loads}
    for load in loads:
        load.placing_day = day
    for row in (*spreads, *weather):
        if row.load_id in by_pk:
            row.load = by_pk[row.load_id]
    loads.sort(key=lambda load: (load.order_on_day, load.pk))
    weather.sort(key=lambda row: (row.at, row.pk))
    return DayRows(loads, spreads, weather, *rest)
