"""Take a form in once: the same one sent again stores nothing again."""

from collections.abc import Callable
from hashlib import sha256

from django.db import IntegrityError, transaction
from django.http import HttpResponseBase, QueryDict
from django.utils import timezone

from registry.models import Person, SentForm
from registry.models.sent_form import KEPT_FOR


class SentBefore(Exception):
    """This form was stored before, at `form.sent_at`; `form.answered_with` is where it led."""

    def __init__(self, form: SentForm) -> None:
        super().__init__(f"sent before, at {form.sent_at:%H:%M}")
        self.form = form


def key_of(person: Person, path: str, posted: QueryDict) -> str:
    """Return the fingerprint of a form: its key, its person, where it went and what it says.

    What it says counts, since a person may go back, write another value and mean a second record.
    """
    said = sorted((name, posted.getlist(name)) for name in posted if name != "csrfmiddlewaretoken")
    return sha256(repr((person.pk, path, said)).encode()).hexdigest()


def take_form(person: Person, key: str, work: Callable[[], HttpResponseBase]) -> HttpResponseBase:
    """Do the work of a form and remember where it led, both or neither.

    An answer that leads nowhere stored nothing (a question, a fault): the form may come again.
    Of two that come at once the second waits for the first. Raises `SentBefore`.
    """
    with transaction.atomic():
        try:
            with transaction.atomic():
                form = SentForm.objects.create(key=key, person=person)
        except IntegrityError:
            raise SentBefore(SentForm.objects.get(key=key)) from None
        response = work()
        if 300 <= response.status_code < 400:
            form.answered_with = response["Location"]
            form.save(update_fields=["answered_with"])
            old = timezone.now() - KEPT_FOR
            SentForm.objects.filter(person=person, sent_at__lt=old).delete()
        else:
            form.delete()
    return response
