"""Secrets of the second step of signing in, and whom wrong attempts are counted against."""

import pytest
from allauth.mfa.models import Authenticator
from allauth.mfa.recovery_codes.internal.auth import RecoveryCodes
from allauth.mfa.totp.internal.auth import TOTP
from cryptography.fernet import InvalidToken
from django.core.exceptions import PermissionDenied
from django.test import RequestFactory, override_settings

from registry.sign_in import SEALED, SecondStepAdapter, address_of, name_typed
from tests.factories import PersonFactory

SECRET = "JBSWY3DPEHPK3PXP"


@pytest.fixture
def adapter() -> SecondStepAdapter:
    return SecondStepAdapter()


def test_a_secret_comes_back_and_is_not_stored_as_it_is(adapter):
    stored = adapter.encrypt(SECRET)
    assert stored.startswith(SEALED) and SECRET not in stored
    assert stored != adapter.encrypt(SECRET), "one secret is never stored twice alike"
    assert adapter.decrypt(stored) == SECRET


def test_a_secret_stored_before_still_works(adapter):
    assert adapter.decrypt(SECRET) == SECRET


def test_another_secret_key_refuses_in_words_and_never_gives_an_empty_secret(adapter):
    stored = adapter.encrypt(SECRET)
    with (
        override_settings(SECRET_KEY="another" * 10),
        pytest.raises(PermissionDenied, match="set it up anew") as refused,
    ):
        adapter.decrypt(stored)
    assert isinstance(refused.value.__cause__, InvalidToken)


def test_a_changed_secret_is_refused(adapter):
    stored = adapter.encrypt(SECRET)
    with pytest.raises(PermissionDenied):
        adapter.decrypt(stored[:-4] + "AAA=")


@pytest.mark.django_db
def test_the_library_stores_both_kinds_of_secret_encrypted(rf: RequestFactory):
    person = PersonFactory()
    totp = TOTP.activate(person, SECRET)
    codes = RecoveryCodes.activate(person)
    stored = {row.type: row.data for row in Authenticator.objects.all()}
    assert stored["totp"]["secret"].startswith(SEALED)
    assert stored["recovery_codes"]["seed"].startswith(SEALED)
    assert not any(code in str(stored) for code in codes.get_unused_codes())
    # RFC 6238: a code that was not made from the secret does not let in.
    assert not totp.validate_code("abcdef")


def test_attempts_are_counted_by_the_address_in_one_case(rf: RequestFactory):
    request = rf.post("/", {"login": " Ann@Example.org "})
    assert name_typed(request, None) == "ann@example.org"
    assert name_typed(request, {"email": "Bob@example.org"}) == "bob@example.org"


@pytest.mark.parametrize(("proxies", "address"), [(0, "127.0.0.1"), (1, "198.51.100.7")])
def test_only_the_own_proxys_word_for_an_address_counts(rf: RequestFactory, proxies, address):
    request = rf.get("/", headers={"X-Forwarded-For": "203.0.113.9, 198.51.100.7"})
    with override_settings(ALLAUTH_TRUSTED_PROXY_COUNT=proxies):
        assert address_of(request) == address
