"""The parts of a rate chart: grid, action level, cleanings, curves, readings."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from shapely import LineString, Polygon, box

from registry.drawing.chart_data import (
    ActionLevel,
    CleaningMark,
    DeclineBand,
    RateKind,
    RatePoint,
    RateSeries,
    SpotLine,
)
from registry.drawing.hatches import Hatch, hatched
from registry.drawing.labels import Labels
from registry.drawing.lettering import SMALLEST_PT, shortened, text_height_mm, text_width_mm
from registry.drawing.primitives import (
    Anchor,
    Area,
    Group,
    Item,
    Line,
    Mark,
    Point,
    Polyline,
    Role,
    Symbol,
    Text,
    Weight,
)
from registry.drawing.scales import DayScale, LogScale
from registry.units import Kind, System, from_si, show, show_number

SYMBOLS = (
    Symbol.DISC,
    Symbol.SQUARE,
    Symbol.TRIANGLE,
    Symbol.DIAMOND,
    Symbol.HEXAGON,
    Symbol.STAR,
)
_MARK_MM = 2.6
_REACH_MM = 3.5
_ARROW_MM = 5.0
AFTER_DASH_MM = (2.4, 1.2)
_UNSEEN_MM = 0.01  # a tenth of the thinnest line
_BESIDE_MM = 4.2  # cleanings nearer than this share one word
_SIGN = {RateKind.MEASURED: "", RateKind.BELOW: "<", RateKind.ABOVE: ">"}


@dataclass(frozen=True)
class Plot:
    """The plot's two scales and the unit of its figures."""

    days: DayScale
    rates: LogScale
    system: System

    def at(self, day: date, rate_mm_h: float) -> Point:
        return (self.days.at(day), self.rates.at(self.shown(rate_mm_h)))

    def shown(self, rate_mm_h: float) -> float:
        return from_si(rate_mm_h, Kind.RATE, self.system)


def symbol_of(nth: int) -> Symbol:
    """Mark of the nth spot; a seventh spot shares the first one's, and its name tells."""
    return SYMBOLS[nth % len(SYMBOLS)]


def grid_items(plot: Plot) -> list[Item]:
    """Axes, pale lines and figures."""
    days, rates = plot.days, plot.rates
    items: list[Item] = []
    for value in rates.ticks(text_height_mm() + 1.2):
        y = rates.at(value)
        items.append(Line((days.left_mm, y), (days.right_mm, y), Role.PALE, Weight.HAIR))
        digits = 0 if value >= 1 else len(f"{value:.6f}".rstrip("0").partition(".")[2])
        foot = (days.left_mm - 1.5, y + text_height_mm() / 2)
        items.append(Text(foot, show_number(value, digits), SMALLEST_PT, Anchor.END))
    widest = "2000-00" if (days.last - days.first).days <= 900 else "2000"
    for day, text in days.ticks(text_width_mm(widest) + 2):
        x = days.at(day)
        items.append(Line((x, rates.top_mm), (x, rates.foot_mm), Role.PALE, Weight.HAIR))
        items.append(Line((x, rates.foot_mm), (x, rates.foot_mm + 1.2)))
        half = text_width_mm(text) / 2
        centre = min(max(x, half), days.right_mm + 3 - half)
        foot = (centre, rates.foot_mm + 2.2 + text_height_mm())
        items.append(Text(foot, text, SMALLEST_PT, Anchor.MIDDLE))
    corner = (days.left_mm, rates.foot_mm)
    items.append(Polyline(((days.left_mm, rates.top_mm), corner, (days.right_mm, rates.foot_mm))))
    return items


def action_items(levels: Sequence[ActionLevel], plot: Plot, labels: Labels) -> list[Item]:
    """The action level as a stepped line, each step with its value and first day."""
    items: list[Item] = []
    steps = sorted(levels, key=lambda level: level.from_on or date.min)
    before: Point | None = None
    for level in steps:
        start = max(level.from_on or plot.days.first, plot.days.first)
        stop = min(level.to_on or plot.days.last, plot.days.last)
        if stop <= start:
            continue
        begin, end = plot.at(start, level.rate_mm_h), plot.at(stop, level.rate_mm_h)
        line = [begin, end]
        if before is not None and abs(before[0] - begin[0]) < 0.01:
            line.insert(0, before)
        before = end
        value = show(level.rate_mm_h, Kind.RATE, plot.system, digits=_digits(level, plot))
        since = f" from {level.from_on.isoformat()}" if level.from_on else ""
        words = f"action level {value}{since}"
        named = f"{words} ({level.source})" if level.source else words
        drawn = Polyline(tuple(line), Role.SIGNAL, Weight.THICK, (2.4, 1.6))
        items.append(Group((drawn,), title=named))
        items.extend(_beside_line(begin, end, (words, f"{value}{since}", value), labels))
    return items


