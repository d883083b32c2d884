"""System checks of a deployment: what would lose or leak something is said before it starts."""

import os
from collections.abc import Sequence
from pathlib import Path

from django.conf import settings
from django.core.checks import CheckMessage, Error, Tags, Warning, register

LOCAL = frozenset({"localhost", "127.0.0.1", "[::1]", "testserver"})


@register(Tags.security)
def check_served_safely(**_: object) -> Sequence[CheckMessage]:
    """Warn where the registry is served under a public name without HTTPS or in debug."""
    public = sorted(set(settings.ALLOWED_HOSTS) - LOCAL)
    found: list[CheckMessage] = []
    if public and not settings.HTTPS:
        found.append(
            Warning(
                f"Served under {', '.join(public)} without HTTPS: passwords cross the network "
                "in the open.",
                hint="Set REGISTRY_HTTPS=true behind a proxy that ends TLS.",
                id="registry.W001",
            )
        )
    if public and settings.DEBUG:
        found.append(
            Error(
                "REGISTRY_DEBUG is on under a public name; error pages would show the record.",
                hint="Leave REGISTRY_DEBUG out.",
                id="registry.E001",
            )
        )
    return found


@register(Tags.files)
def check_files_can_be_kept(**_: object) -> Sequence[CheckMessage]:
    """Refuse to start where files could not be written."""
    folder = Path(settings.MEDIA_ROOT)
    nearest = next(p for p in (folder, *folder.parents) if p.exists())
    if nearest.is_dir() and os.access(nearest, os.W_OK | os.X_OK):
        return []
    return [
        Error(
            f"Files cannot be kept: {nearest} is not a folder that may be written to.",
            hint="Set REGISTRY_MEDIA_ROOT to a folder of the web server's user.",
            id="registry.E002",
        )
    ]


@register()
def check_scale_is_built(**_: object) -> Sequence[CheckMessage]:
    """Refuse settings that promise more than is built."""
    wanted = [
        name
        for name, is_set in (
            ("REGISTRY_TASKS=celery", settings.TASKS_RUNNER == "celery"),
            ("REGISTRY_STORAGE_URL", bool(settings.STORAGE_URL)),
        )
        if is_set
    ]
    return [
        Error(f"{name} is not supported yet.", hint="Leave it out.", id="registry.E003")
        for name in wanted
    ]
