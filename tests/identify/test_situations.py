"""Situations at the bench, each written down before it was tried: numbers, chains, bad input."""

import json
from datetime import date

import pandas as pd
import pytest

from xref.acts.identify import identify
from xref.acts.match import match
from xref.errors import Impossible
from xref.sourcing import proofs, wants
from xref.store import ListInfo, Store

pytestmark = pytest.mark.store
DAY = date(2027, 10, 1)
SEAL = {"kind": "shaft_seal", "maker": "Ostrel", "shaft_diameter_mm": 60.0,
        "outside_diameter_mm": 80.0, "width_mm": 8.0}  # fmt: skip
BOOK = [
    {"number": "PB/10/1", "description": "Oil seal, feed drum", "replacements": ["PB/20/1"]},
    {"number": "PB/20/1", "replacements": ["PB/30/1"]},
    {"number": "PB/30/1"},
    {"number": "CY/1/77", "replacements": ["CY/2/88"]},
    {"number": "CY/2/88", "replacements": ["CY/3/99"]},
    {"number": "CY/3/99", "replacements": ["CY/1/77"]},
    {"number": "SELF/9", "replacements": ["SELF/9"]},
    {"number": "SET/4400", "replacements": ["HALF/71 + HALF/72"]},
    {"number": "HALF/71"},
    {"number": "HALF/72"},
    {"number": "ALT/5501", "replacements": ["AX/811 / AX/922"]},
    {"number": "ALT/5502", "replacements": ["AX/811 or AX/922"]},
    {"number": "AX/811"},
    {"number": "AX/922"},
    {"number": "TWO/6601", "replacements": ["use 2 of NRW/31"]},
    {"number": "NRW/31", "replacements": ["use 3 of NRW/45"]},
    {"number": "NRW/45"},
    {"number": "GONE/12", "replacements": ["NLA"]},
    {"number": "04071"},
    {"number": "4071"},
    {"number": "KS 5512"},
    {"number": "KS 5512 A"},
    {"number": "KS 7790"},
    {"number": "KS 7790 REV 2"},
    {"number": "VR/880", "variant": "before serial 500", "replacements": ["VR/880A"]},
    {"number": "VR/880A", "variant": "from serial 500", "replacements": ["VR/990"]},
    {"number": "VR/990"},
    {"number": "B8S5Z2O0"},
    {"number": "MV/2001", "description": "Lip seal, winch drum, cast"},
    *(
        {"number": f"CH/{n}X{n * 7}", "replacements": [f"CH/{n + 1}X{n * 7 + 7}"]}
        for n in range(100, 130)
    ),
]
INTERCHANGE = {
    "one": [
        {"number": "PB/30/1", "replacements": ["RV 6080"], "relation": "equal to"},
        {"number": "DIS/31", "replacements": ["RV 7080"], "relation": "may serve as"},
        {"number": "MS/71", "replacements": ["MS/82"], "relation": "may serve as"},
    ],
    "two": [
        {"number": "DIS/31", "replacements": ["RV 7080"], "relation": "may serve as"},
        {"number": "DIS/31", "replacements": ["OT 5580"], "relation": "may serve as"},
        {"number": "EQ/61", "replacements": ["EQ/62"], "relation": "equal to"},
    ],
    "three": [
        {"number": "DIS/31", "replacements": ["OT 5581"], "relation": "superseded by"},
        {"number": "DNG/1", "replacements": ["NOWHERE/77"]},
        {"number": "SRC/5", "replacements": ["PS/81"], "variant": "before serial 100"},
        {"number": "SRC/5", "replacements": ["PS/82"], "variant": "from serial 100"},
    ],
}
CATALOGUE = [
    {"number": "RV 6080", "maker": "Rovald", "description": "Rotary shaft seal"},
    {"number": "RV 7080", "maker": "Rovald"},
    {"number": "OT 5580", "maker": "Otten"},
    {"number": "OT 5581", "maker": "Otten"},
    *({"number": number, "maker": "Pahl"} for number in ("PS/81", "PS/82", "EQ/61", "EQ/62")),
]
STOCK = [{"number": "MV 2001", "maker": None, "description": "Wellendichtring Trommel"}]


@pytest.fixture(scope="module")
def store(tmp_path_factory):
    """A book, three interchange lists, a catalogue and a stock list, all invented."""
    made = Store.open(tmp_path_factory.mktemp("situations") / "store")
    lists = [("originals", "book", BOOK), ("catalogue", "rovald", CATALOGUE)]
    lists += [("stock", "barn", STOCK)]
    lists += [("interchange", name, rows) for name, rows in INTERCHANGE.items()]
    for table, name, rows in lists:
        common = {} if table == "interchange" else SEAL
        frame = pd.DataFrame([{"at": n, **common, **row} for n, row in enumerate(rows, 2)])
        made.add_edition(ListInfo(table, name), frame)
    return made


def matches(store, text, **how):
    """What a text may mean."""
    return identify(store, text, **how)["matches"]


def one(store, text, number, **how):
    """The match of a number."""
    return next(m for m in matches(store, text, **how) if m["number"] == number)


