"""Check a callback dossier without the system that made it: python3 recheck.py

It stands beside MANIFEST and record.json. It needs Python 3.9 or later, nothing else and no
network, and writes nothing. It looks at the SHA-256 of every file, then works out every figure of
record.json from the readings in it, by formulas of its own, and prints a line for each: "same" or
"differs". It ends with status 0 only where all are the same.

What it cannot tell: whether a reading is true; whether somebody changed readings, figures, pages
and MANIFEST all alike. Against that compare the SHA-256 of the whole archive with the one that
each party was given. It says nothing of who is liable.
"""

from __future__ import annotations

import hashlib
import json
import math
import os
import re
import sys

sys.dont_write_bytecode = True  # a folder of compiled code would be a file too many
sys.path.append(os.path.dirname(os.path.abspath(__file__)))

from recheck_formulas import CONSTANTS, FORMULAS, UNITS, Differs, converted, p_within  # noqa: E402

CLOSE = 1e-9  # relative; arithmetic in another order differs less


def alike(one, other) -> bool:
    if isinstance(one, list) and isinstance(other, list):
        return len(one) == len(other) and all(alike(a, other[n]) for n, a in enumerate(one))
    numbers = (int, float)
    if isinstance(one, bool) or isinstance(other, bool) or not isinstance(one, numbers):
        return type(one) is type(other) and one == other
    if not isinstance(other, numbers):
        return False
    return math.isclose(one, other, rel_tol=CLOSE, abs_tol=CLOSE)


def source(record, at):
    """Value and unit of what an input points to: a cell of a row, or another figure."""
    if len(at) == 1:
        figure = record["figures"][at[0]]
        return figure["value"], figure["unit"]
    kind, name, cell = at
    found = record["rows"][kind][name][cell]
    return found["read"], found["unit"]


def checked_input(record, one):
    if isinstance(one, list):
        return [checked_input(record, each) for each in one]
    value, unit = source(record, one["at"])
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        value = converted(value, unit, one["unit"])
    if not alike(value, one["value"]):
        raise Differs(f"its input {'/'.join(one['at'])} is {value}, not {one['value']}")
    return one["value"]


def worked_out(record, figure):
    given = {name: checked_input(record, one) for name, one in figure["inputs"].items()}
    for name, one in figure["inputs"].items():
        if isinstance(one, dict):
            given["unit_of_" + name] = one["unit"]
    given.update(figure["constants"])
    if "K" in figure["constants"] or "liquid" in figure["constants"]:
        known = [v for table in ("N1", "N12") for v in CONSTANTS[table].values()]
        told = figure["constants"].get("K", figure["constants"].get("liquid"))
        if told not in known:
            raise Differs(f"its constant {told} is not one of {known}")
    formula = FORMULAS[figure["formula"]]
    if formula is p_within:
        return p_within(given, figure["value"])
    return formula(given)


