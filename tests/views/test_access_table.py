"""Every page against everybody: access_table.csv says which status each of the cast gets.

A row names a page, a method and what it is about (a subject of cast.py); one column for each of
the cast. A page without a row does not pass. A request is undone after it was answered.

A page that is read asks the database at most 12 questions, whoever reads it and however much is
on record: some of the cast look at a pavement of many rows.
"""

import csv
from collections import deque
from collections.abc import Iterator
from copy import deepcopy
from pathlib import Path

import pytest
from django.db import connection, transaction
from django.http import HttpResponseBase, StreamingHttpResponse
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import URLPattern, URLResolver, get_resolver, reverse

from registry.models import Organisation, Pavement
from tests.views.cast import CAST, World, world
from tests.views.many_rows import fill

__all__ = ["world"]  # a fixture is found by its name here

TABLE = Path(__file__).with_name("access_table.csv")
with TABLE.open(newline="") as file:
    ROWS = list(csv.DictReader(file))
KEYS = [(row["url_name"], row["method"], row["about"]) for row in ROWS]


def names_of(resolver: URLResolver, namespace: str = "") -> Iterator[str]:
    for pattern in resolver.url_patterns:
        if isinstance(pattern, URLResolver):
            inner = f"{namespace}{pattern.namespace}:" if pattern.namespace else namespace
            yield from names_of(pattern, inner)
        elif isinstance(pattern, URLPattern):
            yield f"{namespace}{pattern.name}"


def test_every_page_has_a_row_and_every_row_a_page():
    assert {row["url_name"] for row in ROWS} == set(names_of(get_resolver()))


def test_table_has_a_column_for_each_of_the_cast_and_no_row_twice():
    assert set(ROWS[0]) == {"url_name", "method", "about", *CAST}
    assert len(set(KEYS)) == len(KEYS)
    assert {row["method"] for row in ROWS} <= {"GET", "POST"}


def _read_to_the_end(response: HttpResponseBase) -> None:
    """As a web server does with a file. `close()` would close the test's own connection too."""
    if isinstance(response, StreamingHttpResponse):
        deque(response, maxlen=0)


MOST_QUESTIONS = 12
AT_MANY_ROWS = ("manager", "municipality", "contractor in warranty", "sweeper")
"""Those of the cast whose rights are looked up in different ways."""


def answers(world: World, name: str) -> Iterator[tuple[str, int]]:
    """The status of each row and the questions it took, asked by one browser: signing in anew took
    a fifth of the time.
    """
    client, person = Client(), world.people[name]
    if person is not None:
        client.force_login(person)
    signed_in = deepcopy(client.cookies)
    for row in ROWS:
        client.cookies = deepcopy(signed_in)
        address = reverse(row["url_name"], args=world.subjects[row["about"]])
        with transaction.atomic(), CaptureQueriesContext(connection) as asked:
            response = client.generic(row["method"], address)
            _read_to_the_end(response)
            transaction.set_rollback(True)
        yield str(response.status_code), len(asked)


@pytest.mark.parametrize("name", CAST)
def test_each_of_the_cast_gets_what_the_table_says_for_twelve_questions(world: World, name: str):
    # Django asks SQLite once in the life of a connection whether it knows JSON; no page asks it.
    assert connection.features.supports_json_field
    if name in AT_MANY_ROWS:
        pavement = Pavement.objects.get(pk=world.subjects["pavement"][0])
        fill(pavement, Organisation.objects.get(name="manager"))
    got = dict(zip(KEYS, answers(world, name), strict=True))
    assert {key: status for key, (status, _) in got.items()} == {
        key: row[name] for key, row in zip(KEYS, ROWS, strict=True)
    }
    read = {
        key: count for key, (status, count) in got.items() if (key[1], status) == ("GET", "200")
    }
    assert {key: count for key, count in read.items() if count > MOST_QUESTIONS} == {}
