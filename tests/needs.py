"""What a marked test needs of the machine, and whether it is there.

A test marked `browser`, `server` or `gdal` is skipped where its tool is missing, and the end of the
run says so loudly. With REGISTRY_TESTS_NO_SKIP=1, as `.ci/run` sets it, it fails instead.
"""

import shutil
import socket
from collections.abc import Sequence
from functools import cache

import pytest
from django.conf import settings

NOT_HERE = "not on this machine: "
CHROMIUM = ("chromium", "chromium-browser")
GDAL = ("ogrinfo", "ogr2ogr")
PORTS = {"redis": 6379, "rabbitmq": 5672}


def missing(mark: pytest.Mark) -> str | None:
    """Name what a mark's test lacks here, or None."""
    if mark.name == "browser":
        return None if chromium_path() else "Chromium (Debian: apt-get install chromium)"
    if mark.name == "gdal":
        found = all(shutil.which(program) for program in GDAL)
        return None if found else "GDAL (Debian: apt-get install gdal-bin)"
    if mark.name == "server":
        names = mark.args or ("postgresql",)
        return next((lack for name in names if (lack := _server_lack(name))), None)
    return None


@cache
def chromium_path() -> str | None:
    """Return the program that browser tests drive: the system's, never one downloaded by a test."""
    return next((path for name in CHROMIUM if (path := shutil.which(name))), None)


def tell(reasons: Sequence[str]) -> list[str]:
    """Sum up the reasons of skipped tests that lacked a tool, one line for each tool."""
    lacks = [reason.split(NOT_HERE, 1)[1] for reason in reasons if NOT_HERE in reason]
    return [f"NOT TESTED: {lacks.count(lack)} for want of {lack}" for lack in sorted(set(lacks))]


@cache
def _server_lack(name: str) -> str | None:
    if name == "postgresql":
        tested = settings.DATABASES["default"]["ENGINE"]
        if tested == "django.db.backends.postgresql":
            return None
        return "PostgreSQL (name one in REGISTRY_DATABASE_URL)"
    try:
        socket.create_connection(("127.0.0.1", PORTS[name]), timeout=2).close()
    except OSError:
        return f"{name} at 127.0.0.1:{PORTS[name]}"
    return None