def standing_in(store, text, **how):
    """The numbers given in place of one, in order."""
    found = matches(store, text, **how)
    return [m["number"] for m in found if m["how"] in ("superseded by", "interchange")]


@pytest.mark.parametrize(
    ("text", "number", "how"),
    [
        ("PB/10/1", "PB/10/1", "exact"),
        ("  PB/10/1 ", "PB/10/1", "exact"),
        ("pb 10 1", "PB/10/1", "same characters"),
        ("ＰＢ／１０／１", "PB/10/1", "same characters"),
        ("PB\u200b/10/1", "PB/10/1", "same characters"),
        ("PB–10–1", "PB/10/1", "same characters"),
        ("PB.10_1", "PB/10/1", "same characters"),
        ("PB\x0010/1", "PB/10/1", "same characters"),
        ("PB/1O/1", "PB/10/1", "looks like"),
        ("PB/l0/1", "PB/10/1", "looks like"),
        ("РВ/10/1", "PB/10/1", "looks like"),
        ("ΡΒ/10/1", "PB/10/1", "looks like"),
        ("P8/10/I", "PB/10/1", "looks like"),
        ("885S220O", "B8S5Z2O0", "looks like"),
        ("BBSSZZOO", "B8S5Z2O0", "looks like"),
        ("B8S5Z2O00", "B8S5Z2O0", "looks like"),
        ("8BS5Z2O0", "B8S5Z2O0", "looks like"),
        ("B8SSZ20", "B8S5Z2O0", "looks like"),
        ("B8X5Z2YO0", "B8S5Z2O0", "looks like"),
        ("4071", "4071", "exact"),
        ("04071", "04071", "exact"),
        ("KS-5512", "KS 5512", "same characters"),
        ("ks5512a", "KS 5512 A", "same characters"),
        ("rv6080", "RV 6080", "same characters"),
        ("NOWHERE/77", "NOWHERE/77", "exact"),
    ],
)
def test_what_comes_first(store, text, number, how):
    """The number meant comes first, with how it was found."""
    found = matches(store, text)[0]
    assert (found["number"], found["how"]) == (number, how)


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("4071", "04071"), ("04071", "4071"), ("004071", "04071"), ("004071", "4071"),
        ("KS 5512", "KS 5512 A"), ("KS 5512 A", "KS 5512"), ("KS 5512 B", "KS 5512"),
        ("KS 7790", "KS 7790 REV 2"), ("KS7790 rev 2", "KS 7790"),
    ],
)  # fmt: skip
def test_other_forms_are_suggested_and_never_merged(store, text, number):
    """Leading zeros, suffix and revision: another form, a row of its own."""
    assert one(store, text, number)["how"] == "other form"
    exact = [m["number"] for m in matches(store, text) if m["how"] == "exact"]
    assert exact in ([], [text])


@pytest.mark.parametrize(
    ("text", "given"),
    [
        ("PB/10/1", ["PB/20/1", "PB/30/1", "RV 6080"]),
        ("RV 6080", ["PB/30/1"]),
        ("EQ/62", ["EQ/61"]),
        ("EQ/61", ["EQ/62"]),
        ("MS/71", ["MS/82"]),
        ("MS/82", []),
        ("CY/1/77", ["CY/2/88", "CY/3/99"]),
        ("SELF/9", []),
        ("SET/4400", ["HALF/71", "HALF/72"]),
        ("ALT/5501", ["AX/811", "AX/922"]),
        ("ALT/5502", ["AX/811", "AX/922"]),
        ("TWO/6601", ["NRW/31", "NRW/45"]),
        ("GONE/12", []),
        ("DIS/31", ["OT 5581", "RV 7080", "OT 5580"]),
    ],
)
def test_what_may_stand_in_best_supported_first(store, text, given):
    """Chains, circles, sets, alternatives, quantities; a circle does not lead back to itself."""
    assert standing_in(store, text) == given


def test_a_long_chain_is_followed_to_its_end(store):
    """Superseded thirty times over, the number of today is still found."""
    last = standing_in(store, "CH/100X700", top=60)[-1]
    assert last == "CH/130X910"


def test_where_each_step_stands(store):
    """Every step of a chain names list and row; lists that say the same are named together."""
    path = one(store, "PB/10/1", "RV 6080")["path"]
    assert [step["source"] for step in path] == ["book, row 2", "book, row 3", "one, row 2"]
    assert one(store, "DIS/31", "RV 7080")["path"][0]["source"] == "one, row 3; two, row 2"


def test_what_is_used_together_and_how_many(store):
    """`A + B` names the other part, `use 2 of` the pieces, and a chain multiplies them."""
    half = one(store, "SET/4400", "HALF/71")
    assert half["path"][0]["together_with"] == ["HALF/72"]
    assert "together with HALF/72" in half["note"]
    assert one(store, "TWO/6601", "NRW/31")["path"][0]["quantity"] == 2
    assert "use 6 of it" in one(store, "TWO/6601", "NRW/45")["note"]


