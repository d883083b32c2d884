"""Archives that somebody changed, each in one way: told in words, status 1, nothing thrown.

The archive is made by the project, changed as a file, unpacked by Python's own `zipfile` as its
README says, and checked by the script that lies in it.
"""

import hashlib
import io
import json
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
    "too large": (lambda r: cell(r).update(read=10**400), "too large"),
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
