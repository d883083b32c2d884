"""Calendar feeds against who guesses, listens, reads the log, or has left the firm."""

import io
import logging
import re
from urllib.parse import quote

import pytest
from django.conf import settings
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from registry.actions.count_feed_fetch import MOST
from registry.actions.make_calendar_feed import make_calendar_feed
from registry.log_words import WithoutSecrets
from registry.models import CalendarFeed
from tests.factories import CalendarFeedFactory, CrewFactory, MembershipFactory, WorkOrderFactory
from tests.views.record import manager_of, wrongs

pytestmark = pytest.mark.django_db


@pytest.fixture
def person():
    return manager_of()[1]


@pytest.fixture
def firm(person, client):
    client.force_login(person)
    return person.organisations.get()


@pytest.fixture
def path(firm, person):
    issued = make_calendar_feed(organisation=firm, crew=None, by=person)
    return "/" + issued.address.split("/", 3)[3]


@pytest.fixture
def log():
    """What the console would show, through the handler as the settings describe it."""
    told = io.StringIO()
    handler = logging.StreamHandler(told)
    for name in settings.LOGGING["handlers"]["console"]["filters"]:
        assert settings.LOGGING["filters"][name]["()"] == "registry.log_words.WithoutSecrets"
        handler.addFilter(WithoutSecrets())
    logger = logging.getLogger("django.request")
    logger.addHandler(handler)
    yield told
    logger.removeHandler(handler)


def test_log_never_holds_the_address_of_a_feed(path, log):
    secret = path.split("/")[2]
    CalendarFeed.objects.update(fetches=MOST, window_at=timezone.now())
    assert Client().get(path).status_code == 429
    assert Client().post(path).status_code == 405
    CalendarFeed.objects.update(revoked_at=timezone.now())
    assert Client().get(path).status_code == 404
    assert Client().get(path + "x").status_code == 404
    assert "Too Many Requests: /feeds/..." in log.getvalue()
    assert "Not Found: /feeds/..." in log.getvalue()
    assert secret not in log.getvalue()


def test_log_of_a_failure_holds_no_secret_in_its_traceback_either(path, log, monkeypatch):
    def fail(*_, **__):
        raise RuntimeError(f"while answering {path}")

    monkeypatch.setattr("registry.views.calendar_feed.write_feed", fail)
    answer = Client(raise_request_exception=False).get(path)
    assert answer.status_code == 500
    assert "RuntimeError: while answering /feeds/..." in log.getvalue()
    assert path.split("/")[2] not in log.getvalue()


@pytest.mark.parametrize("kind", ["invitation/{}/", "password/forgotten/{}/"])
def test_log_holds_no_other_secret_of_an_address(log, kind, db):
    secret = "4-abcdefSECRET"
    logging.getLogger("django.request").warning("Not Found: %s", "/" + kind.format(secret))
    assert "SECRET" not in log.getvalue() and "..." in log.getvalue()


@pytest.mark.parametrize(
    "secret", ["", "\0", "%00", "²", "x" * 5000, "../..", "\ud7ff", "a%0d%0aSet-Cookie:x=1", "*"]
)
def test_address_that_was_never_given_out_is_not_found(path, secret):
    answer = Client().get(f"/feeds/{quote(secret)}/calendar.ics")
    assert answer.status_code == 404 and "Set-Cookie" not in answer.headers


def test_digest_of_an_address_opens_nothing(path):
    digest = CalendarFeed.objects.get().secret_digest
    assert Client().get(f"/feeds/{digest}/calendar.ics").status_code == 404


def test_feed_of_others_is_neither_made_nor_taken_back(client, firm):
    foreign = CalendarFeedFactory()
    crew = CrewFactory(organisation=foreign.organisation)
    there = reverse("calendar_feed_list", args=[foreign.organisation_id])
    assert client.post(there, {"whose": "organisation"}).status_code == 404
    here = reverse("calendar_feed_list", args=[firm.pk])
    assert "whose" in wrongs(client.post(here, {"whose": crew.pk}))
    back = reverse("calendar_feed_revoke", args=[foreign.pk])
    assert client.post(back).status_code == 404
    foreign.refresh_from_db()
    assert foreign.revoked_at is None and CalendarFeed.objects.count() == 1


def test_names_put_no_line_into_the_file(firm, path):
    pavement = firm.seats.get().pavement
    pavement.name = "lot\r\nBEGIN:VALARM\r\nACTION:EMAIL\u2028X:1\x85Y:1\x0bZ:1"
    pavement.save(update_fields=["name"])
    WorkOrderFactory(
        pavement=pavement, organisation=firm, sweeper=firm, state="dated",
        dated_for=timezone.localdate(), number="W;X=1,\nATTACH:x",
    )  # fmt: skip
    text = Client().get(path).content.decode()
    lines = text.replace("\r\n ", "").split("\r\n")
    assert any(line.startswith("SUMMARY") and "VALARM" in line for line in lines)
    assert not [line for line in lines if line.startswith(("BEGIN:VALARM", "ATTACH", "X:", "Y:"))]
    assert "\u2028" not in text and "\x85" not in text and "\x0b" not in text


def test_maker_who_left_leaves_an_empty_calendar_even_while_others_work_there(firm, path, person):
    WorkOrderFactory(
        pavement=firm.seats.get().pavement, organisation=firm, sweeper=firm, state="dated",
        dated_for=timezone.localdate(),
    )  # fmt: skip
    MembershipFactory(organisation=firm)
    assert b"BEGIN:VEVENT" in Client().get(path).content
    person.is_active = False
    person.save(update_fields=["is_active"])
    assert b"BEGIN:VEVENT" not in Client().get(path).content


def test_proxy_writes_no_such_address_into_its_log():
    """nginx: `access_log` of a server is in place of those further out, so each server has it."""
    conf = (settings.BASE_DIR / "deploy/proxy/nginx.conf").read_text()
    asked = re.search(r'"~(\^/\S+)" 0;', conf)
    assert asked is not None
    for name in ("feeds/abc/calendar.ics", "invitation/abc/", "password/forgotten/1-abc/"):
        assert re.match(asked[1], f"/{name}")
    servers = conf.split("\nserver {")[1:]
    assert len(servers) == 2
    assert all("if=$registry_logged;" in server for server in servers)
