"""New rows of pavements -> unsaved entries of the record, and who may write what where."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from typing import Any
from zoneinfo import ZoneInfo

from registry.exchange.columns import DEFECTS, PAVEMENTS, SWEEPS, TESTS
from registry.exchange.defect_threads import Thread
from registry.exchange.known import KnownRef, numbers_in_use, roles_of, void_unnumbered
from registry.exchange.matching import Matched
from registry.exchange.pavement_rows import PavementRow
from registry.exchange.problems import Problem
from registry.exchange.records import Records
from registry.exchange.sites import SiteChoice
from registry.models import (
    Criteria,
    ImportBatch,
    Organisation,
    Pavement,
    PavementNumber,
    RunOnArea,
    Seat,
    Site,
)
from registry.models.choices import Role, Source
from registry.models.rights import MAY

BRINGS_NO_PAVEMENTS = frozenset({Role.PRODUCER, Role.BUYER})


@dataclass(frozen=True)
class NewPavement:
    """A pavement to be stored, with what hangs on it from the first."""

    site: Site
    pavement: Pavement
    number: PavementNumber
    seat: Seat
    criteria: Criteria | None
    run_on: RunOnArea | None


def check_rights(
    records: Records,
    matched: Matched,
    threads: Iterable[Thread],
    known: Mapping[str, KnownRef],
    organisation: Organisation,
    now: datetime,
) -> None:
    """Add a fault for each row that the organisation's seats do not let it write.

    A row that the record holds already writes nothing, so that a file written out before a seat
    ended still changes nothing when it comes back.
    """
    looks = [step.row for thread in threads for step in thread.steps]
    looks += [row for row in records.defects if not row.is_sound]
    if matched.pavements and organisation.usual_role in BRINGS_NO_PAVEMENTS:
        role = organisation.get_usual_role_display()
        _forbid(records, PAVEMENTS, matched.pavements[0].row, "ref", f"{organisation} is a {role}")
    _check_numbers(records, matched.pavements, organisation)
    for table, rows, what in (
        (TESTS, matched.tests, "record_test"),
        (SWEEPS, matched.sweeps, "record_cleaning"),
        (DEFECTS, looks, "record_defect"),
    ):
        refs = {row.ref for row in rows if row.ref in known}
        roles = roles_of(organisation, {known[ref].pavement_id for ref in refs}, now)
        barred = {ref for ref in refs if not roles[known[ref].pavement_id] & MAY[what]}
        for row in rows:
            if row.ref in barred:
                why = f"{organisation} holds no seat at {row.ref} that writes {table}"
                _forbid(records, table, row.row, "pavement_ref", why)


def _check_numbers(
    records: Records, rows: Sequence[PavementRow], organisation: Organisation
) -> None:
    used = numbers_in_use(organisation, [row.ref for row in rows])
    mend = "Give it another ref, or end that number on the page of the void pavement."
    for row in rows:
        if row.ref in used:
            message = f"{row.ref} is the number of a void pavement."
            records.faults.add(Problem(records.file(PAVEMENTS), row.row, "ref", message, mend))
    void = void_unnumbered([row.ref for row in rows], organisation)
    for row in rows:
        if row.ref in void:
            message = f"{row.ref} stands for a pavement of the record that is void."
            mend = "Take the row out, or give it a ref of your own to bring it in anew."
            records.faults.add(Problem(records.file(PAVEMENTS), row.row, "ref", message, mend))


def _forbid(records: Records, table: str, row: int, column: str, why: str) -> None:
    mend = "Ask the owner or manager for a seat, or take these rows out."
    records.faults.add(Problem(records.file(table), row, column, f"{why}.", mend))


def build_pavements(
    rows: Iterable[PavementRow],
    sites: Mapping[str, SiteChoice],
    batch: ImportBatch,
    now: datetime,
) -> list[NewPavement]:
    """Return the entries for new pavements; those of one site share it. Nothing is saved."""
    made: dict[str, Site] = {}
    found = []
    for row in rows:
        choice = sites[row.site]
        if row.site not in made:
            made[row.site] = _site(choice, batch, now)
        pavement = _pavement(row, made[row.site], batch, now)
        found.append(
            NewPavement(
                site=made[row.site],
                pavement=pavement,
                number=PavementNumber(
                    pavement=pavement, organisation=batch.organisation, number=row.ref
                ),
                seat=_seat(pavement, choice.zone, batch, now),
                criteria=_criteria(row, pavement, batch, now),
                run_on=_run_on(row, pavement, batch, now),
            )
        )
    return found


def entry_keys(batch: ImportBatch, now: datetime) -> dict[str, Any]:
    """Return what every entry of a spreadsheet carries, by attribute name."""
    return {
        "source": Source.IMPORT.value,
        "source_note": batch.file_name[:200],
        "entered_at": now,
        "entered_by_id": batch.by_id,
        "entered_for_id": batch.organisation_id,
        "import_batch_id": batch.pk,
    }


def _site(choice: SiteChoice, batch: ImportBatch, now: datetime) -> Site:
    if choice.site_id is not None:
        return Site.objects.get(pk=choice.site_id)
    return Site(
        organisation=batch.organisation,
        name=choice.name,
        time_zone=choice.zone,
        as_written={"site": choice.name},
        **entry_keys(batch, now),
    )


def _pavement(row: PavementRow, site: Site, batch: ImportBatch, now: datetime) -> Pavement:
    fields = {name: kind for name, kind in row.empties.items() if hasattr(Pavement, name)}
    return Pavement(
        site=site,
        name=row.name,
        surface=row.surface,
        use=row.use,
        area_m2=row.area.si if row.area else None,
        placed_on=row.placed_on,
        heavy_trees=row.heavy_trees,
        winter_sand=row.winter_sand,
        bare_soil_run_on=row.bare_soil_run_on,
        lon=row.lon,
        lat=row.lat,
        sheet_system=batch.organisation.system,
        as_written=row.written,
        empties=fields,
        **entry_keys(batch, now),
    )


def _seat(pavement: Pavement, zone: str, batch: ImportBatch, now: datetime) -> Seat:
    """The organisation's place at what it brings in, from the day it was placed."""
    start = now if pavement.placed_on is None else start_of(pavement.placed_on, zone)
    return Seat(
        pavement=pavement,
        organisation=batch.organisation,
        role=batch.organisation.usual_role,
        from_at=min(start, now),
        source_document=batch.document_name,
        entered_by=batch.by,
    )


def start_of(day: date, zone: str) -> datetime:
    """Return the instant at which a day begins at a site."""
    return datetime.combine(day, time(), tzinfo=ZoneInfo(zone)).astimezone(UTC)


def _criteria(
    row: PavementRow, pavement: Pavement, batch: ImportBatch, now: datetime
) -> Criteria | None:
    if row.action_rate is None:
        return None
    return Criteria(
        pavement=pavement,
        source_document=batch.document_name,
        action_rate_mm_h=row.action_rate.si,
        action_rate_is_given=True,
        as_written={"action_rate_mm_h": row.written["action_rate_mm_h"]},
        **entry_keys(batch, now),
    )


def _run_on(
    row: PavementRow, pavement: Pavement, batch: ImportBatch, now: datetime
) -> RunOnArea | None:
    """What runs on, of which a file says the area alone: kind and coefficient are not known."""
    if not row.run_on_m2:
        return None
    return RunOnArea(
        pavement=pavement,
        kind="paved",
        area_m2=row.run_on_m2,
        as_written={"area_m2": row.written["run_on_m2"]},
        empties={"runoff_coefficient": "nk"},
        **entry_keys(batch, now),
    )
