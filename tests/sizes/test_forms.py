"""Forms beyond the table, worked by hand; notation common practice, values exact."""

from __future__ import annotations

from fractions import Fraction

import pytest

from xref.errors import Impossible, NeedsAnswer, Refused
from xref.sizes import Size, size, sizes

IN = Fraction(127, 5)


@pytest.mark.parametrize(
    "text",
    [
        "2-3/8", "2 3/8", "2 - 3/8", "2–3/8", "2‑3/8", "2 and 3/8", "2 & 3/8", "2⅜", "2 ⅜ in",
        "2-⅜", "2³⁄₈", "2 3⁄8″", "2 3/8 ''", "２－３／８", "2 3/8 in", "2 3/8 Zoll",
        "2 3/8 pouces", "2 3/8 INCHES", "2.375in", "2.375 \"", "2,3750 in", "2.375”", "2 3/8 ins.",
        "DIA 2-3/8", "2-3/8 DIA.", "⌀ 2-3/8", "0' 2-3/8\"", "2375 thou", "23750 tenths",
        "60.325mm", "60,3250 mm", "60,325 mm", "60.325 MM",
        "60.325 millimetres", "6.0325 cm", "60325 µm",
        "60.325 m/m", "60.325㎜",
    ],
)  # fmt: skip
def test_one_size_in_many_hands(text: str) -> None:
    """Two and three eighths of an inch is 60.325 mm however it is written."""
    read = size(text)
    assert read.low == read.high == read.nominal == Fraction("60.325")


# Worked by hand: nominal plus and minus what is written.
LIMITS = [
    ("1.1865/1.1875", "1.1865", "1.1875", "in"),
    ("1.1875 to 1.1865 in", "1.1865", "1.1875", "in"),
    ("1.1865-1.1875", "1.1865", "1.1875", "in"),
    (".012/.010", ".010", ".012", "in"),
    ("59.95/59.91 mm", "59.91", "59.95", "mm"),
    ("59.91..59.95mm", "59.91", "59.95", "mm"),
    ("30,021/30,000", "30", "30.021", "mm"),
    ("2.375 +.001/-.000", "2.375", "2.376", "in"),
    ("2.375 -.000 +.001", "2.375", "2.376", "in"),
    ("2.375 ±.0005", "2.3745", "2.3755", "in"),
    ('2.375" ± 1 thou', "2.374", "2.376", "in"),
    ("7/8 -.0005", "0.8745", "0.875", "in"),
    ("2 ± 1/64", "1.984375", "2.015625", "in"),
    ("60.31 mm ± 0.02", "60.29", "60.33", "mm"),
    ("60.31 mm +/- 0.02 mm", "60.29", "60.33", "mm"),
    ("60 0/-0.016", "59.984", "60", "mm"),
    ("60 -0.030 -0.060", "59.94", "59.97", "mm"),
    ("60 +0,015 +0,002", "60.002", "60.015", "mm"),
    ("60 mm +20/-0 µm", "60", "60.02", "mm"),
    ("60 (+0.03/0)", "60", "60.03", "mm"),
    ("25 +15/+2 µm", "25.002", "25.015", "mm"),
    ("100 ±2 mm", "98", "102", "mm"),
    ("60 mm+0.02-0.00", "60", "60.02", "mm"),
    # ISO 286-2: h11 at 60 mm 0/-190, H7 +30/0, k6 +21/+2 µm (two independent texts agree)
    ("⌀60h11", "59.81", "60", "mm"),
    ("60 H7", "60", "60.03", "mm"),
    ("60 mm k6", "60.002", "60.021", "mm"),
    ("⌀60 h11 (0/-0.19)", "59.81", "60", "mm"),
]


@pytest.mark.parametrize(("text", "low", "high", "unit"), LIMITS, ids=[row[0] for row in LIMITS])
def test_limits_and_deviations(text: str, low: str, high: str, unit: str) -> None:
    """Limits in any order, deviations and zones give the limits worked by hand."""
    scale = IN if unit == "in" else 1
    read = size(text)
    assert (read.low, read.high, read.unit) == (Fraction(low) * scale, Fraction(high) * scale, unit)


