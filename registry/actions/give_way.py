"""Let others write between the parts of long work."""

import time

from django.db import connection

GAP_S = 0.05


def give_way() -> None:
    """Pause where the database is one file with one lock, between two transactions of long work.

    Who waits for that lock looks for it every 0.1 s at most (SQLite, `sqlite3_busy_timeout`) and
    is handed it by nobody: without a gap it finds it taken each time, and gives up after its 20 s.
    """
    if connection.vendor == "sqlite" and not connection.in_atomic_block:
        time.sleep(GAP_S)
