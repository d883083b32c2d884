"""REGISTRY_* variables, read strictly: an unknown name or a wrong value stops the start."""

import os
import secrets
from collections.abc import Mapping
from pathlib import Path

import environ
from django.core.exceptions import ImproperlyConfigured

KNOWN = {
    "REGISTRY_DATABASE_URL",
    "REGISTRY_MEDIA_ROOT",
    "REGISTRY_SECRET_KEY",
    "REGISTRY_DEBUG",
    "REGISTRY_ALLOWED_HOSTS",
    "REGISTRY_HTTPS",
    "REGISTRY_PUBLIC_URL",
    "REGISTRY_TASKS",
    "REGISTRY_BROKER_URL",
    "REGISTRY_STORAGE_URL",
    "REGISTRY_MAIL_URL",
    "REGISTRY_TESTS_NO_SKIP",
}
TASK_RUNNERS = ("embedded", "celery")


def refuse_unknown(variables: Mapping[str, str]) -> None:
    """Raise ImproperlyConfigured where a REGISTRY_ name is not one of ours (a typing slip)."""
    unknown = sorted(n for n in variables if n.startswith("REGISTRY_") and n not in KNOWN)
    if unknown:
        raise ImproperlyConfigured(
            f"Unknown setting {', '.join(unknown)}. Known: {', '.join(sorted(KNOWN))}."
        )


def read_flag(env: environ.Env, name: str, *, default: bool) -> bool:
    """Read true or false; any other word is an error, so that `flase` does not mean false."""
    text = env.str(name, default=str(default)).strip().lower()
    if text not in {"true", "false"}:
        raise ImproperlyConfigured(f"{name} must be true or false, not {text!r}.")
    return text == "true"


def read_choice(env: environ.Env, name: str, choices: tuple[str, ...]) -> str:
    """Read one of the given words; the first is the default."""
    text = env.str(name, default=choices[0])
    if text not in choices:
        raise ImproperlyConfigured(f"{name} must be one of {', '.join(choices)}, not {text!r}.")
    return text


def secret_key(env: environ.Env, data_dir: Path) -> str:
    """Return the given key, or one made once and kept readable by its owner alone."""
    given = env.str("REGISTRY_SECRET_KEY", default="")
    if given:
        return given
    path = data_dir / "secret_key"
    try:
        with open(path, "x", opener=_owner_only) as file:
            file.write(secrets.token_urlsafe(64))
    except FileExistsError:
        pass
    return path.read_text()


def _owner_only(path: str, flags: int) -> int:
    return os.open(path, flags, 0o600)


def sqlite_options() -> dict[str, object]:
    """Return the options under which several writers share one file.

    IMMEDIATE takes the write lock at the start of a transaction, so a read-then-write waits
    instead of failing; WAL with synchronous=FULL keeps an acknowledged commit over a power cut.
    """
    return {
        "transaction_mode": "IMMEDIATE",
        "timeout": 20,
        "init_command": "PRAGMA journal_mode=WAL;PRAGMA synchronous=FULL;",
    }
