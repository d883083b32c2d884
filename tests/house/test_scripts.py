"""The shell scripts parse, stop at the first error, and can be run."""

import os
import subprocess
from pathlib import Path

from tests.house.files import TOP, project_files, read

SCRIPTS = [
    path
    for path in project_files()
    if path.parts[0] in {"deploy", ".ci"} and read(path).startswith("#!/usr/bin/env bash")
]


def parses(text: str) -> bool:
    return (
        subprocess.run(["bash", "-n"], input=text, text=True, capture_output=True).returncode == 0
    )


def test_scripts_parse_stop_at_an_error_and_may_be_run():
    assert {
        Path("deploy/demo"),
        Path("deploy/check"),
        Path("deploy/setup"),
        Path(".ci/run"),
    } <= set(SCRIPTS)
    for path in SCRIPTS:
        assert parses(read(path)), path
        assert "\nset -euo pipefail\n" in read(path), path
        assert os.access(TOP / path, os.X_OK), path


def test_a_script_that_does_not_parse_is_found():
    assert parses("echo one\n")
    assert not parses("if true; then\n")
