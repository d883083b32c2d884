"""Three who fit and foretell one pool at once: one fit, one outlook a pavement, none half done."""

import json

import pytest

from tests.servers.conftest import run

PAVEMENTS = 30
pytestmark = pytest.mark.slow

AT_ONCE = f"""
import json, os
from datetime import date
import django
django.setup()
from django.db import connections
from registry.actions.invent_portfolio import invent_portfolio
from registry.actions.refresh_outlooks import refresh_outlooks
from registry.models import Due, Fit, Outlook
as_of = date(2026, 6, 30)
invent_portfolio(pavements={PAVEMENTS}, seed=5, as_of=as_of)
connections.close_all()
children = []
for _ in range(3):
    child = os.fork()
    if child == 0:
        try:
            list(refresh_outlooks(as_of=as_of))
        except BaseException as fault:
            print(fault, flush=True)
            os._exit(1)
        os._exit(0)
    children.append(child)
ends = [os.waitpid(child, 0)[1] for child in children]
def found():
    rows = Outlook.objects.order_by("pavement").values_list(
        "pavement", "fit", "rate_mm_h", "p_below", "sweep_by_on")
    return [list(map(str, row)) for row in rows]
before = found()
list(refresh_outlooks(as_of=as_of))
print(json.dumps({{
    "ends": ends, "fits": Fit.objects.count(), "outlooks": len(before),
    "decided": Outlook.objects.filter(why_not="").count(), "dues": Due.objects.count(),
    "alike": before == found(),
}}))
"""


def test_of_three_refreshes_at_once_one_fit_and_every_outlook_is_kept(own_database):
    told = json.loads(run(own_database, "-c", AT_ONCE).splitlines()[-1])
    assert told == {
        "ends": [0, 0, 0],
        "fits": 1,
        "outlooks": PAVEMENTS,
        "decided": PAVEMENTS,
        "dues": PAVEMENTS,
        "alike": True,
    }
