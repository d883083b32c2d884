"""A server killed in the middle of work: what it acknowledged is stored, nothing is left half."""

import http.client
import json
import os
import signal
import socket
import subprocess
import sys
import threading
import time
from urllib.parse import urlencode

import pytest

from tests.servers.conftest import ROOT, run

pytestmark = pytest.mark.slow
CSRF = "a" * 32


def free_port() -> int:
    with socket.socket() as asked:
        asked.bind(("127.0.0.1", 0))
        return asked.getsockname()[1]


def serve(env, port):
    process = subprocess.Popen(
        [
            sys.executable,
            "-m",
            "gunicorn",
            "registry.wsgi",
            "-b",
            f"127.0.0.1:{port}",
            "-w",
            "2",
            "--log-level",
            "error",
        ],
        cwd=ROOT,
        env=env,
        start_new_session=True,
    )
    for _ in range(150):
        try:
            socket.create_connection(("127.0.0.1", port), timeout=1).close()
        except OSError:
            time.sleep(0.2)
        else:
            return process
    raise AssertionError("the server did not start")


def post_run(port, made, number, day):
    """Post one run as a browser would; say whether the server acknowledged it."""
    fields = {
        "csrfmiddlewaretoken": CSRF,
        "system": "inch_pound",
        "spot": made["spot"],
        "started_on": day,
        "method": "c1701",
        "run": "1",
        "ring": "12",
        "prewet_water": "8",
        "prewet_seconds": "12",
        "water": "40",
        "seconds": "60",
        "ended": "drained",
        "rain_within_24_h": "no",
        "number": number,
    }
    headers = {
        "Content-Type": "application/x-www-form-urlencoded",
        "Cookie": f"sessionid={made['session']}; csrftoken={CSRF}",
    }
    link = http.client.HTTPConnection("127.0.0.1", port, timeout=20)
    try:
        path = f"/pavements/{made['pavement']}/infiltration-tests/add/"
        link.request("POST", path, urlencode(fields), headers)
        return link.getresponse().status == 302
    except (OSError, http.client.HTTPException):
        return False
    finally:
        link.close()


def test_killed_server_keeps_every_acknowledged_run_and_no_half_one(own_database):
    made = json.loads(run(own_database, "-m", "tests.servers.writer", "prepare"))
    port = free_port()
    server = serve(own_database, port)
    acknowledged: list[str] = []

    def write(first):
        for n in range(first, first + 400, 4):
            day = f"{2022 + n // 120}-{1 + n // 10 % 12:02d}-{1 + 2 * (n % 10):02d}"
            if post_run(port, made, f"K-{n}", day):
                acknowledged.append(f"K-{n}")

    writers = [threading.Thread(target=write, args=(first,)) for first in range(4)]
    for writer in writers:
        writer.start()
    deadline = time.monotonic() + 60
    while len(acknowledged) < 12 and time.monotonic() < deadline:
        time.sleep(0.05)
    os.killpg(server.pid, signal.SIGKILL)
    server.wait()
    for writer in writers:
        writer.join()
    told = json.loads(run(own_database, "-m", "tests.servers.writer", "tell", made["pavement"]))
    assert len(acknowledged) >= 12, "too few were written before the kill"
    assert set(acknowledged) <= set(told["numbers"])
    assert told["recorded_lines"] == told["count"]
    assert told["unjudged"] == 0
    assert told["last_tested_on"] == told["latest"]
