"""0011 fills in, for outlooks stored before it, the chance at the worst place from their spots.

The rows are written by hand on the tables as 0010 left them, in a database file of their own.
"""

from datetime import UTC, date, datetime

import pytest
from django.db import connections
from django.db.backends.sqlite3.base import DatabaseWrapper
from django.db.migrations.executor import MigrationExecutor
from django.test import override_settings

pytestmark = pytest.mark.slow
BEFORE = [("registry", "0010_prices_of_cleaning")]
AFTER = [("registry", "0011_chance_at_the_worst_place")]
MANY = 1_203
"""More than two of the pieces of 500 in which rows are filled in."""


def spot(name, p_below, **more):
    return {"name": name, "p_below": p_below, **more}


ROWS = {
    "a spot is worst": (0.2, [spot("T1", 0.3), spot("T2", 0.5), spot("T3", 0.1)], (0.5, "T2")),
    "the whole is worst": (0.4, [spot("T1", 0.3)], (0.4, "")),
    "the same: the whole": (0.3, [spot("T1", 0.3)], (0.3, "")),
    "no spots": (0.7, [], (0.7, "")),
    "certain": (0.0, [spot("T1", 1.0)], (1.0, "T1")),
    "never": (0.0, [spot("T1", 0.0)], (0.0, "")),
    "spot not decided": (0.1, [spot("T1", 0.9, why_not="too few tests")], (0.1, "")),
    "spot without a number": (0.1, [spot("T1", None), {"name": "T2"}], (0.1, "")),
    "only a spot known": (None, [spot("T1", 0.25, why_not="")], (0.25, "T1")),
    "nothing known": (None, [spot("T1", None)], (None, "")),
}


@pytest.fixture
def own_database(tmp_path, django_db_blocker):
    """A database file of this test's own in the place of the default one."""
    usual = connections["default"]
    settings = {**usual.settings_dict, "NAME": str(tmp_path / "old.sqlite3"), "OPTIONS": {}}
    settings["ENGINE"] = "django.db.backends.sqlite3"
    own = DatabaseWrapper(settings, "default")
    with django_db_blocker.unblock(), override_settings(MIGRATION_MODULES={}):
        connections["default"] = own
        try:
            yield own
        finally:
            own.close()
            connections["default"] = usual


def store(apps, rows):
    """Store pavements and their outlooks, by (name, chance, spots); chances may be None."""
    get = apps.get_model
    site = get("registry", "Site").objects.create(name="Mill", time_zone="America/New_York")
    pavements = get("registry", "Pavement").objects.bulk_create(
        get("registry", "Pavement")(site=site, name=name, surface="pervious_concrete")
        for name, _, _ in rows
    )
    get("registry", "Outlook").objects.bulk_create(
        get("registry", "Outlook")(
            pavement=pavement,
            as_of_on=date(2024, 5, 1),
            worked_out_at=datetime(2024, 5, 1, tzinfo=UTC),
            why_not="too few tests" if chance is None else "",
            p_below=chance,
            spots=spots,
        )
        for pavement, (_, chance, spots) in zip(pavements, rows, strict=True)
    )


def test_old_outlooks_get_the_chance_at_their_worst_place(own_database):
    executor = MigrationExecutor(own_database)
    executor.migrate(BEFORE)
    many = [(f"lot {n}", n / MANY / 2, [spot("U", n / MANY)]) for n in range(MANY)]
    by_hand = [(name, chance, spots) for name, (chance, spots, _) in ROWS.items()]
    store(executor.loader.project_state(BEFORE).apps, many + by_hand)

    executor = MigrationExecutor(own_database)  # a new one reads anew what was applied
    executor.migrate(AFTER)
    outlooks = executor.loader.project_state(AFTER).apps.get_model("registry", "Outlook").objects
    columns = ("pavement__name", "worst_p_below", "worst_place")
    found = {name: (chance, place) for name, chance, place in outlooks.values_list(*columns)}

    assert {name: found.pop(name) for name in ROWS} == {name: row[2] for name, row in ROWS.items()}
    assert found == {f"lot {n}": (n / MANY, "U" if n else "") for n in range(MANY)}
