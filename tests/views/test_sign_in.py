"""Signing in, being locked out, forgotten passwords and the second factor."""

import re
from datetime import timedelta

import pytest
from allauth.mfa.models import Authenticator
from allauth.mfa.recovery_codes.internal.auth import RecoveryCodes
from allauth.mfa.totp.internal import auth as totp
from axes.models import AccessAttempt
from django.core import mail
from django.core.cache import cache
from django.test import Client
from django.urls import NoReverseMatch, reverse
from django.utils import timezone

from registry import settings as as_run
from tests.factories import PersonFactory

PASSWORD = "rain on the stone"
pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def nobody_is_slowed_down_by_an_earlier_test():
    cache.clear()


@pytest.fixture
def person():
    return PersonFactory(email="ann@example.org", password=PASSWORD)


def sign_in(client, password, email="ann@example.org", **extra):
    data = {"login": email, "password": password, "next": reverse("mfa_index")}
    return client.post(reverse("account_login"), data, **extra)


def is_signed_in(client):
    return client.get(reverse("mfa_index")).status_code == 200


def codes_of(secret):
    counters = totp.yield_hotp_counters_from_time()
    return [totp.format_hotp_value(totp.hotp_value(secret, counter)) for counter in counters]


def test_right_password_signs_in_whatever_the_case_of_the_address(client, person):
    assert sign_in(client, PASSWORD, email="Ann@Example.ORG").status_code == 302
    assert is_signed_in(client)


def test_wrong_password_does_not_sign_in(client, person):
    response = sign_in(client, "rain on the roof")
    assert response.status_code == 200
    assert not is_signed_in(client)


def test_fifth_wrong_password_locks_out_for_a_quarter_of_an_hour(client, person):
    for _ in range(4):
        assert sign_in(client, "rain on the roof").status_code == 200
    fifth = sign_in(client, "rain on the roof")
    assert fifth.status_code == 429
    assert "locked for 15 minutes" in fifth.content.decode()
    assert sign_in(client, PASSWORD).status_code == 429
    assert not is_signed_in(client)


def test_lock_ends_after_a_quarter_of_an_hour_though_somebody_kept_trying(client, person):
    for _ in range(5):
        sign_in(client, "rain on the roof")
    early = timezone.now() - timedelta(minutes=16)
    AccessAttempt.objects.update(attempt_time=early)
    assert sign_in(client, PASSWORD).status_code == 302
    assert is_signed_in(client)


def test_trying_while_locked_does_not_make_the_lock_longer(client, person):
    for _ in range(5):
        sign_in(client, "rain on the roof")
    early = timezone.now() - timedelta(minutes=14)
    AccessAttempt.objects.update(attempt_time=early)
    assert sign_in(client, "rain on the roof").status_code == 429
    assert AccessAttempt.objects.get().attempt_time == early


def test_lock_is_for_one_name_from_one_address(client, person):
    PersonFactory(email="bob@example.org", password=PASSWORD)
    for _ in range(5):
        sign_in(client, "rain on the roof")
    assert sign_in(client, PASSWORD, email="bob@example.org").status_code == 302
    client.logout()
    assert sign_in(client, PASSWORD, REMOTE_ADDR="192.0.2.7").status_code == 302


def test_address_in_other_letters_is_the_same_name(client, person):
    for email in ("ann@example.org", "ANN@example.org", "Ann@Example.org", " ann@example.org"):
        sign_in(client, "rain on the roof", email=email)
    assert sign_in(client, "rain on the roof", email="aNN@example.org").status_code == 429


def test_unknown_address_is_locked_in_the_same_way(client):
    answers = [sign_in(client, "rain on the roof", email="no@example.org") for _ in range(5)]
    assert [a.status_code for a in answers] == [200, 200, 200, 200, 429]


