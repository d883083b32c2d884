"""What a test would give, before it is stored: the same judging, with the new row among the old."""

from registry.gathering.readings import Judged, gather_readings, judge_readings
from registry.models import InfiltrationTest


def preview_test(row: InfiltrationTest) -> Judged:
    """Return what would be said of an unsaved row, or of a stored one as changed in memory."""
    others = row.pavement.infiltration_tests.select_related("spot").exclude(pk=row.pk)
    cleanings = row.pavement.cleanings.done().prefetch_related("panels")
    readings = gather_readings(row.pavement.placed_on, [*others, row], cleanings)
    return next(judged for found, judged in judge_readings(readings) if found is row)
