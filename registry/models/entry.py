"""What every entry of the record carries: as written, kinds of empty, source, times, void."""

from dataclasses import dataclass
from typing import Any, Self

from django.conf import settings
from django.db import models
from django.utils import timezone

from registry.models.choices import Empty, Source


@dataclass(frozen=True)
class Change:
    """A new value of one field, with the text as written and what its writer saw before.

    `empty` is the kind of empty (nk, nm, na) where the new value is none. `line` is (old, new) as
    the journal tells them, where the texts alone would leave the unit open.
    """

    value: Any
    text: str
    seen: Any = None
    is_seen_known: bool = False
    empty: str = ""
    line: tuple[str, str] = ("", "")


class EntryQuerySet(models.QuerySet):
    """Entries, void ones included unless asked otherwise."""

    def standing(self) -> Self:
        """Return entries that are neither void nor doubles of another."""
        return self.filter(void_at__isnull=True, double_of__isnull=True)

    def from_batch(self, batch: models.Model) -> Self:
        """Return what one spreadsheet brought in."""
        return self.filter(import_batch=batch)


class Entry(models.Model):
    """An entry of the record. Nothing is deleted: a wrong one is void with a reason.

    `as_written` keeps, by field name, the text as the person wrote it ("602 ft2", "11,98");
    `empties` keeps, by field name, which of the three kinds of empty was meant.
    """

    as_written = models.JSONField(default=dict, blank=True)
    empties = models.JSONField(default=dict, blank=True)
    note = models.TextField("remark", blank=True)
    source = models.CharField(max_length=8, choices=Source, default=Source.FORM)
    source_note = models.CharField("source, in words", max_length=200, blank=True)
    sheet_number = models.CharField("sheet number", max_length=20, blank=True)
    written_at = models.DateTimeField("when it was written down", null=True, blank=True)
    entered_at = models.DateTimeField("when it came in", default=timezone.now, editable=False)
    entered_by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        editable=False,
        related_name="+",
    )
    entered_for = models.ForeignKey(
        "registry.Organisation",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        editable=False,
        related_name="+",
    )
    import_batch = models.ForeignKey(
        "registry.ImportBatch",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        editable=False,
        related_name="+",
    )
    void_at = models.DateTimeField(null=True, blank=True, editable=False)
    void_why = models.CharField(max_length=300, blank=True, editable=False)
    void_by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        editable=False,
        related_name="+",
    )
    double_of = models.ForeignKey(
        "self",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        editable=False,
        related_name="doubles",
    )

    objects = EntryQuerySet.as_manager()

    class Meta:
        abstract = True

    @property
    def is_void(self) -> bool:
        """Say whether the entry was taken out of use."""
        return self.void_at is not None

    @property
    def name_of_correction(self) -> str:
        """Return the name under which a device keeps a correction of it until that is stored."""
        return f"correct-{self._meta.model_name}-{self.pk}"

    def written(self, field: str) -> str:
        """Return the text as written for a field, or an empty string."""
        return str(self.as_written.get(field, ""))

    def kind_of_empty(self, field: str) -> str:
        """Return the word for why a field is empty, or an empty string where it is filled."""
        if getattr(self, field) not in (None, ""):
            return ""
        code = self.empties.get(field)
        return Empty(code).label if code else "not filled in yet"


def void_has_reason(name: str) -> models.CheckConstraint:
    """Return the constraint that a void entry says why."""
    return models.CheckConstraint(
        name=f"{name}_void_has_reason",
        condition=models.Q(void_at__isnull=True) | ~models.Q(void_why=""),
    )


def from_before_to(name: str) -> models.CheckConstraint:
    """Return the constraint that a span ends after it begins."""
    return models.CheckConstraint(
        name=f"{name}_from_before_to",
        condition=models.Q(to_on__isnull=True)
        | models.Q(from_on__isnull=True)
        | models.Q(to_on__gt=models.F("from_on")),
    )


class DatedQuerySet(EntryQuerySet):
    """Entries that hold from a day up to, and not including, another."""

    def on(self, day: object) -> Self:
        """Return what held on a day; an open end holds for ever."""
        return self.filter(
            models.Q(from_on__isnull=True) | models.Q(from_on__lte=day),
            models.Q(to_on__isnull=True) | models.Q(to_on__gt=day),
        )
