"""What is installed is locked to the byte and names no place; what serves is what was tested."""

import re
import tomllib

import pytest
from packaging.requirements import Requirement

from tests.house.files import TOP

LOCKS = {
    name: (TOP / f"deploy/requirements/{name}.txt").read_text(encoding="utf-8")
    for name in ("dev", "scale", "runtime", "uv")
}
PLACE = re.compile(r"://|^\s*-(?!-hash=)|\bfile:|\.(?:org|com|io|net)\b|^#|@", re.MULTILINE)


def pins(lock: str) -> dict[str, list[str]]:
    """Return requirement line -> its hashes; a marker is part of the line."""
    found: dict[str, list[str]] = {}
    for line in lock.splitlines():
        text = line.strip().removesuffix("\\").strip()
        if text.startswith("--hash="):
            found[next(reversed(found))].append(text)
        elif text:
            found[text] = []
    return found


def unlocked(lock: str) -> list[str]:
    """Requirements without an exact version or without a hash."""
    return [
        line
        for line, hashes in pins(lock).items()
        if not re.match(r"[a-z0-9-]+==[^*]+$", line)
        or not hashes
        or not all(re.fullmatch(r"--hash=sha256:[0-9a-f]{64}", one) for one in hashes)
    ]


def unmet(wanted: list[str], lock: str) -> list[str]:
    """Requirements of pyproject.toml that the lock leaves out or breaks."""
    versions: dict[str, list[str]] = {}
    for line in pins(lock):
        name, version = re.split("==|;", line)[:2]
        versions.setdefault(name.strip(), []).append(version.strip())
    return [
        text
        for text in wanted
        for requirement in [Requirement(text)]
        if not (found := versions.get(re.sub(r"[-_.]+", "-", requirement.name).lower()))
        or not all(requirement.specifier.contains(version) for version in found)
    ]


@pytest.mark.parametrize("name", LOCKS)
def test_every_requirement_has_a_version_and_hashes(name: str):
    assert pins(LOCKS[name])
    assert unlocked(LOCKS[name]) == []


@pytest.mark.parametrize("name", LOCKS)
def test_no_lock_names_a_place(name: str):
    assert PLACE.findall(LOCKS[name]) == []


def test_the_narrower_sets_are_cut_from_the_wider():
    dev, scale, runtime = (pins(LOCKS[name]) for name in ("dev", "scale", "runtime"))
    assert runtime.items() <= scale.items() <= dev.items()


def test_the_locks_meet_what_the_project_asks_for():
    project = tomllib.loads((TOP / "pyproject.toml").read_text(encoding="utf-8"))
    runtime = project["project"]["dependencies"]
    scale = [text for more in project["project"]["optional-dependencies"].values() for text in more]
    assert unmet(runtime, LOCKS["runtime"]) == []
    assert unmet(runtime + scale, LOCKS["scale"]) == []
    assert unmet(runtime + scale + project["dependency-groups"]["dev"], LOCKS["dev"]) == []


def test_what_is_not_locked_is_found():
    digest = "--hash=sha256:" + "0" * 64
    assert unlocked(f"a==1 \\\n    {digest}\n") == []
    assert unlocked("a==1\n") == ["a==1"]
    assert unlocked(f"a>=1 \\\n    {digest}\n") == ["a>=1"]
    assert unlocked(f"a==1 \\\n    {digest[:-1]}\n") == ["a==1"]


@pytest.mark.parametrize(
    "line", ["--index-url x", "-f /a", "a @ file:x", "# made by", "a==1 # via pkg.org"]
)
def test_a_place_is_found(line: str):
    assert PLACE.search(line)


def test_an_unmet_requirement_is_found():
    assert unmet(["a>=1", "B_c"], "a==1\nb-c==2\n") == []
    assert unmet(["a>=2", "d"], "a==1\n") == ["a>=2", "d"]
