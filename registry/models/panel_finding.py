"""Findings panel by panel: what speaks for and against each cause, and how sure that is."""

from django.db import models
from django.db.models import Q

from registry.defects import CAUSES, RAVELING_SIGNS
from registry.models.entry import Entry, void_has_reason

SIGNS = {code: sign.label for code, sign in RAVELING_SIGNS.items()}
MORE_CAUSES = {
    "settlement_below": "settlement below",
    "root": "root",
    "others_trench": "others' trench",
    "fire_or_spill": "fire or spill",
    "not_shown": "not shown",
}


class Confidence(models.TextChoices):
    """How far a cause is shown."""

    SHOWN = "shown", "shown"
    LIKELY = "likely", "likely"
    NOT_SHOWN = "not_shown", "not shown"


class PanelFinding(Entry):
    """One cause named for one panel of a callback. Two causes in a panel are two rows."""

    callback = models.ForeignKey(
        "registry.Callback", on_delete=models.PROTECT, related_name="findings"
    )
    panel = models.CharField("panel", max_length=12)
    cause = models.CharField("cause", max_length=20, choices={**CAUSES, **MORE_CAUSES})
    confidence = models.CharField("confidence", max_length=9, choices=Confidence)
    came_first = models.BooleanField("came first", default=False)
    speaks_for = models.TextField("evidence for", blank=True)
    speaks_against = models.TextField("evidence against", blank=True)
    missing = models.TextField("what is missing", blank=True)
    found_by = models.CharField("found by", max_length=160, blank=True)
    found_on = models.DateField("date", null=True, blank=True)

    class Meta:
        ordering = ("pk",)
        constraints = (
            void_has_reason("panel_finding"),
            models.UniqueConstraint(
                fields=("callback", "panel", "cause", "found_by"),
                condition=Q(void_at__isnull=True, double_of__isnull=True),
                name="panel_finding_once_a_cause",
            ),
        )

    def __str__(self) -> str:
        return f"{self.panel}: {self.get_cause_display()}"


class PanelEvidence(Entry):
    """What a person says of one sign in one panel. What the record says is worked out, not kept."""

    callback = models.ForeignKey(
        "registry.Callback", on_delete=models.PROTECT, related_name="evidence"
    )
    panel = models.CharField("panel", max_length=12)
    sign = models.CharField("sign", max_length=32, choices=SIGNS)
    is_there = models.BooleanField("seen", null=True, blank=True)
    words = models.CharField("in words", max_length=240, blank=True)
    said_by = models.CharField("by", max_length=160, blank=True)

    class Meta:
        ordering = ("pk",)
        constraints = (
            void_has_reason("panel_evidence"),
            models.UniqueConstraint(
                fields=("callback", "panel", "sign", "entered_for"),
                condition=Q(void_at__isnull=True, double_of__isnull=True),
                name="panel_evidence_once_a_side",
            ),
        )

    def __str__(self) -> str:
        return f"{self.panel}: {self.get_sign_display()}"
