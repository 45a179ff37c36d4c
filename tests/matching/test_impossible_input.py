"""Input that cannot be: one sentence from `xref fit` and `xref match`, one row from `xref.match`.

Good rows are served beside bad ones; beyond a table the answer says which table
and where it ends, and never a figure.
"""

from __future__ import annotations

import shlex
from typing import Any

import numpy as np
import pandas as pd
import pytest

import xref as library
from tests.command_line import Answer, Xref

PART = {
    "shaft_seal": ["--id", "60mm", "--od", "80mm", "--width", "8mm"],
    "rolling_bearing": ["--id", "25mm", "--od", "52mm", "--width", "15mm"],
    "plain_bushing": ["--id", "25mm", "--od", "32mm", "--length", "30mm"],
    "o_ring": ["--id", "24.99mm", "--section", "3.53mm"],
    "thrust_washer": ["--id", "20mm", "--od", "36mm", "--thickness", "1.5mm"],
}
GROOVE = ["--groove-diameter", "25.4mm", "--mating-diameter", "31.14mm"]


def demand_sentence(answer: Answer, statuses: tuple[int, ...], word: str = "") -> None:
    """Fail unless the answer is one sentence on stderr and one of the statuses."""
    assert answer.status in statuses, (answer.out, answer.err)
    assert answer.out == ""
    assert "Traceback" not in answer.err
    assert answer.err.strip()
    assert word.casefold() in " ".join(answer.err.casefold().split())


@pytest.mark.parametrize("kind", sorted(PART))
@pytest.mark.parametrize(
    ("size", "statuses"),
    [
        ("-25mm", (2, 4)),
        ("0mm", (2, 4)),
        ("nan", (4,)),
        ("infmm", (4,)),
        ("25 k99", (4,)),
        ("25 q6", (3, 4)),
        ("25.02/25.05-25.01", (3, 4)),
        ("25", (3,)),
        ("wide", (4,)),
        ("", (2, 4)),
    ],
)
@pytest.mark.parametrize("act", ["fit", "match"])
def test_sizes_that_cannot_be(
    xref: Xref, act: str, kind: str, size: str, statuses: tuple[int, ...]
) -> None:
    """Negative, zero, not a number, an unknown zone, no unit: a sentence that names the option."""
    option = "--groove-diameter" if kind == "o_ring" else "--shaft"
    start = ["fit", kind, *PART[kind]] if act == "fit" else ["match", "--kind", kind]
    demand_sentence(xref(*start, option, size), statuses, option.strip("-").replace("-", " "))


PARTS = {kind: f"fit {kind} {' '.join(words)}" for kind, words in PART.items()}


@pytest.mark.parametrize(
    ("line", "word"),
    [
        ("fit shaft_seal --id 80mm --od 60mm --shaft 80mm", "not larger"),
        (f"{PARTS['rolling_bearing']} --shaft 60mm --housing 52mm", "not larger"),
        (f"{PARTS['shaft_seal']} --shaft 60mm --trait case=wood", "metal"),
        (f"{PARTS['shaft_seal']} --shaft 60mm --trait colour=red", "colour"),
        (f"{PARTS['o_ring']} --groove-diameter 31mm --mating-diameter 25mm", "no depth"),
        (f"{PARTS['o_ring']} {' '.join(GROOVE)} --gland rod", "no depth"),
        (f"{PARTS['o_ring']} {' '.join(GROOVE)} --gland sideways", "piston"),
        (f"{PARTS['rolling_bearing']} --shaft 25mm --rotating both", "inner"),
        (f"{PARTS['rolling_bearing']} --shaft 25mm --load huge", "heavy"),
        (f"{PARTS['shaft_seal']} --shaft 60mm --gap 3mm", "not judged by a gap"),
        (f"{PARTS['shaft_seal']} --shaft 60mm --rpm -5", "rpm"),
        (f"{PARTS['shaft_seal']} --shaft 60mm --rpm nan", "rpm"),
        (f"{PARTS['shaft_seal']} --shaft 60mm --uncertainty 0mm", "ncertainty"),
        (f"{PARTS['shaft_seal']} --shaft 60mm --uncertainty 60mm", "instrument"),
        (f"{PARTS['shaft_seal']} --shaft 60mm --temperature=-300", "so cold"),
        (f"{PARTS['rolling_bearing']} --shaft 25mm --trait dynamic_load_kn=-14", "below zero"),
        (f"fit o_ring --id 25mm --width 3mm {' '.join(GROOVE)}", "width"),
        (
            "fit press --interference 0.05mm --interface 32mm --inner-bore 40mm --length 30mm",
            "rise",
        ),
        (
            "fit press --interference 0.05mm --interface 32mm --length 30mm --inner glass",
            "glass",
        ),
    ],
)
def test_things_that_cannot_be(xref: Xref, line: str, word: str) -> None:
    """Outside within inside, unknown words, grooves without depth: refused with what to say."""
    demand_sentence(xref(*line.split()), (2, 3, 4), word)


