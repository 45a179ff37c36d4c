"""What users of the library may give the engineering: one value, arrays, or nonsense.

Figures beside other sources stand in the tests of their subjects (ISO 286 by pressfit in
tests/sizes, Lame by the ring equation, glands by open data); here it is the manner of asking.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import pressfit.tables
import pytest

import xref
from xref.errors import Impossible, Refused

fits = xref.fits
RING = (3.53, 24.99, 25.4, 31.14, 4.57)


def leaves(answer: Any) -> list[Any]:
    """Return the arrays of an answer, of a tuple's tuples too."""
    if isinstance(answer, tuple):
        return [leaf for one in answer for leaf in leaves(one)]
    return [answer]


@pytest.mark.parametrize(
    ("ask", "columns"),
    [
        (lambda d: fits.zone(d, "k6"), [[25.0, 60.0, 3.0, 500.0]]),
        (fits.surface_speed, [[60.0, 35.0], [1000.0, 8000.0]]),
        (
            fits.seal_interference,
            [[52.0, 80.0], [52.046, 80.046], [52.0, 80.0], ["metal", "rubber"]],
        ),
        (fits.press_fit, [[0.0355, 0.03], [26.0, 23.0], [20.0, 0.0], [60.0, np.inf], [20.0, 30]]),
        (
            lambda *sizes: fits.oring_gland(*sizes, "piston", "dynamic"),
            [[3.53, 1.78], [24.99, 10.82], [25.4, 11.0], [31.14, 13.9], [4.57, 2.4]],
        ),
        (
            fits.press_fit,
            [
                [0.0355, 0.03],
                [26.0, 23.0],
                [20.0, 0.0],
                [60.0, np.inf],
                [20.0, 30.0],
                ["bronze", "steel"],
                ["steel", "cast iron"],
                [0.15, 0.12],
            ],
        ),
        (
            fits.oring_gland,
            [
                [3.53, 3.53, 1.78, 1.78],
                [24.99, 18.64, 10.82, 10.82],
                [25.4, 25.7, 11.0, 18.0],
                [31.14, 20.0, 13.9, 15.2],
                [4.57, 4.8, 2.4, 2.4],
                ["piston", "rod", "piston", "face"],
                ["static", "dynamic", "dynamic", "static"],
            ],
        ),
    ],
    ids=[
        "zone",
        "surface_speed",
        "seal_interference",
        "press_fit",
        "oring_gland",
        "press_fit of metals",
        "oring_gland of glands",
    ],
)
def test_arrays_answer_as_their_values_do(ask: Callable[..., Any], columns: list[Any]) -> None:
    """Lists and arrays of any shape give, place by place, what single values give."""
    whole = leaves(ask(*columns))
    square = leaves(ask(*(np.asarray(column)[:, None] for column in columns)))
    for i, row in enumerate(zip(*columns, strict=True)):
        single = leaves(ask(*row))
        assert all(np.ndim(one) == 0 for one in single)
        for one, many, column in zip(single, whole, square, strict=True):
            assert float(one) == pytest.approx(float(many[i]))
            assert column.shape == (len(columns[0]), 1)
            assert float(column[i, 0]) == float(many[i])


def test_words_and_sizes_broadcast_together() -> None:
    """One size and two words, or words down and sizes across, give every pair's own answer."""
    pressure, force, _ = fits.press_fit(
        0.03, 26, 20, 60, [[10, 20, 30]], inner=[["bronze"], ["steel"]]
    )
    assert pressure.shape == force.shape == (2, 3)
    for i, metal in enumerate(("bronze", "steel")):
        for j, length in enumerate((10, 20, 30)):
            one = fits.press_fit(0.03, 26, 20, 60, length, inner=metal)
            assert (pressure[i, j], force[i, j]) == (one.pressure_mpa, one.force_kn)
    both = fits.oring_gland(*RING, ["piston", "face"], [["static"], ["dynamic"]])
    assert {leaf.shape for leaf in leaves(both)} == {(2, 2)}
    for j, gland in enumerate(("piston", "face")):
        alone = leaves(fits.oring_gland(*RING, gland))
        assert [leaf[1, j] for leaf in leaves(both)] == alone


def test_unknown_sizes_stay_unknown_beside_known_ones() -> None:
    """NaN is not known: its place of the answer is NaN, the others have their figures."""
    lower, upper = fits.zone([25.0, np.nan], "H7")
    assert (lower[0], upper[0]) == (0.0, 0.021)
    assert np.isnan([lower[1], upper[1]]).all()
    assert np.isnan(fits.surface_speed([np.nan, 60.0], 100.0)).tolist() == [True, False]
    least, most = fits.seal_interference(80.0, 80.046, [80.0, np.nan], "metal")
    assert np.isnan([least, most]).tolist() == [[False, True], [False, True]]


