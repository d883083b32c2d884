"""Scripts and styles of others, kept with us, are the ones their makers published.

registry/static/vendor/vendor.toml has one table for each file: its path below that folder as key;
name, version, licence and sha256.
"""

import hashlib
import tomllib
from collections.abc import Mapping
from pathlib import Path

import pytest

from tests.house.files import TOP, project_files

VENDOR = Path("registry/static/vendor")
MANIFEST = VENDOR / "vendor.toml"


def vendored_files() -> dict[str, bytes]:
    return {
        path.relative_to(VENDOR).as_posix(): (TOP / path).read_bytes()
        for path in project_files()
        if path.is_relative_to(VENDOR) and path != MANIFEST
    }


def manifest() -> dict[str, dict[str, str]]:
    path = TOP / MANIFEST
    return tomllib.loads(path.read_text(encoding="utf-8")) if path.exists() else {}


def breaches(files: Mapping[str, bytes], listed: Mapping[str, Mapping[str, str]]) -> list[str]:
    found = [f"{name}: listed, not there" for name in listed.keys() - files.keys()]
    for name, content in files.items():
        entry = listed.get(name, {})
        found += [
            f"{name}: no {field}"
            for field in ("name", "version", "licence")
            if not entry.get(field)
        ]
        if entry.get("sha256") != hashlib.sha256(content).hexdigest():
            found.append(f"{name}: not the file whose sha256 is listed")
        if b"sourceMappingURL=" in content:
            found.append(f"{name}: points to a source map that is not here")
    return found


def test_every_vendored_file_is_the_listed_one():
    assert breaches(vendored_files(), manifest()) == []


GOOD = {"name": "x", "version": "1", "licence": "MIT", "sha256": hashlib.sha256(b"x").hexdigest()}


@pytest.mark.parametrize(
    ("files", "listed", "breach"),
    [
        ({"x.js": b"y"}, {"x.js": GOOD}, "x.js: not the file whose sha256 is listed"),
        ({}, {"x.js": GOOD}, "x.js: listed, not there"),
        ({"x.js": b"x"}, {"x.js": {**GOOD, "licence": ""}}, "x.js: no licence"),
    ],
)
def test_a_changed_or_unlisted_file_is_found(files, listed, breach):
    assert breaches({"x.js": b"x"}, {"x.js": GOOD}) == []
    assert breaches(files, listed) == [breach]
