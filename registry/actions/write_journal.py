"""Write the journal: one line for every change, in the same transaction as the change."""

from collections.abc import Mapping, Sequence

from django.db import models

from registry.faults import DomainError
from registry.models import JournalLine, Organisation, Pavement, Person

STEPS_UP = (
    "pavement",
    "panel",
    "cleaning",
    "structure",
    "photo",
    "defect",
    "placing_day",
    "load",
    "lot",
    "warranty",
    "callback",
    "repair",
    "hand_over",
)
"""Relations that lead from a row to what it belongs to."""


class ReasonTooLong(DomainError):
    """A reason that does not fit the journal: it is refused rather than cut."""


def write_line(
    row: models.Model,
    verb: str,
    *,
    by: Person | None,
    organisation: Organisation | None = None,
    changes: Mapping[str, Sequence[str]] | None = None,
    why: str = "",
    pavement: Pavement | None = None,
) -> JournalLine:
    """Store who did what to a row, and return the line.

    `changes` is {field: [old, new]} as written. `pavement` is where the line is read; it is found
    from the row where not given, and stays empty for rows that belong to none.
    """
    line = line_of(
        row, verb, by=by, organisation=organisation, changes=changes, why=why, pavement=pavement
    )
    line.save(force_insert=True)
    return line


def line_of(
    row: models.Model,
    verb: str,
    *,
    by: Person | None,
    organisation: Organisation | None = None,
    changes: Mapping[str, Sequence[str]] | None = None,
    why: str = "",
    pavement: Pavement | None = None,
) -> JournalLine:
    """Return the unsaved line of `write_line`, for who stores many together.

    Raises ReasonTooLong.
    """
    limit = JournalLine._meta.get_field("why").max_length
    if limit is not None and len(why) > limit:
        raise ReasonTooLong(f"The reason is longer than {limit} characters. Say it in fewer words.")
    return JournalLine(
        pavement=pavement or pavement_of(row),
        subject_kind=row._meta.model_name or "",
        subject_id=row.pk,
        subject_name=str(row)[:160],
        verb=verb,
        changes={name: list(pair) for name, pair in (changes or {}).items()},
        why=why,
        by=by,
        by_organisation=organisation,
    )


def pavement_of(row: models.Model) -> Pavement | None:
    """Return the pavement a row belongs to, or None (a site, an organisation, a person)."""
    if isinstance(row, Pavement):
        return row
    if getattr(row, "inside_of_id", None) is not None:
        return None  # what is kept inside one side is read in no pavement's journal
    for step in STEPS_UP:
        above = getattr(row, step, None)
        if isinstance(above, models.Model):
            return pavement_of(above)
    return None
