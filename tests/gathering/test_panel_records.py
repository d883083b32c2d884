"""What a callback's page says of a claimed panel: winter lines by panel, and days at the site."""

from datetime import UTC, date, datetime

import pytest

from registry.gathering.cover_figures import cure_of
from registry.gathering.load_pattern import PlacedLoads
from registry.gathering.panel_records import OnePour, panel_files
from registry.gathering.pours import Pour
from registry.models import CoverBreak, Pavement, PlacingDay, Site, WinterEntry

SITE = Site(time_zone="America/New_York")
DAY = PlacingDay(pk=1, placed_on=date(2023, 8, 22), pavement=Pavement(site=SITE))


def line(on: str, panels: list[str], **fields: str) -> WinterEntry:
    return WinterEntry(done_on=date.fromisoformat(on), panels=panels, **fields)


def sign_of(code: str, winter: list[WinterEntry], breaks: tuple[CoverBreak, ...] = ()):
    cure = cure_of([DAY], [[], list(breaks), [], []])
    pour = Pour({"C8": None}, (DAY,), frozenset({DAY.placed_on}), True)
    one = OnePour(pour, PlacedLoads((DAY,), {}, (), None), [], cure, [])
    (file,) = panel_files(["C8"], one, winter=winter, said=[])
    (found,) = (one for one in file.filled if one.code == code)
    return found.found, found.why


SALT = line("2024-01-08", ["C8", "D8"], deicer="sodium", spread_as="3 bags rock salt")


@pytest.mark.parametrize(
    ("winter", "found", "why"),
    [
        ([], None, "There is no winter log"),
        ([SALT], True, "Deicer is logged here: 2024-01-08 3 bags rock salt."),
        ([line("2024-01-08", ["D8"], deicer="sodium")], False, "names this panel"),
        # A plow scrapes; it is no sign of salt, of an entrance or of stairs.
        ([line("2024-01-08", ["C8"], plowed="yes")], None, "without deicer: 2024-01-08 plow."),
        # Nobody wrote where: that is not "everywhere".
        ([line("2024-01-08", [], deicer="sodium")], None, "does not say in which panels"),
        # Salt on what lay there before tells nothing of this concrete.
        ([line("2023-01-08", ["C8"], deicer="sodium")], None, "There is no winter log"),
    ],
)
def test_only_deicer_logged_at_the_panel_fills_the_sign_of_the_salt_zone(winter, found, why):
    said, words = sign_of("at_entrance", winter)
    assert said is found
    assert why in words


def test_a_cover_that_came_off_in_the_evening_came_off_on_that_day_at_the_site():
    late = CoverBreak(
        placing_day_id=1, panels=["C8"], cause="wind", from_at=datetime(2023, 8, 23, 1, tzinfo=UTC)
    )
    assert sign_of("sheet_gap", [], (late,)) == (True, "Cover off on 2023-08-22, wind.")
