"""Serial breaks as lists write them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from xref.errors import Impossible
from xref.matching.variants import covers, excludes, machine, variant


@pytest.mark.parametrize(
    ("written", "first", "last"),
    [
        ("before serial 412", None, 411),
        ("prior to ser. no. 412", None, 411),
        ("up to serial no. 411", None, 411),
        ("to 411", None, 411),
        ("bis Nr. 411", None, 411),
        ("from serial 412", 412, None),
        ("after s/n 411", 412, None),
        ("ab Nr. 412", 412, None),
        ("serial 412 and up", 412, None),
        ("serial 412 onwards", 412, None),
        ("412-", 412, None),
        ("serial 300-411", 300, 411),
        ("from serial 300 to 411", 300, 411),
        ("from serial 300 up to serial 411", 300, 411),
        ("<412", None, 411), ("<= 411", None, 411), ("≤411", None, 411),
        (">= 412", 412, None), ("≥ 412", 412, None), ("> 411", 412, None),
        ("up to and including 411", None, 411), ("bis einschließlich 411", None, 411),
        ("serial nos 1 to 411", 1, 411), ("from 412 incl.", 412, None),
        ("412 upwards", 412, None), ("serial 412 and after", 412, None),
        ("serial no. 412 and later", 412, None), ("411 and before", None, 411),
        ("serial 411 and earlier", None, 411), ("not before 412", 412, None),
        ("not after 411", None, 411), ("no later than 411", None, 411),
        ("later than 411", 412, None), ("earlier than 412", None, 411),
        ("prior 412", None, 411), ("pre-412", None, 411), ("post 411", 412, None),
        ("beginning with 412", 412, None), ("starting at 412", 412, None),
        ("jusqu'à 411", None, 411), ("à partir de 412", 412, None),
        ("dès le numéro 412", 412, None), ("fino a 411", None, 411), ("da 412", 412, None),
        ("hasta 411", None, 411), ("desde 412", 412, None), ("t/m 411", None, 411),
        ("vanaf 412", 412, None), ("between 300 and 411", 300, 411), ("300...411", 300, 411),
        ("serial 300 and up to 411", 300, 411), ("before engine no. 412", None, 411),
        ("serial 412", 412, 412), ("serial 412 only", 412, 412),
        ("from serial 412, 1952 model", 412, None), ("up to serial 411, left hand", None, 411),
        ("up to 60 mm", None, None), ("over 2.5 in", None, None), ("from 12 V", None, None),
        ("first 411 machines", None, None), ("type 412", None, None),
        ("left hand", None, None),
        ("Mk II", None, None),
    ],
)  # fmt: skip
def test_serial_ranges(written, first, last):
    """Ranges are read in several wordings and languages; other words are left as words."""
    read = variant(written)
    assert (read.first, read.last, read.text) == (first, last, written)


def test_before_and_from_exclude_each_other_and_a_machine_decides():
    """The break at 412: machine 411 is before it, machine 412 after it."""
    early, late = variant("before serial 412"), variant("from serial 412")
    assert excludes(early, late)
    assert excludes(late, early)
    assert not excludes(machine(411), early)
    assert excludes(machine(411), late)
    assert not excludes(machine(412), late)
    assert covers(early, machine("411"))
    assert not covers(early, machine(412))


def test_words_exclude_nothing_and_years_are_no_serial_numbers():
    """A form in words rules nothing out; `from 1952` says nothing about serial 300."""
    assert not excludes(variant("left hand"), variant("right hand"))
    assert not excludes(machine(300), variant("from 1952"))
    assert excludes(variant("before 1950"), variant("from 1952"))
    assert not excludes(variant("before serial LX-412"), variant("from serial 412"))


def test_no_serial_number_is_refused_in_words():
    """An empty serial number is a sentence."""
    with pytest.raises(Impossible, match="plate"):
        machine("  ")


@given(st.integers(0, 10**6), st.integers(0, 10**6))
def test_before_and_from_agree_with_plain_arithmetic(border, serial):
    """For any border and machine exactly one of `before` and `from` is excluded."""
    early = excludes(machine(serial), variant(f"before serial {border}"))
    late = excludes(machine(serial), variant(f"from serial {border}"))
    assert (early, late) == (serial >= border, serial < border)


@given(st.text(max_size=60))
def test_any_text_is_a_variant(text):
    """No text, however odd, is an error."""
    assert variant(text).text == text.strip()