def test_success_forgets_earlier_slips(client, person):
    for _ in range(4):
        sign_in(client, "rain on the roof")
    sign_in(client, PASSWORD)
    client.logout()
    assert sign_in(client, "rain on the roof").status_code == 200


def test_one_address_cannot_go_through_many_names(client, settings):
    assert settings.ACCOUNT_RATE_LIMITS == {"login_failed": "30/m/ip"}
    settings.ACCOUNT_RATE_LIMITS = {"login_failed": "3/m/ip"}
    answers = [sign_in(client, "x" * 12, email=f"p{n}@example.org") for n in range(4)]
    said = ["Too many" in answer.content.decode() for answer in answers]
    assert said == [False, False, False, True]


def test_closed_account_may_not_sign_in(client, person):
    person.is_active = False
    person.save(update_fields=["is_active"])
    assert sign_in(client, PASSWORD).url == reverse("account_inactive")
    assert not is_signed_in(client)


def test_signing_out_needs_a_press(client, person):
    client.force_login(person)
    client.get(reverse("account_logout"))
    assert is_signed_in(client)
    client.post(reverse("account_logout"))
    assert not is_signed_in(client)


@pytest.mark.parametrize("name", ["account_signup", "account_email"])
def test_nobody_signs_up_or_changes_an_address(name):
    with pytest.raises(NoReverseMatch):
        reverse(name)


def test_forgotten_password_is_set_anew_by_a_mailed_link(client, person):
    client.post(reverse("account_reset_password"), {"email": "Ann@example.org"})
    link = re.search(r"http://testserver(\S+)", mail.outbox[0].body)[1]
    page = client.get(link, follow=True)
    new = {"password1": "stone under the rain", "password2": "stone under the rain"}
    client.post(page.redirect_chain[-1][0], new)
    assert sign_in(client, "stone under the rain").status_code == 302
    assert "used already" in client.get(link, follow=True).content.decode()


def test_links_for_a_new_password_are_not_tried_out(client, person):
    client.post(reverse("account_reset_password"), {"email": "ann@example.org"})
    link = re.search(r"http://testserver(\S+)", mail.outbox[0].body)[1]
    guesses = [link.rstrip("/")[:-6] + f"{n:06d}/" for n in range(21)]
    assert [client.get(guess).status_code for guess in guesses] == [200] * 20 + [429]
    assert client.get(link).status_code == 429
    assert client.get(link, REMOTE_ADDR="10.0.0.9").status_code == 302


def test_forgotten_password_of_a_stranger_mails_nothing_and_says_the_same(client, person):
    known = client.post(reverse("account_reset_password"), {"email": "ann@example.org"})
    unknown = client.post(reverse("account_reset_password"), {"email": "no@example.org"})
    assert known.url == unknown.url
    assert [m.to for m in mail.outbox] == [["ann@example.org"]]


@pytest.mark.parametrize("password", ["short", "123456789012", "ann@example.org", "password1234"])
def test_weak_password_is_refused(client, person, password):
    client.force_login(person)
    data = {"oldpassword": PASSWORD, "password1": password, "password2": password}
    client.post(reverse("account_change_password"), data)
    person.refresh_from_db()
    assert person.check_password(PASSWORD)


def test_changed_password_is_told_by_mail(client, person):
    client.force_login(person)
    new = "stone under the rain"
    data = {"oldpassword": PASSWORD, "password1": new, "password2": new}
    client.post(reverse("account_change_password"), data)
    person.refresh_from_db()
    assert person.check_password(new)
    assert "How you sign in was changed on 20" in mail.outbox[0].body


def test_second_factor_is_turned_on_with_a_code_from_the_square(client, person):
    client.force_login(person)
    again = client.get(reverse("mfa_activate_totp")).url
    assert again.startswith(reverse("account_reauthenticate"))
    page = client.post(again, {"password": PASSWORD}, follow=True)
    assert '<img class="code-square" src="data:image/svg+xml;base64,' in page.content.decode()
    secret = page.context["form"].secret
    client.post(reverse("mfa_activate_totp"), {"code": codes_of(secret)[0]})
    kinds = set(Authenticator.objects.values_list("type", flat=True))
    assert kinds == {"totp", "recovery_codes"}


