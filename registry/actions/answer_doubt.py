"""Answer a doubt about a test, or decide by hand what it may be used for."""

from django.db import transaction
from django.utils import timezone

from registry.actions.refresh_standing import refresh_after
from registry.actions.write_journal import write_line
from registry.faults import DomainError
from registry.gathering.frozen import frozen_under, why_frozen
from registry.models import InfiltrationTest, Organisation, Person, UseOfTest

LIFTED_BY_ANSWER = frozenset(
    {
        "too_short",
        "24_h_not_shown",
        "cleaning_order_unknown",
        "rise_without_cleaning",
        "above_as_built",
    }
)
"""Doubts that a person's word settles. Slips of units too (codes `ratio_...`, `water_...`,
`ring_...`). A wet day, a leaking seal or a third run stays what it is: put the reading right."""


class CannotBeAnswered(DomainError):
    """No such doubt, no answer given, the answer cannot lift it, or a dispute freezes the test."""


def is_lifted_by_answer(code: str) -> bool:
    """Say whether a person's word can settle a doubt."""
    return code in LIFTED_BY_ANSWER or code.startswith(
        ("ratio_", "stated_", "water_other", "ring_size")
    )


@transaction.atomic
def answer_doubt(
    row: InfiltrationTest,
    *,
    code: str,
    text: str,
    lifts: bool,
    by: Person,
    organisation: Organisation,
) -> InfiltrationTest:
    """Keep the answer to a doubt; with `lifts` the readings hold as written and may be used."""
    if not text.strip():
        raise CannotBeAnswered("Say who answered and what.")
    locked = InfiltrationTest.objects.select_for_update().get(pk=row.pk)
    if code not in {d["code"] for d in locked.doubts}:
        raise CannotBeAnswered("This doubt no longer stands.")
    if lifts and not is_lifted_by_answer(code):
        raise CannotBeAnswered(
            "An answer cannot lift this doubt. If a reading was written wrongly, correct it."
        )
    if lifts or code in locked.answers:
        _refuse_frozen(locked)
    locked.answers[code] = {
        "text": text.strip(),
        "lifts": lifts,
        "by": str(by),
        "on": timezone.now().date().isoformat(),
    }
    locked.save(update_fields=["answers"])
    write_line(
        locked,
        "answered",
        by=by,
        organisation=organisation,
        why=text.strip(),
        changes={"doubt": [code, "readings hold as written" if lifts else "kept out"]},
    )
    refresh_after(locked)
    locked.refresh_from_db()
    return locked


@transaction.atomic
def keep_out(
    row: InfiltrationTest, *, why: str, by: Person, organisation: Organisation
) -> InfiltrationTest:
    """Keep a test, but only to be looked at; the reverse of it is `let_rule_decide`."""
    if not why.strip():
        raise CannotBeAnswered("Say why the test is only looked at.")
    return _decide(row, UseOfTest.LOOKED_AT, why.strip(), True, by, organisation)


@transaction.atomic
def let_rule_decide(
    row: InfiltrationTest, *, why: str, by: Person, organisation: Organisation
) -> InfiltrationTest:
    """Give the decision of a test's use back to the rules, by a new line."""
    if not why.strip():
        raise CannotBeAnswered("Say why the earlier decision is taken back.")
    return _decide(row, UseOfTest.NOT_COMPUTED, why.strip(), False, by, organisation)


def _refuse_frozen(row: InfiltrationTest) -> None:
    """Refuse what changes the use of a test, or an answer that stands, under a dispute."""
    if (dispute := frozen_under(row)) is not None:
        raise CannotBeAnswered(why_frozen(dispute))


def _decide(
    row: InfiltrationTest,
    use: str,
    why: str,
    by_person: bool,
    by: Person,
    organisation: Organisation,
) -> InfiltrationTest:
    locked = InfiltrationTest.objects.select_for_update().get(pk=row.pk)
    _refuse_frozen(locked)
    old = locked.get_use_display()
    locked.use_is_decided_by_person = by_person
    locked.use = use
    locked.use_code = "decided" if by_person else ""
    locked.use_reason = f"{why} ({by})"[:300] if by_person else ""
    locked.save(update_fields=["use_is_decided_by_person", "use", "use_code", "use_reason"])
    refresh_after(locked)
    locked.refresh_from_db()
    write_line(
        locked,
        "use changed",
        by=by,
        organisation=organisation,
        why=why,
        changes={"use": [old, locked.get_use_display()]},
    )
    return locked
