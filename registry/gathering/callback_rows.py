"""All that hangs on a callback, by one question."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.db.models import QuerySet

from registry.models import (
    AgreedDate,
    AnswerLimit,
    Callback,
    CallbackAnswer,
    CallbackMove,
    CallbackNote,
    PanelEvidence,
    PanelFinding,
    Repair,
    SettlementLine,
    ThirdParty,
    WarrantyPart,
)
from registry.models.together import together


@dataclass(frozen=True)
class CallbackRows:
    """The entries of one callback in the order of their days; void answers and notes included."""

    moves: list[CallbackMove]
    parts: list[WarrantyPart]
    limits: list[AnswerLimit]
    agreed: list[AgreedDate]
    notes: list[CallbackNote]
    answers: list[CallbackAnswer]
    findings: list[PanelFinding]
    evidence: list[PanelEvidence]
    third_parties: list[ThirdParty]
    settlement: list[SettlementLine]
    repairs: list[Repair]


def callback_rows(
    row: Callback, *, notes: QuerySet[CallbackNote], repairs: QuerySet[Repair]
) -> CallbackRows:
    """Return the rows of a callback; `notes` and `repairs` are those its reader may see."""
    terms = row.warranty_id
    found = together(
        row.moves.select_related("by", "by_organisation"),
        WarrantyPart.objects.standing().filter(warranty=terms),
        AnswerLimit.objects.standing().filter(warranty=terms),
        row.agreed_dates.standing().select_related("entered_for"),
        notes,
        row.answers.all(),
        row.findings.standing().select_related("entered_for"),
        row.evidence.standing(),
        row.third_parties.all(),
        row.settlement.standing(),
        repairs.filter(callback=row),
    )
    return CallbackRows(*_in_order(found))


def _in_order(found: Sequence[list]) -> list[list]:
    """Sort what has a day by it; the rest stays by its key."""
    moves, parts, limits, agreed, notes, answers, *rest = found
    moves.sort(key=lambda move: (move.at, move.pk))
    notes.sort(key=lambda note: (note.happened_on, str(note.happened_at or ""), note.pk))
    answers.sort(key=lambda answer: (answer.answered_on, answer.pk))
    return [moves, parts, limits, agreed, notes, answers, *rest]
