"""Weather foretold for a round, as its row keeps it: [day, wet, lowest, hour the rain ends]."""

from collections.abc import Iterable
from datetime import date, time, timedelta

from registry.models import Round
from registry.planning.rounds.order import Order
from registry.planning.rounds.problem import DayWeather

DAY = timedelta(days=1)


def weather_of(row: Round) -> dict[date, DayWeather]:
    """Return the weather foretold, by day; rows of an earlier day lack the hour."""
    found = {}
    for day, wet, lowest, *more in row.weather:
        ends = time.fromisoformat(more[0]) if more and more[0] else None
        found[date.fromisoformat(day)] = DayWeather(wet=wet, lowest_c=lowest, rain_ends=ends)
    return found


def rain_assumed(row: Round, orders: Iterable[Order]) -> list[str]:
    """Say of which wet days the end of the rain is not known, where work needs a dry surface."""
    first_on, last_on = row.first_on - DAY, row.last_on
    open_ = [
        str(on)
        for on, known in sorted(weather_of(row).items())
        if known.wet and known.rain_ends is None and first_on <= on <= last_on
    ]
    waits = sorted({order.needs.dry_h for order in orders if order.needs.dry})
    if not open_ or not waits:
        return []
    hours = " or ".join(f"{wait:g}" for wait in waits)
    return [
        f"No hour is written at which the rain of {', '.join(open_)} ends: work on a dry surface "
        f"is kept off the day alone. With an hour it would wait {hours} h from it."
    ]
