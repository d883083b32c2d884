"""Take the second factor off for a person who lost phone and recovery codes."""

from allauth.mfa.models import Authenticator
from django.core.mail import send_mail
from django.db import transaction
from django.utils import timezone

from registry.actions.write_journal import write_line
from registry.faults import DomainError
from registry.models import Person


class NoSecondFactor(DomainError):
    """Nobody signs in with the address, or no second factor is on."""


@transaction.atomic
def take_off_second_factor(*, email: str, why: str) -> Person:
    """Let a person sign in by the password alone, and return them; the journal says why.

    For who runs the server and knows the person: nobody does it from a page. Recovery codes go too.
    Raises NoSecondFactor.
    """
    if not why.strip():
        raise NoSecondFactor("Say why, and how you know that it is the person who asks.")
    person = Person.objects.filter(email__iexact=email.strip()).first()
    if person is None:
        raise NoSecondFactor(f"Nobody signs in as {email}.")
    removed, _ = Authenticator.objects.filter(user=person).delete()
    if not removed:
        raise NoSecondFactor(f"{person.email} has no second factor on.")
    write_line(person, "second factor taken off", by=None, why=why)
    return person


def mail_taken_off(person: Person) -> None:
    """Tell the person. Raises OSError (SMTPException is one) where the mail cannot be sent.

    Called after the change is stored, so that a mail server out of order loses nothing.
    """
    send_mail(
        subject="Pavement registry: your second factor was taken off",
        message=(
            f"The second factor of {person.email} was taken off on {timezone.now():%Y-%m-%d} by "
            "who runs the server; the password alone signs in now. Turn it on anew after signing "
            "in, below your name. If you did not ask for this, tell who runs the server at once."
        ),
        from_email=None,
        recipient_list=[person.email],
    )
