"""The ranking key, position by position: each decided by a pair equal in all before it."""

from __future__ import annotations

from typing import Any

import numpy as np
import pandas as pd
import pytest

import xref as library
from xref.fits.judgement import (
    ALTER_MACHINE,
    ALTER_PART,
    AS_IS,
    DOES_NOT_FIT,
    WITH_SPACER,
    Judgement,
)
from xref.matching import rank
from xref.matching.rank import CLAIMED, PROVED, UNSUPPORTED

COMMON = {
    "verdict": WITH_SPACER,
    "doubt": False,
    "gap": False,
    "operations": 1,
    "support": UNSUPPORTED,
    "conformance": 0.9,
    "width": 1.0,
    "work": 2.0,
    "supply": 3,
    "name": 4,
    "misfit": 0.0,
}
"""One candidate; each pair below differs from it in the field it is about, and the loser is
better in every field that comes after."""

LATER_BETTER = {
    "name": 0,
    "supply": 0,
    "work": 0.0,
    "width": 0.0,
    "conformance": 1.0,
    "support": PROVED,
    "gap": False,
}
ORDER = ("fits", "doubt", "verdict", "operations", "gap", "support", "conformance")
ORDER += ("width", "work", "supply", "name")

PAIRS: list[tuple[str, dict[str, Any], dict[str, Any]]] = [
    ("fits", {"verdict": ALTER_MACHINE, "doubt": True, "gap": True}, {"verdict": DOES_NOT_FIT}),
    ("doubt", {"verdict": ALTER_MACHINE}, {"verdict": AS_IS, "doubt": True, "operations": 0}),
    ("verdict", {"verdict": AS_IS}, {"verdict": WITH_SPACER}),
    ("verdict", {"verdict": WITH_SPACER}, {"verdict": ALTER_PART}),
    ("verdict", {"verdict": ALTER_PART}, {"verdict": ALTER_MACHINE}),
    ("operations", {"operations": 1, "gap": True}, {"operations": 2}),
    ("gap", {"gap": False}, {"gap": True}),
    ("support", {"support": PROVED}, {"support": CLAIMED}),
    ("support", {"support": CLAIMED}, {"support": UNSUPPORTED}),
    ("conformance", {"conformance": 0.98}, {"conformance": 0.96}),
    ("width", {"width": 0.5}, {"width": 1.0}),
    ("work", {"work": 1.0}, {"work": 2.0}),
    ("supply", {"supply": 1}, {"supply": 2}),
    ("name", {"name": 1}, {"name": 2}),
]

OF_THE_KEY = [pair for pair in PAIRS if pair[0] not in ("supply", "name")]
"""The act adds stock, price and name behind the tuple."""


def judgement(rows: list[dict[str, Any]]) -> Judgement:
    """Build the columns the ranking looks at."""

    def column(name: str, kind: type | str = float) -> np.ndarray:
        return np.array([row[name] for row in rows], dtype=kind)

    return Judgement(
        checks=[],
        work=[],
        warnings=[],
        verdict=column("verdict", "int8"),
        certainty=np.zeros(len(rows), dtype=np.int8),
        conformance=column("conformance"),
        operations=column("operations", "int8"),
        work_amount_mm=column("work"),
        width_difference_mm=column("width"),
        has_doubt=column("doubt", bool),
        has_gap=column("gap", bool),
        misfit_mm=column("misfit"),
    )


def ordered(rows: list[dict[str, Any]]) -> list[int]:
    """Return the positions of candidates of one need, best first."""
    keys = rank.columns(
        judgement(rows),
        np.array([row["support"] for row in rows], dtype=np.int8),
        np.array([row["supply"] for row in rows], dtype=np.intp),
        np.array([row["name"] for row in rows], dtype=np.intp),
    )
    return rank.order(keys, np.zeros(len(rows), dtype=np.intp)).tolist()


@pytest.mark.parametrize(("field", "better", "worse"), PAIRS, ids=lambda v: str(v))
def test_each_position_decides(field: str, better: dict[str, Any], worse: dict[str, Any]) -> None:
    """The better one is first though the other is better in all that comes later."""
    after = ORDER[ORDER.index(field) + 1 :]
    second = {**COMMON, **{k: v for k, v in LATER_BETTER.items() if k in after}, **worse}
    first = {**COMMON, **better}
    assert ordered([first, second]) == [0, 1]
    assert ordered([second, first]) == [1, 0]


@pytest.mark.parametrize(("field", "better", "worse"), OF_THE_KEY, ids=lambda v: str(v))
def test_the_key_of_one_pair_says_the_same(
    field: str, better: dict[str, Any], worse: dict[str, Any]
) -> None:
    """The tuple used to merge parts of several kinds and lists orders as the columns do."""
    after = ORDER[ORDER.index(field) + 1 :]
    rows = [
        {**COMMON, **better},
        {**COMMON, **{k: v for k, v in LATER_BETTER.items() if k in after}, **worse},
    ]
    judged = judgement(rows)
    keys = [rank.with_support(rank.key(judged, i), rows[i]["support"]) for i in (0, 1)]
    assert keys[0] < keys[1]


def test_conformance_is_compared_to_a_hundredth() -> None:
    """0.984 and 0.976 are both 0.98: the width difference decides."""
    rows = [
        {**COMMON, "conformance": 0.984, "width": 1.0},
        {**COMMON, "conformance": 0.976, "width": 0.5},
    ]
    assert ordered(rows) == [1, 0]


def test_near_misses_stand_nearest_first() -> None:
    """Parts that do not fit are ordered by how far they miss, whatever supports them."""
    rows = [
        {**COMMON, "verdict": DOES_NOT_FIT, "misfit": 0.5, "support": PROVED},
        {**COMMON, "verdict": DOES_NOT_FIT, "misfit": 0.1},
    ]
    assert ordered(rows) == [1, 0]


def test_the_same_data_give_the_same_order() -> None:
    """Ties end by maker and number, in whatever order the catalogue stands."""
    original = pd.DataFrame(
        {
            "number": ["O"],
            "kind": ["shaft_seal"],
            "shaft_diameter_mm": [60.0],
            "outside_diameter_mm": [80.0],
            "width_mm": [8.0],
        }
    )
    catalogue = pd.DataFrame(
        {
            "maker": ["Bea", "Ada", "Ada", "Cyd"],
            "number": ["1", "9", "10", "0"],
            "kind": "shaft_seal",
            "shaft_diameter_mm": 60.0,
            "outside_diameter_mm": 80.0,
            "width_mm": 8.0,
            "case": "metal",
        }
    )
    expected = [("Ada", "10"), ("Ada", "9"), ("Bea", "1"), ("Cyd", "0")]
    for shuffled in (catalogue, catalogue.iloc[::-1], catalogue.iloc[[2, 0, 3, 1]]):
        found = library.match(original, shuffled)
        assert list(zip(found["maker"], found["number"], strict=True)) == expected
