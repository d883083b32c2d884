"""The formulas of the check, apart from the system that made the dossier; read by recheck.py.

Each takes the readings of a figure by name, in the units of its inputs, and gives its value.
Sources: N1 ASTM C1701 and C1781; N11 Uno, ACI Materials Journal 95-M34 (1998); N18 Kendall,
Biometrika 33 (1945). All else is arithmetic on times, areas, days and money.
"""

from __future__ import annotations

import itertools
import math
import random
from datetime import date, datetime, time, timedelta, timezone
from decimal import ROUND_HALF_UP, Decimal
from operator import mul

UTC = timezone(timedelta(0))
ORDERS = 5000  # random orders of its own for a p
MOST_LOADS = 1000  # compared pair by pair: more would take for ever
MOST_DAYS = 40_000  # of a limit, counted day by day
MOST_SIDES = 2000  # of outlines over one panel: all are crossed with one another
CONSTANTS = {
    "N1": {"in": 126870.0, "mm": 4583666000.0},
    "N12": {"gal": 8.34, "L": 1.0},
}
# Unit: what it measures, factor to the unit kept, offset.
_YARD = 0.9144
UNITS = {
    "m": ("length", 1.0, 0.0),
    "mm": ("length", 0.001, 0.0),
    "ft": ("length", 0.3048, 0.0),
    "in": ("length", 0.0254, 0.0),
    "m2": ("area", 1.0, 0.0),
    "ft2": ("area", 0.3048**2, 0.0),
    "m3": ("volume", 1.0, 0.0),
    "yd3": ("volume", _YARD**3, 0.0),
    "L": ("liquid", 1.0, 0.0),
    "gal": ("liquid", 3.785411784, 0.0),
    "kg": ("mass", 1.0, 0.0),
    "lb": ("mass", 0.45359237, 0.0),
    "kg/m3": ("density", 1.0, 0.0),
    "lb/ft3": ("density", 0.45359237 / 0.3048**3, 0.0),
    "lb/yd3": ("density", 0.45359237 / _YARD**3, 0.0),
    "degC": ("heat", 1.0, 0.0),
    "degF": ("heat", 5.0 / 9.0, -32.0),
    "km/h": ("speed", 1.0, 0.0),
    "mph": ("speed", 1.609344, 0.0),
}


class Differs(Exception):
    """Something is not as it is printed, or cannot be worked out."""


def converted(value: float, unit: str, wanted: str) -> float:
    if unit == wanted or not wanted:
        return value
    kind, factor, offset = UNITS[unit]
    other, divisor, shift = UNITS[wanted]
    if kind != other:
        raise Differs(f"{unit} is no {wanted}")
    return (value + offset) * factor / divisor - shift


def utc(text: str) -> datetime:
    at = datetime.fromisoformat(text)
    if at.tzinfo is None:
        raise Differs(f"{text} has no offset from UTC")
    return at.astimezone(UTC)


def seconds(start: str, end: str) -> float:
    return (utc(end) - utc(start)).total_seconds()


def rate(x):
    length = "in" if x["unit_of_ring"] == "in" else "mm"
    return CONSTANTS["N1"][length] * x["water"] / (x["ring"] ** 2 * x["time"])


def evaporation(x):
    concrete, air, r, wind = x["concrete"], x["air"], x["humidity"] / 100, x["wind"]
    if x["unit_of_air"] != {"inch-pound": "degF", "SI": "degC"}[x["form"]]:
        raise Differs("the form of the formula is not that of its readings")
    if x["form"] == "inch-pound":
        e = (concrete**2.5 - r * air**2.5) * (1 + 0.4 * wind) * 1e-6
    else:
        e = 5 * ((concrete + 18) ** 2.5 - r * (air + 18) ** 2.5) * (wind + 4) * 1e-6
    return max(e, 0.0)


def water_cement(x):
    liquid = CONSTANTS["N12"][x["unit_of_site_water"]]
    water = x["batch_water"] + (x["free_moisture"] or 0) + liquid * (x["site_water"] or 0)
    return water / (x["cementitious"] * x["volume"])


def longest_to_cover(x):
    first = seconds(x["discharge_from"], x["cover_first"])
    return max(first, seconds(x["discharge_to"], x["cover_last"])) / 60


def covered(x):
    begin, end = utc(x["covered_at"]), utc(x["uncovered_at"])
    bare, latest = 0.0, begin
    pairs = sorted((utc(off), utc(x["relaid_at"][n])) for n, off in enumerate(x["bare_at"]))
    for off, back in pairs:
        off, back = max(off, latest), min(back, end)
        if back > off:
            bare += (back - off).total_seconds()
            latest = back
    return (end - begin).total_seconds() - bare


def area_of(points) -> float:
    total = 0.0
    for n, (x1, y1) in enumerate(points):
        x2, y2 = points[(n + 1) % len(points)]
        total += x1 * y2 - x2 * y1
    return abs(total) / 2


