"""Whether the notice for cars out of a dated order was posted in time, in words.

A round keeps the hours of the notice by itself; an order that a person dates is held to them here.
"""

from datetime import datetime, time, timedelta
from zoneinfo import ZoneInfo

from registry.models import WorkOrder
from registry.planning.weather_rules import notice_breach


def notice_trouble(order: WorkOrder) -> str:
    """Return what is wrong with the notice; "" where it is in time or the site asks for none.

    The order comes with its site. Without an hour to begin, what is short even at the end of the
    day is told, and what is long enough only by the hour is said to be not decided.
    """
    site = order.pavement.site
    if order.state != "dated" or order.dated_for is None or not site.notice_h:
        return ""
    posted, asked = order.notice_posted_at, site.notice_h
    if order.starts_at is not None:
        breach = notice_breach(posted, order.starts_at, asked)
        return breach.words if breach else ""
    midnight = datetime.combine(order.dated_for, time.min, ZoneInfo(site.time_zone))
    at_last = notice_breach(posted, midnight + timedelta(days=1), asked)
    if at_last is not None:
        return f"By the end of the day: {at_last.words}"
    if notice_breach(posted, midnight, asked) is None:
        return ""
    return f"Not decided whether the {asked:g} h of notice are kept: no hour to begin is written."