def catalogue() -> pd.DataFrame:
    """Return one seal on offer."""
    return pd.DataFrame(
        {
            "maker": ["Ada"],
            "number": ["S60"],
            "kind": ["shaft_seal"],
            "shaft_diameter_mm": [60.0],
            "outside_diameter_mm": [80.0],
            "width_mm": [8.0],
            "case": ["metal"],
        }
    )


GOOD: dict[str, Any] = {
    "number": "good",
    "kind": "shaft_seal",
    "shaft_diameter_mm": 60.0,
    "outside_diameter_mm": 80.0,
    "width_mm": 8.0,
}


@pytest.mark.parametrize(
    ("bad", "word"),
    [
        ({"shaft_diameter_mm": -60.0}, "above zero"),
        ({"shaft_diameter_mm": 0.0}, "above zero"),
        ({"shaft_diameter_mm": np.inf}, "infinite"),
        ({"shaft_diameter_mm": 90.0}, "not larger"),
        ({"shaft_mm": -1.0}, "above zero"),
        ({"shaft_mm": 85.0, "housing_mm": 80.0}, "not larger"),
        ({"shaft_mm": 60.0, "shaft_uncertainty_mm": 0.0}, "uncertainty"),
        ({"shaft_mm": 60.0, "shaft_uncertainty_mm": -0.02}, "uncertainty"),
        ({"shaft_diameter_low_mm": 60.1, "shaft_diameter_high_mm": 60.0}, "lower limit"),
        ({"shaft_mm": 60.0, "shaft_uncertainty_mm": 70.0}, "below the size"),
        ({"temperature": -300.0}, "so cold"),
        ({"rpm": -10.0}, "rpm"),
        ({"rotating": "both"}, "inner"),
        ({"wear_track": "6mm"}, "POSITION"),
        (
            {"shaft_diameter_mm": np.nan, "outside_diameter_mm": np.nan, "width_mm": np.nan},
            "no size",
        ),
        ({"shaft_diameter_mm": np.nan, "shaft_diameter_text": "60 k99"}, "shaft diameter"),
        ({"shaft_diameter_mm": np.nan, "shaft_diameter_text": "2.375"}, "shaft diameter"),
        ({"kind": "gasket"}, "gasket"),
    ],
)
def test_a_bad_row_says_why_and_stops_no_other(bad: dict[str, Any], word: str) -> None:
    """The bad row does not fit, with its sentence; the rows around it are served."""
    found = library.match(pd.DataFrame([GOOD, {**GOOD, **bad, "number": "bad"}, GOOD]), catalogue())
    assert found["original_row"].tolist() == [0, 1, 2]
    assert found["verdict"].tolist() == ["as is", "does not fit", "as is"]
    assert found["number"].tolist()[1] is None
    assert word.casefold() in found["failing_check"].tolist()[1].casefold()