@pytest.mark.parametrize(
    ("how", "given"),
    [
        ({"serial": "499"}, []),
        ({"serial": "1"}, []),
        ({"serial": "500"}, ["VR/880A", "VR/990"]),
        ({"serial": "9999"}, ["VR/880A", "VR/990"]),
        ({"form": "before serial 500"}, []),
        ({"form": "up to serial 499"}, []),
        ({"form": "from serial 500"}, ["VR/880A", "VR/990"]),
    ],
)
def test_a_serial_break_is_kept(store, how, given):
    """Before the break the later form and what supersedes it stay out, after it they come."""
    assert standing_in(store, "VR/880", **how) == given


def test_the_later_form_is_shown_as_not_asked_for(store):
    """Without a serial number the break is told; a match takes no support from beyond it."""
    assert one(store, "VR/880", "VR/880A")["note"].startswith("only if asked for")
    supported = [s for c in match(store, number="VR/880")["candidates"] for s in c["supported_by"]]
    assert supported == []


def test_one_number_with_a_replacement_for_each_form(store):
    """An interchange list may split a number by serial number."""
    assert standing_in(store, "SRC/5", serial="50") == ["PS/81"]
    assert standing_in(store, "SRC/5", serial="150") == ["PS/82"]


def test_each_number_of_a_maker_is_told_once(store):
    """What other lists say of the same number stands beside it."""
    found = matches(store, "PB/10/1")
    assert len({(m["number"], m["maker"]) for m in found}) == len(found)


@pytest.mark.parametrize(
    "text",
    [
        "X", "7", "-/-", "\u200b", "\ud800", "😀", "\u202egnp.exe", "'; DROP TABLE x;--", "%",
        "../../etc/passwd", "\x1b[31mred\x1b[0m", "A" * 10_000, "word " * 2000, "9 " * 5000,
        "\x00", "О" * 300, "漢字", "é" * 50, "\u0301" * 100, "QQQQQQQQQQ",
    ],
    ids=lambda text: ascii(text[:12]),
)  # fmt: skip
def test_strange_input_has_an_honest_answer(store, text):
    """Short, endless, invisible, hostile: an answer that can be written as JSON, or none."""
    document = identify(store, text)
    assert json.loads(json.dumps(document))["matches"] == document["matches"]
    assert [m for m in document["matches"] if m["how"] in ("exact", "same characters")] == []


@pytest.mark.parametrize("text", ["", " ", "\t\n"])
def test_nothing_typed_is_said(store, text):
    """An empty text is a sentence, not an empty answer."""
    with pytest.raises(Impossible, match="empty"):
        identify(store, text)


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("oil seal, winch drum", "MV/2001"),
        ("oil seal feed drum", "PB/10/1"),
        ("oil seals feed drum", "PB/10/1"),
        ("seal feed drum", "PB/10/1"),
        ("drum feed", "PB/10/1"),
        ("Wellendichtring Trommel", "MV 2001"),
        ("oil saal feed drum", "PB/10/1"),
        ("the oil seal of the feed drum", "PB/10/1"),
        ("OIL SEAL FEED DRUM", "PB/10/1"),
        ("lip seal winch", "MV/2001"),
        ("radial shaft seal winch drum", "MV/2001"),
    ],
)
def test_found_by_its_description(store, text, number):
    """The trade's names, plurals, a slip, any order: the part comes among the first two."""
    assert number in {m["number"] for m in matches(store, text)[:2]}


@pytest.mark.parametrize(
    "text",
    [
        "No. PB/10/1", "part no. PB/10/1", "P/N PB/10/1", "Nr PB 10 1", "oil seal PB/10/1",
        "PB/10/1 oil seal", "seal PB 10/1 feed drum", "oil seal (PB/10/1)", "oil seal PB/1O/1",
    ],
)  # fmt: skip
def test_a_number_among_other_words_is_found(store, text):
    """As copied from a letter, with the words around it, the number comes first."""
    assert matches(store, text)[0]["number"] == "PB/10/1"


def test_sizes_and_counts_are_no_numbers(store):
    """Among other words, sizes and counts do not call up a number that looks like them."""
    assert {m["how"] for m in matches(store, "oil seal 60x80x8, 4 pieces")} <= {"description"}


def test_the_users_own_proof_comes_first(tmp_path):
    """What ran in the user's machine stands before what any list says, in both answers."""
    made = Store.open(tmp_path / "store")
    rows = [{"number": "A1177", "replacements": ["B2288"]}, {"number": "B2288"}]
    for table, listed in (("originals", rows), ("catalogue", [{"number": "C3399"}])):
        frame = pd.DataFrame([{"at": n, **SEAL, **row} for n, row in enumerate(listed, 2)])
        made.add_edition(ListInfo(table, table), frame)
    want = wants.add(made, "A1177", quantity=1, on=DAY)["want"]
    proofs.add(made, want, number="C3399", on=DAY)
    assert standing_in(made, "A1177") == ["C3399", "B2288"]
    assert match(made, number="A1177")["candidates"][0]["parts"][0]["number"] == "C3399"
