"""Whether the parts that the registry stands on answer: database, file storage, worker."""

import os
from datetime import datetime, timedelta

from django.core.files.storage import FileSystemStorage, storages
from django.db import DatabaseError, connection
from django_tasks_db.models import DBTaskResult

LONGEST_WAIT = timedelta(minutes=10)
"""A task that waited longer says that no worker is taking any."""


def database_fault() -> str:
    """Return what is wrong with the database, or an empty string."""
    try:
        with connection.cursor() as cursor:
            cursor.execute("SELECT 1")
    except DatabaseError as fault:
        return f"does not answer: {type(fault).__name__}"
    return ""


def storage_fault() -> str:
    """Return what is wrong with the place where files are kept, or an empty string."""
    storage = storages["default"]
    if isinstance(storage, FileSystemStorage):
        place = storage.location
        parent = place if os.path.isdir(place) else os.path.dirname(place)
        return "" if os.access(parent, os.W_OK) else "cannot be written to"
    try:
        storage.exists("healthz")
    except OSError as fault:
        return f"does not answer: {type(fault).__name__}"
    return ""


def worker_fault(at: datetime) -> str:
    """Return how long the oldest ready task waits for a worker, where that is too long."""
    waiting = DBTaskResult.objects.ready().filter(enqueued_at__lt=at - LONGEST_WAIT)
    oldest = waiting.order_by("enqueued_at").first()
    if oldest is None:
        return ""
    minutes = int((at - oldest.enqueued_at).total_seconds() // 60)
    return f"a task waits since {minutes} minutes"
