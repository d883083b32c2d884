"""What the record says of each claimed panel, and what a person says beside it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from zoneinfo import ZoneInfo

from registry.defects import Evidence, evidence_for
from registry.faults import DomainError
from registry.gathering.core_figures import core_density
from registry.gathering.cover_figures import Cure
from registry.gathering.load_pattern import Look, PlacedLoads
from registry.gathering.outlined_shares import compared_first
from registry.gathering.pours import Pour, poured_on
from registry.models import Core, CoverBreak, PanelEvidence, WinterEntry
from registry.placing.cores import DensityCheck
from registry.placing.dated_looks import Answer
from registry.placing.dated_looks import Look as DatedLook
from registry.placing.day_patterns import DayLoad, follows_loads, sheet_gap, worst_late
from registry.placing.evaporation import DryingLimit, Evaporation
from registry.placing.evidence_from_record import (
    Disagreement,
    FilledSign,
    PanelRecord,
    facts_with,
    fill_from_record,
)
from registry.placing.faults import NotGiven
from registry.units import Kind, System, from_si

NO_LOADS = Answer(None, "The limits of the loads are not on the record.")


@dataclass(frozen=True)
class PanelFile:
    """One claimed panel: shares by day, loads, signs filled from the record, what people say.

    no_record  why nothing is known of the placing of this very concrete, nothing where it is
    concrete   of which pour it is, where that is not the new work
    """

    panel: str
    loads: str
    lags: str
    looks: tuple[DatedLook, ...]
    filled: tuple[FilledSign, ...]
    said: tuple[PanelEvidence, ...]
    disagreements: tuple[Disagreement, ...]
    evidence: Evidence | NotGiven
    no_record: str = ""
    concrete: str = ""


@dataclass(frozen=True)
class OnePour:
    """A pour with its loads over the panels, looks at this concrete, covers and cores of it."""

    pour: Pour
    placed: PlacedLoads
    looks: Sequence[Look]
    cure: Cure
    cores: Sequence[Core]


def panel_files(
    names: Sequence[str],
    one: OnePour,
    *,
    winter: Sequence[WinterEntry],
    said: Sequence[PanelEvidence],
) -> list[PanelFile]:
    """Return the files of claimed panels of one pour, in the order claimed."""
    patterns = _patterns(one.placed, one.looks)
    return [_file(name, one, patterns, winter, said) for name in names]


def _file(
    name: str,
    one: OnePour,
    patterns: Mapping[str, Answer],
    winter: Sequence[WinterEntry],
    said: Sequence[PanelEvidence],
) -> PanelFile:
    own = tuple(row for row in said if row.panel == name)
    dated = _of_one_method(name, one.looks)
    try:
        filled = fill_from_record(_record(name, one, dated, patterns, winter))
        by_person = {row.sign: row.is_there for row in own}
        facts, disagreements = facts_with(filled, by_person)
        evidence: Evidence | NotGiven = evidence_for(
            facts,
            photo_before_first_winter=_before_winter(name, one, dated),
            load_limits_known=one.placed.shares is not None,
        )
    except DomainError as fault:
        filled, disagreements, evidence = (), (), NotGiven(fault.message)
    loads, lags = _loads(name, one.placed)
    record = (one.pour.missing, one.pour.told)
    return PanelFile(name, loads, lags, dated, filled, own, disagreements, evidence, *record)


def _record(
    name: str,
    one: OnePour,
    looks: Sequence[DatedLook],
    patterns: Mapping[str, Answer],
    winter: Sequence[WinterEntry],
) -> PanelRecord:
    placed = one.placed
    placed_on = _poured_on(name, one)
    in_zone, winter_words = _zone(name, placed_on, winter)
    return PanelRecord(
        panel=name,
        placed_on=placed_on,
        looks=looks,
        follows_loads=patterns["follows"],
        worst_late=patterns.get(_day_of(name, placed), NO_LOADS),
        sheet_gap=_gap(name, one.cure, placed),
        in_winter_zone=in_zone,
        winter_words=winter_words,
        core_density=_core(name, placed, one.cores),
    )


def _zone(
    name: str, placed_on: date | None, winter: Sequence[WinterEntry]
) -> tuple[bool | None, str]:
    """Say whether lines of the log since placing name the panel for deicer, and which lines do.

    A plow alone is no salt, and a line that names no panel does not say where: both leave it open.
    """
    since = [line for line in winter if placed_on is None or line.done_on >= placed_on]
    own = [line for line in since if name in line.panels]
    if spread := [line for line in own if line.deicer]:
        return True, f"Deicer is logged here: {_listed(spread)}."
    if own:
        return None, f"Logged here without deicer: {_listed(own)}."
    if nowhere := [line for line in since if not line.panels]:
        return None, f"The log does not say in which panels: {_listed(nowhere)}."
    return (False, "") if since else (None, "")


def _listed(lines: Sequence[WinterEntry]) -> str:
    return "; ".join(_words(line) for line in lines)


def _patterns(placed: PlacedLoads, looks: Sequence[Look]) -> dict[str, Answer]:
    """Return whether raveling follows load limits, and for each day whether it is worst late.

    The look that is compared on every page counts: later ones have winters in them.
    """
    if placed.shares is None or not looks:
        why = placed.trouble or "No raveled shares are on the record."
        return {"follows": Answer(None, why)}
    first = compared_first(looks)[0]
    found = {"follows": follows_loads(placed.shares, first.by_panel, first.by_load)}
    for day in placed.days:
        found[day.placed_on.isoformat()] = worst_late(_day_loads(placed, first, day.placed_on))
    return found


def _day_loads(placed: PlacedLoads, look: Look, on: date) -> list[DayLoad]:
    loads = []
    for name, found in placed.figures.items():
        at, day = found.load.discharge_from_at, found.load.placing_day
        if day.placed_on != on or at is None:
            continue
        drying = None
        if day.drying_limit_kg_m2_h is not None and isinstance(found.drying, Evaporation):
            limit = DryingLimit("limit of the day", *_both(day.drying_limit_kg_m2_h))
            drying = found.drying.passes(limit)
        share = look.by_load.get(name)
        loads.append(DayLoad(name, at, share if isinstance(share, float) else None, drying))
    return loads


def _both(kg_m2_h: float) -> tuple[float, float]:
    return kg_m2_h, from_si(kg_m2_h, Kind.DRYING, System.INCH_POUND)


def _of_one_method(name: str, looks: Sequence[Look]) -> tuple[DatedLook, ...]:
    """Return the looks at a panel by the way of grading that has most of them."""
    own = [look for look in looks if name in look.by_panel]
    ways = [look.graded_by for look in own]
    if not own:
        return ()
    way = max(dict.fromkeys(ways), key=ways.count)
    return tuple(
        DatedLook(look.on, look.by_panel[name], look.word) for look in own if look.graded_by == way
    )


def _loads(name: str, placed: PlacedLoads) -> tuple[str, str]:
    if placed.shares is None or name not in placed.shares.areas_m2:
        return "", ""
    pieces = placed.shares.of_panel(name)
    lags = [placed.figures[piece.load].lag_min for piece in pieces]
    told = ", ".join("not known" if lag is None else f"{lag:.0f} min" for lag in lags)
    return placed.shares.words_of(name), told


def _placed_on(name: str, placed: PlacedLoads) -> date | None:
    if placed.shares is None or name not in placed.shares.areas_m2:
        return placed.days[0].placed_on if len(placed.days) == 1 else None
    pieces = placed.shares.of_panel(name)
    days = {placed.figures[piece.load].load.placing_day.placed_on for piece in pieces}
    return min(days, default=None)


def _poured_on(name: str, one: OnePour) -> date | None:
    """Return the day of the loads in a panel, else what the plan says of this very concrete."""
    row = one.pour.panels.get(name)
    return _placed_on(name, one.placed) or (poured_on(row) if row is not None else None)


def _day_of(name: str, placed: PlacedLoads) -> str:
    on = _placed_on(name, placed)
    return on.isoformat() if on else ""


def _gap(name: str, cure: Cure, placed: PlacedLoads) -> Answer:
    days = {day.pk: ZoneInfo(day.pavement.site.time_zone) for day in placed.days}
    broken = {
        panel: _break_words(row, days[row.placing_day_id])
        for row in cure.breaks
        for panel in row.panels
    }
    whole = None if not cure.covers else not cure.missing_days
    return sheet_gap(name, broken, log_is_whole=whole, missing=cure.missing_days)


def _break_words(row: CoverBreak, zone: ZoneInfo) -> str:
    cause = str(row.get_cause_display() or "cause not written")
    return f"Cover off on {row.from_at.astimezone(zone):%Y-%m-%d}, {cause}."


def _core(name: str, placed: PlacedLoads, cores: Sequence[Core]) -> DensityCheck | NotGiven | None:
    own = next((core for core in cores if core.panel == name), None)
    if own is None:
        return None
    return core_density(own, placed.days[0] if placed.days else None)


def _before_winter(name: str, one: OnePour, looks: Sequence[DatedLook]) -> bool | None:
    """Say whether a dated look lies before the first December after placing."""
    placed_on = min((day.placed_on for day in one.placed.days), default=_poured_on(name, one))
    if placed_on is None:
        return None
    winter = date(placed_on.year, 12, 1)
    return any(look.on < winter for look in looks)


def _words(line: WinterEntry) -> str:
    what = line.spread_as or ("plow" if line.plowed == "yes" else str(line.get_deicer_display()))
    return f"{line.done_on} {what}"
