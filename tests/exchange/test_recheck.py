"""The check that travels with a dossier, run alone: no project, no network, an empty folder.

It shares no code with the project, so that what it finds the same was worked out twice.
"""

import ast
import hashlib
import importlib.util
import json
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from registry.dossier import (
    Book,
    add_every_figure,
    blank,
    manifest_text,
    number,
    record_json,
    words,
)
from registry.dossier.look_figures import OUTLINED, WRITTEN
from tests.dossier.books import dispute_book, dispute_worked_out

SCRIPTS = Path(__file__).parents[2] / "registry" / "exchange"
NAMES = ("recheck.py", "recheck_files.py", "recheck_formulas.py")


def run(folder: Path) -> tuple[int, str]:
    """Run it with no path to any package and no site: what a stranger has."""
    done = subprocess.run(
        [sys.executable, "-I", "-S", str(folder / "recheck.py")],
        capture_output=True,
        text=True,
        cwd=folder,
        env={},
        check=False,
    )
    assert done.stderr == ""
    return done.returncode, done.stdout


def differing(told: str) -> list[str]:
    return [line for line in told.splitlines() if line.startswith("differs")]


def lay_out(folder: Path, book: Book, photos: dict[str, bytes] | None = None) -> Path:
    """Files of an archive as they are unpacked."""
    for name in NAMES:
        (folder / name).write_bytes((SCRIPTS / name).read_bytes())
    (folder / "record.json").write_bytes(record_json(book, {"number": "CB-5"}))
    (folder / "dossier.pdf").write_bytes(b"%PDF-1.4 made up")
    (folder / "photos").mkdir(exist_ok=True)
    for name, data in (photos or {}).items():
        (folder / "photos" / name).write_bytes(data)
    write_manifest(folder)
    return folder


def write_manifest(folder: Path) -> None:
    listed = [
        (str(path.relative_to(folder)), hashlib.sha256(path.read_bytes()).hexdigest())
        for path in folder.rglob("*")
        if path.is_file() and path.name != "MANIFEST"
    ]
    (folder / "MANIFEST").write_bytes(manifest_text(listed))


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return lay_out(tmp_path, dispute_worked_out())


def change(folder: Path, how: Callable[[dict], None]) -> None:
    """Change record.json and make the manifest anew, as one who hides a change would."""
    path = folder / "record.json"
    record = json.loads(path.read_text(encoding="utf-8"))
    how(record)
    path.write_text(json.dumps(record), encoding="utf-8")
    write_manifest(folder)


def test_the_whole_dispute_is_found_the_same_alone(folder):
    status, told = run(folder)
    assert differing(told) == []
    assert status == 0
    assert "same     tau-b of lag: 0.69" in told
    assert "same     lanes A and C covered: 6 d 20 h 27 min" in told
    assert told.count("same") > len(dispute_worked_out().figures)
    assert sorted(path.name for path in folder.iterdir()) == sorted(
        [*NAMES, "MANIFEST", "dossier.pdf", "photos", "record.json"]
    )


def test_sha256sum_reads_the_manifest(folder):
    done = subprocess.run(
        ["sha256sum", "--check", "--strict", "MANIFEST"], cwd=folder, capture_output=True, text=True
    )
    assert done.returncode == 0, done.stdout


@pytest.mark.parametrize("name", ["dossier.pdf", "record.json", *NAMES])
def test_one_changed_byte_in_any_file_is_found(folder, name):
    path = folder / name
    data = bytearray(path.read_bytes())
    data[-1] = ord(" ")
    path.write_bytes(data)
    status, told = run(folder)
    assert status == 1
    assert differing(told) == [f"differs  {name}: its bytes are not those of MANIFEST"]


def test_a_missing_and_an_extra_file_are_found(folder):
    (folder / "dossier.pdf").rename(folder / "photos" / "later.pdf")
    status, told = run(folder)
    assert status == 1
    assert differing(told) == [
        "differs  dossier.pdf: is missing",
        "differs  photos/later.pdf: is not in MANIFEST",
    ]


def figures_with_values() -> list[str]:
    """One of each formula."""
    first = {one.formula: name for name, one in reversed(dispute_worked_out().figures.items())}
    return sorted(first.values())


