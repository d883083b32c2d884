"""Archives that somebody changed, each in one way: told in words, status 1, nothing thrown.

The archive is made by the project, changed as a file, unpacked by Python's own `zipfile` as its
README says, and checked by the script that lies in it.
"""

import hashlib
import io
import json
import os
import shutil
import subprocess
import sys
import zipfile
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest

from registry.dossier import Book, add_every_figure, number, record_json, words
from registry.dossier.writing import readme_text
from registry.exchange import recheck_formulas
from registry.exchange.dossier_archive import ORDERS_OF_CHECK, Original, write_archive
from tests.exchange.test_recheck import NAMES, SCRIPTS, differing

PHOTO, DATA = "photos/P-1-abc.jpg", b"bytes of a photo"
Files = dict[str, bytes]


def small_book() -> Book:
    """One load, one photo: enough for a figure that rests on another's cells."""
    book = Book()
    load = {
        "volume": number(7.0, "yd3", "7 yd³"),
        "cementitious": number(610.0, "lb/yd3", "610 lb/yd³"),
        "batch_water": number(1345.0, "lb", "1345 lb"),
        "free_moisture": number(0.0, "lb"),
        "site_water": number(14.0, "gal", "14 gal"),
    }
    book.add("loads", "13", load)
    row = {"sha256": words(hashlib.sha256(DATA).hexdigest()), "file": words(PHOTO)}
    book.add("photos", "P-1", row)
    add_every_figure(book)
    assert book.shown("load 13 w/cm") == "0.342"  # N12 of the worked checks
    return book


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory) -> Files:
    path = tmp_path_factory.mktemp("archive") / "whole.zip"
    made_at = datetime(2026, 10, 15, tzinfo=UTC)
    packed = {
        "dossier.pdf": b"%PDF-1.4 made up",
        "record.json": record_json(small_book(), {"callback": "CB-5"}),
        "README.txt": readme_text("CB-5", "North lot", ORDERS_OF_CHECK),
    }
    original = Original(PHOTO, hashlib.sha256(DATA).hexdigest(), lambda: io.BytesIO(DATA))
    write_archive(path, packed, [original], made_at=made_at, tell=lambda _: None)
    with zipfile.ZipFile(path) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def checked(files: Files, folder: Path, python: str = sys.executable) -> tuple[int, str]:
    """Pack, unpack and check; nothing may be written to the stream of errors."""
    packed, inner = folder / "changed.zip", folder / "deep" / "unpacked"
    inner.mkdir(parents=True)
    with zipfile.ZipFile(packed, "w") as archive:
        for name, data in files.items():
            archive.writestr(name, data)
    with zipfile.ZipFile(packed) as archive:
        archive.extractall(inner)
    done = subprocess.run(
        [python, "-I", "-S", str(inner / "recheck.py")],
        capture_output=True,
        text=True,
        cwd=inner,
        env={},
        check=False,
    )
    assert done.stderr == ""
    return done.returncode, done.stdout


def listed_anew(files: Files) -> Files:
    """With a MANIFEST of what is there now, as one who hides a change would write it."""
    rest = {name: data for name, data in files.items() if name != "MANIFEST"}
    lines = (f"{hashlib.sha256(data).hexdigest()}  {name}\n" for name, data in rest.items())
    return rest | {"MANIFEST": "".join(lines).encode()}


def record_changed(files: Files, how: Callable[[dict], None]) -> Files:
    record = json.loads(files["record.json"])
    how(record)
    return listed_anew(files | {"record.json": json.dumps(record).encode()})


def without(files: Files, name: str) -> Files:
    return {one: data for one, data in files.items() if one != name}


def test_an_unchanged_archive_is_the_same_on_every_python_that_is_here(files, tmp_path):
    names = [shutil.which(f"python3.{minor}") for minor in range(9, 15)]
    tried = []
    for nth, python in enumerate([sys.executable, *filter(None, names)]):
        if subprocess.run([python, "-c", ""], capture_output=True, check=False).returncode == 0:
            status, told = checked(files, tmp_path / str(nth), python)
            assert (status, differing(told)) == (0, []), python
            tried.append(python)
    assert sys.executable in tried


