"""Settings of the environment are read strictly."""

import environ
import pytest
from django.core.exceptions import ImproperlyConfigured

from registry.environment import read_choice, read_flag, refuse_unknown, secret_key


@pytest.fixture
def env(monkeypatch):
    monkeypatch.delenv("REGISTRY_SECRET_KEY", raising=False)
    return environ.Env()


def test_unknown_name_stops_the_start_and_names_the_known_ones():
    with pytest.raises(ImproperlyConfigured, match="REGISTRY_DEBUGG"):
        refuse_unknown({"REGISTRY_DEBUGG": "true", "HOME": "/"})
    refuse_unknown({"REGISTRY_DEBUG": "true", "HOME": "/"})


@pytest.mark.parametrize("text", ["flase", "1", "yes", ""])
def test_flag_is_true_or_false_and_nothing_else(env, monkeypatch, text):
    monkeypatch.setenv("REGISTRY_DEBUG", text)
    with pytest.raises(ImproperlyConfigured, match="true or false"):
        read_flag(env, "REGISTRY_DEBUG", default=False)


def test_missing_flag_takes_its_default(env, monkeypatch):
    monkeypatch.delenv("REGISTRY_HTTPS", raising=False)
    assert read_flag(env, "REGISTRY_HTTPS", default=True) is True


def test_choice_outside_the_words_stops_the_start(env, monkeypatch):
    monkeypatch.setenv("REGISTRY_TASKS", "threads")
    with pytest.raises(ImproperlyConfigured, match="embedded, celery"):
        read_choice(env, "REGISTRY_TASKS", ("embedded", "celery"))


def test_key_is_made_once_and_readable_by_its_owner_alone(env, tmp_path):
    first = secret_key(env, tmp_path)
    assert len(first) >= 64
    assert secret_key(env, tmp_path) == first
    assert (tmp_path / "secret_key").stat().st_mode & 0o077 == 0


def test_given_key_wins_over_the_kept_one(env, monkeypatch, tmp_path):
    secret_key(env, tmp_path)
    monkeypatch.setenv("REGISTRY_SECRET_KEY", "given")
    assert secret_key(env, tmp_path) == "given"
