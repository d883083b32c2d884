"""What was written and said in a callback: letters, calls, agreements, and notes kept inside."""

from django.db import models
from django.db.models import Q

from registry.models.entry import Entry, EntryQuerySet, void_has_reason


class NoteKind(models.TextChoices):
    """What a note is."""

    LETTER_IN = "letter_in", "letter or mail that came"
    LETTER_OUT = "letter_out", "letter or mail that went out"
    CALL = "call", "call"
    SURVEY = "survey", "survey of the visit"
    REPLY = "reply", "owner’s reply"
    EVENT = "event", "event"
    INSIDE = "inside", "note kept inside"


class CallbackNoteQuerySet(EntryQuerySet):
    """Notes."""

    def shared(self) -> "CallbackNoteQuerySet":
        """Return what both sides see: nothing kept inside."""
        return self.filter(inside_of__isnull=True)


class CallbackNote(Entry):
    """One note. One with `inside_of` is seen by that organisation alone, by nobody else ever."""

    callback = models.ForeignKey(
        "registry.Callback", on_delete=models.PROTECT, related_name="notes"
    )
    kind = models.CharField("what", max_length=10, choices=NoteKind)
    happened_on = models.DateField("date")
    happened_at = models.DateTimeField("clock", null=True, blank=True)
    who = models.CharField("who", max_length=160, blank=True)
    text = models.TextField("text")
    inside_of = models.ForeignKey(
        "registry.Organisation",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        editable=False,
        related_name="+",
    )

    objects = CallbackNoteQuerySet.as_manager()

    class Meta:
        ordering = ("happened_on", "happened_at", "pk")
        constraints = (
            void_has_reason("callback_note"),
            models.CheckConstraint(
                name="callback_note_kept_inside_names_its_side",
                condition=Q(kind="inside", inside_of__isnull=False)
                | (~Q(kind="inside") & Q(inside_of__isnull=True)),
            ),
        )

    def __str__(self) -> str:
        return f"{self.get_kind_display()}, {self.happened_on}"
