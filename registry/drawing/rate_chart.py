"""Rate against time on a log scale: what the readings of a pavement look like together."""

from collections.abc import Sequence
from datetime import date

from registry.drawing.chart_data import (
    ActionLevel,
    CleaningMark,
    DeclineBand,
    Future,
    RateKind,
    RateSeries,
)
from registry.drawing.chart_parts import (
    AFTER_DASH_MM,
    Plot,
    action_items,
    after_items,
    band_items,
    cleaning_items,
    grid_items,
    series_items,
    spot_line_items,
    symbol_of,
    title_of,
    today_line,
    today_word,
)
from registry.drawing.flow import Entry, flow
from registry.drawing.hatches import Hatch, hatched
from registry.drawing.labels import Labels
from registry.drawing.lettering import line_height_mm, text_height_mm, text_width_mm
from registry.drawing.primitives import (
    Area,
    Circle,
    Drawing,
    DrawingError,
    Group,
    Item,
    Line,
    Mark,
    Point,
    Role,
    Symbol,
    Text,
    Weight,
)
from registry.drawing.scales import DayScale, LogScale, day_range, log_range
from registry.units import Kind, System, from_si, unit_sign

_LEAST_PLOT_MM = 20.0
# A legend of more spots than this share of the height holds would crowd out what it explains.
_MOST_LEGEND = 0.4
_RING_MM = 1.8
_EMPTY_RANGE_MM_H = (25.4, 25_400.0)  # 1 to 1000 in/h: an empty axis, not a claim
_NOTHING = "No infiltration test with a rate yet."


def rate_chart(
    series: Sequence[RateSeries],
    cleanings: Sequence[CleaningMark],
    action_levels: Sequence[ActionLevel],
    *,
    size_mm: tuple[float, float],
    system: System,
    today: date,
    band: DeclineBand | None = None,
    future: Future | None = None,
) -> Drawing:
    """Draw tests by spot, cleanings, the dated action level and, if given, the fitted decline.

    size_mm: width and height. system: of the figures (in/h or mm/h). Bounds carry an arrow
    down (<) or up (>), tests not for the trend are hollow. Raises DrawingError when the size
    leaves no room for the plot.
    """
    width, height = size_mm
    legend = _legend(_spot_entries(series), series, cleanings, band, future)
    many = flow(legend, 0.0, 0.0, width).height_mm > _MOST_LEGEND * height
    if many:
        legend = _legend(_spots_together(series), series, cleanings, band, future)
    legend_mm = flow(legend, 0.0, 0.0, width).height_mm
    plot = _plot(series, cleanings, action_levels, size_mm, legend_mm, system, today, band, future)
    frame = (plot.days.left_mm, plot.rates.top_mm, plot.days.right_mm, plot.rates.foot_mm)
    labels = Labels(frame)
    for one in series:
        for point in one.points:
            labels.keep_off(plot.at(point.on, point.rate_mm_h), 3.0)
    ringed = _crossed_at(future, action_levels, plot)
    if ringed is not None:
        labels.keep_off(ringed, 2 * _RING_MM + 0.4)
        labels.keep_off_box((ringed[0] - 0.2, ringed[1], ringed[0] + 0.2, plot.rates.foot_mm))
    unit = unit_sign(Kind.RATE, system)
    items: list[Item] = [Text((0.0, text_height_mm() + 0.2), unit, bold=True)]
    if band is not None:
        items.extend(band_items(band, plot))
    items.extend(grid_items(plot))
    if future is not None:
        items.extend(spot_line_items(future.spot_lines, plot))
        items.extend(after_items(future.after, plot) if future.after else ())
    # Under the words: no line runs through a name.
    items.extend(today_line(today, plot))
    items.extend(cleaning_items(cleanings, plot, labels))
    items.extend(action_items(action_levels, plot, labels))
    for nth, one in enumerate(series):
        items.extend(series_items(one, nth, cleanings, plot, labels, is_led=not many))
    items.extend(_crossing(future, action_levels, plot, labels))
    items.extend(today_word(today, plot, labels))
    if not any(one.points for one in series):
        middle = ((frame[0] + frame[2]) / 2, (frame[1] + frame[3]) / 2)
        items.extend(labels.beside(middle, _NOTHING, here_first=True))
    items.extend(flow(legend, 0.0, height - legend_mm, width).items)
    title = f"Infiltration rate against time, {unit}, log scale"
    return Drawing(width, height, tuple(items), title, _described(series, cleanings, system))


def _plot(
    series: Sequence[RateSeries],
    cleanings: Sequence[CleaningMark],
    levels: Sequence[ActionLevel],
    size_mm: tuple[float, float],
    legend_mm: float,
    system: System,
    today: date,
    band: DeclineBand | None,
    future: Future | None,
) -> Plot:
    """Both scales, wide enough for everything that is drawn."""
    rates = [point.rate_mm_h for one in series for point in one.points]
    rates += [level.rate_mm_h for level in levels]
    days = [point.on for one in series for point in one.points]
    days += [today, *(mark.on for mark in cleanings)]
    if band is not None:
        rates += band.middle_mm_h
        days += (band.days[0], band.days[-1])
    if future is not None:
        days += [line.days[-1] for line in future.spot_lines]
        days += [future.crossing_on] if future.crossing_on else []
    low, high = log_range([from_si(rate, Kind.RATE, system) for rate in rates or _EMPTY_RANGE_MM_H])
    left = max(text_width_mm("20 000"), text_width_mm("0.05")) + 2.5
    top = line_height_mm() + 3.0
    foot = size_mm[1] - legend_mm - text_height_mm() - 4.0
    right = size_mm[0] - 4.0
    if foot - top < _LEAST_PLOT_MM or right - left < _LEAST_PLOT_MM:
        raise DrawingError("There is no room on the paper for this chart.")
    first, last = day_range(days)
    return Plot(DayScale(first, last, left, right), LogScale(low, high, top, foot), system)