def duration(total: float) -> str:
    days, rest = divmod(int(total) // 60, 1440)
    hours, minutes = divmod(rest, 60)
    parts = [f"{days} d"] if days else []
    parts += [f"{hours} h"] if hours or (days and minutes) else []
    return " ".join(parts + ([f"{minutes} min"] if minutes or not parts else []))


def in_words(figure) -> str:
    """What must stand in the words printed for a figure."""
    value, how = figure["value"], figure["printed_as"]
    if how == "duration":
        return duration(value)
    if how == "days late":
        return "in time" if value <= 0 else f"{value} day{'' if value == 1 else 's'} late"
    if how == "p":
        return "under 0.001" if value < 0.001 else f"{value:.2g}"
    if how == "yes or no":
        return "yes" if value else "no"
    if how == "as it is":
        return str(value)
    return f"{value * how['times']:.{how['decimals']}f}"


def judge_figure(record, figure) -> str:
    """Nothing where all is the same, else what differs."""
    try:
        value = worked_out(record, figure)
        if not alike(value, figure["value"]):
            return f"printed {figure['value']}, worked out {value}"
        words = in_words(figure)
        if not re.search(r"(?<![\d.])" + re.escape(words) + r"(?!\d)", figure["shown"]):
            return f"shown as {figure['shown']!r}, which should say {words!r}"
    except (Differs, ArithmeticError, AttributeError, LookupError, TypeError, ValueError) as fault:
        return f"cannot be worked out: {type(fault).__name__} {fault}"
    return ""


SIGNS = {"²": "2", "³": "3", "°": "deg"}
WRITTEN = re.compile(r"(-?\d+(?:\.\d+)?) ?([A-Za-z/]+[23]?)")


def written_otherwise(rows):
    """Cells whose text as written, where it is a number and a unit, is not what was read."""
    for kind, named in rows.items():
        for name, row in named.items():
            for label, cell in row.items():
                text = "".join(SIGNS.get(sign, sign) for sign in cell["written"])
                found = WRITTEN.fullmatch(text)
                if found and found.group(2) in UNITS and isinstance(cell["read"], (int, float)):
                    value = converted(float(found.group(1)), found.group(2), cell["unit"])
                    if not math.isclose(value, cell["read"], rel_tol=1e-6):
                        yield f"{kind} {name}, {label}: written {cell['written']!r}"


def fingerprint(path: str) -> str:
    digest = hashlib.sha256()
    with open(path, "rb") as file:
        for block in iter(lambda: file.read(1 << 20), b""):
            digest.update(block)
    return digest.hexdigest()


def files_below(folder: str):
    for where, _, names in os.walk(folder):
        for name in names:
            yield os.path.relpath(os.path.join(where, name), folder).replace(os.sep, "/")


def judge_files(folder: str):
    """(what, how it differs) of every file."""
    listed = {}
    with open(os.path.join(folder, "MANIFEST"), encoding="utf-8") as file:
        for line in file.read().splitlines():
            listed[line[66:]] = line[:64]
    here = set(files_below(folder)) - {"MANIFEST"}
    for name in sorted(here | set(listed)):
        if name not in here:
            yield name, "is missing"
        elif name not in listed:
            yield name, "is not in MANIFEST"
        else:
            same = fingerprint(os.path.join(folder, *name.split("/"))) == listed[name]
            yield name, "" if same else "its bytes are not those of MANIFEST"


def judge_photos(folder: str, photos):
    for name, row in photos.items():
        path = row["file"]["read"]
        if path:
            whole = os.path.join(folder, *path.split("/"))
            same = os.path.exists(whole) and fingerprint(whole) == row["sha256"]["read"]
            yield f"original of {name}", "" if same else "is not the file the record names"


def no_twins(pairs):
    if len({key for key, _ in pairs}) < len(pairs):
        raise ValueError("a name stands twice in record.json")
    return dict(pairs)


def judge(folder: str):
    yield from judge_files(folder)
    try:
        with open(os.path.join(folder, "record.json"), encoding="utf-8") as file:
            record = json.load(file, object_pairs_hook=no_twins)
        rows, figures = record["rows"], record["figures"]
        yield from judge_photos(folder, rows.get("photos", {}))
        odd = list(written_otherwise(rows))
        yield "readings against their text as written", "; ".join(odd)
    except (OSError, LookupError, TypeError, ValueError, AttributeError) as fault:
        yield "record.json", f"cannot be read: {fault}"
        return
    for name, figure in figures.items():
        how = judge_figure(record, figure)
        shown = figure.get("shown", "") if isinstance(figure, dict) else ""
        yield f"{name}: {shown}", how


def main() -> int:
    for stream in (sys.stdout, sys.stderr):
        stream.reconfigure(errors="replace")  # type: ignore[union-attr]
    folder = os.path.dirname(os.path.abspath(__file__))
    try:
        told = list(judge(folder))
    except OSError as fault:
        print(f"differs  {fault}")
        return 1
    for what, how in told:
        print(f"differs  {what}: {how}" if how else f"same     {what}")
    wrong = sum(1 for _, how in told if how)
    print(f"{len(told)} looked at, {f'{wrong} differ' if wrong else 'all same'}.")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
