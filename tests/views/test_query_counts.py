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
from tests.views.test_access_table import KEYS, ROWS

__all__ = ["world"]  # a fixture is found by its name here

MOST = 12
MORE: dict[str, tuple[int, str]] = {
    "pavement_page": (15, "the line of what is due asks for its payer, owner, prices and orders"),
    "outlook_page": (13, "whoever runs the pool it joined is asked for beside the seats there"),
    "defect_page": (13, "a side that does not read all is asked whether it sees this very defect"),
}
"""Pages that may ask more, by url name: how many, and why."""

ASKING = ("owner", "municipality", "contractor in warranty", "sweeper")
"""Those of the cast whose rights are looked up in different ways."""


@pytest.fixture
def full_world(world: World) -> World:
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
    most = {page: MORE.get(page[0], (MOST, ""))[0] for page in asked}
    assert {page: count for page, count in asked.items() if count > most[page]} == {}


def test_exceptions_are_pages_of_the_table_and_have_a_reason():
    assert set(MORE) <= {url_name for url_name, method, _ in KEYS if method == "GET"}
    assert all(count > MOST and why for count, why in MORE.values())
