"""A test whose tool is missing does not pass for a test that ran."""

import pytest

from tests import needs


@pytest.fixture
def bare_machine(monkeypatch: pytest.MonkeyPatch):
    needs.chromium_path.cache_clear()
    monkeypatch.setenv("PATH", "/nowhere")
    yield
    needs.chromium_path.cache_clear()


@pytest.mark.parametrize("name", ["browser", "gdal"])
def test_a_missing_program_is_named(name: str, bare_machine):
    assert "apt-get install" in needs.missing(getattr(pytest.mark, name).mark)


def test_a_server_that_nobody_runs_is_named(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setitem(needs.PORTS, "nobody", 1)
    assert needs.missing(pytest.mark.server("nobody").mark) == "nobody at 127.0.0.1:1"


def test_a_mark_that_needs_nothing_lacks_nothing():
    assert needs.missing(pytest.mark.slow.mark) is None


def test_the_end_of_the_run_counts_what_was_not_tested():
    gdal = "Skipped: " + needs.NOT_HERE + "GDAL"
    assert needs.tell([gdal, "Skipped: too dark", gdal]) == ["NOT TESTED: 2 for want of GDAL"]
