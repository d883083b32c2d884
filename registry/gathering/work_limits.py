"""The limits of the trade that hold for an organisation's pavements on a day, and whose they are.

What a permit or a contract sets for one pavement comes before what is set for all of them; what
nobody set is the house rule.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from registry.measuring.word_limits import USUAL_LIMITS, Threshold
from registry.models import RuleSetting
from registry.models.rule import TEMPERATURES, WORD_LIMITS, WORK_LIMITS, RuleName
from registry.planning.limits import HOUSE_LIMITS, Limit, WorkLimits, by_whom
from registry.units import Kind, System, show


def work_limits(rows: Iterable[RuleSetting], pavement_id: int, on: date) -> WorkLimits:
    """Return the limits at a pavement on a day, out of the standing settings of its keeper."""
    found = settings_on((row for row in rows if row.name in WORK_LIMITS), pavement_id, on)
    return WorkLimits(
        **{name: Limit(row.value, row.source_document) for name, row in found.items()}
    )


def settings_on(rows: Iterable[RuleSetting], pavement_id: int, on: date) -> dict[str, RuleSetting]:
    """Return by name which settings of one organisation hold at a pavement on a day."""
    found: dict[str, RuleSetting] = {}
    for row in rows:
        if row.pavement_id in (None, pavement_id) and row.holds_on(on):
            known = found.get(row.name)
            found[row.name] = row if known is None else max(known, row, key=_precedence)
    return found


def limits_of_keepers(
    by_keeper: Sequence[Iterable[RuleSetting]], pavement_id: int, on: date
) -> WorkLimits:
    """Return the limits of the first of several keepers who sets any, as with the calendar."""
    told = (work_limits(rows, pavement_id, on) for rows in by_keeper)
    return next((limits for limits in told if limits.set_otherwise), HOUSE_LIMITS)


def limits_told(held: Iterable[WorkLimits]) -> list[str]:
    """Return in words the limits that are not the house rule's, each once, by whom it is set."""
    told = {pair: None for limits in held for pair in limits.set_otherwise}
    return [
        f"Held to what is set, not to the house rule: {RuleName(name).label}, "
        f"{limit_in_words(name, limit.value)}{by_whom(limit)}."
        for name, limit in told
    ]


@dataclass(frozen=True)
class LimitLine:
    """A limit as a list tells it. row: None for that of the house rule, which was never written."""

    name: str
    value: str
    source: str
    row: RuleSetting | None = None


def limit_lines(rows: Iterable[RuleSetting], system: System) -> list[LimitLine]:
    """Return the limits of the house rule, after each what is set in its place, void ones too."""
    return _lines(WORK_LIMITS, HOUSE_LIMITS, rows, system)


def threshold_lines(rows: Iterable[RuleSetting], system: System) -> list[LimitLine]:
    """Return the usual thresholds of the condition word, after each what is set in its place."""
    return _lines(WORD_LIMITS, USUAL_LIMITS, rows, system)


def _lines(
    names: Sequence[RuleName], usual: object, rows: Iterable[RuleSetting], system: System
) -> list[LimitLine]:
    ordered = sorted(rows, key=lambda row: (row.from_on or date.min, row.pk))
    lines: list[LimitLine] = []
    for name in names:
        given: Limit | Threshold = getattr(usual, name)
        words = limit_in_words(name, given.value, system)
        lines.append(LimitLine(name.label, words, given.source))
        lines += [
            LimitLine(name.label, limit_in_words(name, row.value, system), row.source_document, row)
            for row in ordered
            if row.name == name
        ]
    return lines


def limit_in_words(name: str, value: float, system: System | None = None) -> str:
    """Return a limit as it is read: "24", "40 °F"; a temperature in both units where None."""
    if name not in TEMPERATURES:
        return f"{value:g}"
    if system is not None:
        return show(value, Kind.TEMPERATURE, system, digits=1)
    fahrenheit, celsius = (show(value, Kind.TEMPERATURE, s, digits=1) for s in System)
    return f"{fahrenheit} ({celsius})"


def _precedence(row: RuleSetting) -> tuple[bool, date, int]:
    return row.pavement_id is not None, row.from_on or date.min, row.pk
