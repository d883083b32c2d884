"""A path as tables of text: a folder of CSV files, one CSV file, or one workbook."""

import hashlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from registry.exchange.columns import IN_ORDER, TABLES, Table, table_of
from registry.exchange.csv_in import Row, check_bytes, read_csv
from registry.exchange.problems import Problem, SpreadsheetRefused, refuse
from registry.exchange.signs import unseen_signs
from registry.exchange.workbook_in import read_workbook

BLOCK = 2**20
NAMES = ", ".join(f"{name}.csv" for name in IN_ORDER)
MOST_COLUMNS = 100
LEFT_BEHIND = (".", "~$")
"""How names begin of files that programs leave beside those that a person saves."""


@dataclass
class SourceTable:
    """One table of a source; `rows` can be read once and come without the header.

    doubts  what is asked of the file itself
    """

    table: Table
    file: str
    header: list[str]
    header_row: int
    rows: Iterator[Row]
    doubts: list[Problem] = field(default_factory=list)


@dataclass(frozen=True)
class Source:
    """Files found at a path: `name` as shown, SHA-256 over names and bytes, what was passed by."""

    name: str
    files: tuple[Path, ...]
    digest: str
    notes: tuple[str, ...] = ()


def find_source(path: Path) -> Source:
    """Return what there is to be read at a path. Raises SpreadsheetRefused if there is nothing."""
    if not path.exists():
        refuse(path.name or str(path), "There is no such file or folder.", "Check the path.")
    if not path.is_dir():
        if not path.is_file():
            refuse(path.name, "This is neither a file nor a folder.", "Check the path.")
        return Source(path.name, (path,), digest_of((path,)))
    files, notes = [], []
    for entry in sorted(path.iterdir()):
        if entry.is_symlink():
            refuse(entry.name, "This is a link to another place.", "Put the file itself here.")
        is_ours = entry.is_file() and not entry.name.startswith(LEFT_BEHIND)
        if is_ours and entry.suffix.lower() in (".csv", ".xlsx"):
            files.append(entry)
        else:
            notes.append(f"{entry.name} was not read: it is no record file.")
    if not files:
        refuse(path.name, "The folder holds no record file.", f"Its files are: {NAMES}.")
    return Source(path.name, tuple(files), digest_of(files), tuple(notes))


def digest_of(files: tuple[Path, ...] | list[Path]) -> str:
    """Return the SHA-256 over all bytes. Names do not matter: the same bytes say the same."""
    sums = []
    for path in files:
        digest = hashlib.sha256()
        try:
            with path.open("rb") as stream:
                while block := stream.read(BLOCK):
                    digest.update(block)
        except PermissionError:
            refuse(path.name, "The file may not be read.", "Ask its owner for the right to read.")
        sums.append(digest.digest())
    return hashlib.sha256(b"".join(sorted(sums))).hexdigest()


def read_tables(source: Source) -> list[SourceTable]:
    """Return the tables of a source, pavements first. Rows are read when they are asked for.

    Raises SpreadsheetRefused, with what is wrong with every file, where one cannot be read.
    """
    tables, refused = open_tables(source)
    if refused:
        raise SpreadsheetRefused(refused)
    return tables


def open_tables(source: Source) -> tuple[list[SourceTable], list[Problem]]:
    """Return the tables that can be read, pavements first, and why each of the others cannot."""
    found: list[SourceTable] = []
    refused: list[Problem] = []
    for path in source.files:
        tables, problems = _tables_of(path)
        found += tables
        refused += problems
    first: dict[str, SourceTable] = {}
    for table in found:
        there = first.setdefault(table.table.name, table)
        if there is not table:
            message = f"It holds {table.table.name}, and so does {there.file}."
            double = Problem(table.file, None, "", message, "Put the rows of both into one.")
            refused.append(double)
    if not found and not refused:
        refuse(source.name, "The workbook is empty.", f"Its sheets are: {', '.join(IN_ORDER)}.")
    return sorted(first.values(), key=lambda t: IN_ORDER.index(t.table.name)), refused


def _tables_of(path: Path) -> tuple[list[SourceTable], list[Problem]]:
    """Return the tables of one file and what is wrong with it; one bad sheet hides no other."""
    tables: list[SourceTable] = []
    problems: list[Problem] = []
    try:
        for file, name, rows, doubts in _sheets_of(path, problems):
            try:
                tables.append(_open_table(file, name, rows, doubts))
            except SpreadsheetRefused as refused:
                problems += refused.problems
    except SpreadsheetRefused as refused:
        problems += refused.problems
    return tables, problems


def _sheets_of(
    path: Path, problems: list[Problem]
) -> Iterator[tuple[str, str, Iterator[Row], list[Problem]]]:
    """Yield (file as shown, name, rows, doubts) of what a file holds; bad sheets are `problems`."""
    suffix = path.suffix.lower()
    if suffix == ".csv":
        check_bytes(path, path.name)
        yield path.name, path.stem, read_csv(path, path.name), []
    elif suffix in (".xlsx", ".xlsm", ".xls"):
        for name, rows, doubts in read_workbook(path, path.name, problems):
            yield f"{path.name}, sheet {name}", name, rows, doubts
    else:
        refuse(
            path.name,
            f"Files that end in “{suffix or 'nothing'}” are not read.",
            f"Give a folder with {NAMES}, one of these files, or one .xlsx workbook.",
        )


def _open_table(
    file: str, name: str, rows: Iterator[Row], doubts: Sequence[Problem] = ()
) -> SourceTable:
    number, cells = next(rows, (0, []))
    header = [_column_name(cell) for cell in cells]
    while header and not header[-1]:
        header.pop()
    if not header:
        refuse(file, "There is nothing in it, not even a header.", "The first row is the header.")
    if len(header) > MOST_COLUMNS:
        message = f"The first row has {len(header)} cells, and no record file has so many columns."
        refuse(file, message, "The first row is the header: write one name in each cell.", number)
    table = table_of(name.strip().lower(), frozenset(header))
    if table is None:
        refuse(
            file,
            "Neither its name nor its header says which record file this is.",
            f"Name it {', '.join(TABLES)}, or give it the columns of one of them. "
            "What is no record does not belong into the file.",
            row=number,
        )
    return SourceTable(table, file, header, number, rows, list(doubts))


def _column_name(cell: str) -> str:
    """Return the name of a column without outer and double blanks and signs that nobody sees."""
    seen = cell if cell.isprintable() else "".join(c for c in cell if not unseen_signs(c))
    return " ".join(seen.split()).lower()
