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


@pytest.mark.parametrize(
    ("text", "price", "currency", "warned"),
    [
        # Small ads and sale tables; common practice, no source.
        ("50p", "0.5", "GBP", ""),
        ("99p each", "0.99", "GBP", ""),
        ("75 pence", "0.75", "GBP", ""),
        ("£1.50p", "1.50", "GBP", ""),
        ("25 cents", "0.25", None, ""),
        ("120:-", "120", None, ""),
        ("45:50", "45.50", None, ""),
        ("£5 o.n.o.", "5", "GBP", "open to offers"),
        ("£5 ONO", "5", "GBP", "open to offers"),
        ("VB 20 €", "20", "EUR", "open to offers"),
        ("20 € Festpreis", "20", "EUR", ""),
        ("£5 + p&p", "5", "GBP", "without carriage"),
        ("£4.20 inc. postage", "4.20", "GBP", "includes carriage"),
        ("£4.20 (was £6)", "4.20", "GBP", ""),
        ("£5 each or 3 for £12", "5", "GBP", "single piece"),
        ("€ 0,40 cad.", "0.40", "EUR", ""),
        ("£5 pr", "2.5", "GBP", "for 2 pieces"),
        ("€ 8,50/1.000 Stk", "0.0085", "EUR", "for 1000 pieces"),
        # What is not certain stays words.
        ("2 @ £5", None, "GBP", "not understood"),
        ("£2-50", None, "GBP", "range"),
        ("12.50-", None, None, "negative"),
        ("£20 the lot", None, "GBP", "not for one piece"),
    ],
)
def test_prices_of_small_ads(
    text: str, price: str | None, currency: str | None, warned: str
) -> None:
    """What a small ad says for certain is the price of one piece; the rest is kept as words."""
    read = read_price(text)
    assert read.value == (None if price is None else Decimal(price))
    assert (read.currency, read.words) == (currency, text)
    assert warned in " ".join(read.warnings) if warned else read.warnings == ()


def test_an_endless_price_is_refused_at_once() -> None:
    """A cell of hundreds of thousands of characters costs no time to call no price."""
    read = read_price("5 " + " " * 200_000 + "ono x," + "5 (" * 50_000)
    assert read.value is None
    assert "too long" in read.warnings[0]