def _crossing(
    future: Future | None, levels: Sequence[ActionLevel], plot: Plot, labels: Labels
) -> list[Item]:
    """A ring where the decline meets the action level in force that day, with the day.

    None where no action level is known to be in force on that day: there is no place for it.
    """
    at = _crossed_at(future, levels, plot)
    if future is None or future.crossing_on is None or at is None:
        return []
    on = future.crossing_on
    words = future.crossing_words or f"meets the action level {on.isoformat()}"
    foot = (at[0], plot.rates.foot_mm)
    ring = Circle(at, _RING_MM, None, Role.SIGNAL, Weight.THICK)
    drop = Line((at[0], at[1] + _RING_MM), foot, Role.SIGNAL, Weight.THIN, (1.0, 0.8))
    return [Group((ring, drop), title=words), *labels.led(at, words, away_mm=3.0)]


def _crossed_at(future: Future | None, levels: Sequence[ActionLevel], plot: Plot) -> Point | None:
    """Where the ring stands."""
    if future is None or future.crossing_on is None:
        return None
    on = future.crossing_on
    level = next(
        (
            level
            for level in levels
            if (level.from_on is None or level.from_on <= on)
            and (level.to_on is None or on < level.to_on)
        ),
        None,
    )
    return None if level is None else plot.at(on, level.rate_mm_h)


def _spot_entries(series: Sequence[RateSeries]) -> list[Entry]:
    return [
        _marked(f"spot {one.name}", symbol_of(nth)) for nth, one in enumerate(series) if one.points
    ]


def _spots_together(series: Sequence[RateSeries]) -> list[Entry]:
    count = sum(bool(one.points) for one in series)
    return [Entry(f"{count} spots, each named at its newest reading where there is room")]


def _legend(
    spots: list[Entry],
    series: Sequence[RateSeries],
    cleanings: Sequence[CleaningMark],
    band: DeclineBand | None,
    future: Future | None,
) -> list[Entry]:
    """Only what is on this chart."""
    points = [point for one in series for point in one.points]
    entries = list(spots)
    if any(point.kind == RateKind.BELOW for point in points):
        entries.append(_marked("less than: stopped", Symbol.BELOW, 3.4))
    if any(point.kind == RateKind.ABOVE for point in points):
        entries.append(_marked("more than: too fast", Symbol.ABOVE, 3.4))
    if any(point.looked_at for point in points):
        entries.append(_marked("hollow: not for trend", Symbol.DISC, 2.6, hollow=True))
    if any(not mark.restores for mark in cleanings):
        entries.append(_marked("cleaning", Symbol.BROOM, 2.6, role=Role.WATER, hollow=True))
    if any(mark.restores for mark in cleanings):
        entries.append(_marked("restorative cleaning", Symbol.BROOM, 2.6, role=Role.WATER))
    if band is not None:
        entries.append(Entry(band.name, _band_sign, 8.0))
    if future is not None and future.spot_lines:
        entries.append(Entry("thin: each spot"))
    if future is not None and future.after is not None:
        entries.append(Entry(future.after.name, _after_sign, 8.0))
    if future is not None and future.crossing_on is not None and future.crossing_means:
        entries.append(Entry(future.crossing_means, _ring_sign, 2 * _RING_MM))
    return entries


def _marked(
    words: str, symbol: Symbol, size: float = 2.6, *, role: Role = Role.INK, hollow: bool = False
) -> Entry:
    return Entry(words, lambda at: (Mark(at, symbol, size, role, hollow),), size)


def _after_sign(at: Point) -> tuple[Item, ...]:
    x, y = at
    return (Line((x - 4, y), (x + 4, y), Role.WATER, Weight.THIN, AFTER_DASH_MM),)


def _ring_sign(at: Point) -> tuple[Item, ...]:
    return (Circle(at, _RING_MM, None, Role.SIGNAL, Weight.THICK),)


def _band_sign(at: Point) -> tuple[Item, ...]:
    x, y = at
    ring = ((x - 4, y - 1.6), (x + 4, y - 1.6), (x + 4, y + 1.6), (x - 4, y + 1.6))
    return (
        Area(ring, Role.WATER, Role.WATER, Weight.HAIR, faint=True),
        hatched(ring, Hatch.BAND, Role.WATER),
        Line((x - 4, y), (x + 4, y), Role.WATER, Weight.THICK),
    )


def _described(
    series: Sequence[RateSeries], cleanings: Sequence[CleaningMark], system: System
) -> str:
    """The newest reading of each spot and the count of cleanings, for those who do not see."""
    words = []
    for one in series:
        if one.points:
            newest = max(one.points, key=lambda point: point.on)
            words.append(f"{title_of(one.name, newest, system)}; {len(one.points)} tests.")
    if not words:
        words.append(_NOTHING)
    words.append(f"{len(cleanings)} cleanings.")
    return " ".join(words)
