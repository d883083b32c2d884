"""Severity from what was measured, by the table of `limits.py`. What decides and was not
measured gives no severity; two measures that disagree give the worse one.

A severity may also be given by eye; it is marked so by the caller, and `compare` says where the
measures disagree with it.
"""

from dataclasses import dataclass

from registry.defects.faults import MeasureError
from registry.defects.kinds import SEVERITIES, kind_of
from registry.defects.limits import LIMITS, Limit
from registry.defects.measured import WORDS, Measured


@dataclass(frozen=True)
class Grade:
    """What the measures give.

    severity    "low", "moderate", "high", or "" where none may be given
    rule        what gave it, limits in inch-pound and SI; "" without a severity
    why_not     why there is no severity, in words; "" with one
    source      where the limits come from
    unmeasured  what could make it worse and nobody measured, in words: with any of these the
                severity is "at least" that one
    """

    severity: str
    rule: str = ""
    why_not: str = ""
    source: str = ""
    unmeasured: tuple[str, ...] = ()

    @property
    def is_least(self) -> bool:
        """True where something unmeasured could make it worse."""
        return bool(self.severity) and bool(self.unmeasured)


def grade(kind: str, measured: Measured) -> Grade:
    """Severity of a defect of that kind (its code). Raises UnknownKind."""
    chosen = kind_of(kind)
    if kind == "ponding":
        return Grade(
            "",
            why_not="not graded: the table has no severities for water that stands without another "
            "sign; look at base, grade and outlet",
        )
    if chosen.highest == "low":
        source = "common practice, no source"
        return Grade("low", "a matter of looks only: never graded above low", source=source)
    if unsure := _unsure_of_each(kind, measured):
        return Grade("", why_not=unsure)
    return _worst_of(LIMITS[kind], measured)


def _worst_of(limits: tuple[Limit, ...], measured: Measured) -> Grade:
    met = [
        (limit.level(getattr(measured, limit.field)), limit)
        for limit in limits
        if measured.has(limit.field)
    ]
    level = max((found for found, _ in met), default=0)
    missing = [limit for limit in limits if not measured.has(limit.field)]
    lacking = [limit for limit in missing if limit.decides]
    gave = [limit for found, limit in met if found == level]
    rule = "; ".join(limit.says[level] for limit in gave if limit.says[level])
    if lacking and level < 2:
        words = ", ".join(WORDS[limit.field] for limit in lacking)
        least = f"; at least {SEVERITIES[level]}: {rule}" if level else ""
        return Grade("", why_not=f"not graded: not measured or said: {words}{least}")
    open_yet = () if level == 2 else tuple(WORDS[limit.field] for limit in missing)
    source = "; ".join(dict.fromkeys(limit.source.value for limit in gave if limit.says[level]))
    return Grade(SEVERITIES[level], rule or "no sign of worse", "", source, open_yet)


def _unsure_of_each(kind: str, measured: Measured) -> str:
    """Sealed spots are graded each: the area of several together may leave it open."""
    count, area = measured.count, measured.area_m2
    if kind != "sealed_spot" or measured.is_at_run_on_edge or not count or area is None:
        return ""
    level = LIMITS[kind][0].level
    if count > 1 and level(area) != level(area / count):
        return (
            f"not graded: {count} spots together, and each is graded by its own area; "
            "write the largest one by itself"
        )
    return ""


def compare(given: str, measured_grade: Grade) -> str:
    """A sentence of doubt where a severity given by eye disagrees with the measures; else "".

    Raises MeasureError where `given` is no severity.
    """
    if given not in SEVERITIES:
        raise MeasureError(f"Say how severe: {', '.join(SEVERITIES)}.")
    found = measured_grade.severity
    if not found or found == given:
        return ""
    least = "at least " if measured_grade.is_least else ""
    doubt = f"By eye {given}; by the measures {least}{found} ({measured_grade.rule})."
    if measured_grade.is_least and SEVERITIES.index(given) > SEVERITIES.index(found):
        return f"{doubt} Not measured: {', '.join(measured_grade.unmeasured)}. Measure and decide."
    return f"{doubt} Look again and decide which holds."
