"""What follows from an entry of the placing record while it is typed: N11 and N14 to N16."""

from collections.abc import Sequence
from dataclasses import dataclass

from registry.gathering.core_figures import core_rows
from registry.gathering.cover_figures import cover_rows, meets, strips_of
from registry.gathering.day_figures import day_figures
from registry.gathering.load_figures import drying_of, figures_of
from registry.models import (
    Core,
    Cover,
    CoverBreak,
    PlacingDay,
    Spread,
    Uncover,
    WeatherReading,
)
from registry.models.entry import Entry
from registry.placing.cores import DensityCheck
from registry.placing.covered import Covered, duration_words
from registry.placing.evaporation import Evaporation
from registry.placing.faults import NotGiven
from registry.placing.yield_check import YieldCheck
from registry.units import Kind, System, show

OF_A_STRIP = (Cover, CoverBreak, Uncover)
LIVE = (WeatherReading, Spread, Core, *OF_A_STRIP)
"""Entries from which something follows at once."""


@dataclass(frozen=True)
class Figure:
    """A figure in words, or why there is none."""

    name: str
    words: str


def entry_figures(row: Entry, *, system: System, days: Sequence[PlacingDay]) -> list[Figure]:
    """Return what follows from a row as typed, beside what is stored.

    A row that corrects a stored one takes its place.

    days   the placing days that whoever types it may see, of use for a core alone
    """
    if isinstance(row, WeatherReading):
        return [Figure("evaporation", _told(drying_of(row)))]
    if isinstance(row, Spread):
        return _yield(row, system)
    if isinstance(row, Core):
        return _core(row, system, days)
    if isinstance(row, OF_A_STRIP):
        return list(_strips(row))
    raise TypeError(f"nothing follows at once from a {type(row).__name__}")


def _yield(row: Spread, system: System) -> list[Figure]:
    day = row.load.placing_day
    loads = list(day.loads.standing())
    stored = Spread.objects.standing().filter(load__in=loads).exclude(pk=row.pk)
    figures = figures_of(day, loads, [*stored, row], [])
    used = day_figures(day, figures, system).used
    return [Figure("yield of the day with this limit", _told(used))]


def _core(row: Core, system: System, days: Sequence[PlacingDay]) -> list[Figure]:
    ((_, deviation_mm, density),) = core_rows([row], days, row.pavement.thickness_mm)
    length = "Its length and the plan thickness are needed."
    if deviation_mm is not None:
        sign = "-" if deviation_mm < 0 else "+"
        length = f"{sign}{show(abs(deviation_mm), Kind.SMALL_LENGTH, system)}"
    return [Figure("length against the plan", length), Figure("density", _told(density))]


def _strips(row: Cover | CoverBreak | Uncover) -> list[Figure]:
    """Hours under cover of the strips that it reaches, and what is missing to those required."""
    clock = {CoverBreak: "from_at", Uncover: "at"}.get(type(row))
    if clock is not None and getattr(row, clock) is None:
        return [Figure("under cover", "Its clock is needed.")]
    rows = {question.model: list(question) for question in cover_rows([row.placing_day])}
    rows[type(row)] = [*(one for one in rows[type(row)] if one.pk != row.pk), row]
    found = []
    for strip in strips_of(row.placing_day, *rows.values()):
        if not meets(strip.cover.panels, row.panels):
            continue
        for part in strip.parts:
            names = ", ".join(part.panels) if part.breaks else strip.cover.panels_text
            words = _told(part.hours)
            if part.short_s:
                words += f", short by {duration_words(part.short_s)}"
            found.append(Figure(f"under cover, {names or 'all of it'}", words))
    return found or [Figure("under cover", "No cover is written down for these panels.")]


def _told(found: Evaporation | Covered | YieldCheck | DensityCheck | NotGiven) -> str:
    return found.reason if isinstance(found, NotGiven) else found.words
