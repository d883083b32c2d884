"""An order that was never meant is void; one on which something was done is not."""

import pytest
from django.test import TestCase

from registry.actions.void_entry import CannotBeVoided
from registry.actions.void_work_order import void_work_order
from tests.actions.orders import BY_NOBODY, asked, done, lot, moved


class TestVoidWorkOrder(TestCase):
    @classmethod
    def setUpTestData(cls):
        cls.row = moved(asked(lot()[0]), "approved", "dated")

    def test_order_without_an_entry_is_void_with_its_reason(self):
        void_work_order(self.row, why="asked for twice", **BY_NOBODY)
        assert self.row.is_void and self.row.void_why == "asked for twice"

    def test_order_that_was_done_is_not_void_while_its_cleaning_stands(self):
        done(self.row)
        with pytest.raises(CannotBeVoided, match="stands on the record"):
            void_work_order(self.row, why="wrong", **BY_NOBODY)
