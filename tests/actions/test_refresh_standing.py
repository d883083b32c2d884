"""The stored condition: for both viewpoints, written only where it changed, aged by days alone."""

from datetime import date, timedelta

from django.test import TestCase

from registry.actions.judge_tests import judge_tests
from registry.actions.refresh_standing import (
    refresh_after,
    refresh_stale_standings,
    refresh_standings,
    refreshed_at_the_end,
)
from registry.models import PavementStanding
from tests.factories import CriteriaFactory, InfiltrationTestFactory, SiteFactory, SpotFactory

TESTED, SOON = date(2024, 5, 2), date(2024, 6, 1)


class TestRefreshStanding(TestCase):
    @classmethod
    def setUpTestData(cls):
        cls.lot = CriteriaFactory().pavement
        spot = SpotFactory(pavement=cls.lot, stratum="field")
        own = {"pavement": cls.lot, "spot": spot, "rain_within_24_h": "no"}
        InfiltrationTestFactory(**own, started_on=TESTED)
        judge_tests([cls.lot.pk])

    def standing(self, viewpoint="holder"):
        return PavementStanding.objects.get(pavement=self.lot, viewpoint=viewpoint)

    def test_holder_and_town_each_have_a_condition_of_what_they_see(self):
        assert refresh_standings([self.lot.pk], today=SOON) == 2
        assert self.standing("holder").last_tested_on == TESTED
        assert self.standing("town").last_tested_on is None
        assert self.standing("town").word == "not_decided"

    def test_condition_that_stayed_the_same_takes_the_day_alone(self):
        refresh_standings([self.lot.pk], today=SOON)
        before = self.standing()
        assert refresh_standings([self.lot.pk], today=SOON + timedelta(days=1)) == 0
        after = self.standing()
        assert (after.pk, after.input_digest) == (before.pk, before.input_digest)
        assert after.as_of_on == SOON + timedelta(days=1)

    def test_condition_is_worked_out_anew_on_the_day_time_may_change_it_and_not_before(self):
        refresh_standings([self.lot.pk], today=SOON)
        day = self.standing().changes_on
        assert day is not None and day > SOON
        refresh_stale_standings(now_on=day - timedelta(days=1))
        assert self.standing().as_of_on == SOON
        refresh_stale_standings(now_on=day)
        assert self.standing().as_of_on > SOON

    def test_what_belongs_to_no_pavement_refreshes_nothing(self):
        refresh_after(SiteFactory())
        assert not PavementStanding.objects.exists()

    def test_load_of_many_rows_refreshes_each_pavement_once_at_its_end_as_row_by_row(self):
        spot = self.lot.spots.get()
        with refreshed_at_the_end():
            for row in (self.lot, spot, spot.infiltration_tests.get()):
                refresh_after(row)
                assert not PavementStanding.objects.exists()
        at_once = self.standing().input_digest
        PavementStanding.objects.all().delete()
        refresh_after(spot)
        assert self.standing().input_digest == at_once

    def test_load_that_breaks_off_refreshes_nothing_and_the_next_row_is_not_held_back(self):
        with self.assertRaises(ZeroDivisionError), refreshed_at_the_end():
            refresh_after(self.lot)
            raise ZeroDivisionError
        assert not PavementStanding.objects.exists()
        refresh_after(self.lot)
        assert PavementStanding.objects.count() == 2
