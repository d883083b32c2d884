"""Eight processes writing to one pavement: every write is kept and none undoes another."""

import json
import subprocess
import sys

import pytest

from tests.servers.conftest import ROOT, run

WRITERS = 8
EACH = 6
pytestmark = pytest.mark.slow


def together(env, *commands):
    started = [
        subprocess.Popen(
            [sys.executable, "-m", "tests.servers.writer", *map(str, command)],
            cwd=ROOT,
            env=env,
            stderr=subprocess.PIPE,
            text=True,
        )
        for command in commands
    ]
    for process in started:
        _, wrong = process.communicate(timeout=300)
        assert process.returncode == 0, wrong


@pytest.fixture
def prepared(own_database):
    return own_database, json.loads(run(own_database, "-m", "tests.servers.writer", "prepare"))


def test_runs_recorded_at_once_are_all_there_and_judged(prepared):
    env, made = prepared
    commands = [("record", made["spot"], writer * EACH, EACH) for writer in range(WRITERS)]
    together(env, *commands)
    told = json.loads(run(env, "-m", "tests.servers.writer", "tell", made["pavement"]))
    assert told["count"] == 1 + WRITERS * EACH
    assert told["recorded_lines"] == told["count"]
    assert told["unjudged"] == 0
    assert told["last_tested_on"] == told["latest"], "the condition saw the last write"


def test_corrections_of_one_reading_at_once_lose_no_update(prepared):
    env, made = prepared
    together(env, *[("pour_more", made["row"], EACH) for _ in range(WRITERS)])
    told = json.loads(run(env, "-m", "tests.servers.writer", "tell", made["pavement"]))
    assert told["water"] == [pytest.approx(40 + 0.01 * WRITERS * EACH)]
    assert told["corrected_lines"] == WRITERS * EACH


def test_the_same_photos_sent_at_once_are_one_file_and_one_photo_each(prepared):
    env, made = prepared
    together(env, *[("photograph", made["pavement"], EACH) for _ in range(WRITERS)])
    told = json.loads(run(env, "-m", "tests.servers.writer", "tell_photos"))
    assert told == {"photos": EACH, "files": EACH, "whole": True}
