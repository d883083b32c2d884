"""What of the record is attached to a callback: it stays in sight of both sides for ever."""

from django.db import models
from django.db.models import Q

from registry.models.entry import Entry, void_has_reason

ATTACHED = ("infiltration_test", "visit", "defect", "cleaning", "winter_entry", "photo", "core")
"""Columns, of which one is filled."""


def _one_is_filled() -> Q:
    found = Q(pk__in=())
    for name in ATTACHED:
        others = Q(**{f"{other}__isnull": True for other in ATTACHED if other != name})
        found |= Q(**{f"{name}__isnull": False}) & others
    return found


def _thing(model: str, words: str) -> models.ForeignKey:
    return models.ForeignKey(
        f"registry.{model}",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="attached_to",
        verbose_name=words,
    )


class CallbackAttachment(Entry):
    """One record attached to a callback."""

    callback = models.ForeignKey(
        "registry.Callback", on_delete=models.PROTECT, related_name="attachments"
    )
    infiltration_test = _thing("InfiltrationTest", "infiltration test")
    visit = _thing("Visit", "visit")
    defect = _thing("Defect", "defect")
    cleaning = _thing("Cleaning", "cleaning")
    winter_entry = _thing("WinterEntry", "line of the winter log")
    photo = _thing("Photo", "photo")
    core = _thing("Core", "core")

    class Meta:
        ordering = ("pk",)
        constraints = (
            void_has_reason("callback_attachment"),
            models.CheckConstraint(
                name="callback_attachment_is_one_thing", condition=_one_is_filled()
            ),
        )

    def __str__(self) -> str:
        return str(self.thing)

    @property
    def thing(self) -> Entry:
        """Return what is attached."""
        found = (getattr(self, name) for name in ATTACHED if getattr(self, f"{name}_id"))
        return next(found)
