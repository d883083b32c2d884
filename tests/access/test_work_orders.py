"""Who sees an order and who moves it; the list over all pavements agrees with each pavement's."""

from datetime import UTC, datetime

import pytest
from django.core.exceptions import PermissionDenied
from django.http import Http404
from django.test import TestCase

from registry.access.work_orders import (
    acting_for,
    all_visible_work_orders,
    crews_to_choose,
    get_work_order,
    visible_work_orders,
)
from registry.models.choices import Role
from tests.factories import (
    CrewFactory,
    MembershipFactory,
    PavementFactory,
    SeatFactory,
    WorkOrderFactory,
)

ROLES = {
    "owner": Role.OWNER,
    "manager": Role.MANAGER,
    "sweeper": Role.SWEEPER,
    "other sweeper": Role.SWEEPER,
    "town": Role.MUNICIPALITY,
    "contractor": Role.CONTRACTOR,
    "tester": Role.TESTER,
    "evaluator": Role.EVALUATOR,
}


def _opens(person, row):
    try:
        return get_work_order(person, row.pk) == row
    except Http404:
        return False


class TestWorkOrders(TestCase):
    @classmethod
    def setUpTestData(cls):
        cls.lot = PavementFactory()
        members = {name: MembershipFactory() for name in (*ROLES, "stranger")}
        for name, role in ROLES.items():
            SeatFactory(pavement=cls.lot, organisation=members[name].organisation, role=role)
        cls.people = {name: member.person for name, member in members.items()}
        cls.firms = {name: member.organisation for name, member in members.items()}
        keeper = {"organisation": cls.firms["manager"], "entered_for": cls.firms["manager"]}
        cls.sweepers = WorkOrderFactory(pavement=cls.lot, sweeper=cls.firms["sweeper"], **keeper)
        cls.sent = WorkOrderFactory(pavement=cls.lot, submitted_on="2024-06-01", **keeper)

    def test_each_sees_what_its_seat_reads_at_the_pavement_and_over_all(self):
        both, none = {self.sweepers, self.sent}, set()
        for name, shown in {
            "owner": both, "manager": both, "evaluator": both, "sweeper": {self.sweepers},
            "other sweeper": none, "town": {self.sent}, "contractor": none, "tester": none,
            "stranger": none,
        }.items():  # fmt: skip
            person = self.people[name]
            assert set(visible_work_orders(person, self.lot)) == shown, name
            assert set(all_visible_work_orders(person)) == shown, name
            assert {row for row in both if _opens(person, row)} == shown, name

    def test_former_owner_keeps_the_orders_of_its_own_period(self):
        member = MembershipFactory()
        end = datetime(2024, 6, 1, tzinfo=UTC)
        SeatFactory(pavement=self.lot, organisation=member.organisation, to_at=end)
        before = datetime(2024, 5, 1, tzinfo=UTC)
        old = WorkOrderFactory(pavement=self.lot, entered_at=before)
        assert list(visible_work_orders(member.person, self.lot)) == [old]
        assert _opens(member.person, old) and not _opens(member.person, self.sent)

    def test_order_that_is_not_seen_is_not_found(self):
        with pytest.raises(Http404):
            get_work_order(self.people["other sweeper"], self.sweepers.pk)

    def test_keepers_keep_it_and_its_sweeper_works_on_it(self):
        for name, keep, work in (
            ("owner", True, True), ("manager", True, True), ("sweeper", False, True),
            ("evaluator", False, False),
        ):  # fmt: skip
            for to, may in (("keep", keep), ("work", work)):
                if may:
                    get_work_order(self.people[name], self.sweepers.pk, to=to)
                else:
                    with pytest.raises(PermissionDenied):
                        get_work_order(self.people[name], self.sweepers.pk, to=to)

    def test_sweeper_dates_its_own_order_and_does_not_accept_its_own_work(self):
        person = self.people["sweeper"]
        assert acting_for(person, self.sweepers, "dated") == self.firms["sweeper"]
        for state in ("approved", "checked", "accepted", "to_redo", "paid", "dropped"):
            with pytest.raises(PermissionDenied):
                acting_for(person, self.sweepers, state)

    def test_crews_to_choose_are_those_of_firms_that_may_sweep_there(self):
        crew = CrewFactory(organisation=self.firms["sweeper"])
        own = CrewFactory(organisation=self.firms["owner"])
        CrewFactory(organisation=self.firms["tester"])
        CrewFactory(organisation=self.firms["sweeper"], void_at="2024-06-01T00:00Z", void_why="x")
        assert set(crews_to_choose(self.people["manager"], self.lot)) == {crew, own}