def _beside_line(
    begin: Point, end: Point, texts: tuple[str, ...], labels: Labels
) -> tuple[Item, ...]:
    """The longest text that lies free above or below a level line; else led to its middle."""
    tall = text_height_mm() + 0.7
    above = (begin[0] + 0.4, begin[1] - tall - 0.7, end[0], begin[1] - 0.7)
    below = (begin[0] + 0.4, begin[1] + 0.7, end[0], begin[1] + tall + 0.7)
    for text in texts:
        for room in (above, below):
            laid = labels.along(room, text, from_start=True, must=False)
            if laid:
                return laid
    middle = ((begin[0] + end[0]) / 2, begin[1])
    return labels.led(middle, texts[-2])


def _digits(level: ActionLevel, plot: Plot) -> int:
    return 1 if plot.shown(level.rate_mm_h) < 99.95 else 0


def cleaning_items(cleanings: Sequence[CleaningMark], plot: Plot, labels: Labels) -> list[Item]:
    """Cleanings as upright lines; the word stands along the line, neighbours share one."""
    items: list[Item] = []
    shown = sorted(
        (mark for mark in cleanings if plot.days.shows(mark.on)), key=lambda mark: mark.on
    )
    for mark in shown:
        x = plot.days.at(mark.on)
        line = Line(
            (x, plot.rates.top_mm), (x, plot.rates.foot_mm), Role.WATER, Weight.THIN, (0.9, 0.9)
        )
        top = (x, plot.rates.top_mm - 1.2)
        title = mark.title or f"{mark.on.isoformat()}: {mark.word}"
        sign = Mark(top, Symbol.BROOM, 2.4, Role.WATER, hollow=not mark.restores)
        items.append(Group((line, sign), mark.href, title, top, _REACH_MM))
    tall = text_height_mm() + 0.7
    for x, words in _shared_words(shown, plot):
        text = shortened(words, (plot.rates.foot_mm - plot.rates.top_mm) * 0.7)
        left = x + 0.4 if x + 0.4 + tall <= plot.days.right_mm + 3 else x - 0.4 - tall
        room = (left, plot.rates.top_mm + 0.6, left + tall, plot.rates.foot_mm - 0.6)
        # Where the words have no place, the sign above and its title still tell.
        items.extend(labels.along(room, text, standing=True, from_start=True, must=False))
    return items


def _shared_words(shown: Sequence[CleaningMark], plot: Plot) -> list[tuple[float, str]]:
    """x of each group of near cleanings and what to write beside it."""
    groups: list[list[CleaningMark]] = []
    for mark in shown:
        near = groups and plot.days.at(mark.on) - plot.days.at(groups[-1][0].on) < _BESIDE_MM
        if near:
            groups[-1].append(mark)
        else:
            groups.append([mark])
    words = []
    for group in groups:
        kinds = list(dict.fromkeys(mark.word for mark in group))
        text = ", ".join(kinds)
        if len(group) > 1:
            text = f"{len(group)} × {text}" if len(kinds) == 1 else f"{text} ({len(group)})"
        words.append((plot.days.at(group[-1].on), text))
    return words


def today_line(today: date, plot: Plot) -> list[Item]:
    """Where today stands, when the chart goes on beyond it."""
    if not plot.days.shows(today):
        return []
    x = plot.days.at(today)
    ends = ((x, plot.rates.top_mm), (x, plot.rates.foot_mm))
    return [Line(*ends, Role.INK, Weight.THIN, (3.0, 1.0))]


def today_word(today: date, plot: Plot, labels: Labels) -> list[Item]:
    """The word at the foot of that line."""
    if not plot.days.shows(today):
        return []
    foot = (plot.days.at(today), plot.rates.foot_mm - 2.2)
    return list(labels.led(foot, "today", away_mm=1.0))


def band_items(band: DeclineBand, plot: Plot) -> list[Item]:
    """The 80 % band, hatched on paper and tinted on a page, and its middle line."""
    frame = box(plot.days.left_mm, plot.rates.top_mm, plot.days.right_mm, plot.rates.foot_mm)
    high = [plot.at(*pair) for pair in zip(band.days, band.high_mm_h, strict=True)]
    low = [plot.at(*pair) for pair in zip(band.days, band.low_mm_h, strict=True)]
    items: list[Item] = []
    around = Polygon([*high, *reversed(low)]).buffer(0).intersection(frame)
    for part in getattr(around, "geoms", [around]):
        if isinstance(part, Polygon) and not part.is_empty:
            ring = tuple(part.exterior.coords)[:-1]
            items.append(Area(ring, Role.WATER, Role.WATER, Weight.HAIR, faint=True))
            items.append(hatched(ring, Hatch.BAND, Role.WATER))
    for part in _inside(list(zip(band.days, band.middle_mm_h, strict=True)), plot):
        items.append(Polyline(part, Role.WATER, Weight.THICK))
    return [Group(tuple(items), title=band.name)]