@pytest.mark.parametrize("size", ["sixty", np.inf, -np.inf, 0.0, -60.0, None, True, "60,5"])
def test_a_size_on_offer_that_cannot_be_is_not_stated(size: object) -> None:
    """A catalogue row with such a size is no part that fits; the row beside it is found."""
    row = {"maker": "Ada", "kind": "shaft_seal", "case": "metal", "width_mm": 8.0}
    sizes = {"shaft_diameter_mm": 60.0, "outside_diameter_mm": 80.0}
    offered = pd.DataFrame(
        [
            {**row, **sizes, "number": "S60"},
            {**row, **sizes, "number": "BAD", "outside_diameter_mm": size},
            {**row, **sizes, "number": "WORSE", "shaft_diameter_mm": size},
        ]
    )
    found = library.match(pd.DataFrame([GOOD]), offered)
    best = found.iloc[0]
    assert (best["number"], best["verdict"]) == ("S60", "as is")
    others = found[found["number"] != "S60"]
    assert not (others["certainty"] == "assumed").any()


@pytest.mark.parametrize(
    ("more", "word"),
    [
        ({"shaft_mm": np.inf, "shaft_uncertainty_mm": np.inf}, "uncertainty"),
        ({"shaft_mm": np.inf}, "infinite"),
        ({"housing_mm": -np.inf, "depth_uncertainty_mm": np.inf}, "above zero"),
        ({"rpm": np.inf}, "infinite"),
        ({"pressure_bar": np.inf, "temperature": -np.inf}, "infinite"),
        ({"width_low_mm": -np.inf, "width_high_mm": np.inf}, None),
    ],
)
def test_infinite_figures_are_a_reason_and_no_warning(
    more: dict[str, float], word: str | None
) -> None:
    """What is not finite is refused or, as a limit, left out; nothing is calculated with it."""
    frame = pd.DataFrame([{**GOOD, **more, "number": "odd"}, GOOD])
    odd, good = library.match(frame, catalogue()).drop_duplicates("original_row").to_dict("records")
    assert good["verdict"] == "as is"
    assert odd["verdict"] == ("as is" if word is None else "does not fit")
    assert word is None or word in odd["failing_check"]


@pytest.mark.parametrize(
    ("line", "name", "said"),
    [
        (
            "fit shaft_seal --id 560mm --od 610mm --width 20mm --shaft 560mm --housing 610mm",
            "shaft",
            "not covered by ISO 6194-1 with ISO 286-2 above 500 mm",
        ),
        (
            "fit shaft_seal --id 60mm --od 80mm --width 22mm --shaft 60mm --depth 25mm",
            "width",
            "not covered by ISO 6194-1 above 20 mm",
        ),
        (
            "fit plain_bushing --id 300mm --od 330mm --length 100mm --shaft 299mm "
            "--housing 330mm --trait material=steel-backed",
            "press",
            "not covered by ISO 3547-1 above 305 mm",
        ),
        (
            "fit rolling_bearing --id 300mm --od 460mm --width 74mm --shaft 300mm "
            "--rotating inner --load normal --trait 'bearing_type=deep groove ball'",
            "shaft",
            "not covered by",
        ),
        (
            "fit o_ring --id 90mm --section 9mm --groove-diameter 92mm --mating-diameter 106mm",
            "squeeze",
            "above 8.5 mm",
        ),
    ],
)
def test_beyond_a_table_nothing_is_extrapolated(
    xref: Xref, line: str, name: str, said: str
) -> None:
    """The check is not checked and names the table and its end; the fit is measure first."""
    answer = xref(*shlex.split(line), "--json")
    (one,) = [check for check in answer.document["checks"] if check["name"] == name]
    assert one["result"] == "not checked"
    assert said in one["missing"]
    assert answer.document["certainty"] == "measure first"


def test_a_zone_beyond_its_table_is_refused(xref: Xref) -> None:
    """ISO 286-2 here ends at 500 mm: `fits.zone` and a written size say so."""
    with pytest.raises(library.Refused, match="500 mm"):
        library.fits.zone(501.0, "k6")
    with pytest.raises(library.Refused, match="has no zone"):
        library.fits.zone(25.0, "q6")
    start = ["match", "--kind", "rolling_bearing", "--shaft", "600mm k6"]
    demand_sentence(xref(*start), (3, 4))
