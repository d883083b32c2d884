"""A process killed in the middle of bringing a spreadsheet in leaves nothing half."""

import os
import shutil
import signal
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path

import pytest
from django.db import connection

from tests.exchange.folders import folder, pavement, run
from tests.factories import OrganisationFactory
from tests.make_tables import make_tables

ROOT = Path(__file__).parents[2]
KILL_AFTER_S = (0.0, 0.03, 0.1, 0.4)
LOTS, RUNS = 20, 150
"""Enough that SQLite writes to its log before the transaction ends."""

EVERYTHING = {
    "registry_pavement": LOTS,
    "registry_infiltrationtest": LOTS * RUNS,
    "registry_spot": LOTS,
    "registry_importbatch": 1,
    "registry_journalline": LOTS,
    "registry_seat": LOTS,
}
TABLES = tuple(EVERYTHING)
NOTHING = dict.fromkeys(TABLES, 0)


def manage(url: str, *words: object, wait: bool = True) -> subprocess.Popen[str]:
    process = subprocess.Popen(
        [sys.executable, "manage.py", *map(str, words)],
        cwd=ROOT,
        env={**os.environ, "REGISTRY_DATABASE_URL": url},
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )
    if wait:
        said, _ = process.communicate(timeout=120)
        assert process.returncode == 0, said
    return process


@pytest.fixture
def files(tmp_path: Path) -> Path:
    lots = tuple(pavement(ref=f"P{n}", name=f"Lot {n}") for n in range(LOTS))
    days = [date(2015, 6, 1) + timedelta(days=20 * n) for n in range(RUNS)]
    runs = tuple(
        run(pavement_ref=f"P{n}", started_at=f"{day}T10:00") for n in range(LOTS) for day in days
    )
    return folder(tmp_path / "in", pavements=lots, runs=runs)


@pytest.fixture(scope="module")
def empty_database(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("empty") / "registry.sqlite3"
    url = f"sqlite:///{path}"
    make_tables({**os.environ, "REGISTRY_DATABASE_URL": url})
    make_organisation(url)
    with sqlite3.connect(path) as opened:
        opened.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    return path


def kill_while_storing(
    url: str, files: Path, after_s: float, has_begun: Callable[[], bool]
) -> bool:
    """Kill the command some time after it began to store; say whether it was still at it."""
    process = manage(url, "import_records", files, "--for", "Org", wait=False)
    deadline = time.monotonic() + 60
    while not has_begun() and process.poll() is None and time.monotonic() < deadline:
        time.sleep(0.001)
    time.sleep(after_s)
    was_running = process.poll() is None
    process.send_signal(signal.SIGKILL)
    process.communicate(timeout=30)
    return was_running


@pytest.mark.slow
@pytest.mark.parametrize("after_s", KILL_AFTER_S)
def test_killed_on_sqlite_leaves_all_or_nothing(
    tmp_path: Path, files: Path, empty_database: Path, after_s: float
):
    database = Path(shutil.copy(empty_database, tmp_path / "registry.sqlite3"))
    log = Path(f"{database}-wal")
    was_running = kill_while_storing(
        f"sqlite:///{database}", files, after_s, lambda: log.exists() and log.stat().st_size > 10**6
    )
    assert was_running or after_s
    with sqlite3.connect(database) as opened:
        counts = {t: opened.execute(f"SELECT count(*) FROM {t}").fetchone()[0] for t in TABLES}
        assert opened.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    assert counts in (NOTHING, EVERYTHING)
    manage(f"sqlite:///{database}", "import_records", files, "--for", "Org")


@pytest.mark.server
@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("after_s", KILL_AFTER_S)
def test_killed_on_postgresql_leaves_all_or_nothing(files: Path, after_s: float):
    found = connection.settings_dict
    where = f"{found['USER']}:{found['PASSWORD']}@{found['HOST']}:{found['PORT'] or 5432}"
    OrganisationFactory(name="Org")

    def has_begun() -> bool:
        with connection.cursor() as cursor:
            cursor.execute(
                "SELECT count(*) FROM pg_stat_activity WHERE query LIKE %s",
                ['INSERT INTO "registry_infiltrationtest"%'],
            )
            return cursor.fetchone()[0] > 0

    kill_while_storing(f"postgres://{where}/{found['NAME']}", files, after_s, has_begun)
    time.sleep(0.5)  # the server notices that its client is gone
    with connection.cursor() as cursor:
        counts = {}
        for table in TABLES:
            cursor.execute(f"SELECT count(*) FROM {table}")
            counts[table] = cursor.fetchone()[0]
    assert counts in (NOTHING, EVERYTHING)


def make_organisation(url: str) -> None:
    code = (
        "from registry.models import Organisation;"
        "Organisation.objects.create(name='Org', usual_role='owner')"
    )
    manage(url, "shell", "--verbosity", 0, "--command", code)
