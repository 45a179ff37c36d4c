"""Identification and contradictions over a real store."""

import pandas as pd
import pytest

from xref.acts.contradictions import contradictions as find
from xref.acts.support import supporters
from xref.matching import contradictions as c
from xref.matching.identify import identify
from xref.matching.lists import StoredLists
from xref.matching.variants import variant
from xref.store.edition import ListInfo
from xref.store.store import Store

pytestmark = pytest.mark.store


@pytest.fixture(scope="module")
def store(tmp_path_factory):
    """A book, two catalogues and an interchange list, all invented."""
    made = Store.open(tmp_path_factory.mktemp("identify") / "store")
    seal = {"kind": "shaft_seal", "outside_diameter_mm": 80.0, "width_mm": 8.0}
    book = [
        {"number": "TW/3/118", "description": "Oil seal, feed drum", "replacements": ["TW/5/118"],
         "shaft_diameter_mm": 60.0, "maker": "Ostrel"},
        {"number": "TW/7/20", "description": "Oil seal, take-off", "variant": "before serial 412",
         "replacements": ["TW/7/20A"], "shaft_diameter_mm": 55.0, "maker": "Ostrel"},
        {"number": "TW/7/20A", "description": "Oil seal, take-off", "variant": "from serial 412",
         "shaft_diameter_mm": 55.0, "maker": "Ostrel"},
    ]  # fmt: skip
    catalogue = [
        {"number": "RV 6080", "maker": "Rovald", "shaft_diameter_mm": 60.0},
        {"number": "RV 5880", "maker": "Rovald", "shaft_diameter_mm": 58.0},
        {"number": "TW/5/118", "maker": "Ostrel", "shaft_diameter_mm": 60.0},
    ]
    other = [{"number": "rv-6080", "maker": "ROVALD", "shaft_diameter_mm": 60.0, "width_mm": 10.0}]
    table = [
        {"at": 2, "number": "TW/5/118", "replacements": ["RV6080"], "relation": "equal to"},
        {"at": 3, "number": "TW/3/118", "replacements": ["RV 5880"], "relation": "may serve as"},
        {"at": 4, "number": "TW/7/20A", "replacements": ["ZZ 9"], "relation": "superseded by"},
    ]
    for name, kind_of_table, rows in (
        ("book", "originals", book), ("catalogue", "catalogue", catalogue),
        ("other", "catalogue", other), ("table", "interchange", table),
    ):  # fmt: skip
        common = {} if kind_of_table == "interchange" else seal
        frame = pd.DataFrame([{"at": n, **common, **row} for n, row in enumerate(rows, 2)])
        made.add_edition(ListInfo(kind_of_table, name), frame)
    return made


def test_a_chain_across_lists_of_a_store(store):
    """Book to catalogue by way of an interchange list, each step with its list and row."""
    matches = identify("tw 3 118", StoredLists(store))
    assert (matches[0]["number"], matches[0]["how"]) == ("TW/3/118", "same characters")
    chain = next(m for m in matches if m["number"] == "RV 6080")
    assert [s["source"] for s in chain["path"]] == ["book, row 2", "table, row 2"]
    assert chain["dimensions_mm"]["shaft_diameter"] == 60.0


def test_a_smudged_number_and_a_description_in_a_store(store):
    """O for 0 finds the number, the trade's name and a word find the row."""
    assert identify("RV6O8O", StoredLists(store))[0]["number"] == "RV 6080"
    found = identify("lip seal feed drum", StoredLists(store))
    assert [(m["number"], m["how"]) for m in found] == [("TW/3/118", "description")]


def test_a_quote_in_a_description_is_only_a_quote(store):
    """Quotes and percent signs in the text reach the engine as text."""
    assert identify("seal 'feed' drum'); -- 100%", StoredLists(store))[0]["number"] == "TW/3/118"


def test_serial_breaks_in_a_store(store):
    """The later form and its successors stay out for a machine before the break."""
    early = identify("TW/7/20", StoredLists(store), serial="300")
    assert {m["number"] for m in early if m["how"] in ("superseded by", "interchange")} == set()
    late = identify("TW/7/20", StoredLists(store), serial="412")
    assert {"TW/7/20A", "ZZ 9"} <= {m["number"] for m in late}


def test_contradictions_of_a_store(store):
    """A statement that sizes refute, and with it two lists that disagree; two sizes; no row."""
    found = find(store)["contradictions"]
    assert sorted(one["what"] for one in found) == sorted(
        [c.UNFIT, c.DISAGREE, c.TWO_SIZES, c.DANGLING]
    )
    (unfit,) = [one for one in found if one["what"] == c.UNFIT]
    assert unfit["rows"][0]["source"] == "table, row 3"
    assert [f["what"] for f in find(store, number="zz9")["contradictions"]] == []
    about = find(store, number="TW/7/20A")["contradictions"]
    assert [f["what"] for f in about] == [c.DANGLING]


def test_an_empty_store_answers(tmp_path):
    """A store without lists finds nothing and contradicts nothing."""
    empty = Store.open(tmp_path / "empty")
    assert identify("TW/3/118", StoredLists(empty)) == []
    assert find(empty) == {"contradictions": []}


def test_support_for_matching_keeps_the_serial_break(store):
    """What may stand in, by number key with who says so; the later form is not among it."""
    found = supporters(store, "TW/3/118")
    assert list(found) == ["TW5118", "RV6080", "RV5880"]
    assert found["RV6080"].text == "TW/5/118 equal to RV6080 (table, row 2)"
    assert supporters(store, "TW/7/20") == {}
    assert list(supporters(store, "TW/7/20", accepted=[variant("from serial 412")])) == [
        "TW720A",
        "ZZ9",
    ]
