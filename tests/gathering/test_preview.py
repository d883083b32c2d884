"""What a test would give is said before it is stored, and nothing is stored by saying it."""

import pytest

from registry.gathering.preview import preview_test
from registry.models import InfiltrationTest
from tests.factories import InfiltrationTestFactory, SpotFactory

pytestmark = pytest.mark.django_db


def test_preview_gives_the_rate_of_an_unsaved_run():
    spot = SpotFactory()
    row = InfiltrationTestFactory.build(spot=spot, pavement=spot.pavement)
    # 126 870 x 40 / (12^2 x 60), ASTM C1701
    assert preview_test(row).result.value == pytest.approx(587.361, abs=1e-3)
    assert not InfiltrationTest.objects.exists()


def test_preview_of_a_stored_run_takes_what_was_changed_in_memory():
    row = InfiltrationTestFactory()
    row.seconds = 120.0
    assert preview_test(row).result.value == pytest.approx(293.681, abs=1e-3)
    assert InfiltrationTest.objects.get().seconds == 60.0
