"""Who lost phone and recovery codes signs in by the password alone again; it is told and kept."""

from io import StringIO

import pytest
from allauth.mfa.models import Authenticator
from allauth.mfa.recovery_codes.internal.auth import RecoveryCodes
from allauth.mfa.totp.internal.auth import TOTP
from django.core.management import CommandError, call_command

from registry.models import JournalLine
from tests.factories import PersonFactory

pytestmark = pytest.mark.django_db


def take_off(email: str, why: str = "came in person") -> str:
    out = StringIO()
    call_command("take_off_second_factor", email, why=why, stdout=out)
    return out.getvalue()


def test_both_kinds_of_code_go_for_this_person_alone_and_the_person_is_told(mailoutbox):
    ann, ben = PersonFactory(email="ann@example.org"), PersonFactory()
    for person in (ann, ben):
        TOTP.activate(person, "JBSWY3DPEHPK3PXP")
        RecoveryCodes.activate(person)
    assert "by the password alone" in take_off("Ann@example.org")
    assert set(Authenticator.objects.values_list("user", flat=True)) == {ben.pk}
    line = JournalLine.objects.get()
    assert (line.verb, line.subject_id, line.why) == (
        "second factor taken off", ann.pk, "came in person",
    )  # fmt: skip
    assert [mail.to for mail in mailoutbox] == [["ann@example.org"]]


@pytest.mark.parametrize(
    ("email", "why", "said"),
    [
        ("no@example.org", "asked", "Nobody signs in as"),
        ("ann@example.org", "asked", "no second factor on"),
        ("ann@example.org", " ", "Say why"),
    ],
)
def test_what_is_not_there_or_not_said_is_refused_in_words(email, why, said):
    PersonFactory(email="ann@example.org")
    with pytest.raises(CommandError, match=said):
        take_off(email, why)
    assert not JournalLine.objects.exists()
