"""A real browser for pages served by Django's live server.

Tests wait with `expect(locator)`: the content policy forbids predicates given as strings. What
reads at once (`count`, a sweep for barriers) waits for the page to be loaded whole before it: a
press returns when the answer has begun to come in.
"""

from collections.abc import Callable, Iterator

import pytest
from django.conf import settings
from django.test import Client
from playwright.sync_api import Browser, Page, ViewportSize, sync_playwright

from tests.needs import chromium_path

PHONE = ViewportSize(width=360, height=740)
DESK = ViewportSize(width=1280, height=900)
# Quiet on a machine without the internet: no look-ups of the browser's own.
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """One browser for the run; each test has a context of its own."""
    with pytest.MonkeyPatch.context() as patch, sync_playwright() as playwright:
        # Playwright's loop runs in this thread, which Django takes for asynchronous code.
        patch.setenv("DJANGO_ALLOW_ASYNC_UNSAFE", "true")
        browser = playwright.chromium.launch(executable_path=chromium_path(), args=FLAGS)
        yield browser
        browser.close()


@pytest.fixture
def open_page(chromium: Browser, live_server) -> Iterator[Callable[..., Page]]:
    """Return `open_page(path, person=None, size=DESK)`: a page, signed in if a person is given.

    The test fails at its end if any page wrote an error to the console: a script's, a missing
    file's, or what the content policy refused.
    """
    contexts, errors = [], []

    def open_one(path: str, person=None, size: ViewportSize = DESK) -> Page:
        context = chromium.new_context(
            viewport=size, base_url=live_server.url, has_touch=size == PHONE
        )
        contexts.append(context)
        if person is not None:
            context.add_cookies([session_cookie(person, live_server.url)])
        page = context.new_page()
        page.on("console", lambda m: errors.append(m.text) if m.type == "error" else None)
        page.on("pageerror", lambda error: errors.append(str(error)))
        page.goto(path)
        return page

    yield open_one
    for context in contexts:
        context.close()
    assert errors == []


def session_cookie(person, url: str) -> dict[str, str]:
    client = Client()
    client.force_login(person, backend=settings.AUTHENTICATION_BACKENDS[-1])
    return {
        "name": settings.SESSION_COOKIE_NAME,
        "value": client.cookies[settings.SESSION_COOKIE_NAME].value,
        "url": url,
    }
