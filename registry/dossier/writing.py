"""The files of a dossier that are words: record.json, MANIFEST, README.txt."""

import json
from collections.abc import Mapping, Sequence
from typing import Any

from registry.dossier.record import Book, Figure, Input

FORMAT = "callback dossier, 1"
CAUTION = (
    "This dossier lists evidence and computes. It does not say who is liable: the contract, "
    "licensed practice and, where it comes to that, a court decide. Coring, cutting and patching "
    "put silica dust, sharp and turning tools, wet cement and traffic beside people: follow local "
    "codes and the rules of the site."
)
README = """\
CALLBACK DOSSIER {number}, {pavement}

What it is
  dossier.pdf          the dossier to read: front sheet and annexes
  record.json          the rows as written and as read, every figure with its inputs
  photos/              originals of photos, byte for byte as they came in
  recheck.py           a check that needs nothing of the system that made this
  recheck_files.py     its look at the files
  recheck_formulas.py  its formulas
  MANIFEST             SHA-256 of every file, as `sha256sum` writes it

How to check it, without a network
  1. Compare the SHA-256 of the whole archive with the one each party was given.
  2. Unpack it into an empty folder. On most systems: sha256sum -c MANIFEST
  3. python3 recheck.py        (Python 3.9 or later, nothing else)
     It prints "same" or "differs" for every file and figure, and ends with status 0 only where
     all are the same. A file that your system adds to the folder is told as a file too many.

What the check does
  Every figure is worked out again from the readings in record.json by formulas of its own: all
  exactly (to 1 part in 10^9), but p. A p comes from shuffling with a generator of chance; the
  check shuffles {orders} times with one of its own and takes a printed p as the same where it lies
  within 4 standard errors of its own p. A p changed by less than that it cannot see.

What it cannot do
  It cannot say whether a reading is true. It cannot tell where somebody changed readings, figures,
  pages and MANIFEST all alike: step 1 is against that.

record.json
  rows      by kind and name; each cell has "read", "written" (the text as the person wrote it),
            "unit" and, where it is empty, which kind of empty ("not known", "not measured", ...)
  figures   "formula", "inputs" (where from, value, unit), "constants", "value", "shown"
  not_given figures that may not be given, and why

Left out: notes that one side keeps inside, names of a crew by task, costs of one side, and
whatever the side that asked may not see. Photos left out are named with fingerprint and reason.

{caution}
"""


def record_json(book: Book, about: Mapping[str, Any]) -> bytes:
    """The machine-readable record. `about` names the callback, the asking side and the day."""
    whole = {
        "format": FORMAT,
        "about": dict(about),
        "caution": CAUTION,
        "rows": {
            kind: {name: {key: _cell(cell) for key, cell in row.items()}
                   for name, row in rows.items()}
            for kind, rows in book.rows.items()
        },
        "figures": {name: _figure(one) for name, one in book.figures.items()},
        "not_given": dict(book.not_given),
    }  # fmt: skip
    text = json.dumps(whole, ensure_ascii=False, indent=1, allow_nan=False)
    return text.encode() + b"\n"


def manifest_text(fingerprints: Sequence[tuple[str, str]]) -> bytes:
    """(name, SHA-256) of every file, as `sha256sum` writes and reads them."""
    return "".join(f"{digest}  {name}\n" for name, digest in sorted(fingerprints)).encode()


def readme_text(number: str, pavement: str, orders: int) -> bytes:
    """What lies in the archive and how to check it, in plain words."""
    words = README.format(number=number, pavement=pavement, orders=orders, caution=CAUTION)
    return words.encode()


def _cell(cell: Any) -> dict[str, Any]:
    kept = {"read": cell.read, "written": cell.written, "unit": cell.unit}
    return kept | ({"empty": cell.empty} if cell.empty else {})


def _figure(one: Figure) -> dict[str, Any]:
    return {
        "says": one.says,
        "formula": one.formula,
        "inputs": {name: _input(given) for name, given in one.inputs.items()},
        "constants": dict(one.constants),
        "value": one.value,
        "unit": one.unit,
        "shown": one.shown,
        "printed_as": one.printed_as if isinstance(one.printed_as, str) else dict(one.printed_as),
    }


def _input(given: Input | Sequence[Input]) -> Any:
    if isinstance(given, Input):
        return {"at": list(given.at), "unit": given.unit, "value": given.value}
    return [_input(one) for one in given]
