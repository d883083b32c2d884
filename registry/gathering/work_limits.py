"""The limits of the trade that hold for an organisation's pavements on a day, and whose they are.

What a permit or a contract sets for one pavement comes before what is set for all of them; what
nobody set is the house rule.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from registry.models import RuleSetting
from registry.models.rule import TEMPERATURES, WORK_LIMITS, RuleName
from registry.planning.limits import HOUSE_LIMITS, Limit, WorkLimits, by_whom
from registry.units import Kind, System, show


def work_limits(rows: Iterable[RuleSetting], pavement_id: int, on: date) -> WorkLimits:
    """Return the limits at a pavement on a day, out of the standing settings of its keeper."""
    found: dict[str, RuleSetting] = {}
    for row in rows:
        if row.name in WORK_LIMITS and row.pavement_id in (None, pavement_id) and row.holds_on(on):
            known = found.get(row.name)
            found[row.name] = row if known is None else max(known, row, key=_precedence)
    return WorkLimits(
        **{name: Limit(row.value, row.source_document) for name, row in found.items()}
    )


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
    ordered = sorted(rows, key=lambda row: (row.from_on or date.min, row.pk))
    lines: list[LimitLine] = []
    for name in WORK_LIMITS:
        house: Limit = getattr(HOUSE_LIMITS, name)
        words = limit_in_words(name, house.value, system)
        lines.append(LimitLine(name.label, words, house.source))
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