@pytest.mark.parametrize("name", ["h11", "H8", "H7", "g6", "k6", "e7", "n6"])
def test_zones_are_those_of_pressfit(name: str) -> None:
    """ISO 286-2 at both ends of each main step, beside the package pressfit 0.1.0."""
    grade, letter = int(name[1:]), name[0]
    ends = [3, 6, 10, 18, 30, 50, 80, 120, 180, 250, 315, 400, 500]
    sizes = [size for end in ends[:-1] for size in (end, end + 0.001)] + [500]
    lower, upper = fits.zone(sizes, name)
    for size, low, high in zip(sizes, lower, upper, strict=True):
        width = pressfit.tables.it_value(size, grade)
        if letter == "H":
            expected = 0.0, width
        elif letter in "kn":
            fundamental = pressfit.tables.shaft_deviation(size, letter, grade)
            expected = fundamental, fundamental + width
        else:
            fundamental = (
                0 if letter == "h" else pressfit.tables.shaft_deviation(size, letter, grade)
            )
            expected = fundamental - width, fundamental
        assert (1000 * low, 1000 * high) == pytest.approx(expected, abs=0.51), size


NONSENSE: list[tuple[Callable[[], Any], str]] = [
    (lambda: fits.zone(25, "q6"), "no zone"),
    (lambda: fits.zone(25, "k99"), "k99"),
    (lambda: fits.zone(25, None), "k6"),  # type: ignore[arg-type]
    (lambda: fits.zone("wide", "k6"), "number"),
    (lambda: fits.zone([25, 0], "k6"), "0 mm"),
    (lambda: fits.zone([25, -3], "k6"), "-3 mm"),
    (lambda: fits.zone([25, 600], "k6"), "500 mm"),
    (lambda: fits.zone(np.inf, "k6"), "inf"),
    (lambda: fits.surface_speed(-60, 1000), "above zero"),
    (lambda: fits.surface_speed(60, -1), "not negative"),
    (lambda: fits.surface_speed(60, np.inf), "finite"),
    (lambda: fits.surface_speed("x", 1000), "number"),
    (lambda: fits.surface_speed([1, 2, 3], [1, 2]), "go together"),
    (lambda: fits.seal_interference(80.046, 80.0, 80, "metal"), "swap"),
    (lambda: fits.seal_interference(80.0, 80.046, 80, "wood"), "metal"),
    (lambda: fits.seal_interference(80.0, 80.046, 80, "metal", "own"), "ISO 6194-1"),
    (lambda: fits.seal_interference(80.0, 80.046, -80, "metal"), "above zero"),
    (lambda: fits.seal_interference(900, 900.1, 900, "metal"), "ISO 6194-1 above 530 mm"),
    (lambda: fits.seal_interference(1100, 1100.1, 1100, "metal", "RMA OS-4"), "1016 mm"),
    (lambda: fits.seal_interference([80, 90], 91, 80, ["metal"] * 3), "as many"),
    (lambda: fits.press_fit(0.03, 26, 30, 60, 20), "rise"),
    (lambda: fits.press_fit(0.03, 26, 20, 60, 0), "length"),
    (lambda: fits.press_fit(0.03, 26, 20, 60, 20, inner="glass"), "bronze"),
    (lambda: fits.press_fit(0.03, 26, 20, 60, 20, ["bronze", "glass"]), "glass"),
    (lambda: fits.press_fit([0.03, 0.04], 26, 20, 60, 20, ["bronze"] * 3), "as many"),
    (lambda: fits.press_fit(0.03, 26, 20, 60, 20, friction=-0.1), "friction"),
    (lambda: fits.press_fit(np.inf, 26, 20, 60, 20), "finite"),
    (lambda: fits.press_fit("tight", 26, 20, 60, 20), "number"),
    (lambda: fits.oring_gland(*RING, "bolt"), "piston"),
    (lambda: fits.oring_gland(*RING, "rod"), "no depth"),
    (lambda: fits.oring_gland(*RING, "piston", "spinning"), "dynamic"),
    (lambda: fits.oring_gland(*RING, ["piston", "bolt"]), "bolt"),
    (lambda: fits.oring_gland(*RING, ["piston", None]), "None"),
    (lambda: fits.oring_gland(*RING, [["piston"], ["piston", "rod"]]), "as many"),
    (lambda: fits.oring_gland(*RING, ["piston"] * 2, ["static"] * 3), "as many"),
    (lambda: fits.oring_gland(*RING, ["piston", "rod"]), "no depth"),
    (lambda: fits.oring_gland(-3.53, *RING[1:], "piston"), "above zero"),
    (lambda: fits.oring_gland(*RING[:4], 0, "piston"), "above zero"),
    (lambda: fits.oring_gland(12, 24.99, 25.4, 45, 14, "piston"), "ISO 3601-1 class A"),
]


@pytest.mark.parametrize(("ask", "word"), NONSENSE)
def test_nonsense_is_one_sentence(ask: Callable[[], Any], word: str) -> None:
    """A sentence that names what was given and what is wanted; never a traceback of numpy's."""
    with pytest.raises((Impossible, Refused)) as caught:
        ask()
    assert word in str(caught.value)
    assert str(caught.value).endswith(".")
    assert "\n" not in str(caught.value)


def test_a_number_no_float_holds_is_impossible() -> None:
    """A whole number beyond the floats is refused by name, as any other that is none."""
    with pytest.raises(Impossible, match="rpm"):
        fits.surface_speed(35.0, 10**400)