GROUPS = [
    ("25x52x15", ["25", "52", "15"], "mm"),
    ("60x80x8 mm", ["60", "80", "8"], "mm"),
    ("60 × 80 × 8", ["60", "80", "8"], "mm"),
    ("60*80*8mm", ["60", "80", "8"], "mm"),
    ("60 by 80 by 8 mm", ["60", "80", "8"], "mm"),
    ("60mmx80mmx8mm", ["60", "80", "8"], "mm"),
    ("60,5 X 80 X 8", ["60.5", "80", "8"], "mm"),
    ("60,325 x 79,375 x 12,7 mm", ["60.325", "79.375", "12.7"], "mm"),
    ("45/62/8", ["45", "62", "8"], "mm"),
    ("2-3/8 x 3-1/8 x 1/2", ["2.375", "3.125", "0.5"], "in"),
    ('1.5 x 2.25 x .375"', ["1.5", "2.25", "0.375"], "in"),
    ("2.375 x 3.125 x .500", ["2.375", "3.125", "0.5"], "in"),
    ("5/8DIAx1-1/4LG", ["0.625", "1.25"], "in"),
    ("3/4 I.D. x 1 O.D. x 1-1/2 LG.", ["0.75", "1", "1.5"], "in"),
    ("2.375 ID x 3.125 OD x .500 W", ["2.375", "3.125", "0.5"], "in"),
    ('1-1/2" dia x 2" long', ["1.5", "2"], "in"),
    ("2-3/8-in x 3-in", ["2.375", "3"], "in"),
    ("ID 3/4, OD 1, LENGTH 1-1/2", ["0.75", "1", "1.5"], "in"),
]


@pytest.mark.parametrize(("text", "values", "unit"), GROUPS, ids=[row[0] for row in GROUPS])
def test_several_sizes_share_a_unit(text: str, values: list[str], unit: str) -> None:
    """A unit that only one size bears counts for all."""
    scale = IN if unit == "in" else 1
    read = sizes(text)
    assert [each.nominal for each in read] == [Fraction(value) * scale for value in values]
    assert {each.unit for each in read} == {unit}


def test_labels_stay_with_their_sizes() -> None:
    """What a size measures is taken from the word beside it."""
    read = sizes("3/4 ID x 1 OD x 1-1/2 LONG")
    assert [(each.label, each.text) for each in read] == [
        ("id", "3/4 ID"), ("od", "1 OD"), ("length", "1-1/2 LONG"),
    ]  # fmt: skip


def test_a_unit_not_written_is_noted_where_it_is_taken() -> None:
    """Whole numbers in AxBxC are read as millimetres, and every size says so."""
    assert all("no unit written" in each.notes[0] for each in sizes("60x80x8"))
    assert all(each.notes == () for each in sizes("60x80x8", "mm"))


@pytest.mark.parametrize("text", ["60x80x8", "45/62/8"])
def test_metric_looking_sizes_in_an_inch_list_are_asked_about(text: str) -> None:
    """A list declared inch does not make 80 inches of an 80."""
    with pytest.raises(NeedsAnswer, match="looks metric"):
        sizes(text, "in")


NAMED = [
    # ANSI/ASME B94.11M number and letter drills (from memory but for 7 and F)
    ("drill #30", "0.1285", "number drill"),
    ("No 97 drill", "0.0059", "number drill"),
    ("F drill", "0.257", "letter drill"),
    # nominal major diameters, ASME B1.1: 0.060 + 0.013 n for number sizes
    ("#10-32 UNF", "0.19", "thread"),
    ("10-24 UNC", "0.19", "thread"),
    ("1/4-20UNC-2A", "0.25", "thread"),
    ("1-1/2-6 UNC", "1.5", "thread"),
    ("1-8 UNC", "1", "thread"),
    # common practice, no source
    ("3/8 REAMED", "0.375", "reamed"),
    ("45° x 1/16", "0.0625", "chamfer"),
    ("1/16 x 45 deg.", "0.0625", "chamfer"),
    ("R1/16", "0.0625", "radius"),
    ("NOM 3/8 ACT .3735", "0.3735", "actual size"),
    ("1.490 in .010 U/S", None, ""),
    ("+.010 U/S 1.490", "1.49", "undersize"),
    ("10 thou", "0.01", "thousandths"),
]


