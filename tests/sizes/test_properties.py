"""What holds for every size: writing and reading back, and no crash on any text."""

from __future__ import annotations

import doctest
import time
from fractions import Fraction
from importlib import import_module

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from xref.errors import NeedsAnswer, Refused, XrefError
from xref.sizes import Size, size, sizes
from xref.sizes.settle import LARGEST_MM
from xref.sizes.special import single

IN = Fraction(127, 5)
DENOMINATORS = st.sampled_from([2, 4, 8, 16, 32, 64, 128])
UNICODE = {"1/2": "½", "1/4": "¼", "3/4": "¾", "1/8": "⅛", "3/8": "⅜", "5/8": "⅝", "7/8": "⅞"}


@st.composite
def proper_fractions(draw: st.DrawFn) -> tuple[int, int]:
    """An odd numerator below a power of two."""
    under = draw(DENOMINATORS)
    return draw(st.integers(0, under // 2 - 1)) * 2 + 1, under


@given(
    whole=st.integers(0, 99),
    part=proper_fractions(),
    joint=st.sampled_from(["-", " ", " - ", "–", "‑", "\u00a0", " and "]),
    stroke=st.sampled_from(["/", "⁄", " / "]),
    mark=st.sampled_from(["", '"', " in", "″", "in.", " inch", " ins.", "''", "\u2009in"]),
)
def test_fractions_come_back(
    whole: int, part: tuple[int, int], joint: str, stroke: str, mark: str
) -> None:
    """A mixed number or a fraction reads back exactly however it is joined and marked."""
    over, under = part
    fraction = f"{over}{stroke}{under}"
    text = f"{whole}{joint}{fraction}{mark}" if whole else f"{fraction}{mark}"
    assert size(text).nominal == (whole + Fraction(over, under)) * IN


@given(whole=st.integers(1, 99), fraction=st.sampled_from(sorted(UNICODE)))
def test_fraction_characters_come_back(whole: int, fraction: str) -> None:
    """A fraction character behind a whole number is a mixed number."""
    expected = (whole + Fraction(fraction)) * IN
    assert size(f"{whole}{UNICODE[fraction]}").nominal == expected


@given(
    digits=st.integers(1, 10**9 - 1),
    places=st.integers(0, 6),
    unit=st.sampled_from(["mm", "in"]),
    comma=st.booleans(),
)
def test_decimals_come_back(digits: int, places: int, unit: str, comma: bool) -> None:
    """A decimal with its unit reads back exactly, with a point or a comma."""
    value = Fraction(digits, 10**places) * (IN if unit == "in" else 1)
    text = f"{digits // 10**places}"
    if places:
        text += f"{',' if comma else '.'}{digits % 10**places:0{places}d}"
    as_thousands = digits * (IN if unit == "in" else 1)
    if value > LARGEST_MM:
        with pytest.raises(XrefError):
            size(f"{text} {unit}")
    elif comma and places == 3 and digits >= 1000 and as_thousands <= LARGEST_MM:
        with pytest.raises(NeedsAnswer):
            size(f"{text} {unit}")
    else:
        read = size(f"{text} {unit}")
        assert (read.nominal, read.unit, read.decimals) == (value, unit, places)


@given(
    low=st.integers(10_000, 90_000),
    width=st.integers(1, 900),
    joint=st.sampled_from(["/", " / ", " to ", "..", " .. "]),
    turned=st.booleans(),
)
def test_limits_come_back_in_any_order(low: int, width: int, joint: str, turned: bool) -> None:
    """Two limits give the same size whichever is written first."""
    pair = [f"{n / 1000:.3f}" for n in (low, low + width)]
    read = size(joint.join(reversed(pair) if turned else pair) + " mm")
    assert (read.low, read.high) == (Fraction(low, 1000), Fraction(low + width, 1000))


@given(
    values=st.lists(st.integers(1, 500), min_size=2, max_size=4),
    cross=st.sampled_from(["x", "X", " x ", "×", "*", " by "]),
    unit=st.sampled_from([" mm", "mm", " in", '"']),
)
def test_crossed_sizes_come_back(values: list[int], cross: str, unit: str) -> None:
    """Sizes with crosses between them come back in order, in the unit of the last."""
    scale = 1 if "mm" in unit else IN
    read = sizes(cross.join(map(str, values)) + unit)
    assert [each.nominal for each in read] == [value * scale for value in values]


@given(whole=st.integers(0, 20), part=proper_fractions())
def test_what_is_shown_reads_back(whole: int, part: tuple[int, int]) -> None:
    """The text a size shows for a fraction is read as the same size."""
    value = (whole + Fraction(*part)) * IN
    shown = Size(value, value, value, "in", "", "fraction").shown()
    again = size(shown)
    assert again.nominal == value
    assert again.shown() == shown


@given(text=st.text(alphabet="0123456789 -/.,\"'inm", max_size=8))
def test_the_quick_way_agrees_with_the_grammar(text: str) -> None:
    """Plain forms read by pattern are read alike by the grammar."""
    for unit in (None, "mm", "in"):
        try:
            quick = size(text, unit)
        except XrefError:
            continue
        if "(" in quick.text or quick.form in ("thread", "chamfer"):
            continue
        slow = single(text.strip().replace("''", '"').rstrip("."), unit)
        assert (quick.low, quick.high, quick.nominal, quick.unit) == (
            slow.low, slow.high, slow.nominal, slow.unit,
        )  # fmt: skip


PIECES = st.sampled_from(
    [
        *"0123456789", "1/2", "3/8", ".375", "25.4", " ", "-", "–", "+", "±", "/", "..", "x", "×",
        "(", ")", "=", '"', "'", "mm", "in", "thou", "to", "and", "⌀", "R", "M", "H7", "k6", "DIA",
        "OD", "LG", "drill", "#", "No.", "letter", "U/S", "STD", "NOM", "ACT", "°", "45°", "full",
        "UNC", "BSP", ",", ";", "½", "²", "\u200b", "\u202e", "\x00", "ft", "mil", "approx", "F",
        "Tr", "REAM", "tenths", "µm", "l", "O", "е", "٣", "０", "\n", "=cmd", "<b>",
    ]
)  # fmt: skip


@settings(max_examples=1500, deadline=None)
@given(pieces=st.lists(PIECES, max_size=12), unit=st.sampled_from([None, "mm", "in"]))
def test_pieces_of_sizes_never_crash(pieces: list[str], unit: str | None) -> None:
    """Any heap of the pieces sizes are made of is read, asked about or refused."""
    text = "".join(pieces)
    try:
        read = sizes(text, unit)
    except NeedsAnswer as asked:
        assert asked.readings
        assert all(0 < each.low <= each.high for each in asked.readings)
    except Refused as refused:
        assert refused.message
    else:
        assert all(0 < each.low <= each.high for each in read)
        assert [each.low for each in sizes(text, unit)] == [each.low for each in read]


@settings(max_examples=500, deadline=None)
@given(text=st.text(max_size=250))
def test_any_text_never_crashes(text: str) -> None:
    """Whatever is typed, the answer is a size or one of xref's own errors."""
    for read in (size, sizes):
        try:
            read(text)
        except XrefError as error:
            assert str(error)


@pytest.mark.parametrize(
    "text",
    [
        "1" * 10_000, "1/" * 5_000, "(" * 10_000, "1 " * 100, "a" * 200, "1-" * 100, "x" * 200,
        "1x" * 100, "drill " * 33, "1.1" * 66, "U/S " * 50, "#" * 200, " " * 10_000 + "?",
        "=" * 200,
        "nom act " * 25, "1 1/2-" * 33, "45° x " * 33, "M10x1-" + "a-" * 90,
        "1/2" + " " * 9_000 + "z",
    ],
    ids=lambda text: text[:12],
)  # fmt: skip
def test_hostile_lengths_are_refused_quickly(text: str) -> None:
    """Long and repetitive input is refused within a few milliseconds."""
    start = time.process_time()
    with pytest.raises(Refused):
        sizes(text)
    assert time.process_time() - start < 0.05


@pytest.mark.parametrize("code", [0x00, 0x07, 0x1B, 0x7F, 0x9B, 0x202E, 0x2066])
def test_control_characters_are_refused(code: int) -> None:
    """Terminal escapes and direction marks are refused and never echoed raw."""
    with pytest.raises(Refused) as caught:
        size(f"2{chr(code)}-3/8")
    assert chr(code) not in str(caught.value)


@pytest.mark.parametrize("module", ["read", "value", "iso286"])
def test_examples_in_the_docstrings(module: str) -> None:
    """The examples of the docstrings print what they say."""
    result = doctest.testmod(import_module(f"xref.sizes.{module}"))
    assert result.attempted > 0
    assert result.failed == 0
