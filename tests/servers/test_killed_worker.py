"""A worker killed while it stores a spreadsheet: nothing half, a true state, and it comes in whole.

What the page says of a spreadsheet without a worker: tests/actions/test_work_on_import.py.
"""

import signal
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import psycopg
import pytest

from tests.actions.test_killed_import import EVERYTHING, files
from tests.servers.conftest import ROOT, run

pytestmark = pytest.mark.slow
__all__ = ["files"]  # the fixture

ASKED_TO_BE_STORED = """
import sys
import django
django.setup()
from pathlib import Path
from django.core.files.uploadedfile import SimpleUploadedFile
from registry.actions.receive_spreadsheet import receive_spreadsheet
from registry.actions.work_on_import import ask_to_store, work_on_import
from tests.factories import MembershipFactory
member = MembershipFactory()
files = [SimpleUploadedFile(p.name, p.read_bytes()) for p in sorted(Path(sys.argv[1]).iterdir())]
batch = receive_spreadsheet(files, organisation=member.organisation, by=member.person)
work_on_import(batch.pk)
ask_to_store(batch)
"""
CAME_IN = {table: rows for table, rows in EVERYTHING.items() if table != "registry_importbatch"}


Ask = Callable[[str], list[tuple]]


@pytest.fixture
def ask(own_database) -> Iterator[Ask]:
    """Yield what asks or tells the database from outside, whichever it is, over one connection."""
    url = own_database["REGISTRY_DATABASE_URL"]
    opened: sqlite3.Connection | psycopg.Connection
    if url.startswith("sqlite"):
        path = url.removeprefix("sqlite:///")
        opened = sqlite3.connect(path, timeout=30, isolation_level=None)
    else:
        opened = psycopg.connect(url, autocommit=True)

    def ask_it(question: str) -> list[tuple]:
        asked = opened.execute(question)
        return asked.fetchall() if asked.description else []

    yield ask_it
    opened.close()


def has_begun_to_store(env: dict[str, str], ask: Ask) -> Callable[[], bool]:
    url = env["REGISTRY_DATABASE_URL"]
    if url.startswith("sqlite"):
        log = Path(url.removeprefix("sqlite:///") + "-wal")
        before = log.stat().st_size if log.exists() else 0
        return lambda: log.exists() and log.stat().st_size > before + 10**6
    storing = (
        "SELECT 1 FROM pg_stat_activity WHERE datname = current_database() "
        "AND query LIKE 'INSERT INTO \"registry_infiltrationtest\"%'"
    )
    return lambda: bool(ask(storing))


def wait_until(holds: Callable[[], bool], ask: Ask) -> None:
    deadline = time.monotonic() + 120
    while not holds():
        assert time.monotonic() < deadline, ask("SELECT state, faults FROM registry_importbatch")
        time.sleep(0.01)


def worker(env: dict[str, str]) -> subprocess.Popen[bytes]:
    """Begin a worker of one process: what reloads itself outlives its killed parent."""
    words = ["db_worker", "--no-startup-delay", "--no-reload", "--interval", "0.2"]
    return subprocess.Popen(
        [sys.executable, "manage.py", *words],
        cwd=ROOT,
        env=env,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )


def rows_of(ask: Ask) -> dict[str, int]:
    return {table: ask(f"SELECT count(*) FROM {table}")[0][0] for table in CAME_IN}


def test_killed_worker_leaves_nothing_half_and_the_next_one_stores_it(
    own_database, ask: Ask, files: Path
):
    env = own_database
    before = rows_of(ask)
    assert set(before.values()) == {0}
    run(env, "-c", ASKED_TO_BE_STORED, files)
    lines = ask("SELECT count(*) FROM registry_journalline")[0][0]
    has_begun = has_begun_to_store(env, ask)
    killed = worker(env)
    try:
        wait_until(has_begun, ask)
    finally:
        killed.send_signal(signal.SIGKILL)
        killed.wait(timeout=30)
    time.sleep(0.5)  # a server notices that its client is gone
    whole = CAME_IN | {"registry_journalline": lines + CAME_IN["registry_journalline"]}
    nothing = dict.fromkeys(CAME_IN, 0) | {"registry_journalline": lines}
    [(state,)] = ask("SELECT state FROM registry_importbatch")
    assert (state, rows_of(ask)) in (("reading", nothing), ("stored", whole))
    # As if the two minutes were over after which a silent spreadsheet is taken up again.
    ask("UPDATE registry_importbatch SET worked_at = '2020-01-01 00:00:00'")
    second = worker(env)
    try:
        wait_until(lambda: ask("SELECT state FROM registry_importbatch") == [("stored",)], ask)
    finally:
        second.terminate()
        second.wait(timeout=30)
    assert rows_of(ask) == whole
