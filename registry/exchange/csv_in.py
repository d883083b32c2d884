"""One CSV file as rows of text: UTF-8, commas, nothing else."""

import csv
from collections.abc import Iterator
from pathlib import Path
from typing import NoReturn

from registry.exchange.problems import refuse

LARGEST_BYTES = 200 * 2**20
LONGEST_LINE = 32 * 2**20

Row = tuple[int, list[str]]
"""The number that a spreadsheet shows, and the cells."""


def check_bytes(path: Path, file: str) -> None:
    """Refuse a file that is no CSV in UTF-8, saying where. Reads it once, a block at a time."""
    if path.stat().st_size > LARGEST_BYTES:
        refuse(file, "The file is larger than 200 MB.", "Bring it in in parts.")
    if path.stat().st_size == 0:
        refuse(file, "The file is empty: it has not even a header.", "Save it once more.")
    with path.open("rb") as stream:
        start = stream.read(4)
        if start[:2] in (b"\xff\xfe", b"\xfe\xff"):
            _refuse_coding(file, "The file is in UTF-16")
        if start[:2] == b"PK" or start == b"\xd0\xcf\x11\xe0":
            refuse(
                file, "This is a workbook and not a CSV file.", "Give it the ending .xlsx, or save "
                "the sheet as “CSV UTF-8”.",
            )  # fmt: skip
        stream.seek(0)
        lines = iter(lambda: stream.readline(LONGEST_LINE + 1), b"")
        for number, line in enumerate(lines, start=1):
            if len(line) > LONGEST_LINE:
                refuse(
                    file, f"Line {number} is longer than {LONGEST_LINE // 2**20} MB.",
                    "Write each row on a line of its own.", row=number,
                )  # fmt: skip
            _check_line(line, number, file)


def _check_line(line: bytes, number: int, file: str) -> None:
    if b"\x00" in line:
        _refuse_coding(
            file,
            f"Line {number} holds a NUL byte, so this is no text file, or one in UTF-16",
        )
    try:
        line.decode("utf-8")
    except UnicodeDecodeError as fault:
        before = line[max(0, fault.start - 12) : fault.start].decode("utf-8", "replace")
        _refuse_coding(
            file,
            f"Line {number} is not UTF-8: byte 0x{line[fault.start]:02X} after “{before}”. "
            "The file may be in Latin-1 or Windows-1252",
        )


def _refuse_coding(file: str, message: str) -> NoReturn:
    refuse(file, f"{message}.", "Save it as “CSV UTF-8 (comma delimited)”.")


def read_csv(path: Path, file: str) -> Iterator[Row]:
    """Yield the rows of a checked file; a blank row counts and is left out."""
    with path.open(encoding="utf-8-sig", newline="") as stream:
        rows = csv.reader(stream, strict=True)
        number = 0
        try:
            for number, cells in enumerate(rows, start=1):
                if number == 1:
                    _check_header(cells, file)
                if any(map(str.strip, cells)):
                    yield number, cells
        except csv.Error as fault:
            if "field limit" in str(fault):
                refuse(
                    file,
                    f"A cell in this row is longer than {csv.field_size_limit()} signs.",
                    "Close its quotation mark, or say it in fewer words.",
                    row=number + 1,
                )
            refuse(
                file,
                f"The quotation marks do not match in or after this row ({fault}).",
                'Put a cell that holds a comma or a " into quotation marks, and write "" for ".',
                row=number + 1,
            )


def _check_header(cells: list[str], file: str) -> None:
    if cells and cells[0].strip().lower().startswith("sep="):
        refuse(
            file, "The line “sep=” is for one program alone, and no header.",
            "Delete it; the cells are parted by commas.", row=1,
        )  # fmt: skip
    for sign, name in ((";", "semicolons"), ("\t", "tabs"), ("|", "upright strokes")):
        if len(cells) == 1 and sign in cells[0]:
            refuse(
                file,
                f"The cells are parted by {name}, not by commas.",
                "Save it as “CSV UTF-8 (comma delimited)”; where decimal commas are in use, write "
                "decimal points first.",
                row=1,
            )
