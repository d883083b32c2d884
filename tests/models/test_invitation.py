"""Only a digest of an invitation is stored; it is open until used, withdrawn or too old."""

import pytest
from django.db import IntegrityError, transaction

from registry.models import Invitation, digest_of
from tests.factories import InvitationFactory
from tests.models.refusals import AT

pytestmark = pytest.mark.django_db


def test_digest_is_the_sha_256_of_the_secret():
    # FIPS 180-2, appendix B.1: the digest of "abc".
    assert digest_of("abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"


def test_one_secret_leads_to_one_invitation():
    InvitationFactory(token="t")
    with pytest.raises(IntegrityError, match="token_digest"), transaction.atomic():
        InvitationFactory(token="t")


@pytest.mark.parametrize(
    ("fields", "is_open"),
    [({}, True), ({"accepted_at": AT}, False), ({"withdrawn_at": AT}, False),
     ({"expires_at": AT}, False)],
)  # fmt: skip
def test_open_is_what_can_still_be_taken_up(fields, is_open):
    InvitationFactory(**fields)
    assert Invitation.objects.open(at=AT).exists() == is_open
