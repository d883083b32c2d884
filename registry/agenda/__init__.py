"""Days laid out: months of whole weeks, what stands on a day, and the file of a calendar feed.

Pure: rows are gathered in `gathering/calendar.py`; who may see them is for `access/calendars.py`.
"""

from registry.agenda.feed import Feed as Feed
from registry.agenda.feed import FeedEvent as FeedEvent
from registry.agenda.feed import write_feed as write_feed
from registry.agenda.item import KINDS as KINDS
from registry.agenda.item import Item as Item
from registry.agenda.item import by_day as by_day
from registry.agenda.item import in_order as in_order
from registry.agenda.item import on_day as on_day
from registry.agenda.month import Month as Month
from registry.agenda.month import month_named as month_named
from registry.agenda.month import month_of as month_of
