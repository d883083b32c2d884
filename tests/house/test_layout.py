"""Where things stand."""

from collections.abc import Iterable
from pathlib import Path

from tests.house.files import files_under, project_files

TOP_LEVEL = {
    "README.md", "DEVELOPERS.md", "manage.py", "pyproject.toml",
    "registry", "tests", "fixtures", "deploy",
}  # fmt: skip
TEST_ROOMS_OF_THEIR_OWN = {"house", "attacks", "browser", "servers", "benchmarks"}


def strangers_at_the_top(paths: Iterable[Path]) -> set[str]:
    first = {path.parts[0] for path in paths}
    return {name for name in first - TOP_LEVEL if not name.startswith(".")}


def rooms_without_a_twin(tests: Iterable[Path], registry: Iterable[Path]) -> set[str]:
    """Folders below tests/ that mirror nothing below registry/."""
    rooms = {path.parts[1] for path in tests if len(path.parts) > 2}
    twins = {path.parts[1] for path in registry if len(path.parts) > 2}
    return rooms - twins - TEST_ROOMS_OF_THEIR_OWN


def test_the_top_level_holds_only_what_belongs_there():
    assert strangers_at_the_top(project_files()) == set()


def test_every_room_of_tests_mirrors_a_room_of_the_registry():
    assert (
        rooms_without_a_twin(files_under("tests", ".py"), files_under("registry", ".py")) == set()
    )


def test_a_stranger_at_the_top_is_found():
    assert strangers_at_the_top([Path("notes/plan.md"), Path(".gitignore")]) == {"notes"}


def test_a_room_without_a_twin_is_found():
    tests = [Path("tests/odds/test_ends.py"), Path("tests/plan/test_datum.py")]
    assert rooms_without_a_twin(tests, [Path("registry/plan/datum.py")]) == {"odds"}
