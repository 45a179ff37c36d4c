"""Prices of one form are understood once; each price means what it means alone."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from xref.tables.cells import price
from xref.tables.cells.price import read_price

BEFORE = st.sampled_from(["", "£", "$", "€ ", "US$", "ca ", "from ", "GBP ", "-", "(", "@", "net "])
AFTER = st.sampled_from(
    ["", " each", " per 10", "/100", " ea", " EUR", " + VAT", "-", " - 7.00", "/pr", " per doz",
     " per 3", "/m", " / set", ")", "s", " 6d", " for 2", " per 0", " 1 pc", "pcs", "%", "½"]
)  # fmt: skip
WHOLE = st.integers(1, 999_999) | st.sampled_from([1, 11, 10, 101])


@given(BEFORE, WHOLE, st.integers(0, 99), AFTER, st.sampled_from([None, ".", ","]))
@settings(max_examples=400, deadline=None)
def test_a_form_is_read_as_each_of_its_prices(
    before: str, whole: int, cents: int, after: str, sign: str | None
) -> None:
    """The digits of a price change nothing but its value: the short way equals the long one."""
    text = f"{before}{whole}.{cents:02}{after}"
    alone = price._read(text, sign)
    assert (read_price(text, sign), text) == (alone, text) or (
        sign != "," and price._USUAL.fullmatch(text) is not None
    )


@pytest.mark.parametrize(
    ("text", "value"),
    [("5.01 pcs", "5.01"), ("31 stk", "31"), ("12.51 ea", "12.51"), ("3.50 / 1 ea", "3.50"),
     ("1 ea", "1"), ("£2.21 each", "2.21")],
)  # fmt: skip
def test_the_last_digit_of_a_price_is_no_count_of_pieces(text: str, value: str) -> None:
    """`5.01 pcs` costs 5.01: the 1 before the pieces belongs to the price."""
    assert read_price(text, ".").value == Decimal(value)
