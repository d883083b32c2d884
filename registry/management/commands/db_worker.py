"""The worker of the queue, which also takes up lost work and queues each day's own.

The queue itself never hands out a job twice: one whose worker was killed would stay "running" for
ever. So a worker looks for lost work when it starts and every minute after,
and for what is to be done once a day.
"""

import logging
from threading import Event, Thread
from typing import Any

from django.db import OperationalError, close_old_connections, connection
from django_tasks_db.management.commands.db_worker import Command as QueueCommand

from registry.actions.queue_work import queue_daily_work
from registry.actions.take_up_lost_work import take_up_lost_work

LOOKS_EVERY_S = 60.0

logger = logging.getLogger("registry")


class Command(QueueCommand):
    """`db_worker`, with a look for lost work beside it."""

    def handle(self, **options: Any) -> None:
        # Once before the first job is taken: two at the same table would only wait for each other.
        look_once()
        done = Event()
        watch = Thread(target=look_for_lost_work, args=(done,), name="lost work", daemon=True)
        watch.start()
        try:
            super().handle(**options)
        finally:
            done.set()
            watch.join(timeout=5)


def look_once() -> None:
    """Take up lost work, and queue what is to be done once a day."""
    try:
        take_up_lost_work()
        queue_daily_work()
    except OperationalError as fault:
        # A locked or restarting database: the next look finds the same work.
        logger.warning("Looking for lost work: %s", fault)


def look_for_lost_work(done: Event, every_s: float = LOOKS_EVERY_S) -> None:
    """Look again every so many seconds, until told that it is done."""
    while not done.wait(every_s):
        close_old_connections()
        try:
            look_once()
        finally:
            connection.close()
