"""What one page asks for again and again is fetched once.

Only while a page is read: a GET writes nothing, so no answer can change before its page is done
(`access.once` opens and closes the page). Outside of one (actions, commands, the worker, a form
that was sent) everything is asked anew.
"""

from collections.abc import Callable, Hashable
from contextvars import ContextVar
from typing import TypeVar, cast

Answer = TypeVar("Answer")

kept_on_this_page: ContextVar[dict[Hashable, object] | None] = ContextVar("kept", default=None)


def is_page_open() -> bool:
    """Say whether a page is being read, so that what is kept now is there for those who ask."""
    return kept_on_this_page.get() is not None


def keep(key: Hashable, answer: object) -> None:
    """Keep an answer that was fetched in another way, for those who ask later on this page."""
    answers = kept_on_this_page.get()
    if answers is not None:
        answers[key] = answer


def kept(key: Hashable, fetch: Callable[[], Answer]) -> Answer:
    """Return what `fetch` gave for this key earlier on this page, else what it gives now.

    Rows given out so are shared by all who ask on that page: nobody may change them.
    """
    answers = kept_on_this_page.get()
    if answers is None:
        return fetch()
    if key not in answers:
        answers[key] = fetch()
    return cast(Answer, answers[key])
