"""The signs on raveling that the record can answer by itself, each marked "filled from the record".

The table of signs and what each says of each cause is `defects.evidence`; here only whether a
sign is there. What the record cannot say stays open for the person at the panel, and what a
person says stands, with a difference from the record shown beside it. No total, no verdict.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from registry.defects import NORTH, RAVELING_SIGNS, Winter
from registry.placing.cores import DensityCheck
from registry.placing.dated_looks import (
    Answer,
    Look,
    grows_all_year,
    jumps_in_winter,
    starts_early,
)
from registry.placing.faults import NotGiven, PlacingError

FROM_RECORD = "filled from the record"


@dataclass(frozen=True)
class PanelRecord:
    """What the record holds of one panel.

    looks          dated raveled shares, one method
    follows_loads, worst_late, sheet_gap   see `day_patterns`
    in_winter_zone the winter log names the panel for deicer; None where it does not say
    winter_words   the lines of that log behind it, or why it is open
    core_density   of a core out of this panel, None where none was taken
    """

    panel: str
    placed_on: date | None
    looks: Sequence[Look]
    follows_loads: Answer
    worst_late: Answer
    sheet_gap: Answer
    in_winter_zone: bool | None
    winter_words: str = ""
    core_density: DensityCheck | NotGiven | None = None


@dataclass(frozen=True)
class FilledSign:
    """One sign of the table with what the record says of it."""

    code: str
    label: str
    found: bool | None
    why: str
    mark: str = FROM_RECORD


@dataclass(frozen=True)
class Disagreement:
    """A person and the record say different things of one sign; the person's word stands."""

    code: str
    label: str
    by_person: bool
    by_record: bool
    why: str


def fill_from_record(record: PanelRecord, *, winter: Winter = NORTH) -> tuple[FilledSign, ...]:
    """Every sign that the record may speak to, in the order of the table."""
    answers = {
        "starts_early": starts_early(record.placed_on, record.looks),
        "jumps_in_winter": jumps_in_winter(record.looks, winter=winter),
        "grows_all_year": grows_all_year(record.looks, winter=winter),
        "follows_loads": record.follows_loads,
        "worst_late_in_day": record.worst_late,
        "at_entrance": _zone(record),
        "core_density_low": _density(record.core_density),
        "sheet_gap": record.sheet_gap,
    }
    return tuple(
        FilledSign(code, sign.label, answers[code].found, answers[code].why)
        for code, sign in RAVELING_SIGNS.items()
        if code in answers
    )


def facts_with(
    filled: Sequence[FilledSign], by_person: Mapping[str, bool | None]
) -> tuple[dict[str, bool | None], tuple[Disagreement, ...]]:
    """Facts for `defects.evidence_for`: the record's, and over them what a person has said.

    Raises PlacingError on a sign that is not in the table.
    """
    if strange := [code for code in by_person if code not in RAVELING_SIGNS]:
        raise PlacingError(f"“{strange[0]}” is not a sign of the table of raveling.")
    facts: dict[str, bool | None] = {one.code: one.found for one in filled}
    facts |= {code: found for code, found in by_person.items() if found is not None}
    differing = tuple(
        Disagreement(one.code, one.label, said, one.found, one.why)
        for one in filled
        if one.found is not None
        and (said := by_person.get(one.code)) is not None
        and said != one.found
    )
    return facts, differing


def _zone(record: PanelRecord) -> Answer:
    if record.in_winter_zone is None:
        return Answer(None, record.winter_words or "There is no winter log of this concrete.")
    if record.in_winter_zone:
        return Answer(True, record.winter_words or "Deicer is logged here.")
    return Answer(False, "No line of the winter log names this panel.")


def _density(check: DensityCheck | NotGiven | None) -> Answer:
    if check is None or isinstance(check, NotGiven):
        return Answer(None, "No core was taken here." if check is None else check.reason)
    return Answer(not check.is_inside and check.deviation < 0, f"Core: {check.words}.")
