"""A database of its own for tests that start other processes: on SQLite and on PostgreSQL."""

import os
import subprocess
import sys
import uuid
from pathlib import Path

import psycopg
import pytest

from tests.make_tables import make_tables

ROOT = Path(__file__).resolve().parents[2]
POSTGRES = "postgres://postgres@127.0.0.1:5432"


def environment(url: str, media: Path) -> dict[str, str]:
    """Return the variables of a process that uses a database of its own."""
    kept = {k: v for k, v in os.environ.items() if not k.startswith("REGISTRY_")}
    return {
        **kept,
        "REGISTRY_DATABASE_URL": url,
        "REGISTRY_MEDIA_ROOT": str(media),
        "REGISTRY_HTTPS": "false",
        "DJANGO_SETTINGS_MODULE": "registry.settings",
        "PYTHONPATH": str(ROOT),
    }


def run(env: dict[str, str], *words: object) -> str:
    """Run a program of the tests in another process and return what it printed."""
    done = subprocess.run(
        [sys.executable, *map(str, words)],
        cwd=ROOT,
        env=env,
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


@pytest.fixture(params=["sqlite", pytest.param("postgresql", marks=pytest.mark.server)])
def empty_database(request, tmp_path):
    """Yield the environment of a database without tables on each kind of server."""
    if request.param == "sqlite":
        yield environment(f"sqlite:///{tmp_path / 'own.sqlite3'}", tmp_path / "media")
        return
    name = f"own_{uuid.uuid4().hex[:12]}"
    with psycopg.connect(f"{POSTGRES}/postgres", autocommit=True) as server:
        server.execute(f'CREATE DATABASE "{name}"')
        try:
            yield environment(f"{POSTGRES}/{name}", tmp_path / "media")
        finally:
            server.execute(f'DROP DATABASE "{name}" WITH (FORCE)')


@pytest.fixture
def own_database(empty_database):
    """Return the environment of a database with its tables on each kind of server."""
    make_tables(empty_database)
    return empty_database
