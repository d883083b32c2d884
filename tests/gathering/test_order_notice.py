"""The notice of an order that a person dated: in time, short, not written, not decided."""

from datetime import UTC, date, datetime

import pytest

from registry.gathering.order_notice import notice_trouble
from registry.models import Pavement, Site, WorkOrder

# 2026-09-18 in New York runs from 04:00 UTC to 04:00 UTC of the next day.
BEGINS = datetime(2026, 9, 18, 13, tzinfo=UTC)
IN_TIME = datetime(2026, 9, 15, 13, tzinfo=UTC)
SHORT = datetime(2026, 9, 16, 13, tzinfo=UTC)


def trouble(posted, begins=BEGINS, notice_h=72.0, state="dated"):
    site = Site(time_zone="America/New_York", notice_h=notice_h)
    return notice_trouble(
        WorkOrder(
            pavement=Pavement(site=site), state=state, dated_for=date(2026, 9, 18),
            starts_at=begins, notice_posted_at=posted,
        )
    )  # fmt: skip


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"posted": IN_TIME}, ""),
        ({"posted": SHORT}, "48.0 h before"),
        ({"posted": None}, "No notice is written"),
        ({"posted": None, "notice_h": None}, ""),
        ({"posted": SHORT, "state": "done"}, ""),
        # 2026-09-15 13:00 UTC to the end of the day: 87 h; to its begin: 63 h
        ({"posted": IN_TIME, "begins": None}, "Not decided whether the 72 h"),
        ({"posted": IN_TIME, "begins": None, "notice_h": 63.0}, ""),
        ({"posted": SHORT, "begins": None}, "By the end of the day: The notice was posted 63.0 h"),
    ],
)
def test_notice_is_held_to_the_hours_of_the_site(given, words):
    found = trouble(**given)
    assert (words in found) if words else found == ""
