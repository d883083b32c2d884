"""Hours of a site hold from a day up to another."""

import pytest

from registry.models import SiteWindow
from tests.factories import SiteWindowFactory
from tests.models.refusals import BACKWARD, DAY, DAY_BEFORE, NO_SPAN, VOID, refused

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("rule", "fields"),
    [
        ("site_window_void_has_reason", VOID),
        ("site_window_from_before_to", BACKWARD),
        ("site_window_from_before_to", NO_SPAN),
    ],
)
def test_what_cannot_be_is_refused(rule, fields):
    refused(rule, SiteWindowFactory, **fields)


def test_window_holds_up_to_its_end():
    row = SiteWindowFactory(from_on=DAY_BEFORE, to_on=DAY)
    assert SiteWindow.objects.on(DAY_BEFORE).get() == row
    assert not SiteWindow.objects.on(DAY).exists()
    assert str(row) == "crews may come: Sat 05:00-09:00"