@pytest.mark.parametrize(("text", "inches", "form"), NAMED, ids=[row[0] for row in NAMED])
def test_sizes_that_go_by_a_name(text: str, inches: str | None, form: str) -> None:
    """Drills, threads, chamfers and undersizes are read as what they are."""
    if inches is None:
        with pytest.raises(NeedsAnswer):
            size(text)
        return
    read = size(text)
    assert (read.nominal, read.form) == (Fraction(inches) * IN, form)


@pytest.mark.parametrize("text", ["M10", "M10x1.5", "M10 × 1,25", "M10-6g", "M 10"])
def test_metric_threads_are_one_size(text: str) -> None:
    """The pitch of a thread is no second size (ISO 724: nominal major diameter)."""
    (read,) = sizes(text)
    assert (read.nominal, read.form) == (10, "thread")


@pytest.mark.parametrize("text", ["G 1/2", "1/2 BSP", "3/4 NPT", "Rp 1/2"])
def test_pipe_threads_are_no_diameters(text: str) -> None:
    """A pipe thread's name is not its size: G 1/2 is 20.955 mm across (ISO 228-1)."""
    with pytest.raises(Refused, match="pipe thread"):
        size(text)


def test_standard_and_undersize_pair() -> None:
    """The undersize is worked from the standard size beside it."""
    for text in ("1.500 STD, .020 U/S", "STD 1.500, .020 U/S"):
        assert [each.nominal for each in sizes(text)] == [Fraction("38.1"), Fraction("37.592")]


@pytest.mark.parametrize(
    ("text", "nominal"),
    [
        ('2-3/8" (60.3 mm)', "60.325"), ("2-3/8 (60.325)", "60.325"), ("60.325 (2.375)", "60.325"),
        ("60.325 mm = 2-3/8\"", "60.325"), ("1/2\" = 12.7", "12.7"),
        ("60.325 mm/2-3/8\"", "60.325"), ("2-3/8 in / 60.3 mm", "60.325"),
    ],
)  # fmt: skip
def test_two_units_that_agree(text: str, nominal: str) -> None:
    """A size given in both units is one size when they agree within their last place."""
    read = size(text)
    assert read.nominal == Fraction(nominal)
    assert [note[:15] for note in read.notes] == ["also written as"]


ASKED = [
    ("60", 2), ("800", 1), ("2.375", 2), ("12,7", 2), ("12,700 mm", 2), ("113/16", 3), ("12/8", 2),
    ("60 H7/k6", 2), ("30 +0.021", 2), ("2.375 +0.001/-0.001", 2), ("1.187/1.188", 2),
    ("3/8 FULL", 1), ("approx 60 mm", 1), ("~60 mm", 1), ("#7", 2), ("7 drill", 2), ("1.5 mil", 2),
    ("1 x 45°", 2), ("2.375 x 3.125 x 0.500", 6), ("1/2\" = 13 mm", 2), ("25x52x15", 3),
    ("25 +15/+2", 3), ("100 mm ±2", 2), ("1 1/2 to 2", 1), ("35 mm (1-3/8\")", 2),
    ("60 mm (2-3/8)", 2),
]  # fmt: skip


@pytest.mark.parametrize(("text", "readings"), ASKED, ids=[row[0] for row in ASKED])
def test_two_readings_are_a_question(text: str, readings: int) -> None:
    """What has several readings is asked about, with every reading held ready."""
    with pytest.raises(NeedsAnswer) as caught:
        size(text)
    assert len(caught.value.readings) == readings
    assert all(isinstance(each, Size) for each in caught.value.readings)
    assert caught.value.exit_status == 3


