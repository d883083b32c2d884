"""Check a callback dossier without the system that made it: python3 recheck.py

It stands beside MANIFEST and record.json. It needs Python 3.9 or later, nothing else and no
network, and writes nothing. It looks at the SHA-256 of every file, then works out every figure of
record.json from the readings in it, by formulas of its own, and prints a line for each: "same" or
"differs". It ends with status 0 only where all are the same.

What it cannot tell: whether a reading is true; whether somebody changed readings, figures, pages
and MANIFEST all alike. Against that compare the SHA-256 of the whole archive with the one that
each party was given. It says nothing of who is liable.
"""

import os
import sys

HERE = os.path.dirname(os.path.abspath(__file__))
sys.dont_write_bytecode = True  # a folder of compiled code would be a file too many
# Python's own modules go first: a json.py among the files of an archive must never be run.
sys.path[:] = [path for path in sys.path if os.path.abspath(path or ".") != HERE]
sys.path.append(HERE)

import json  # noqa: E402
import math  # noqa: E402
import re  # noqa: E402

if sys.version_info < (3, 9):  # noqa: UP036 - it runs wherever its reader is
    sys.exit("This check needs Python 3.9 or later.")
try:
    from recheck_files import FAULTS, a_file_of, in_plain, judge_files, judge_photos
    from recheck_formulas import CONSTANTS, FORMULAS, UNITS, Differs, converted, p_within
except (ImportError, SyntaxError, ValueError) as fault:
    print(f"differs  recheck_files.py and recheck_formulas.py: not as they were made ({fault})")
    sys.exit(1)

CLOSE = 1e-9  # relative; arithmetic in another order differs less
MOST_DECIMALS = 12
MOST_DIGITS = 400  # of a whole number: more takes for ever to read
MOST_BYTES = 500_000_000  # of record.json: more would fill the memory


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
    if not isinstance(at, list) or not all(isinstance(part, str) for part in at):
        raise Differs(f"its input points to {at!r}, which names no cell")
    if len(at) == 1:
        if at[0] not in record["figures"]:
            raise Differs(f"its input points to {at[0]!r}, no figure that stands before it")
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
    refuse_bounds(record, figure)
    formula = FORMULAS[figure["formula"]]
    if formula is p_within:
        return p_within(given, figure["value"])
    return formula(given)


def refuse_bounds(record, figure):
    """A least w/cm says so in words, and is not compared by rank as if it were the number."""
    inputs = figure["inputs"]
    if figure["formula"].startswith("N12"):
        unknown = [n for n in ("free_moisture", "site_water") if inputs[n]["value"] is None]
        if bool(unknown) != ("at least" in figure["shown"]):
            raise Differs("it is a least number exactly where a part of the water is not known")
    if figure["formula"].startswith("N18"):
        for one in (*inputs["outcome"], *inputs["factor"]):
            if len(one["at"]) == 1 and "at least" in record["figures"][one["at"][0]]["shown"]:
                raise Differs(f"it compares {one['at'][0]}, of which only a least number is known")


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
    decimals = how["decimals"]
    if decimals not in range(MOST_DECIMALS + 1):
        raise Differs(f"it asks for {decimals} decimals")
    return f"{value * how['times']:.{decimals}f}"


def judge_figure(record, figure) -> str:
    """Nothing where all is the same, else what differs."""
    try:
        value = worked_out(record, figure)
        if not alike(value, figure["value"]):
            return f"printed {figure['value']}, worked out {value}"
        words = in_words(figure)
        if not re.search(r"(?<![\d.])" + re.escape(words) + r"(?!\d)", figure["shown"]):
            return f"shown as {figure['shown']!r}, which should say {words!r}"
    except FAULTS as fault:
        return f"cannot be worked out: {in_plain(fault)}"
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


def no_twins(pairs):
    if len({key for key, _ in pairs}) < len(pairs):
        raise ValueError("a name stands twice in record.json")
    return dict(pairs)


def no_number(text: str):
    raise ValueError(f"{text} in it is no number")


def whole_number(text: str) -> int:
    if len(text) > MOST_DIGITS:
        raise ValueError(f"a number in it has {len(text)} digits")
    return int(text)


def number(text: str) -> float:
    value = float(text) if len(text) <= MOST_DIGITS else math.inf
    if not math.isfinite(value):
        raise ValueError(f"{text[:40]} in it is too large for a number")
    return value


def read_record(folder: str):
    path = a_file_of(folder, "record.json", MOST_BYTES)
    with open(path, encoding="utf-8") as file:
        record = json.load(
            file,
            object_pairs_hook=no_twins,
            parse_constant=no_number,
            parse_int=whole_number,
            parse_float=number,
        )
    for name in ("rows", "figures"):
        if not isinstance(record, dict) or not isinstance(record.get(name), dict):
            raise ValueError(f"it holds no {name} by name")
    if not all(isinstance(named, dict) for named in record["rows"].values()):
        raise ValueError("a kind of its rows holds no rows by name")
    return record["rows"], record["figures"]


def judge(folder: str):
    yield from judge_files(folder)
    try:
        rows, figures = read_record(folder)
    except FileNotFoundError:
        yield "record.json", "is missing, so that no figure can be worked out"
        return
    except (*FAULTS, OSError) as fault:
        yield "record.json", f"cannot be read: {in_plain(fault)}"
        return
    yield from judge_photos(folder, rows.get("photos", {}))
    yield "readings against their text as written", how_texts_differ(rows)
    before = {"rows": rows, "figures": {}}
    for name, figure in figures.items():
        how = judge_figure(before, figure)
        shown = figure.get("shown", "") if isinstance(figure, dict) else ""
        yield f"{name}: {shown}", how
        before["figures"][name] = figure


def how_texts_differ(rows) -> str:
    try:
        return "; ".join(written_otherwise(rows))
    except FAULTS as fault:
        return f"cannot be read: {in_plain(fault)}"


def in_one_line(text: str) -> str:
    """Without signs that end a line or steer a screen: a name could forge a line of its own."""
    return "".join(c if c.isprintable() else f"\\u{ord(c):04x}" for c in text)


def main() -> int:
    for stream in (sys.stdout, sys.stderr):
        stream.reconfigure(errors="replace")  # type: ignore[union-attr]
    told = list(judge(HERE))
    for what, how in told:
        print(in_one_line(f"differs  {what}: {how}" if how else f"same     {what}"))
    wrong = sum(1 for _, how in told if how)
    print(f"{len(told)} looked at, {f'{wrong} differ' if wrong else 'all same'}.")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