def test_every_formula_of_the_check_is_used_in_the_dispute():
    tree = ast.parse((SCRIPTS / "recheck_formulas.py").read_text(encoding="utf-8"))
    table = next(
        node.value
        for node in tree.body
        if isinstance(node, ast.Assign) and ast.unparse(node.targets[0]) == "FORMULAS"
    )
    known = {ast.literal_eval(key) for key in table.keys}
    used = {one.formula for one in dispute_worked_out().figures.values()}
    assert known == used | {OUTLINED, WRITTEN}  # the dispute was graded by tape: see test_outlined


def forged(figure: dict) -> dict:
    """The figure with a value a little off, printed as if it were right where that is its text."""
    value = figure["value"]
    if figure["formula"] == "N18 p by shuffling":
        return figure | {"value": value + 0.2}
    if isinstance(value, bool):
        return figure | {"value": not value}
    if isinstance(value, str):
        other = value[:-1] + ("1" if value[-1] != "1" else "2")
        return figure | {"value": other, "shown": other}
    return figure | {"value": value * 1.001 + 1e-6}


@pytest.fixture(scope="module")
def judge_figure() -> Iterator[Callable[[dict, dict], str]]:
    """Its judgement of one figure, so that each formula is tried without a process of its own."""
    path, writes = list(sys.path), sys.dont_write_bytecode
    spec = importlib.util.spec_from_file_location("recheck_alone", SCRIPTS / "recheck.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    yield module.judge_figure
    sys.path[:], sys.dont_write_bytecode = path, writes
    for name in ("recheck_files", "recheck_formulas"):
        sys.modules.pop(name)


@pytest.fixture(scope="module")
def record() -> dict:
    return json.loads(record_json(dispute_worked_out(), {}))


@pytest.mark.parametrize("name", figures_with_values())
def test_a_changed_figure_of_each_formula_is_found(judge_figure, record, name):
    figure = record["figures"][name]
    assert judge_figure(record, figure) == ""
    assert "worked out" in judge_figure(record, forged(figure))
    assert "which should say" in judge_figure(record, figure | {"shown": "7.777"})


def test_changed_figures_are_found_though_the_manifest_was_made_anew(folder):
    names = figures_with_values()

    def forge(record: dict) -> None:
        for name in names:
            record["figures"][name] = forged(record["figures"][name])

    change(folder, forge)
    status, told = run(folder)
    assert status == 1
    told_of = {line.removeprefix("differs  ").rpartition(": ")[0] for line in differing(told)}
    assert [name for name in names if not any(one.startswith(name) for one in told_of)] == []


def test_a_changed_reading_is_found_at_its_figures_and_at_its_text(folder):
    def forge(record: dict) -> None:
        record["rows"]["loads"]["13"]["site_water"]["read"] = 1.0

    change(folder, forge)
    _, told = run(folder)
    lines = differing(told)
    assert any("site_water: written '14 gal'" in line for line in lines)
    assert any(line.startswith("differs  load 13 w/cm") for line in lines)


def test_a_constant_that_is_not_of_the_formula_is_found(folder):
    def forge(record: dict) -> None:
        record["figures"]["test A-26 rate"]["constants"]["K"] = 126_871.0

    change(folder, forge)
    (line,) = differing(run(folder)[1])
    assert "its constant 126871.0" in line


def test_a_holiday_taken_off_the_list_is_found(folder):
    def forge(record: dict) -> None:
        record["rows"]["holidays"]["contract"]["days"]["read"].remove("2024-07-04")

    change(folder, forge)
    assert any("reply due" in line for line in differing(run(folder)[1]))


@pytest.mark.parametrize(
    "data",
    [b"", b"[]", b"{", b'{"rows": {}, "rows": {}}', b"\xff\xfe", b'{"rows": 1, "figures": 2}'],
)
def test_a_record_that_is_none_is_said_and_nothing_is_thrown(folder, data):
    (folder / "record.json").write_bytes(data)
    write_manifest(folder)
    status, told = run(folder)
    assert status == 1
    assert "record.json: cannot be read" in told


def test_figures_of_nonsense_are_said_and_nothing_is_thrown(folder):
    def forge(record: dict) -> None:
        record["figures"]["load 1 w/cm"] = 5
        record["figures"]["load 2 w/cm"]["inputs"] = {"volume": None}
        record["figures"]["load 3 w/cm"]["formula"] = "N99"
        record["figures"]["load 4 w/cm"]["inputs"]["volume"]["at"] = ["no", "such", "cell"]

    change(folder, forge)
    status, told = run(folder)
    assert status == 1
    assert sum("cannot be worked out" in line for line in differing(told)) >= 4


def test_an_original_is_held_to_the_fingerprint_of_the_record(tmp_path):
    book = dispute_book()
    data = b"bytes of a photo"
    row = {"sha256": words(hashlib.sha256(data).hexdigest()), "file": words("photos/P-1.jpg")}
    book.add("photos", "P-1", row)
    book.add("photos", "P-2", {"sha256": words("0" * 64), "file": words("")})
    folder = lay_out(tmp_path, book, {"P-1.jpg": data})
    assert run(folder)[0] == 0
    (folder / "photos" / "P-1.jpg").write_bytes(b"another photo")
    write_manifest(folder)
    status, told = run(folder)
    assert status == 1
    assert differing(told) == ["differs  original of P-1: is not the file the record names"]


def test_clocks_that_change_and_leap_days_are_worked_out_alike(tmp_path):
    """N14 across the end of summer time, N20 from 29 February: the record's own worked checks."""
    book = Book()
    book.add("placing_days", "d", {"covered_hours_required": number(168.0)})
    book.add(
        "covers",
        "strip",
        {"day": words("d"), "panels": words(["A1"]), "last_at": words("2025-10-30T11:00:00-04:00")},
    )
    book.add("uncovers", "off", {"panels": words(["A1"]), "at": words("2025-11-06T11:00:00-05:00")})
    book.add("parts", "leap", {"start_on": words("2024-02-29"), "years": number(1)})
    add_every_figure(book)
    assert book.value("strip covered") == 169 * 3600
    assert book.shown("last day of leap") == "2025-02-28"
    status, told = run(lay_out(tmp_path, book))
    assert (status, differing(told)) == (0, [])


def test_panels_that_are_no_rectangles_are_clipped_alike(tmp_path):
    """Cut corners, and one with a bay, so that a limit crosses an outline four times."""
    book = Book()
    for name, outline in (
        ("A1", [[0, 0], [3, 0], [3, 2], [2, 3], [0, 3]]),
        ("A2", [[0, 3], [3, 3], [3, 6], [2, 6], [1.5, 4], [1, 6], [0, 6]]),
    ):
        book.add("panels", name, {"outline": words(outline), "lane": words("A")})
    for load, low, high in (("1", 0, 2.5), ("2", 2.5, 4.5), ("3", 4.5, 6)):
        row = {"load": words(load), "lane": words("A")}
        limits = {"from": number(float(low), "m"), "to": number(float(high), "m")}
        book.add("spreads", load, row | limits)
    add_every_figure(book)
    assert book.has("panel A1 load 1 share", "panel A2 load 2 share")
    status, told = run(lay_out(tmp_path, book))
    assert (status, differing(told)) == (0, [])


@pytest.mark.parametrize("name", NAMES)
def test_it_is_python_3_9_and_knows_the_standard_library_alone(name):
    tree = ast.parse((SCRIPTS / name).read_text(encoding="utf-8"), feature_version=(3, 9))
    taken = {
        module.split(".")[0]
        for node in ast.walk(tree)
        if isinstance(node, ast.Import | ast.ImportFrom)
        for module in (
            [node.module] if isinstance(node, ast.ImportFrom) else [one.name for one in node.names]
        )
    }
    own = {path.removesuffix(".py") for path in NAMES}
    assert taken - own <= set(sys.stdlib_module_names)


def test_a_least_number_says_so_and_is_not_compared_as_if_it_were_the_number(tmp_path):
    book = dispute_book()
    for load in ("3", "4"):
        book.rows["loads"][load] = {**book.rows["loads"][load], "site_water": blank("not known")}
    add_every_figure(book)
    assert book.figures["tau-b of water"].constants["loads"] == 16
    folder = lay_out(tmp_path, book)
    assert run(folder)[0] == 0

    def forge(record: dict) -> None:
        figures = record["figures"]
        figures["load 3 w/cm"]["shown"] = figures["load 3 w/cm"]["shown"].removeprefix("at least ")
        least = {"at": ["load 4 w/cm"], "unit": "", "value": figures["load 4 w/cm"]["value"]}
        figures["tau-b of water"]["inputs"]["factor"][0] = least

    change(folder, forge)
    status, told = run(folder)
    assert status == 1
    first, second = differing(told)
    assert "load 3 w/cm" in first and "a part of the water is not known" in first
    assert "it compares load 4 w/cm, of which only a least number is known" in second
