"""Take a spreadsheet back whole: its rows become void, with the reason; nothing is deleted."""

from collections.abc import Iterator
from itertools import islice
from typing import Any

from django.apps import apps
from django.db import models, transaction
from django.utils import timezone

from registry.actions.judge_tests import judge_tests
from registry.actions.queue_work import queue_outlooks, queue_standings
from registry.actions.refresh_outlooks import refresh_outlooks_of
from registry.actions.take_back_defects import move_back, moved_since, moves_of
from registry.actions.write_journal import write_line
from registry.faults import DomainError
from registry.gathering.frozen import frozen_of_batch
from registry.models import (
    BatchState,
    Defect,
    DefectLink,
    DefectMove,
    Due,
    ImportBatch,
    InfiltrationTest,
    JournalLine,
    Outlook,
    Pavement,
    PavementNumber,
    PavementStanding,
    Person,
    Seat,
    Site,
    Spot,
)
from registry.models.entry import Entry

NAMED = 10
"""How many of the things in the way are named."""

WORKED_OUT = (Due, Outlook)
"""What the worker worked out of the rows of a pavement: it goes with them."""

NOTHING_HANGS_ON = (JournalLine, PavementStanding, *WORKED_OUT)


class CannotBeTakenBack(DomainError):
    """Something later hangs on it, it is not stored, or no reason was given."""


@transaction.atomic
def take_back_import(batch: ImportBatch, *, why: str, by: Person | None) -> ImportBatch:
    """Make every row of a stored spreadsheet void; the same spreadsheet can come in again.

    Raises CannotBeTakenBack, naming what is in the way, where entries that came in another way
    hang on its rows, or somebody has corrected one of them.
    """
    if not why.strip():
        raise CannotBeTakenBack("Say why the spreadsheet is taken back.")
    batch = ImportBatch.objects.select_for_update().get(pk=batch.pk)
    if batch.state != BatchState.STORED:
        raise CannotBeTakenBack("Only a spreadsheet that is stored can be taken back.")
    pavements = set(Pavement.objects.from_batch(batch).values_list("pk", flat=True))
    hanging = list(islice(_hanging_on(batch, pavements), NAMED + 1))
    if hanging:
        raise CannotBeTakenBack(_in_the_way(hanging))
    touched = _touched(batch)
    _refuse_after_the_seat(batch, touched)
    if frozen := "; ".join(islice(frozen_of_batch(batch, touched), NAMED)):
        raise CannotBeTakenBack(f"It cannot be taken back: {frozen}. What is there stays.")
    move_back(batch, why=why, by=by)
    _void_all(batch, why, by)
    _end_seats_and_numbers(batch, pavements)
    for model in WORKED_OUT:
        model._default_manager.filter(pavement__in=pavements).delete()
    batch.state, batch.taken_back_at = BatchState.TAKEN_BACK, timezone.now()
    batch.taken_back_why = why
    batch.save(update_fields=["state", "taken_back_at", "taken_back_why"])
    write_line(batch, "taken back", by=by, organisation=batch.organisation, why=why)
    _write_journal(batch, touched, why, by)
    left = sorted(touched - pavements)
    judge_tests(left)
    refresh_outlooks_of(left, as_of=batch.taken_back_at.date())
    queue_standings(left)
    queue_outlooks(batch.organisation_id)
    return batch


def entry_models() -> list[type[Entry]]:
    """Return every table of entries."""
    return [
        model for model in apps.get_app_config("registry").get_models() if issubclass(model, Entry)
    ]


def _hanging_on(batch: ImportBatch, pavements: set[int]) -> Iterator[str]:
    """Yield in words what would be left without its ground."""
    yield from _corrected(batch)
    yield from moved_since(batch)
    for model in (Pavement, Site, Spot, InfiltrationTest, Defect):
        ground = pavements if model is Pavement else _keys(model, batch)
        for relation in _relations(model):
            yield from _others(relation, ground, batch)


def _keys(model: type[Entry], batch: ImportBatch) -> models.QuerySet[Any, Any]:
    return model._default_manager.filter(import_batch=batch).values("pk")