def clipped(points, level: float, above: bool):
    """What of an outline lies above, or below, a level across the lane (Sutherland-Hodgman)."""
    kept = []
    for n, (x1, y1) in enumerate(points):
        x2, y2 = points[(n + 1) % len(points)]
        inside, next_inside = (y1 >= level) == above or y1 == level, (y2 >= level) == above
        if inside:
            kept.append((x1, y1))
        if (y1 - level) * (y2 - level) < 0 and inside != next_inside:
            kept.append((x1 + (x2 - x1) * (level - y1) / (y2 - y1), level))
    return kept


def share(x):
    whole, found = area_of(x["outline"]), 0.0
    for n, low in enumerate(x["from"]):
        piece = clipped(clipped(x["outline"], low, True), x["to"][n], False)
        found += area_of(piece) if len(piece) > 2 else 0.0
    return found / whole


def sides_of(ring):
    return [(*a, *ring[(n + 1) % len(ring)]) for n, a in enumerate(ring)]


def crossing_level(one, other):
    """Where two sides cross, up the lane; nothing where they do not."""
    x1, y1, x2, y2 = one
    x3, y3, x4, y4 = other
    turn = (x2 - x1) * (y4 - y3) - (y2 - y1) * (x4 - x3)
    if turn == 0:
        return None
    t = ((x3 - x1) * (y4 - y3) - (y3 - y1) * (x4 - x3)) / turn
    u = ((x3 - x1) * (y2 - y1) - (y3 - y1) * (x2 - x1)) / turn
    return y1 + t * (y2 - y1) if 0 <= t <= 1 and 0 <= u <= 1 else None


def spans_at(sides, y):
    """From where to where a level lies within an outline: from each odd crossing to the next."""
    at = sorted(
        x1 + (x2 - x1) * (y - y1) / (y2 - y1) for x1, y1, x2, y2 in sides if (y1 > y) != (y2 > y)
    )
    return [(at[n], at[n + 1]) for n in range(0, len(at) - 1, 2)]


def merged(spans):
    """Spans of a level, what lies on one another as one."""
    reached = -math.inf
    for low, high in sorted(spans):
        if high > reached:
            yield max(low, reached), high
            reached = high


def area_within(panel, outlines) -> float:
    """Area of outlines laid one over the other within a panel, in strips between all corners."""
    inside = sides_of(panel)
    each = [[side for ring in rings for side in sides_of(ring)] for rings in outlines]
    sides = inside + [side for own in each for side in own]
    if len(sides) > MOST_SIDES:
        raise Differs(f"its outlines have more than {MOST_SIDES} sides")
    crossed = (crossing_level(a, b) for a, b in itertools.combinations(sides, 2))
    levels = {side[1] for side in sides} | {y for y in crossed if y is not None}
    low, high = min(side[1] for side in inside), max(side[1] for side in inside)
    ordered, total = sorted(y for y in levels if low <= y <= high), 0.0
    for n, end in enumerate(ordered[1:]):
        begin = ordered[n]
        middle = (begin + end) / 2
        filled = list(merged(span for own in each for span in spans_at(own, middle)))
        for left, right in spans_at(inside, middle):
            over = math.fsum(max(min(b, right) - max(a, left), 0.0) for a, b in filled)
            total += over * (end - begin)
    return total


def outlined(x):
    return min(area_within(x["panel"], x["outlines"]) / area_of(x["panel"]), 1.0)


def by_load(x):
    weights = [s * x["areas"][n] for n, s in enumerate(x["shares"])]
    return math.fsum(w * x["values"][n] for n, w in enumerate(weights)) / math.fsum(weights)


def mean(x):
    total = math.fsum(w * x["values"][n] for n, w in enumerate(x["weights"]))
    return total / math.fsum(x["weights"])


LATE_MIN = 25.0  # the one limit for comparing; the others stand with their placing days


def late_mean(x):
    """The mean of the loads covered later than their limits, or that of the others."""
    if "limits" not in x and x["limit_min"] != LATE_MIN:
        raise Differs(f"the limit for comparing is {LATE_MIN:g} min, not {x['limit_min']}")
    limits = x.get("limits") or [LATE_MIN] * len(x["lags"])
    own = [n for n, lag in enumerate(x["lags"]) if (lag > limits[n]) == x["late"]]
    total = math.fsum(x["weights"][n] * x["values"][n] for n in own)
    return total / math.fsum(x["weights"][n] for n in own)


def pair_signs(values):
    return [(a > b) - (a < b) for a, b in itertools.combinations(values, 2)]


def ranked(x):
    if max(len(x["outcome"]), len(x["factor"])) > MOST_LOADS:
        raise Differs(f"it compares more than {MOST_LOADS} loads")
    one = [round(v, x["outcome_decimals"]) for v in x["outcome"]]
    return one, [round(v, x["factor_decimals"]) for v in x["factor"]]


def tau(x):
    one, other = (pair_signs(side) for side in ranked(x))
    untied = math.sqrt(sum(map(abs, one)) * sum(map(abs, other)))
    return sum(a * other[n] for n, a in enumerate(one)) / untied


