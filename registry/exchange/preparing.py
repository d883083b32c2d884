"""All of a spreadsheet read, matched and judged: what would be stored, and what stands against it.

Nothing is written here, so it can take its time; storing is then short.
"""

from dataclasses import dataclass, field
from datetime import datetime

from registry.exchange.building import NewPavement, build_pavements, check_rights
from registry.exchange.columns import DEFECTS, IN_ORDER, PAVEMENTS, SWEEPS, TESTS
from registry.exchange.defect_threads import Thread
from registry.exchange.defects_in import weave_defects
from registry.exchange.judging import Judge, Ready
from registry.exchange.known import KnownRef, known_refs, mark_of
from registry.exchange.matching import match
from registry.exchange.records import Progress, Reader, Records
from registry.exchange.sites import SiteChoice
from registry.exchange.sources import Source, open_tables
from registry.models import ImportBatch
from registry.units import System


@dataclass
class Prepared:
    """What a spreadsheet comes to.

    counts, known  rows to be stored and rows the record holds, by table
    refs           keys of pavements of the record by ref, of those whose defects it speaks of
    mark           of the record as it was read; a later one means: prepare again
    """

    records: Records
    notes: list[str]
    counts: dict[str, int] = field(default_factory=dict)
    known: dict[str, int] = field(default_factory=dict)
    pavements: list[NewPavement] = field(default_factory=list)
    touched: list[int] = field(default_factory=list)
    mark: tuple[int, ...] = ()
    judge: Judge | None = None
    ready: Ready = field(default_factory=Ready)
    defects: list[Thread] = field(default_factory=list)
    refs: dict[str, int] = field(default_factory=dict)

    @property
    def is_sound(self) -> bool:
        """Say whether it can be stored."""
        return not self.records.faults


def prepare(source: Source, batch: ImportBatch, *, now: datetime, progress: Progress) -> Prepared:
    """Read a source for the organisation of a batch (which need not be saved).

    Files that cannot be read at all are faults of the records. `progress` is told the rows done
    and may raise to stop.
    """
    organisation = batch.organisation
    zone = batch.time_zone or organisation.time_zone
    known = known_refs(organisation, now)
    reader = Reader(known, zone, now, progress, System(organisation.system))
    records = reader.read(*open_tables(source))
    touched = sorted({known[ref].pavement_id for ref in _refs(records) if ref in known})
    mark = mark_of(organisation, touched)
    matched = match(records, known, organisation, now)
    threads, held = weave_defects(records, known, organisation, now)
    check_rights(records, matched, threads, known, organisation, now)
    bare = [f"{file} holds its header and no row below it." for file in records.bare]
    prepared = Prepared(records, [*source.notes, *bare, *_zone_notes(records, batch, zone)])
    prepared.known = dict(matched.known) | ({DEFECTS: held} if held else {})
    prepared.defects = threads
    prepared.refs = {t.ref: known[t.ref].pavement_id for t in threads if t.ref in known}
    prepared.touched, prepared.mark = touched, mark
    prepared.counts = {
        table: sum(row.is_sound for row in rows)
        for table, rows in (
            (PAVEMENTS, matched.pavements),
            (TESTS, matched.tests),
            (SWEEPS, matched.sweeps),
        )
    }
    if records.defects:
        prepared.counts[DEFECTS] = sum(len(thread.steps) for thread in threads)
    if prepared.is_sound:
        prepared.pavements = build_pavements(matched.pavements, records.sites, batch, now)
        prepared.judge = Judge(records, known, batch, now, progress)
        prepared.ready = prepared.judge.judge(matched)
    return prepared


def is_unchanged(prepared: Prepared, batch: ImportBatch) -> bool:
    """Say whether the record still is what it was when it was read."""
    return mark_of(batch.organisation, prepared.touched) == prepared.mark


def _refs(records: Records) -> set[str]:
    return {row.ref for table in IN_ORDER for row in records.table(table)}


def _zone_notes(records: Records, batch: ImportBatch, zone: str) -> list[str]:
    """Say in which local time the clocks of new sites were read, so that it is never silent."""
    new = [c for c in records.sites.values() if _is_new(c)]
    if not new:
        return []
    whose = "as asked for" if batch.time_zone else f"the local time of {batch.organisation}"
    return [f"Times at new sites were read as {zone}, {whose}."]


def _is_new(choice: SiteChoice) -> bool:
    return choice.site_id is None


__all__ = ["KnownRef", "Prepared", "is_unchanged", "prepare"]
