"""Lists that contradict each other or do not, each situation written down before it was tried."""

import pandas as pd
import pytest

from tests.command_line import Xref
from xref.acts.contradictions import contradictions
from xref.matching import contradictions as c
from xref.store import ListInfo, Store

pytestmark = pytest.mark.store
SEAL = {"kind": "shaft_seal", "maker": "Ostrel", "shaft_diameter_mm": 60.0,
        "outside_diameter_mm": 80.0, "width_mm": 8.0}  # fmt: skip
NO_SEAL = dict.fromkeys(("shaft_diameter_mm", "outside_diameter_mm", "width_mm"))
BEARING = {**NO_SEAL, "kind": "rolling_bearing", "maker": "Zund"}
RING = {**NO_SEAL, "kind": "o_ring", "maker": "Zund"}
EARLY, LATE = "before serial 5", "from serial 5"


def row(number, **more):
    """A row of a list; its replacements as one cell."""
    to = more.pop("to", None)
    return {"number": number, **({"replacements": [to]} if to else {}), **more}


SITUATIONS = {
    "an interchange of seals for other shafts": (
        {"catalogue": [row("A 100"), row("A 200", shaft_diameter_mm=50.0)],
         "interchange": [row("A 100", to="A 200")]},
        [c.UNFIT],
    ),
    "a supersession by a seal for another shaft": (
        {"originals": [row("A 100", to="A 200"), row("A 200", shaft_diameter_mm=50.0)]},
        [c.UNFIT],
    ),
    "a seal said to serve for an O-ring": (
        {"catalogue": [row("A11"), row("B11", **RING, inside_diameter_mm=60.0)],
         "interchange": [row("A11", to="B11")]},
        [c.UNFIT],
    ),
    "two of half the width": (
        {"originals": [row("W11", width_mm=16.0), row("W21")],
         "interchange": [row("W11", to="use 2 of W21")]},
        [],
    ),
    "one of half the width": (
        {"originals": [row("W11", width_mm=8.0), row("W21", width_mm=16.0, shaft_diameter_mm=35.0)],
         "interchange": [row("W11", to="W21")]},
        [c.UNFIT],
    ),
    "what goes together is claimed, not checked": (
        {"originals": [row("W11"), row("W21", shaft_diameter_mm=20.0), row("W31", width_mm=3.0)],
         "interchange": [row("W11", to="W21 + W31")]},
        [],
    ),
    "two catalogues with two widths": (
        {"catalogue": [row("A 100")], "catalogue 2": [row("A-100", width_mm=10.0)]},
        [c.TWO_SIZES],
    ),
    "two makers with one number": (
        {"catalogue": [row("A 100")], "catalogue 2": [row("A-100", width_mm=10.0, maker="Else")]},
        [],
    ),
    "one size printed two ways": (
        {"catalogue": [row("A 100", shaft_diameter_mm=60.325)],
         "catalogue 2": [row("A-100", shaft_diameter_mm=60.33)]},
        [],
    ),
    "two forms of one number": (
        {"originals": [row("V11", variant=EARLY), row("V11", variant=LATE, width_mm=10.0)]},
        [],
    ),
    "two kinds": (
        {"catalogue": [row("K11")],
         "catalogue 2": [row("K11", **BEARING | {"maker": "Ostrel"}, bore_diameter_mm=60.0)]},
        [c.TWO_KINDS],
    ),
    "two prices in one list": (
        {"stock": [row("P11", price=5.0, currency="EUR"), row("P11", price=6.0, currency="EUR")]},
        [c.TWO_PRICES],
    ),
    "new and used": (
        {"stock": [row("P11", price=5.0, condition="new"),
                   row("P11", price=6.0, condition="used")]},
        [],
    ),
    "6205 with width 16 (ISO 15: 25 x 52 x 15)": (
        {"catalogue": [row("6205", **BEARING | {"width_mm": 16.0, "outside_diameter_mm": 52.0},
                           bore_diameter_mm=25.0)]},
        [c.DESIGNATION],
    ),
    "6305 as ISO 15 has it: 25 x 62 x 17": (
        {"catalogue": [row("6305-2RS", **BEARING | {"width_mm": 17.0, "outside_diameter_mm": 62.0},
                           bore_diameter_mm=25.0)]},
        [],
    ),
    "bore code 10 is 50 mm (ISO/DIN 623)": (
        {"catalogue": [row("NU 2210 E", **BEARING, bore_diameter_mm=45.0)]},
        [c.DESIGNATION],
    ),
    "dash 214 is 24.99 mm (AS568)": (
        {"catalogue": [row("AS568-214", **RING, inside_diameter_mm=20.0, cross_section_mm=3.53)]},
        [c.DESIGNATION],
    ),
    "a circle of three": (
        {"originals": [row(f"L{n}1", to=f"L{n % 3 + 1}1") for n in (1, 2, 3)]},
        [c.LOOP],
    ),
    "a circle over two lists": (
        {"originals": [row("L11", to="L21"), row("L21")],
         "interchange": [row("L21", to="L11", relation="superseded by")]},
        [c.LOOP],
    ),
    "equal both ways is no circle": (
        {"originals": [row("L11"), row("L21")],
         "interchange": [row("L21", to="L11", relation="equal to"),
                         row("L11", to="L21", relation="equal to")]},
        [],
    ),
    "a number that supersedes itself": (
        {"originals": [row("L11", to="L-11")]},
        [c.ITSELF],
    ),
    "a number that leads nowhere": (
        {"interchange": [row("Q11", to="R11")]},
        [c.DANGLING],
    ),
    "a number that leads on to a standard designation": (
        {"interchange": [row("Q11", to="R11"), row("R11", to="6205")]},
        [],
    ),
    "lists that name parts of other diameters": (
        {"catalogue": [row("A11"), row("B11", shaft_diameter_mm=50.0)],
         "interchange": [row("Q11", to="A11")], "interchange 2": [row("Q11", to="B11")]},
        [c.DISAGREE],
    ),
    "lists that name one for each form": (
        {"catalogue": [row("A11"), row("B11", shaft_diameter_mm=50.0)],
         "interchange": [row("Q11", to="A11", variant=EARLY)],
         "interchange 2": [row("Q11", to="B11", variant=LATE)]},
        [],
    ),
}  # fmt: skip


