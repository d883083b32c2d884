"""The price agreed in an order is shown to who asks, who sweeps and who pays, and to no buyer."""

from datetime import UTC, datetime

from django.test import TestCase

from registry.access.prices import may_see_prices, with_prices_hidden
from registry.actions.write_journal import write_line
from registry.models import JournalLine
from registry.models.choices import Role
from tests.factories import MembershipFactory, PavementFactory, SeatFactory, WorkOrderFactory

SOLD = datetime(2024, 8, 1, tzinfo=UTC)


class TestPricesOfOrders(TestCase):
    @classmethod
    def setUpTestData(cls):
        cls.lot = PavementFactory()
        cls.people = {}
        for name, role, to_at in (
            ("seller", Role.OWNER, SOLD),
            ("manager", Role.MANAGER, None),
            ("sweeper", Role.SWEEPER, None),
            ("other sweeper", Role.SWEEPER, None),
            ("town", Role.MUNICIPALITY, None),
            ("buyer in view", Role.BUYER, None),
        ):
            member = MembershipFactory()
            own = {"organisation": member.organisation, "pavement": cls.lot}
            SeatFactory(role=role, to_at=to_at, **own)
            cls.people[name] = member
        new = MembershipFactory()
        own = {"organisation": new.organisation, "pavement": cls.lot}
        SeatFactory(role=Role.OWNER, from_at=SOLD, **own)
        cls.people["new owner"] = new
        cls.row = WorkOrderFactory(
            pavement=cls.lot,
            organisation=cls.people["manager"].organisation,
            entered_for=cls.people["manager"].organisation,
            sweeper=cls.people["sweeper"].organisation,
            price_agreed=380,
        )

    def test_each_side_sees_the_price_as_it_should(self):
        seen = {n for n, m in self.people.items() if may_see_prices(m.person, self.row)}
        assert seen == {"seller", "manager", "sweeper"}

    def test_lines_of_others_say_that_the_price_is_not_shown(self):
        changes = {"price_agreed": ["380", "420"], "method": ["a", "b"]}
        write_line(self.row, "corrected", by=None, changes=changes)
        lines = JournalLine.objects.about(self.row)
        for name, pair in (("manager", ["380", "420"]), ("town", ["not shown", "not shown"])):
            line = with_prices_hidden(self.people[name].person, lines.all())[0]
            assert line.changes == {"price_agreed": pair, "method": ["a", "b"]}