def p_within(x, printed):
    """The printed p where it lies in the band around a p of its own, else its own."""
    one, values = ranked(x)
    signs, chance = pair_signs(one), random.Random(1)
    seen = abs(sum(map(mul, signs, pair_signs(values))))
    as_large = 0
    for _ in range(ORDERS):
        chance.shuffle(values)
        as_large += abs(sum(map(mul, signs, pair_signs(values)))) >= seen
    own = (as_large + 1) / (ORDERS + 1)
    return printed if abs(printed - own) <= band(own, x["shuffles"]) else own


def band(p: float, shuffles: int) -> float:
    return 4 * math.sqrt(p * (1 - p) * (1 / ORDERS + 1 / shuffles)) + 1 / ORDERS


def last_day(x):
    start, years = date.fromisoformat(x["start"]), int(x["years"])
    if (start.month, start.day) == (2, 29):
        return date(start.year + years, 2, 28).isoformat()
    return (start.replace(year=start.year + years) - timedelta(days=1)).isoformat()


def is_working(day: date, x) -> bool:
    return day.weekday() not in x["rest"] and day.isoformat() not in x["holidays"]


def working_from(day: date, x) -> date:
    for ahead in range(400):
        if is_working(day + timedelta(days=ahead), x):
            return day + timedelta(days=ahead)
    raise Differs("the holiday list leaves no working day")


def counted_received(x):
    at = datetime.fromisoformat(x["arrived_local"])
    day = at.date()
    if x["closes"] and at.time().replace(fold=0) > time.fromisoformat(x["closes"]):
        return working_from(day + timedelta(days=1), x).isoformat()
    return (working_from(day, x) if x["working_days_only"] else day).isoformat()


def due(x):
    day = date.fromisoformat(x["after"])
    if not 0 <= x["days"] <= MOST_DAYS:
        raise Differs(f"a limit of {x['days']} days is none")
    if x["counting"] == "working":
        for _ in range(int(x["days"])):
            day = working_from(day + timedelta(days=1), x)
    else:
        day += timedelta(days=int(x["days"]))
    if x["to_working_day"]:
        day = working_from(day, x)
    return x["agreed"] or day.isoformat()


def days_over(x):
    return (date.fromisoformat(x["done"]) - date.fromisoformat(x["due"])).days


def in_time(x):
    return x["counted"] <= x["last_day"] and (not x["notice_by"] or x["counted"] <= x["notice_by"])


def cents(amount: Decimal) -> str:
    if not amount.is_finite():
        raise Differs(f"{amount} is no amount")
    return str(amount.quantize(Decimal("0.01"), ROUND_HALF_UP))


def cost(x):
    return cents(Decimal(repr(float(x["area"]))) * Decimal(x["price"]))


def part(x):
    """A party's amount; the one named last gets what rounding leaves over."""
    whole, percents = Decimal(x["cost"]), [Decimal(str(p)) for p in x["percents"]]
    if sum(percents) != 100:
        raise Differs("the parts do not add up to 100 %")
    amounts = [Decimal(cents(whole * p / 100)) for p in percents]
    amounts[-1] += whole - sum(amounts)
    return cents(amounts[int(x["which"])])


FORMULAS = {
    "N1 rate": rate,
    "N11 evaporation": evaporation,
    "N12 water over cementitious": water_cement,
    "N13 batch to discharge": lambda x: seconds(x["batched"], x["discharge_from"]) / 60,
    "N13 discharge to cover": longest_to_cover,
    "N14 time covered": covered,
    "N14 short of the time required": lambda x: max(3600 * x["required_h"] - x["covered"], 0.0),
    "N14 hours between": lambda x: seconds(x["from"], x["to"]) / 3600,
    "area of an outline": lambda x: area_of(x["outline"]),
    "share of a panel": share,
    "area of a load": lambda x: math.fsum(s * x["areas"][n] for n, s in enumerate(x["shares"])),
    "N15 yield": lambda x: math.fsum(x["volumes"]) / (math.fsum(x["areas"]) * x["thickness"]),
    "N16 length": lambda x: x["length"] - x["plan"],
    "N16 density": lambda x: (x["density"] - x["approved"]) / x["approved"],
    "N17 raveled share of a panel": outlined,
    "N17 area written over the panel": lambda x: min(x["area"] / area_of(x["panel"]), 1.0),
    "N17 raveled share of a load": by_load,
    "N19 change": lambda x: x["after"] - x["before"],
    "difference": lambda x: x["after"] - x["before"],
    "weighted mean": mean,
    "late against the rest": late_mean,
    "N18 tau-b": tau,
    "N18 p by shuffling": p_within,
    "N20 last day": last_day,
    "N20 counted received": counted_received,
    "N20 due": due,
    "N20 days over": days_over,
    "N20 in time": in_time,
    "N31 amount over area": lambda x: math.fsum(x["amounts"]) / x["area"],
    "N34 cost": cost,
    "N34 part": part,
    "sum": lambda x: cents(sum((Decimal(v) for v in x["values"]), Decimal(0))),
}
