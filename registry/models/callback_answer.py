"""The written answer to a callback: which panels, why, what is done by when."""

from django.db import models

from registry.models.entry import Entry, void_has_reason
from registry.placing.claim_moves import ANSWERS, CALLBACK

KINDS = {code: CALLBACK.states[code] for code in ANSWERS}


class CallbackAnswer(Entry):
    """One answer. `declined` is a list of [panel, clause and reason as written].

    Goodwill is given without admission. More than one answer may follow each other.
    """

    callback = models.ForeignKey(
        "registry.Callback", on_delete=models.PROTECT, related_name="answers"
    )
    kind = models.CharField("answer", max_length=16, choices=KINDS)
    answered_on = models.DateField("date")
    accepted_panels = models.JSONField("panels accepted", default=list, blank=True)
    accepted_text = models.CharField("panels accepted, as written", max_length=240, blank=True)
    declined = models.JSONField("declined, with clause", default=list, blank=True)
    goodwill = models.CharField("goodwill, without admission", max_length=240, blank=True)
    evidence_wanted = models.CharField("more evidence asked", max_length=240, blank=True)
    evidence_by = models.DateField("evidence by", null=True, blank=True)
    remedy = models.CharField("remedy", max_length=240, blank=True)
    remedy_by = models.DateField("remedy by", null=True, blank=True)
    may_dispute_by = models.DateField("owner may dispute by", null=True, blank=True)
    text = models.TextField("as written to the owner", blank=True)
    signed_by = models.CharField("signed", max_length=160, blank=True)

    class Meta:
        ordering = ("answered_on", "pk")
        constraints = (void_has_reason("callback_answer"),)

    def __str__(self) -> str:
        return f"{self.get_kind_display()}, {self.answered_on}"