@pytest.fixture
def guarded(person):
    secret = "JBSWY3DPEHPK3PXP"
    totp.TOTP.activate(person, secret)
    RecoveryCodes.activate(person)
    return secret


def test_password_alone_is_not_enough_with_a_second_factor(client, person, guarded):
    assert sign_in(client, PASSWORD).url.startswith(reverse("mfa_authenticate"))
    assert not is_signed_in(client)
    client.post(reverse("mfa_authenticate"), {"code": codes_of(guarded)[0]})
    assert is_signed_in(client)


def test_one_time_code_works_once_whatever_process_it_comes_to(client, person, guarded):
    """RFC 6238, 5.2. A cache is each process's own: another process has an empty one."""
    step = reverse("mfa_authenticate")
    code = codes_of(guarded)[0]
    sign_in(client, PASSWORD)
    assert client.post(step, {"code": code}).status_code == 302
    assert is_signed_in(client)
    cache.clear()
    other = Client()
    sign_in(other, PASSWORD)
    assert other.post(step, {"code": f"{code[:3]}-{code[3:]} "}).status_code == 200
    assert not is_signed_in(other)
    assert AccessAttempt.objects.count() == 1, "and it counts as a wrong code"


def test_recovery_code_works_once(client, person, guarded):
    code = RecoveryCodes(Authenticator.objects.get(type="recovery_codes")).get_unused_codes()[0]
    for expected in (True, False):
        sign_in(client, PASSWORD)
        client.post(reverse("mfa_authenticate"), {"code": code})
        assert is_signed_in(client) is expected
        client.logout()


def test_wrong_codes_lock_out_like_wrong_passwords(client, person, guarded):
    sign_in(client, PASSWORD)
    codes = [client.post(reverse("mfa_authenticate"), {"code": "000000"}) for _ in range(5)]
    assert [c.status_code for c in codes] == [200, 200, 200, 200, 429]
    right = client.post(reverse("mfa_authenticate"), {"code": codes_of(guarded)[0]})
    assert right.status_code == 429
    assert not is_signed_in(client)
    assert sign_in(Client(), PASSWORD).status_code == 429


def test_wrong_codes_are_counted_though_the_password_is_given_again(client, person, guarded):
    for _ in range(4):
        sign_in(client, PASSWORD)
        client.post(reverse("mfa_authenticate"), {"code": "000000"})
    sign_in(client, PASSWORD)
    assert client.post(reverse("mfa_authenticate"), {"code": "000000"}).status_code == 429


def test_passwords_are_kept_as_argon2(client, settings):
    settings.PASSWORD_HASHERS = as_run.PASSWORD_HASHERS
    person = PersonFactory(email="ann@example.org", password=PASSWORD)
    assert person.password.startswith("argon2$argon2id$")
    assert sign_in(client, PASSWORD).status_code == 302
    assert is_signed_in(client)


def test_behind_the_proxy_only_its_own_word_for_the_address_counts(client, person, settings):
    settings.ALLAUTH_TRUSTED_PROXY_COUNT = 1
    for n in range(4):
        sign_in(client, "rain on the roof", HTTP_X_FORWARDED_FOR=f"192.0.2.{n}, 198.51.100.1")
    last = sign_in(client, "rain on the roof", HTTP_X_FORWARDED_FOR="198.51.100.1")
    assert last.status_code == 429
    other = sign_in(client, PASSWORD, HTTP_X_FORWARDED_FOR="198.51.100.2")
    assert other.status_code == 302


def test_session_of_an_old_password_ends(client, person):
    client.force_login(person)
    person.set_password("stone under the rain")
    person.save(update_fields=["password"])
    assert not is_signed_in(client)
