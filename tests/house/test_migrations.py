"""Migrations are named by hand, stand in one line, and say all that the models say."""

import re
from collections.abc import Iterator, Mapping
from io import StringIO

import pytest
from django.core.management import call_command
from django.db.migrations.loader import MigrationLoader
from django.test import override_settings

# How Django names a migration that nobody named.
UNNAMED = re.compile(
    r"_auto_\d|_initial$|_and_more$|^\d{4}_(alter|remove|delete|rename)_\w+_\w+_\w+_\w+_\w+$"
)
NAMED = re.compile(r"^\d{4}_[a-z][a-z0-9_]+$")


@pytest.fixture(autouse=True)
def real_migrations() -> Iterator[None]:
    """Tests run on tables made from the models; here the migrations themselves are meant."""
    with override_settings(MIGRATION_MODULES={}):
        yield


def misnamed(names: list[str]) -> list[str]:
    return [name for name in names if not NAMED.match(name) or UNNAMED.search(name)]


def out_of_line(parents: Mapping[str, list[str]]) -> list[str]:
    """Migrations that do not follow exactly the one numbered before them."""
    names = sorted(parents)
    wanted = dict(zip(names, [[], *([name] for name in names)], strict=False))
    numbered = {name: int(name[:4]) for name in names}
    return [
        name
        for position, name in enumerate(names, start=1)
        if parents[name] != wanted[name] or numbered[name] != position
    ]


def parents_on_disk() -> dict[str, list[str]]:
    loader = MigrationLoader(None)
    return {
        name: [parent for app, parent in migration.dependencies if app == "registry"]
        for (app, name), migration in loader.disk_migrations.items()
        if app == "registry"
    }


def test_migrations_are_named_by_hand():
    assert len(parents_on_disk()) > 10
    assert misnamed(list(parents_on_disk())) == []


def test_migrations_stand_in_one_line():
    assert out_of_line(parents_on_disk()) == []


@pytest.mark.django_db
def test_no_change_of_a_model_lacks_its_migration():
    said = StringIO()
    call_command("makemigrations", dry_run=True, stdout=said)
    assert said.getvalue().strip() == "No changes detected"


@pytest.mark.parametrize(
    "name",
    ["0001_initial", "0002_auto_20250101_1200", "0003_add_x_and_more", "defects", "0004_Defects"],
)
def test_a_name_nobody_gave_is_found(name: str):
    assert misnamed([name]) == [name]


def test_a_fork_and_a_gap_are_found():
    line = {"0001_a": [], "0002_b": ["0001_a"], "0003_c": ["0002_b"]}
    assert out_of_line(line) == []
    assert out_of_line({**line, "0003_c": ["0001_a"]}) == ["0003_c"]
    assert out_of_line({"0001_a": [], "0003_b": ["0001_a"]}) == ["0003_b"]
    assert out_of_line({**line, "0003_c": ["0002_b", "0001_a"]}) == ["0003_c"]
