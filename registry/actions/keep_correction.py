"""Keep a correction that came in after another, and let a named person choose between the two."""

from django.apps import apps
from django.db import models, transaction
from django.utils import timezone

from registry.actions.correct_entry import CorrectionsDiffer, correct_entry
from registry.actions.write_journal import pavement_of, write_line
from registry.faults import DomainError
from registry.models import Organisation, Person, WaitingCorrection
from registry.models.entry import Change, Entry
from registry.models.seen import plain_value, value_from_plain


class CannotChoose(DomainError):
    """Somebody chose already, or the entry is void."""


@transaction.atomic
def keep_correction(fault: CorrectionsDiffer) -> WaitingCorrection:
    """Store the correction that was not applied, with a line in the journal of its entry.

    The same correction sent twice is kept once.
    """
    row = fault.row
    changes = {name: _kept(row, name, change) for name, change in fault.changes.items()}
    given = {
        "subject_kind": row._meta.model_name or "",
        "subject_id": row.pk,
        "by": fault.by,
        "by_organisation": fault.organisation,
    }
    for there in WaitingCorrection.objects.undecided().filter(**given):
        if there.changes == changes:
            return there
    waiting = WaitingCorrection.objects.create(
        **given,
        pavement=pavement_of(row),
        subject_name=str(row)[:160],
        seen=dict(fault.seen),
        changes=changes,
        lines=fault.lines,
        why=fault.why,
    )
    write_line(
        row,
        "second correction kept",
        by=fault.by,
        organisation=fault.organisation,
        why=fault.why,
        changes=fault.lines,
    )
    return waiting


@transaction.atomic
def choose_correction(
    waiting: WaitingCorrection,
    *,
    choice: str,
    why: str,
    by: Person,
    organisation: Organisation | None,
) -> Entry:
    """Apply the correction that waited, or leave the one that stands; both stay readable.

    Two people choosing at once: the second is told so. Returns the entry.
    """
    decided = WaitingCorrection.objects.undecided().filter(pk=waiting.pk)
    if not decided.update(choice=choice, decided_by=by, decided_at=timezone.now()):
        raise CannotChoose("Somebody has chosen between these corrections already.")
    row = subject_of(waiting)
    if choice == WaitingCorrection.Choice.STANDING:
        lines = {name: [pair[1], pair[0]] for name, pair in waiting.lines.items()}
        words = f"{waiting} not taken: {why}"
        write_line(row, "chosen", by=by, organisation=organisation, why=words, changes=lines)
        return row
    changes = {name: _restored(row, name, kept) for name, kept in waiting.changes.items()}
    return correct_entry(row, changes=changes, why=why, by=by, organisation=organisation)


def subject_of(waiting: WaitingCorrection) -> Entry:
    """Return the entry that a waiting correction is about."""
    model = apps.get_model("registry", waiting.subject_kind)
    row: Entry = model._default_manager.get(pk=waiting.subject_id)
    return row


def _kept(row: models.Model, name: str, change: Change) -> dict[str, object]:
    wanted = type(row)(pk=row.pk)
    setattr(wanted, name, change.value)
    return {"value": plain_value(wanted, name), "text": change.text, "empty": change.empty}


def _restored(row: models.Model, name: str, kept: dict[str, str]) -> Change:
    value = value_from_plain(row, name, kept["value"])
    return Change(value, kept["text"], empty=kept["empty"])
