"""Who waits for the one lock of SQLite gets it between the parts of long work."""

import pytest
from django.db import connection

from registry.actions import give_way as module
from registry.actions.refresh_dues import AT_ONCE, refresh_dues_in_parts

MANY = range(1, 2 * AT_ONCE + 2)


@pytest.fixture
def pauses(monkeypatch):
    found = []
    monkeypatch.setattr(module.time, "sleep", found.append)
    return found


@pytest.mark.django_db(transaction=True)
def test_long_work_pauses_after_each_part_where_one_file_has_one_lock(pauses):
    refresh_dues_in_parts(MANY)
    assert pauses == ([module.GAP_S] * 3 if connection.vendor == "sqlite" else [])


@pytest.mark.django_db
def test_within_a_transaction_nobody_could_come_in_between(pauses):
    refresh_dues_in_parts(MANY)
    assert pauses == []
