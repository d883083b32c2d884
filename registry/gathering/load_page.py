"""From load to panel, everything of its page: what is compared, the winter, the picture."""

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from django.db.models import QuerySet

from registry.drawing.loads_picture import BareMark, LoadsShown, loads_picture
from registry.drawing.primitives import Drawing, Point
from registry.gathering.load_pattern import (
    LateGroup,
    Look,
    PlacedLoads,
    changes_of,
    late_groups,
    neighbours,
    pattern_of,
)
from registry.models import CoverBreak, PlacingDay
from registry.models.panel import plan_order
from registry.placing.covered import duration_words
from registry.placing.faults import NotGiven
from registry.placing.groups import (
    MOST_PAIRS,
    NOTABLE,
    Compared,
    SideBySide,
    against_the_rest,
    outside,
)
from registry.placing.pattern import Pattern

Zone = Callable[[Look, Look, Collection[str]], tuple[set[str], str]]
"""Finds the plow or salt zone between two looks among panels, and the rule that said so."""


@dataclass(frozen=True)
class LookFigures:
    """What a look says by load.

    late  by the limit for comparing and that of the day, or by one that was typed
    """

    look: Look
    pattern: Pattern | NotGiven
    late: tuple[LateGroup, ...]
    neighbours: tuple[SideBySide, ...]


@dataclass(frozen=True)
class WinterFigures:
    """What came over between two looks of one way of grading, by load and against the zone."""

    before: Look
    after: Look
    by_load: Mapping[str, float | NotGiven]
    zone: tuple[str, ...]
    zone_rule: str
    compared: Compared | NotGiven


def look_figures(
    placed: PlacedLoads, looks: Sequence[Look], late_min: float | None
) -> LookFigures | None:
    """Return what the first look says: later ones have winters in them."""
    if not looks:
        return None
    look = looks[0]
    return LookFigures(
        look,
        pattern_of(placed, look.by_load),
        late_groups(placed, look, over_min=late_min),
        neighbours(placed, look)[:MOST_PAIRS],
    )


def winter_figures(
    placed: PlacedLoads, looks: Sequence[Look], find_zone: Zone
) -> WinterFigures | None:
    """Return the change from the first look to the next one graded in the same way."""
    if placed.shares is None or len(looks) < 2:
        return None
    before = looks[0]
    after = next((look for look in looks[1:] if look.graded_by == before.graded_by), None)
    if after is None:
        return None
    zone, rule = find_zone(before, after, tuple(placed.shares.areas_m2))
    both = set(before.by_panel) & set(after.by_panel)
    gained = {name: after.by_panel[name] - before.by_panel[name] for name in both}
    return WinterFigures(
        before,
        after,
        changes_of(before, after),
        tuple(sorted(zone, key=plan_order)),
        rule,
        against_the_rest(gained, placed.shares.areas_m2, zone),
    )


def fits_no_pattern(
    placed: PlacedLoads, looks: Sequence[Look], late: Collection[str], zone: Collection[str]
) -> tuple[str, ...]:
    """Return the panels of the newest look that are notable, and in no late load and no zone."""
    if placed.shares is None or not looks:
        return ()
    return outside(placed.shares, _newest(looks).by_panel, late, zone, least=NOTABLE)


def _newest(looks: Sequence[Look]) -> Look:
    """Return the look of the newest day that is used: of one day the first."""
    on = max(look.on for look in looks)
    return next(look for look in looks if look.on == on)


def picture_of(
    placed: PlacedLoads,
    looks: Sequence[Look],
    breaks: Iterable[CoverBreak],
    zone: Collection[str],
    size_mm: Point,
) -> Drawing | None:
    """Return the picture of the newest look; None where nothing can be laid over the plan."""
    if placed.shares is None or not placed.panels:
        return None
    newest = _newest(looks) if looks else None
    shares = newest.by_panel if newest else {}
    shown = LoadsShown(
        placed.shares,
        {name: f"{100 * share:.0f} %" for name, share in shares.items()},
        f"{newest.on}, {newest.word}" if newest else "",
        tuple(_bare(one, placed) for one in breaks if one.panels),
        tuple(sorted(zone, key=plan_order)),
        placed.toward,
    )
    return loads_picture(shown, placed.panels, size_mm, is_trimmed=True)


def _bare(row: CoverBreak, placed: PlacedLoads) -> BareMark:
    names = tuple(row.panels)
    if row.to_at is None:
        zones = [day.pavement.site.time_zone for day in placed.days]
        local = row.from_at.astimezone(ZoneInfo(zones[0]))
        return BareMark(names, f"from {local:%Y-%m-%d}, nobody knows until when")
    return BareMark(names, f"bare {duration_words((row.to_at - row.from_at).total_seconds())}")


def break_rows(days: Sequence[PlacingDay]) -> QuerySet[CoverBreak]:
    """Return the question for the times without cover of days."""
    return CoverBreak.objects.standing().filter(placing_day__in=[day.pk for day in days])