def stored(folder, lists):
    """A store with these lists."""
    made = Store.open(folder)
    for name, rows in lists.items():
        table = name.split()[0]
        common = {} if table == "interchange" else SEAL
        frame = pd.DataFrame([{"at": n, **common, **one} for n, one in enumerate(rows, 2)])
        made.add_edition(ListInfo(table, name), frame)
    return made


@pytest.mark.parametrize(("lists", "what"), SITUATIONS.values(), ids=SITUATIONS)
def test_what_contradicts(tmp_path, lists, what):
    """Exactly what contradicts is found, with rows that say where they stand."""
    found = contradictions(stored(tmp_path / "store", lists))["contradictions"]
    assert [one["what"] for one in found] == what
    assert all(line["source"] and line["number"] for one in found for line in one["rows"])


def test_the_command_ends_with_six(tmp_path, xref: Xref):
    """Contradictions end with status 6, none with 0; the JSON has what, rows and why."""
    wrong = stored(tmp_path / "wrong", SITUATIONS["an interchange of seals for other shafts"][0])
    right = stored(tmp_path / "right", SITUATIONS["two of half the width"][0])
    answer = xref("contradictions", "--json", "--store", str(wrong.folder))
    assert answer.status == 6
    (found,) = answer.document["contradictions"]
    assert set(found) == {"what", "rows", "why"}
    answer = xref("contradictions", "--json", "--store", str(right.folder))
    assert (answer.status, answer.document["contradictions"]) == (0, [])
    about = xref("contradictions", "A 999", "--json", "--store", str(wrong.folder))
    assert about.document["contradictions"] == []
