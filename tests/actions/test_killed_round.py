"""A worker killed in the middle of a search: no order is touched, and the search runs again."""

import os
import signal
import sqlite3
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tests.make_tables import make_tables

ROOT = Path(__file__).parents[2]

TOWN = """
from registry.actions.ask_for_round import ask_for_round
from tests.gathering.rounds import asked, crew, keeper, order
town = keeper()
crew(town)
for n in range(12):
    order(town, n=n)
ask_for_round(asked(town, iterations=None, seconds=600), by=None)
"""
COLUMNS = "number, state, dated_for, starts_at, crew_id, sweeper_id"


def ask(path: Path, question: str, *given: object) -> list[tuple]:
    with sqlite3.connect(path, timeout=30) as opened:
        return opened.execute(question, given).fetchall()


def make_town(url: str) -> None:
    words = [sys.executable, "manage.py", "shell", "--verbosity", "0", "--command", TOWN]
    environment = {**os.environ, "REGISTRY_DATABASE_URL": url}
    make_tables(environment)
    subprocess.run(words, cwd=ROOT, env=environment, check=True, timeout=600)


def worker(url: str) -> subprocess.Popen[bytes]:
    """Begin a worker of one process: what reloads itself outlives its killed parent."""
    words = ["db_worker", "--no-startup-delay", "--no-reload", "--interval", "0.2"]
    return subprocess.Popen(
        [sys.executable, "manage.py", *words],
        cwd=ROOT,
        env={**os.environ, "REGISTRY_DATABASE_URL": url},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )


def wait_until(path: Path, holds: str, at_most_s: float = 180) -> None:
    """Wait until the round answers a condition."""
    deadline = time.monotonic() + at_most_s
    while not ask(path, f"SELECT 1 FROM registry_round WHERE {holds}"):
        assert time.monotonic() < deadline, ask(path, "SELECT state, message FROM registry_round")
        time.sleep(0.05)


@pytest.mark.slow
def test_killed_search_leaves_the_orders_alone_and_runs_again(tmp_path: Path):
    path = tmp_path / "registry.sqlite3"
    url = f"sqlite:///{path}"
    make_town(url)
    orders = ask(path, f"SELECT {COLUMNS} FROM registry_workorder ORDER BY id")
    killed = worker(url)
    try:
        wait_until(path, "state = 'working' AND iterations_done > 0")
    finally:
        killed.send_signal(signal.SIGKILL)
        killed.wait(timeout=30)
    assert ask(path, "PRAGMA integrity_check") == [("ok",)]
    assert ask(path, f"SELECT {COLUMNS} FROM registry_workorder ORDER BY id") == orders
    assert ask(path, "SELECT count(*) FROM registry_roundday") == [(0,)]
    assert ask(path, "SELECT state FROM registry_round") == [("working",)]
    # As if the two minutes were over after which a silent round is taken up again.
    ask(path, "UPDATE registry_round SET worked_at = '2020-01-01 00:00:00'")
    second = worker(url)
    try:
        wait_until(path, "state = 'working' AND iterations_done > 0 AND begun = 2")
        ask(path, "UPDATE registry_round SET stop_asked = 1")
        wait_until(path, "state = 'stopped'")
    finally:
        second.terminate()
        second.wait(timeout=30)
    placed = "SELECT count(*) FROM registry_roundstop WHERE kind = 'work'"
    assert ask(path, placed) == [(12,)]
    assert ask(path, f"SELECT {COLUMNS} FROM registry_workorder ORDER BY id") == orders