def spot_line_items(lines: Sequence[SpotLine], plot: Plot) -> list[Item]:
    items: list[Item] = []
    days: Sequence[date] = ()
    across: list[float] = []
    for line in lines:
        if line.days is not days:  # curves of one concrete share them
            days, across = line.days, [plot.days.at(day) for day in line.days]
        heights = plot.rates.along([plot.shown(rate) for rate in line.rate_mm_h])
        parts = _within(list(zip(across, heights, strict=True)), plot)
        drawn = tuple(Polyline(part, Role.INK, Weight.HAIR) for part in parts)
        items.append(Group(drawn, title=f"{line.name}, curve of this spot"))
    return items


def after_items(line: SpotLine, plot: Plot) -> list[Item]:
    """The decline as if cleaned today: dashed, in the colour of the band."""
    parts = _inside(list(zip(line.days, line.rate_mm_h, strict=True)), plot)
    drawn = tuple(Polyline(part, Role.WATER, Weight.THIN, AFTER_DASH_MM) for part in parts)
    return [Group(drawn, title=line.name)]


def _inside(curve: list[tuple[date, float]], plot: Plot) -> list[tuple[Point, ...]]:
    """A curve cut at the plot's left and right ends, its points left out where it runs straight."""
    return _within([plot.at(*pair) for pair in curve], plot)


def _within(points: list[Point], plot: Plot) -> list[tuple[Point, ...]]:
    """As `_inside`, of points on the picture."""
    whole = LineString(points).simplify(_UNSEEN_MM)
    cut = whole.intersection(
        box(plot.days.left_mm, plot.rates.top_mm, plot.days.right_mm, plot.rates.foot_mm)
    )
    parts = getattr(cut, "geoms", [cut])
    return [tuple(part.coords) for part in parts if isinstance(part, LineString) and part.length]


def series_items(
    series: RateSeries,
    nth: int,
    cleanings: Sequence[CleaningMark],
    plot: Plot,
    labels: Labels,
    *,
    is_led: bool = True,
) -> list[Item]:
    """One spot's tests: marks, arrows for bounds, thin lines between trend readings, its name.

    is_led: the name is led back by a line where it has no room beside its newest mark; where the
    names of very many spots would cover the chart, it is left out there.
    """
    points = sorted(
        (point for point in series.points if plot.days.shows(point.on)), key=lambda point: point.on
    )
    items: list[Item] = [
        Polyline(run, Role.INK, Weight.HAIR) for run in _runs(points, cleanings, plot)
    ]
    for point in points:
        at = plot.at(point.on, point.rate_mm_h)
        drawn: list[Item] = []
        if point.kind != RateKind.MEASURED:
            below = point.kind == RateKind.BELOW
            middle = (at[0], at[1] + (_ARROW_MM / 2 if below else -_ARROW_MM / 2))
            drawn.append(Mark(middle, Symbol.BELOW if below else Symbol.ABOVE, _ARROW_MM))
        drawn.append(Mark(at, symbol_of(nth), _MARK_MM, hollow=point.looked_at))
        title = point.title or title_of(series.name, point, plot.system)
        items.append(Group(tuple(drawn), point.href, title, at, _REACH_MM))
    if points:
        last = plot.at(points[-1].on, points[-1].rate_mm_h)
        if is_led:
            items.extend(labels.led(last, series.name, bold=True))
        else:
            items.extend(labels.beside(last, series.name, bold=True, must=False))
    return items


def _runs(
    points: Sequence[RatePoint], cleanings: Sequence[CleaningMark], plot: Plot
) -> list[tuple[Point, ...]]:
    """Trend readings joined: never across a bound, a looked-at test or a restorative cleaning."""
    runs: list[tuple[Point, ...]] = []
    run: list[RatePoint] = []
    for point in points:
        trend = point.kind == RateKind.MEASURED and not point.looked_at
        restored = run and any(
            mark.restores and run[-1].on <= mark.on <= point.on for mark in cleanings
        )
        if point.looked_at:
            continue
        if not trend or restored:
            runs.append(tuple(plot.at(one.on, one.rate_mm_h) for one in run))
            run = []
        if trend:
            run.append(point)
    runs.append(tuple(plot.at(one.on, one.rate_mm_h) for one in run))
    return [run for run in runs if len(run) > 1]


def title_of(name: str, point: RatePoint, system: System) -> str:
    """ "U, 2023-05-16: < 3.9 in/h, looked at only" """
    value = show(point.rate_mm_h, Kind.RATE, system, sign=_SIGN[point.kind])
    only = ", looked at, not for trend" if point.looked_at else ""
    return f"{name}, {point.on.isoformat()}: {value}{only}"
