"""The settlement of table 1L, every figure as printed."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.placing import ClaimError, SettlementLine, settle
from tests.placing import dispute


def line(panels: str, area: float, price: str, contractor: str) -> SettlementLine:
    part = Decimal(contractor)
    return SettlementLine(
        tuple(panels.split()), area, Decimal(price), {"contractor": part, "owner": 100 - part}
    )


AGREED = [
    line("C5 C6 C7 C8 C9 C10 C11", 1008, "26", "100"),
    line("D8 D9 D10 D11", 576, "26", "25"),
    line("D7 B11 C4", 432, "0", "0"),
]


def test_every_figure_of_table_1l_as_printed():
    found = settle(AGREED)
    for row, one in zip(dispute.table("1L_settlement"), found.lines, strict=True):
        assert len(one.line.panels) == int(row["number"])
        assert one.line.area == float(row["area ft²"])
        assert one.cost == Decimal(row["cost $"])
        assert one.amounts["contractor"] == Decimal(row["contractor $"])
        assert one.amounts["owner"] == Decimal(row["owner $"])


def test_the_sums():
    """26 208 + 14 976 = 41 184; 26 208 + 3 744 = 29 952; the rest 11 232."""
    found = settle(AGREED)
    assert (found.area, found.cost) == (2016, Decimal("41184.00"))
    assert found.amounts == {"contractor": Decimal("29952.00"), "owner": Decimal("11232.00")}


@pytest.mark.parametrize(
    ("lines", "words"),
    [
        ([], "at least one line"),
        ([AGREED[0], line("C5", 1, "1", "0")], "Panel C5 stands in two lines"),
        ([SettlementLine(("A1",), 1, Decimal(1), {"a": Decimal(60), "b": Decimal(30)})], "100 %"),
        ([SettlementLine(("A1",), 1, Decimal(1), {"a": Decimal(120), "b": Decimal(-20)})], "100 %"),
        ([SettlementLine(("A1",), 0, Decimal(1), {"a": Decimal(100)})], "above 0"),
    ],
)
def test_a_settlement_that_cannot_be_is_refused(lines, words):
    with pytest.raises(ClaimError, match=words):
        settle(lines)


@given(
    st.integers(1, 100_000), st.decimals("0.01", "99.99", places=2),
    st.decimals("0", "100", places=3), st.decimals("0", "1", places=3),
)  # fmt: skip
def test_the_parts_always_add_up_to_the_cost(area, price, first, of_rest):
    second = (100 - first) * of_rest
    parts = {"a": first, "b": second, "c": 100 - first - second}
    found = settle([SettlementLine(("A1",), area / 10, price, parts)])
    assert sum(found.amounts.values()) == found.cost
