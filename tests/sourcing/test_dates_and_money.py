"""Days and money as typed: what is read, and what is refused in a sentence."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from xref.errors import Impossible, NeedsAnswer, Refused
from xref.sourcing.dates import written_day
from xref.sourcing.money import amount, convert, currency_code, major, minor, read_rates


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("2027-10-31", date(2027, 10, 31)),
        ("2028-02-29", date(2028, 2, 29)),  # a leap year by ISO 8601 / the Gregorian rule
        ("2000-02-29", date(2000, 2, 29)),  # divisible by 400: leap
        ("2027-10", date(2027, 10, 1)),
        (" 2027-2-1 ", date(2027, 2, 1)),
    ],
)
def test_days_are_read(text: str, expected: date) -> None:
    """A day is itself and a month is its first day."""
    assert written_day(text).day == expected


def test_a_month_says_how_it_was_read() -> None:
    """Reading a month as its first day is said, reading a day is not."""
    assert "2027-10-01" in (written_day("2027-10").note or "")
    assert written_day("2027-10-31").note is None


@pytest.mark.parametrize(
    "text",
    [
        "2027-02-29",
        "2100-02-29",
        "2027-04-31",
        "2027-13",
        "2027-00-10",
        "31.10.2027",
        "10/31/2027",
        "tomorrow",
        "",
        "2027",
        "0000-01-01",
    ],
)
def test_impossible_days_are_refused(text: str) -> None:
    """A day the calendar does not have, or an ambiguous writing, is a sentence and status 2."""
    with pytest.raises(Impossible) as refusal:
        written_day(text, "closing date")
    assert refusal.value.exit_status == 2
    assert "closing date" in str(refusal.value)


@pytest.mark.parametrize(
    ("text", "expected"), [("12.5", "12.50"), ("3", "3.00"), ("free", "0.00"), ("0.01", "0.01")]
)
def test_amounts_are_exact(text: str, expected: str) -> None:
    """An amount is an exact decimal to the cent."""
    assert amount(text) == Decimal(expected)


@pytest.mark.parametrize("text", ["-1", "0", "0.00", "12,50", "1.234", "12 EUR", "£3", "", "1e3"])
def test_impossible_prices_are_refused(text: str) -> None:
    """Negative, zero, comma, parts of a cent and signs are refused."""
    with pytest.raises(Impossible):
        amount(text)


def test_currency_codes() -> None:
    """A currency is three letters; a sign is refused, because $ is several currencies."""
    assert currency_code("eur") == "EUR"
    with pytest.raises(Impossible):
        currency_code("$")


def test_cents_round_trip() -> None:
    """Whole cents hold every amount to the cent."""
    for cents in (0, 1, 99, 100, 123_456_789):
        assert minor(major(cents)) == cents


def test_conversion_rounds_half_up() -> None:
    """A converted price is rounded half up to the cent (common practice, no source)."""
    assert convert(Decimal("1.00"), "GBP", "EUR", {"GBP": Decimal("1.125")}) == Decimal("1.13")
    assert convert(Decimal("1.00"), "EUR", "GBP", {"EUR": Decimal(1), "GBP": Decimal(2)}) == (
        Decimal("0.50")
    )


def test_a_currency_without_a_rate_is_asked_for() -> None:
    """Without a rate nothing is guessed: the sentence says how to give one."""
    with pytest.raises(NeedsAnswer, match="--rates"):
        convert(Decimal(1), "USD", "EUR", {})


def test_rate_tables(tmp_path: Path) -> None:
    """A rate table is read by its headings, in any order and case."""
    file = tmp_path / "rates.csv"
    file.write_text("Rate,Currency\n1,EUR\n0.86,gbp\n", encoding="utf-8")
    assert read_rates(file) == {"EUR": Decimal(1), "GBP": Decimal("0.86")}


@pytest.mark.parametrize(
    "text",
    [
        "a,b\n1,2\n",
        "currency,rate\nEUR,0\n",
        "currency,rate\nEUR,x\n",
        "currency,rate\nEUR,1\nEUR,2\n",
        "currency,rate\nEUR,NaN\n",
        "",
    ],
)
def test_wrong_rate_tables_are_refused(tmp_path: Path, text: str) -> None:
    """A table without the headings, with no, impossible or two rates is refused with status 4."""
    file = tmp_path / "rates.csv"
    file.write_text(text, encoding="utf-8")
    with pytest.raises(Refused):
        read_rates(file)
    with pytest.raises(Refused):
        read_rates(tmp_path / "missing.csv")
