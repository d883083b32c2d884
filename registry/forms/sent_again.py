"""What a form was sent, with some of it replaced before it is shown again."""

from collections.abc import Mapping
from typing import Any

from django.http import QueryDict


def sent_again(data: Any, fresh: Mapping[str, str]) -> QueryDict:
    """Return a copy of what was sent, several values of a name included, with `fresh` in it."""
    sent = QueryDict(mutable=True)
    sent.update(data)
    for name, text in fresh.items():
        sent[name] = text
    return sent