@pytest.mark.parametrize(
    "text",
    [
        "", " ", "mm", "abc", "30 - 32", "30-32 mm", "1-2-3", "2 3", "60 mm 80 mm", "1-13/8",
        "2-8/8",
        "1/3", "5/256", "2-0/8", "0 mm", "0x5x3", "60x", "x60", "60xx80", "1x2x3x4x5x6x7", "60 Q7",
        "600 k6", "60 T6 x", "10 t6", "60 mm +.001 in", "60 mm x 1/2", "1.5 -2 -3", "1 -1.5 mm",
        "O.5", "1O", "l-1/2", "2.3/8", "1,234.5 mm", "1.00E+05", "5-Mar", "5/8/2024", "#N/A",
        "=1+2", "<b>60</b>", "60 mm²", "2²", "①", "١٢", ".020 U/S", "60 h11 (0/-0.18)", "999999 mm",
        "60 ±", "60 +", "60 -", "(60)", "60/", "1.1865/1.1875/1.1890", "3' 13\"",
        "99 ft 1000", "+.001", "0 +0.02 -0", "30 +0.02 .01",
    ],
)  # fmt: skip
def test_what_is_no_size_is_refused(text: str) -> None:
    """A slip, a date, a formula or half a size is refused in one sentence."""
    with pytest.raises(Refused) as caught:
        size(text)
    assert caught.value.message.rstrip().endswith(".")
    assert caught.value.exit_status == 4


def test_the_unit_of_the_page_answers() -> None:
    """A unit stated for the page is taken where the text has none."""
    assert size("2.375", "in").nominal == Fraction("60.325")
    assert size("2.375", "mm").nominal == Fraction("2.375")
    assert size("1.187/1.188", "in").high == Fraction("1.188") * IN


@pytest.mark.parametrize("text", ["2-3/8", "2.375 in", '2.375"'])
def test_the_unit_in_the_text_wins(text: str) -> None:
    """A unit in the text, or a fraction, beats the page's unit and says so."""
    read = size(text, "mm")
    assert read.nominal == Fraction("60.325")
    assert "what is written counts" in read.notes[0]


def test_a_style_against_the_page_is_noted() -> None:
    """Inch style on a page stated metric is read as stated, and every size says so."""
    read = sizes("2.375 x 3.125 x .500", "mm")
    assert [each.unit for each in read] == ["mm"] * 3
    assert all("although a decimal without a zero" in each.notes[0] for each in read)


def test_an_unknown_unit_is_impossible() -> None:
    """Only millimetres and inches can be stated for a page."""
    with pytest.raises(Impossible, match="“mm” or “in”"):
        size("60", "cm")  # type: ignore[arg-type]


def test_a_number_is_no_text() -> None:
    """A bare float has lost how it was written, so it is refused."""
    with pytest.raises(Refused, match="as it was written"):
        size(2.375)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("2-3/8", "2-3/8 in (60.325 mm)"),
        ('0.5000"', "0.5000 in (12.7 mm)"),
        ("60 mm", "60 mm (2.3622 in)"),
        ("60 h11", "59.81 to 60 mm (2.3547 to 2.3622 in)"),
    ],
)
def test_both_units_are_shown(text: str, shown: str) -> None:
    """A size shows the unit it was written in first, then the other."""
    assert str(size(text)) == shown


def test_sizes_are_frozen_values() -> None:
    """A size cannot be changed, has no dictionary, and serves as a key."""
    read = size("60 mm")
    with pytest.raises(AttributeError):
        read.low = Fraction(1)  # type: ignore[misc]
    assert not hasattr(read, "__dict__")
    assert {read: 1}[size("60 mm")] == 1
    assert (read.nominal_mm, read.low_mm, read.high_mm) == (60.0, 60.0, 60.0)
    assert size("59.91/59.95 mm").nominal_mm is None
