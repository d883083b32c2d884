"""Every page that is read asks the database at most 12 questions, however much is on record.

The pages are those of the access table, asked by some of the cast, at a pavement of many rows.
"""

from collections import deque
from collections.abc import Iterator
from copy import deepcopy

import pytest
from django.db import connection, transaction
from django.http import StreamingHttpResponse
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from registry.models import Organisation, Pavement
from tests.views.cast import World, world
from tests.views.many_rows import fill
from tests.views.test_access_table import ROWS

__all__ = ["world"]  # a fixture is found by its name here

MOST = 12
ASKING = ("manager", "municipality", "contractor in warranty", "sweeper")
"""Those of the cast whose rights are looked up in different ways."""


@pytest.fixture
def full_world(world: World) -> World:
    # Django asks SQLite once in the life of a connection whether it knows JSON; no page asks it.
    assert connection.features.supports_json_field
    pavement = Pavement.objects.get(pk=world.subjects["pavement"][0])
    fill(pavement, Organisation.objects.get(name="manager"))
    return world


def _counts(world: World, name: str) -> Iterator[tuple[tuple[str, str], int]]:
    client = Client()
    client.force_login(world.people[name])
    signed_in = deepcopy(client.cookies)
    for row in ROWS:
        if row["method"] != "GET" or row[name] != "200":
            continue
        client.cookies = deepcopy(signed_in)
        address = reverse(row["url_name"], args=world.subjects[row["about"]])
        with transaction.atomic(), CaptureQueriesContext(connection) as asked:
            response = client.get(address)
            if isinstance(response, StreamingHttpResponse):
                deque(response, maxlen=0)
        yield (row["url_name"], row["about"]), len(asked)


@pytest.mark.parametrize("name", ASKING)
def test_no_page_asks_more_than_twelve_questions(full_world: World, name: str):
    asked = dict(_counts(full_world, name))
    assert asked
    assert {page: count for page, count in asked.items() if count > MOST} == {}
