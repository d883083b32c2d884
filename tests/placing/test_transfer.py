"""Transfer of a warranty on sale (case 49), on the driveway sold 2026-03-31; days by hand."""

from datetime import date

import pytest

from registry.placing import ClaimError, NotGiven, TransferRule, transfer

SOLD, TODAY = date(2026, 3, 31), date(2026, 10, 15)


def test_a_free_transfer_covers_the_buyer_and_none_does_not():
    assert transfer(TransferRule.FREE, SOLD, today=TODAY).covers_buyer is True
    assert transfer(TransferRule.NONE, SOLD, today=TODAY).covers_buyer is False


@pytest.mark.parametrize(
    ("noticed", "covers"), [(date(2026, 4, 30), True), (date(2026, 5, 1), False)]
)
def test_by_notice_the_last_day_is_still_in_time(noticed, covers):
    found = transfer(TransferRule.BY_NOTICE, SOLD, today=TODAY, notice_days=30, noticed_on=noticed)
    assert (found.covers_buyer, found.notice_by) == (covers, date(2026, 4, 30))


def test_without_a_notice_on_record_it_is_not_decided():
    late = transfer(TransferRule.BY_NOTICE, SOLD, today=TODAY, notice_days=30)
    assert late.covers_buyer == NotGiven("No notice of the sale by 2026-04-30 is on record.")
    soon = transfer(TransferRule.BY_NOTICE, SOLD, today=date(2026, 4, 30), notice_days=30)
    assert soon.covers_buyer == NotGiven("Notice of the sale may still be given until 2026-04-30.")


@pytest.mark.parametrize("days", [None, -1])
def test_a_rule_by_notice_needs_its_days(days):
    with pytest.raises(ClaimError):
        transfer(TransferRule.BY_NOTICE, SOLD, today=TODAY, notice_days=days)
