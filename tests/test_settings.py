"""What the site is run with, whatever the tests put in its place."""

from django.contrib.auth.hashers import check_password, identify_hasher, make_password
from django.test import override_settings

from registry import settings


def test_passwords_are_stored_by_argon2_and_by_nothing_weaker():
    with override_settings(PASSWORD_HASHERS=settings.PASSWORD_HASHERS):
        stored = make_password("rain on the stone")
        assert check_password("rain on the stone", stored)
        assert not check_password("rain on the roof", stored)
    # RFC 9106, section 4: Argon2id; OWASP's password storage sheet (from memory): at least 19 MiB.
    hasher = identify_hasher(stored)
    assert hasher.algorithm == "argon2" and stored.startswith("argon2$argon2id$")
    assert hasher.decode(stored)["memory_cost"] >= 19 * 1024
    assert len(settings.PASSWORD_HASHERS) == 1
