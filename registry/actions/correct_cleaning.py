"""Put a cleaning right: its columns, the panels it covered and missed, the tests around it."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from django.db import transaction

from registry.actions.correct_entry import CannotBeCorrected, CorrectionsDiffer, correct_entry
from registry.actions.record_cleaning import refuse_strangers
from registry.actions.refresh_standing import refresh_after
from registry.actions.write_journal import write_line
from registry.models import (
    CleanedPanel,
    Cleaning,
    InfiltrationTest,
    Organisation,
    Panel,
    Person,
)
from registry.models.cleaning import named_with
from registry.models.entry import Change
from registry.models.panel import plan_order


@dataclass(frozen=True)
class Named:
    """Panels and tests of a cleaning as they are to be; of each panel missed, why.

    stands  what the writer saw of them (`named_with`); None where nobody looked
    """

    covered: Iterable[Panel] = ()
    missed: Mapping[Panel, str] | None = None
    before_tests: Iterable[InfiltrationTest] = ()
    after_tests: Iterable[InfiltrationTest] = ()
    stands: Mapping[str, Any] | None = None


@transaction.atomic
def correct_cleaning(
    row: Cleaning,
    *,
    changes: Mapping[str, Change],
    named: Named | None,
    why: str,
    by: Person | None,
    organisation: Organisation | None,
) -> Cleaning:
    """Correct a cleaning by lines of old and new: one of its columns, one of panels and tests.

    Without `named`, panels and tests stay. Results, condition and outlook follow in the same
    transaction. Raises CannotBeCorrected or CannotRecordCleaning in words; all is stored or none.
    """
    given: dict[str, Any] = {"why": why, "by": by, "organisation": organisation}
    if named is None:
        return correct_entry(row, changes=changes, **given)  # type: ignore[return-value]
    if not why.strip():
        raise CannotBeCorrected("Say why the entry is corrected.")
    locked = Cleaning.objects.select_for_update().get(pk=row.pk)
    if locked.is_void:
        raise CannotBeCorrected("This entry is void; a void entry is not corrected.")
    lines = _store(locked, named)
    if not lines and not changes:
        raise CannotBeCorrected("Nothing was changed.")
    if lines:
        write_line(locked, "corrected", changes=lines, **given)
    if not changes:
        refresh_after(locked)
        return locked
    try:
        return correct_entry(locked, changes=changes, **given)  # type: ignore[return-value]
    except CorrectionsDiffer as fault:
        # Half of it cannot wait for a choice while the other half is lost.
        raise CannotBeCorrected(
            f"{fault.message} Nothing was stored. Open the cleaning again and correct it anew."
        ) from fault


def _store(row: Cleaning, named: Named) -> dict[str, list[str]]:
    """Put the panels and tests in place of the old; return old and new in words, by name."""
    before, words = named_with(row), _words(row)
    if named.stands is not None and dict(named.stands) != before:
        raise CannotBeCorrected(
            "Somebody else changed its panels or tests meanwhile. Open it again and look at them."
        )
    covered, missed = list(named.covered), dict(named.missed or {})
    tests = list(named.before_tests), list(named.after_tests)
    refuse_strangers(row, [*covered, *missed, *tests[0], *tests[1]])
    twice = sorted(panel.name for panel in missed if panel in covered)
    if twice:
        raise CannotBeCorrected(f"Both covered and missed: {', '.join(twice)}.")
    row.panels.all().delete()
    CleanedPanel.objects.bulk_create(
        [CleanedPanel(cleaning=row, panel=p) for p in covered]
        + [CleanedPanel(cleaning=row, panel=p, is_missed=True, why=w) for p, w in missed.items()]
    )
    row.before_tests.set(tests[0])
    row.after_tests.set(tests[1])
    after = _words(row)
    return {name: [old, after[name]] for name, old in words.items() if old != after[name]}


def _words(row: Cleaning) -> dict[str, str]:
    parts = sorted(row.panels.select_related("panel"), key=lambda part: plan_order(part.panel.name))
    return {
        "panels covered": ", ".join(p.panel.name for p in parts if not p.is_missed),
        "panels missed": ", ".join(
            f"{p.panel.name}{f' ({p.why})' if p.why else ''}" for p in parts if p.is_missed
        ),
        "before_tests": _tests(row.before_tests),
        "after_tests": _tests(row.after_tests),
    }


def _tests(rows: Any) -> str:
    return ", ".join(map(str, rows.select_related("spot").order_by("started_on", "pk")))