def _relations(model: type[models.Model]) -> list[models.ForeignObjectRel]:
    return [
        relation
        for relation in model._meta.related_objects
        if relation.related_model not in NOTHING_HANGS_ON and not relation.many_to_many
    ]


def _others(relation: models.ForeignObjectRel, ground: object, batch: ImportBatch) -> Iterator[str]:
    """Yield rows of one relation that stand on the ground and did not come with the batch."""
    model = relation.related_model
    rows = model._default_manager.filter(**{f"{relation.field.name}__in": ground})
    if issubclass(model, Entry):
        rows = rows.filter(void_at__isnull=True).exclude(import_batch=batch)
    elif model is DefectMove:
        rows = rows.exclude(moves_of(batch)).exclude(from_state="")  # the first is the noting
    elif model is DefectLink:
        rows = rows.exclude(moves_of(batch))
    elif model is Seat:
        rows = rows.exclude(organisation=batch.organisation, source_document=batch.document_name)
    elif model is PavementNumber:
        rows = rows.filter(is_taken_back=False).exclude(organisation=batch.organisation)
    for row in rows[: NAMED + 1]:
        at = getattr(row, "pavement", None)
        yield f"{model._meta.verbose_name} {row}" + (f" at {at}" if at is not None else "")


def _corrected(batch: ImportBatch) -> Iterator[str]:
    for model in entry_models():
        mine = model._default_manager.filter(import_batch=batch)
        lines = JournalLine.objects.corrections().filter(
            subject_kind=model._meta.model_name, subject_id__in=mine.values("pk")
        )
        for line in lines[: NAMED + 1]:
            yield f"a correction of {line.subject_name} on {line.at:%Y-%m-%d}"


def _in_the_way(hanging: list[str]) -> str:
    more = " and more" if len(hanging) > NAMED else ""
    return (
        "It cannot be taken back, for something else hangs on it: "
        f"{'; '.join(hanging[:NAMED])}{more}. Void these first."
    )


def _touched(batch: ImportBatch) -> set[int]:
    lines = JournalLine.objects.filter(subject_kind="importbatch", subject_id=batch.pk)
    return set(lines.filter(pavement__isnull=False).values_list("pavement_id", flat=True))


def _refuse_after_the_seat(batch: ImportBatch, touched: set[int]) -> None:
    """Who holds no seat at a pavement any more, by a sale or otherwise, changes nothing there."""
    held = Seat.objects.held_at(timezone.now()).filter(organisation=batch.organisation)
    some = sorted(touched - set(held.values_list("pavement_id", flat=True)))[:NAMED]
    if names := ", ".join(str(pavement) for pavement in Pavement.objects.filter(pk__in=some)):
        raise CannotBeTakenBack(
            f"{batch.organisation} has no seat any more at {names}: what it wrote there stays."
        )


def _void_all(batch: ImportBatch, why: str, by: Person | None) -> None:
    now = timezone.now()
    for model in entry_models():
        standing = model._default_manager.filter(import_batch=batch, void_at__isnull=True)
        standing.update(void_at=now, void_why=why, void_by=by)


def _end_seats_and_numbers(batch: ImportBatch, pavements: set[int]) -> None:
    PavementNumber.objects.filter(pavement__in=pavements).update(is_taken_back=True)
    now = timezone.now()
    seats = Seat.objects.filter(pavement__in=pavements, to_at__isnull=True)
    seats.filter(from_at__lte=now).update(to_at=now)
    seats.filter(from_at__gt=now).update(to_at=models.F("from_at"))


def _write_journal(batch: ImportBatch, touched: set[int], why: str, by: Person | None) -> None:
    lines = [
        JournalLine(
            pavement_id=pk,
            subject_kind="importbatch",
            subject_id=batch.pk,
            subject_name=batch.file_name[:160],
            verb="taken back",
            why=why,
            by=by,
            by_organisation=batch.organisation,
        )
        for pk in sorted(touched)
    ]
    JournalLine.objects.bulk_create(lines, batch_size=1000)
