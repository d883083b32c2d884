"""Tables of text -> typed rows, each checked by itself and against the others of the file."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from zoneinfo import ZoneInfo

from registry.exchange.cells import Cells, check_header
from registry.exchange.columns import DEFECTS, PAVEMENTS, SWEEPS, TESTS
from registry.exchange.csv_in import Row
from registry.exchange.defect_rows import DefectRow, place_row, read_defect
from registry.exchange.guarded_text import unguard
from registry.exchange.known import KnownRef
from registry.exchange.pavement_rows import PavementRow, read_pavement
from registry.exchange.problems import Problem, Problems, SpreadsheetRefused
from registry.exchange.run_rows import RunRow, read_run
from registry.exchange.signs import LOOK_ALIKE, skeleton
from registry.exchange.sites import SiteChoice, choose_sites
from registry.exchange.sources import SourceTable
from registry.exchange.sweep_rows import SweepRow, read_sweep
from registry.units import System, read_empty

EVERY = 1000
"""Rows between two reports of progress."""

ANYWHERE, LATEST = "UTC", "Pacific/Kiritimati"
"""For a row whose pavement nobody knows: a clock on which every hour comes once, and the place
where the day begins first, so that no fault is found that its own local time would not have."""

NO_ROWS = "Write the rows below it, or look whether this is the right file."

Progress = Callable[[int], None]


@dataclass
class Records:
    """All rows of a spreadsheet, with the name of the file each table came from.

    Rows with faults, not `is_sound`, are among them: they are compared with the others and with the
    record, so that all faults of a row are told at once.
    """

    pavements: list[PavementRow] = field(default_factory=list)
    tests: list[RunRow] = field(default_factory=list)
    sweeps: list[SweepRow] = field(default_factory=list)
    defects: list[DefectRow] = field(default_factory=list)
    sites: dict[str, SiteChoice] = field(default_factory=dict)
    files: dict[str, str] = field(default_factory=dict)
    headers: dict[str, Sequence[str]] = field(default_factory=dict)
    faults: Problems = field(default_factory=Problems)
    doubts: Problems = field(default_factory=Problems)
    rows: int = 0
    bare: list[str] = field(default_factory=list)
    """Files of a header alone."""

    def table(self, table: str) -> Sequence[PavementRow | RunRow | SweepRow | DefectRow]:
        """Return the rows of a table."""
        tables: dict[str, Sequence[PavementRow | RunRow | SweepRow | DefectRow]] = {
            PAVEMENTS: self.pavements,
            TESTS: self.tests,
            SWEEPS: self.sweeps,
            DEFECTS: self.defects,
        }
        return tables[table]

    def file(self, table: str) -> str:
        """Return the name of the file that holds a table."""
        return self.files.get(table, table)


@dataclass
class Reader:
    """Reads tables in order; knows the local time of every pavement it has met."""

    known: dict[str, KnownRef]
    default_zone: str
    now: datetime
    progress: Progress
    system: System
    """Of the sheets of pavements that are new."""
    records: Records = field(default_factory=Records)
    _zones: dict[str, str] = field(default_factory=dict)
    _todays: dict[str, date] = field(default_factory=dict)
    _knows_all_refs: bool = True
    _alike: dict[str, str] = field(default_factory=dict)
    """A ref by what a reader sees of it; the first of those that look alike."""
    _namesakes: dict[tuple[str, str], str] = field(default_factory=dict)
    """A ref of the record by what a reader sees of the names of its site and of itself."""

    def read(self, tables: list[SourceTable], refused: Sequence[Problem] = ()) -> Records:
        """Return the rows of all tables; faults and doubts are in them.

        refused  why files beside these cannot be read: a pavement may stand in one of them
        """
        for problem in refused:
            self._refuse(problem)
        self._zones = {ref: known.zone for ref, known in self.known.items()}
        self._alike = {skeleton(ref): ref for ref in self.known}
        for ref, there in self.known.items():
            self._namesakes.setdefault((skeleton(there.site_name), skeleton(there.name)), ref)
        readers = {
            PAVEMENTS: self._pavements,
            TESTS: self._tests,
            SWEEPS: self._sweeps,
            DEFECTS: self._defects,
        }
        for table in tables:
            self.records.files[table.table.name] = table.file
            self.records.headers[table.table.name] = table.header
            for doubt in table.doubts:
                self.records.doubts.add(doubt)
            if check_header(table, self.records.faults):
                before = self.records.rows
                try:
                    readers[table.table.name](table)
                except SpreadsheetRefused as broken:
                    for problem in broken.problems:
                        self._refuse(problem)
                else:
                    self.records.bare += [table.file] if self.records.rows == before else []
            elif table.table.name == PAVEMENTS:
                self._knows_all_refs = False
        if not self.records.rows and not self.records.faults:
            self.records.faults.add(
                Problem(tables[0].file, None, "", "There is no row below the header.", NO_ROWS)
            )
        return self.records

    def _refuse(self, problem: Problem) -> None:
        self.records.faults.add(problem)
        self._knows_all_refs = False

    def _rows(self, table: SourceTable) -> Iterator[Row]:
        for row in table.rows:
            self.records.rows += 1
            if self.records.rows % EVERY == 0:
                self.progress(self.records.rows)
            yield row

    def _cells_of(self, table: SourceTable) -> Iterator[Cells]:
        """Yield the reader on each row; one whose cells have shifted is a fault and left out."""
        cells = Cells(table, self.records.faults, self.records.doubts)
        for number, row in self._rows(table):
            if cells.start(number, row):
                yield cells
            elif table.table.name == PAVEMENTS:
                # Its tests are no tests of an unknown pavement; which ref has shifted is not known.
                self._knows_all_refs = False

    def _today(self, zone: str) -> date:
        if zone not in self._todays:
            self._todays[zone] = self.now.astimezone(ZoneInfo(zone)).date()
        return self._todays[zone]

    def _pavements(self, table: SourceTable) -> None:
        first: dict[str, int] = {}
        for cells in self._cells_of(table):
            pavement = read_pavement(cells, self._today(self.default_zone))
            if pavement.ref and pavement.ref in first:
                cells.fault(
                    "ref",
                    f"{pavement.ref} is the ref of row {first[pavement.ref]} too.",
                    "Give each pavement a ref of its own, or delete the row that is there twice.",
                )
            else:
                first[pavement.ref] = cells.row
                self._ask_whether_one(cells, pavement.ref)
                self._ask_whether_there(cells, pavement)
                self.records.pavements.append(pavement)
        self.records.sites = choose_sites(
            [pavement for pavement in self.records.pavements if pavement.is_sound],
            self.known,
            self.default_zone,
            table.file,
            self.records.doubts,
        )
        for pavement in self.records.pavements:
            if pavement.ref not in self.known:
                site = self.records.sites.get(pavement.site)
                self._zones[pavement.ref] = site.zone if site else self.default_zone

    def _ask_whether_one(self, cells: Cells, ref: str) -> None:
        """Ask about a new ref that looks like another, of the file or of the record."""
        other = self._alike.setdefault(skeleton(ref), ref)
        if ref and other != ref and ref not in self.known:
            cells.doubt(
                "ref",
                f"{ref} and {other} {LOOK_ALIKE} They come in as two pavements.",
                f"If they are one, write {other} here as well.",
            )

    def _ask_whether_there(self, cells: Cells, pavement: PavementRow) -> None:
        """Ask about a new pavement whose names, of site and of itself, the record has already."""
        other = self._namesakes.get((skeleton(pavement.site), skeleton(pavement.name)))
        if other is not None and pavement.ref not in self.known:
            cells.doubt(
                "name",
                f"The record has a pavement “{pavement.name}” at a site “{pavement.site}” already, "
                f"{other}. This row comes in as another pavement.",
                f"If it is the same one, write {other} as its ref in all files.",
            )

    def _tests(self, table: SourceTable) -> None:
        for cells in self._cells_of(table):
            zone = self._zone(cells)
            test = read_run(cells, zone or ANYWHERE, self._today(zone or LATEST))
            if test is not None and zone is not None:
                self.records.tests.append(test)

    def _sweeps(self, table: SourceTable) -> None:
        for cells in self._cells_of(table):
            zone = self._zone(cells)
            sweep = read_sweep(cells, zone or ANYWHERE, self._today(zone or LATEST))
            if sweep is not None and zone is not None:
                self.records.sweeps.append(sweep)

    def _zone(self, cells: Cells) -> str | None:
        """Return the local time of the row's pavement; None where there is no such pavement."""
        ref = unguard(cells.raw("pavement_ref"))
        zone = self._zones.get(ref)
        if zone is None and ref and self._knows_all_refs and read_empty(ref) is None:
            alike = self._alike.get(skeleton(ref))
            cells.fault(
                "pavement_ref",
                f"There is no pavement {ref}, neither in the record nor in the file of pavements.",
                f"There is {alike}, and the two {LOOK_ALIKE} Write {alike} if it is the one."
                if alike
                else "Check the ref, or add the pavement.",
            )
        return zone

    def _defects(self, table: SourceTable) -> None:
        for cells in self._cells_of(table):
            zone = self._zone(cells)
            defect = read_defect(cells, self._today(zone or LATEST))
            if defect is None or zone is None:
                continue
            known = self.known.get(defect.ref)
            place_row(cells, defect, System(known.sheet_system) if known else self.system)
            self.records.defects.append(defect)