@pytest.mark.parametrize("name", ["README.txt", PHOTO, "record.json", "MANIFEST", *NAMES[1:]])
def test_a_missing_file_is_named(files, tmp_path, name):
    status, told = checked(without(files, name), tmp_path)
    assert status == 1
    assert any(name in line for line in differing(told))


@pytest.mark.parametrize("name", ["README.txt", PHOTO, "record.json", "dossier.pdf"])
def test_one_byte_changed_anywhere_is_found(files, tmp_path, name):
    changed = bytearray(files[name])
    changed[len(changed) // 2] ^= 1
    status, told = checked(files | {name: bytes(changed)}, tmp_path)
    assert status == 1
    assert f"differs  {name}: its bytes are not those of MANIFEST" in differing(told)


def test_a_file_under_another_name_is_missing_and_too_many(files, tmp_path):
    renamed = without(files, PHOTO) | {"photos/P-2.jpg": DATA}
    status, told = checked(renamed, tmp_path)
    assert status == 1
    assert differing(told) == [
        f"differs  {PHOTO}: is missing",
        "differs  photos/P-2.jpg: is not in MANIFEST",
        "differs  original of P-1: is missing",
    ]


@pytest.mark.parametrize(
    "line",
    [
        b"",
        b"no fingerprint",
        b"0" * 64 + b"  ../../outside.txt",
        b"0" * 64 + b"  /etc/hostname",
        b"0" * 64 + b"  photos\\\\P-1.jpg",
        b"0" * 64 + b"  record.json",
        b"\xff\xfe",
    ],
)
def test_a_line_that_is_none_of_a_manifest_is_said(files, tmp_path, line):
    changed = files | {"MANIFEST": files["MANIFEST"] + line + b"\n"}
    status, told = checked(changed, tmp_path)
    assert status == 1
    assert differing(told)[0].startswith("differs  MANIFEST: ")


@pytest.mark.parametrize("name", ["../outside.py", "../../outside.py", "/outside.py"])
def test_a_name_that_leads_out_of_the_folder_is_a_file_too_many(files, tmp_path, name):
    """Whatever unpacks it: `zipfile` keeps it inside, and there it is on no list."""
    status, told = checked(files | {name: b"print('hello')"}, tmp_path)
    assert status == 1
    assert differing(told) == ["differs  outside.py: is not in MANIFEST"]


def cell(record: dict) -> dict:
    return record["rows"]["loads"]["13"]["site_water"]


def figure(record: dict) -> dict:
    return record["figures"]["load 13 w/cm"]


def leads_out(record: dict) -> None:
    record["rows"]["photos"]["P-1"]["file"]["read"] = "../../changed.zip"


def rests_on_itself(record: dict) -> None:
    figure(record)["inputs"]["volume"]["at"] = ["load 13 w/cm"]


CHANGES: dict[str, tuple[Callable[[dict], None], str]] = {
    "another figure": (lambda r: figure(r).update(value=0.331, shown="0.331"), "worked out 0.34"),
    "other words": (lambda r: figure(r).update(shown="0.331"), "should say '0.342'"),
    "another reading": (lambda r: cell(r).update(read=4.0), "written '14 gal'"),
    "reading as text": (lambda r: cell(r).update(read="14"), "is 14, not 5"),
    "reading as list": (lambda r: cell(r).update(read=[14]), "is [14], not 5"),
    "no reading": (lambda r: cell(r).pop("read"), "'read', which is not there"),
    "text as number": (lambda r: cell(r).update(written=14), "of another kind"),
    "unit unknown": (lambda r: cell(r).update(unit="bucket"), "'bucket', which is not there"),
    "figure as list": (lambda r: r["figures"].update({"load 13 w/cm": []}), "of another kind"),
    "figure as number": (lambda r: r["figures"].update({"load 13 w/cm": 5}), "of another kind"),
    "figures as list": (lambda r: r.update(figures=[]), "no figures by name"),
    "rows as text": (lambda r: r.update(rows="none"), "no rows by name"),
    "row as null": (lambda r: r["rows"]["loads"].update({"13": None}), "of another kind"),
    "photo as text": (lambda r: r["rows"]["photos"].update({"P-1": "none"}), "of another kind"),
    "photo leads out": (leads_out, "'../../changed.zip', which is not in this folder"),
    "rests on itself": (rests_on_itself, "no figure that stands before it"),
    "decimals without end": (
        lambda r: figure(r)["printed_as"].update(decimals=10**9),
        "asks for 1000000000 decimals",
    ),
    "too large": (lambda r: cell(r).update(read=10**400), "a number in it has 401 digits"),
    "volume of nothing": (
        lambda r: [
            each.update({key: 0.0})
            for each, key in (
                (r["rows"]["loads"]["13"]["volume"], "read"),
                (figure(r)["inputs"]["volume"], "value"),
            )
        ],
        "division",
    ),
}


@pytest.mark.parametrize("name", CHANGES)
def test_a_changed_record_is_told_in_words_though_the_manifest_hides_it(files, tmp_path, name):
    how, words_told = CHANGES[name]
    status, told = checked(record_changed(files, how), tmp_path)
    assert status == 1
    assert any(words_told in line for line in differing(told)), told


@pytest.mark.parametrize(
    "data",
    [b"[" * 200_000, b'{"rows": {}, "figures": {"a": NaN}}', b'{"rows": {"a": 1}, "figures": {}}'],
    ids=["nested", "no number", "rows of none"],
)
def test_a_record_that_breaks_readers_is_said(files, tmp_path, data):
    status, told = checked(listed_anew(files | {"record.json": data}), tmp_path)
    assert status == 1
    assert any(line.startswith("differs  record.json: cannot be read") for line in differing(told))


def test_a_script_that_was_cut_short_says_so(files, tmp_path):
    cut = files[NAMES[2]][:700] + b"\ndef ("
    status, told = checked(files | {NAMES[2]: cut}, tmp_path)
    assert (status, len(differing(told))) == (1, 1)
    assert "recheck_formulas.py" in told and (SCRIPTS / NAMES[2]).exists()


def unpacked(files: Files, folder: Path) -> Path:
    """Written as files, for what no archive of this kind can hold."""
    for name, data in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    return folder


def looked_at(folder: Path, *options: str) -> tuple[int, str]:
    done = subprocess.run(
        [sys.executable, *options, str(folder / "recheck.py")],
        capture_output=True,
        text=True,
        cwd=folder,
        env={},
        check=False,
        timeout=60,
    )
    assert done.stderr == ""
    return done.returncode, done.stdout


@pytest.mark.parametrize("number", ["1e999", "-1e999", "1" * 5000, "1" * 500 + ".5", "Infinity"])
def test_a_number_that_is_none_is_said(files, tmp_path, number):
    """1e999 is read as endless, and endless equals endless."""
    changed = files["record.json"].replace(b'"read": 14.0', f'"read": {number}'.encode())
    assert changed != files["record.json"]
    status, told = checked(listed_anew(files | {"record.json": changed}), tmp_path)
    assert status == 1
    assert [line[:35] for line in differing(told)] == ["differs  record.json: cannot be rea"]


def test_a_link_and_a_pipe_are_named_and_not_opened(files, tmp_path):
    """What no ZIP of Python's makes, but another way of packing does; a pipe would never end."""
    outside = tmp_path / "outside"
    outside.mkdir()
    (outside / Path(PHOTO).name).write_bytes(DATA)
    inner = unpacked(without(files, PHOTO), tmp_path / "inner")
    (inner / "photos").symlink_to(outside)
    (inner / "README.txt").unlink()
    os.mkfifo(inner / "README.txt")
    status, told = looked_at(inner, "-I", "-S")
    assert status == 1
    assert differing(told) == [
        "differs  README.txt: is no plain file",
        "differs  photos: is not in MANIFEST",
        f"differs  {PHOTO}: is missing",
        "differs  original of P-1: is a link to a file elsewhere",
    ]


@pytest.mark.parametrize("name", ["record.json", "MANIFEST"])
def test_the_record_itself_may_be_no_link(files, tmp_path, name):
    inner = unpacked(files, tmp_path / "inner")
    (inner / name).rename(tmp_path / name)
    (inner / name).symlink_to(tmp_path / name)
    status, told = looked_at(inner, "-I", "-S")
    assert status == 1
    assert f"differs  {name}: cannot be read: is a link to a file elsewhere" in differing(told)


def test_a_list_of_a_thousand_megabytes_is_not_read_into_memory(files, tmp_path):
    """A hole on the disk; packed, so many zeros take a megabyte."""
    inner = unpacked(listed_anew(files), tmp_path / "inner")
    with (inner / "MANIFEST").open("r+b") as file:
        file.truncate(1 << 30)
    status, told = looked_at(inner, "-I", "-S")
    assert status == 1
    assert differing(told)[0] == (
        "differs  MANIFEST: cannot be read: it has 1073741824 bytes; "
        "more than 50000000 are not read"
    )


def test_a_module_of_the_archive_does_not_take_the_place_of_one_of_pythons(files, tmp_path):
    """Run as a reader runs it, where Python looks beside the script first."""
    hostile = b"open('run', 'w').close()\n"
    inner = unpacked(files | {"json.py": hostile, "hashlib.py": hostile}, tmp_path / "inner")
    status, told = looked_at(inner)
    assert status == 1 and not (inner / "run").exists()
    assert differing(told) == [
        "differs  hashlib.py: is not in MANIFEST", "differs  json.py: is not in MANIFEST",
    ]  # fmt: skip


def test_a_name_forges_no_line_and_steers_no_screen(files, tmp_path):
    inner = unpacked(files, tmp_path / "inner")
    (inner / "x\nsame     record.json\x1b[2J\u202egpj").write_bytes(b"")
    status, told = looked_at(inner, "-I", "-S")
    assert status == 1
    assert differing(told) == [
        "differs  x\\u000asame     record.json\\u001b[2J\\u202egpj: is not in MANIFEST"
    ]
    assert told.isascii() and "\x1b" not in told


@pytest.mark.parametrize("name", ["README.TXT", "photos/Stra\u00dfe", "photos/\u00e9.jpg"])
def test_names_that_some_systems_keep_as_one_are_told(files, tmp_path, name):
    """Letters large and small, and the two forms of an accent (Unicode Standard Annex 15)."""
    twin = {"photos/Stra\u00dfe": "photos/STRASSE", "photos/\u00e9.jpg": "photos/e\u0301.jpg"}
    both = {name: b"one", twin.get(name, "README.txt"): b"other"}
    status, told = checked(listed_anew(files | both), tmp_path)
    assert status == 1
    assert "on some systems the same as another" in differing(told)[0]


def test_of_two_files_of_one_name_the_one_unpacked_is_held_to_the_manifest(files, tmp_path):
    packed, inner = tmp_path / "twice.zip", tmp_path / "inner"
    with zipfile.ZipFile(packed, "w") as archive, pytest.warns(UserWarning, match="Duplicate"):
        for name, data in files.items():
            archive.writestr(name, data)
        archive.writestr("README.txt", b"another")
    with zipfile.ZipFile(packed) as archive:
        archive.extractall(inner)
    status, told = looked_at(inner, "-I", "-S")
    assert status == 1
    assert differing(told) == ["differs  README.txt: its bytes are not those of MANIFEST"]


@pytest.mark.parametrize(
    ("formula", "given", "words_told"),
    [
        ("due", {"after": "2024-01-01", "days": 10**12, "counting": "working"}, "is none"),
        ("ranked", {"outcome": [0.0] * 1001, "factor": [0.0] * 1001}, "more than 1000 loads"),
        ("cost", {"area": 1.0, "price": "NaN"}, "is no amount"),
    ],
)
def test_what_would_take_for_ever_or_equal_nothing_is_refused(formula, given, words_told):
    with pytest.raises(recheck_formulas.Differs, match=words_told):
        getattr(recheck_formulas, formula)(given)
