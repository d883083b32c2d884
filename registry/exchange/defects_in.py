"""The file of defects against the record: what of it is to be stored, and what is asked."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime

from registry.defects import Measured, compare, grade
from registry.exchange.defect_known import KnownDefect
from registry.exchange.defect_threads import Thread, Weaver
from registry.exchange.known import KnownRef
from registry.exchange.records import Records
from registry.exchange.shown import known_defects
from registry.gathering.defect_place import find_defect
from registry.models import Organisation, Pavement
from registry.plan import PlaceError


def weave_defects(
    records: Records, known: Mapping[str, KnownRef], organisation: Organisation, now: datetime
) -> tuple[list[Thread], int]:
    """Return what is to be stored of each defect, and how many rows the record holds already."""
    sound = [row for row in records.defects if row.is_sound]
    refs = {row.ref for row in sound if row.ref in known}
    stored = known_defects({known[ref].pavement_id for ref in refs}, organisation.pk, now)
    by_ref: dict[str, Sequence[KnownDefect]] = {
        ref: stored.get(known[ref].pavement_id, []) for ref in refs
    }
    weaver = Weaver(records, by_ref)
    threads = weaver.weave(sound)
    _place_on_plans(threads, known, weaver)
    _compare_severities(threads, weaver)
    return threads, weaver.held


def _place_on_plans(
    threads: Iterable[Thread], known: Mapping[str, KnownRef], weaver: Weaver
) -> None:
    """Find new defects on the plans of the record; where there is no such place, a doubt."""
    new = [t for t in threads if t.known is None and t.ref in known and t.place.text]
    rows = Pavement.objects.select_related("site")
    pavements = rows.in_bulk({known[thread.ref].pavement_id for thread in new})
    with_plan = {pk for pk, row in pavements.items() if row.plans.standing().exists()}
    for thread in new:
        pk = known[thread.ref].pavement_id
        if pk not in with_plan or thread.place.is_words:
            continue
        row = thread.steps[0].row
        try:
            thread.spot = find_defect(
                pavements[pk], thread.place.text, system=thread.place.system, on=row.seen_on
            )
        except PlaceError as fault:
            mend = "The place is kept as written; put it right on the page of the defect."
            weaver.doubt(row, "panel, right, up", fault.message, mend)


def _compare_severities(threads: Iterable[Thread], weaver: Weaver) -> None:
    for thread in threads:
        for step in thread.steps:
            row = step.row
            if row.severity and row.measures:
                found = grade(row.kind, Measured(**row.measures))  # type: ignore[arg-type]
                if said := compare(row.severity, found):
                    mend = "It is stored as given by eye."
                    weaver.doubt(row, "severity", said, mend)
