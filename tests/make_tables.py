"""Make the tables of a database from the models: seconds, where migrations take a minute.

Run by tests that start other processes, as `python -m tests.make_tables`, on the database that
REGISTRY_DATABASE_URL names. That the migrations come to the same is asked in tests/house.
"""

import os
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path

import django
from django.apps import apps
from django.core.management import call_command
from django.test import override_settings

ROOT = Path(__file__).resolve().parents[1]


def make_tables(env: Mapping[str, str]) -> None:
    """Make them in a process with these variables."""
    subprocess.run(
        [sys.executable, "-m", "tests.make_tables"], cwd=ROOT, env=env, check=True, timeout=300
    )


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "registry.settings")
    django.setup()
    without = {app.label: None for app in apps.get_app_configs()}
    with override_settings(MIGRATION_MODULES=without):
        call_command("migrate", run_syncdb=True, verbosity=0)


if __name__ == "__main__":
    main()
