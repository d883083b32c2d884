"""The migrations make the tables of an empty database, on each kind of server."""

import pytest

from tests.servers.conftest import run


@pytest.mark.slow
def test_migrations_apply_to_an_empty_database(empty_database):
    assert run(empty_database, "manage.py", "migrate", "--verbosity", 0) == ""
    assert "[ ]" not in run(empty_database, "manage.py", "showmigrations")
