"""What every test runs under."""

import gc
import os
from collections.abc import Iterator

import pytest
from django.conf import settings
from django.test import SimpleTestCase, TransactionTestCase, override_settings
from hypothesis import settings as property_settings

from tests import needs

# A red run must come from the change in it: there the examples are the same each time. At a desk
# they are new ones each time, and so find what nobody thought of.
property_settings.register_profile("same_each_time", derandomize=True)
if os.environ.get("CI"):
    property_settings.load_profile("same_each_time")

FAST_HASHER = "django.contrib.auth.hashers.MD5PasswordHasher"
"""For passwords of tests alone: the hash the site is run with takes a tenth of a second each."""
DATABASE_FIXTURES = {"db", "transactional_db", "live_server", "django_db_setup"}


@pytest.fixture(scope="session", autouse=True)
def settings_for_tests(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Speak plain HTTP, as Django's test client does, and write to no folder but a passing one."""
    with override_settings(
        SECURE_SSL_REDIRECT=False,
        SESSION_COOKIE_SECURE=False,
        CSRF_COOKIE_SECURE=False,
        MEDIA_ROOT=tmp_path_factory.mktemp("media"),
        STATIC_ROOT=tmp_path_factory.mktemp("static"),
        WHITENOISE_AUTOREFRESH=True,  # else each new test client would list all static files
        PASSWORD_HASHERS=[FAST_HASHER, *settings.PASSWORD_HASHERS],
    ):
        yield


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        if uses_database(item):
            item.add_marker("database")


def pytest_collection_finish() -> None:
    """Leave what the run itself holds out of each search for unreachable objects.

    Half a million objects of modules and collected tests were looked through again and again: a
    tenth of the time.
    """
    gc.collect()
    gc.freeze()
    gc.set_threshold(50_000, 20, 20)


def uses_database(item: pytest.Item) -> bool:
    case = getattr(item, "cls", None)
    if case is not None and issubclass(case, TransactionTestCase):
        return True
    fixtures = set(getattr(item, "fixturenames", ()))
    plain = case is not None and issubclass(case, SimpleTestCase)
    return not plain and bool(item.get_closest_marker("django_db") or fixtures & DATABASE_FIXTURES)


@pytest.hookimpl(tryfirst=True)
def pytest_runtest_setup(item: pytest.Item) -> None:
    for mark in item.iter_markers():
        if lack := needs.missing(mark):
            if os.environ.get("REGISTRY_TESTS_NO_SKIP") == "1":
                pytest.fail(f"This test needs {lack}, and REGISTRY_TESTS_NO_SKIP=1.", pytrace=False)
            pytest.skip(needs.NOT_HERE + lack)


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    skipped = terminalreporter.stats.get("skipped", [])
    for line in needs.tell([report.longrepr[-1] for report in skipped]):
        terminalreporter.write_line(line, red=True, bold=True)
