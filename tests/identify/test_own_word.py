"""What the machine itself shows: evidence against the book, and parts tried in vain."""

from datetime import date

import pandas as pd
import pytest

from xref.acts.contradictions import contradictions
from xref.acts.identify import identify
from xref.acts.known_part import known_part
from xref.acts.match import match
from xref.acts.support import supporters
from xref.errors import Impossible, NeedsAnswer, NothingFound
from xref.matching import contradictions as c
from xref.matching import rank
from xref.sourcing import evidence, proofs, wants
from xref.store import ListInfo, Store

pytestmark = pytest.mark.store
DAY = date(2027, 10, 1)
MACHINE = "Ostrel No. 3, serial 300"


@pytest.fixture
def store(tmp_path):
    """A book with a serial break at 412, two catalogues of seals, an interchange list."""
    made = Store.open(tmp_path / "store")
    seal = {"kind": "shaft_seal", "outside_diameter_mm": 80.0, "width_mm": 8.0, "maker": "Ostrel"}
    book = [
        {"number": "TW/7/20", "variant": "before serial 412", "replacements": ["TW/7/20A"],
         "shaft_diameter_mm": 60.0, "description": "Oil seal, take-off"},
        {"number": "TW/7/20A", "variant": "from serial 412", "shaft_diameter_mm": 60.0,
         "replacements": ["TW/9/20"]},
        {"number": "TW/9/20", "shaft_diameter_mm": 60.0},
        {"number": "TW/3/1", "shaft_diameter_mm": 60.0},
    ]  # fmt: skip
    catalogue = [
        {"number": "RV 6080", "maker": "Rovald", "shaft_diameter_mm": 60.0},
        {"number": "RV 6081", "maker": "Rovald", "shaft_diameter_mm": 60.0, "lip_material": "fkm"},
    ]
    table = [{"number": "TW/3/1", "replacements": ["RV 6080"], "relation": "equal to"}]
    for name, kind_of_table, rows in (
        ("book", "originals", book), ("catalogue", "catalogue", catalogue),
        ("table", "interchange", table),
    ):  # fmt: skip
        common = {} if kind_of_table == "interchange" else seal
        frame = pd.DataFrame([{"at": n, **common, **row} for n, row in enumerate(rows, 2)])
        made.add_edition(ListInfo(kind_of_table, name), frame)
    return made


def given(document):
    """The numbers that may stand in, of those not merely shown as withheld."""
    return [
        m["number"]
        for m in document["matches"]
        if m["how"] in ("superseded by", "interchange")
        and "only if asked for" not in str(m["note"])
    ]  # fmt: skip


def fitting(document):
    """The numbers of the candidates of a match."""
    return [one["parts"][0]["number"] for one in document["candidates"]]


def test_the_later_form_is_given_where_it_was_found(store):
    """Before the break the later form is withheld; found on that machine, it is given with why."""
    assert given(identify(store, "TW/7/20", serial="300")) == []
    evidence.add(store, "TW/7/20", machine=MACHINE, bears="TW/7/20A", remark="works", on=DAY)
    document = identify(store, "TW/7/20", serial="300")
    assert given(document) == ["TW/7/20A", "TW/9/20"]
    found = next(m for m in document["matches"] if m["number"] == "TW/7/20A")
    assert "against the book" in found["note"]
    assert "Ostrel No. 3, serial 300" in found["note"]
    assert found["path"][0]["relation"] == "found fitted"
    assert "2027-10-01" in found["path"][0]["source"]
    assert found["path"][0]["source"].endswith("book, row 2")
    assert document["evidence"][0]["bears"] == "TW/7/20A"


def test_evidence_is_no_word_on_other_machines(store):
    """What was found on serial 300 gives serial 200 nothing, nor adds to what 500 gets anyway."""
    evidence.add(store, "TW/7/20", machine=MACHINE, bears="TW/7/20A", on=DAY)
    assert given(identify(store, "TW/7/20", serial="200")) == []
    late = identify(store, "TW/7/20", serial="500")
    assert given(late) == ["TW/7/20A", "TW/9/20"]
    assert late["matches"][1]["path"][0]["relation"] == "superseded by"


def test_the_earlier_form_found_on_a_late_machine(store):
    """By the book serial 468 has the later form; found with the earlier, it is given no later."""
    assert given(identify(store, "TW/7/20", serial="468")) == ["TW/7/20A", "TW/9/20"]
    evidence.add(store, "TW/7/20A", serial="468", form="before serial 412", on=DAY)
    assert given(identify(store, "TW/7/20", serial="468")) == []
    assert given(identify(store, "TW/7/20", serial="469")) == ["TW/7/20A", "TW/9/20"]


def test_the_later_form_by_its_serial_break(store):
    """The form may be named instead of a number."""
    evidence.add(store, "TW/7/20", serial="300", form="from serial 412", on=DAY)
    document = identify(store, "TW/7/20", serial="300")
    assert given(document) == ["TW/7/20A", "TW/9/20"]
    (later,) = [m for m in document["matches"] if m["number"] == "TW/7/20A"]
    assert "against the book" in later["note"]


def test_evidence_supports_more_than_a_list_and_less_than_a_proof(store):
    """Support by what says so: a proof, then the part found, then a list, then nobody."""
    assert supporters(store, "TW/3/1")["RV6080"].code == rank.CLAIMED
    evidence.add(store, "TW/3/1", machine="Ostrel No. 5", bears="RV 6081", maker="Rovald", on=DAY)
    by = supporters(store, "TW/3/1")
    assert list(by) == ["RV6081", "RV6080"]
    assert by["RV6081"].code == rank.FOUND
    assert "found fitted as RV 6081" in by["RV6081"].text
    assert fitting(match(store, number="TW/3/1"))[0] == "RV 6081"
    want = wants.add(store, "TW/3/1", quantity=1, on=DAY)["want"]
    proofs.add(store, want, number="RV 6080", maker="Rovald", on=DAY)
    assert list(supporters(store, "TW/3/1")) == ["RV6080", "RV6081"]
    assert fitting(match(store, number="TW/3/1"))[0] == "RV 6080"


def test_sizes_found_take_the_place_of_the_books(store):
    """A part that measures otherwise is matched as it measures, and the answer says so."""
    evidence.add(
        store, "TW/3/1", machine=MACHINE, place="gear case", sizes={"width": "10mm"}, on=DAY
    )
    known = known_part(store, "TW/3/1")
    assert known["written"]["width"] == "10mm"
    assert known["written"]["shaft_diameter"] == "60mm"
    assert "measures width 10mm" in known["note"]
    document = match(store, number="TW/3/1")
    assert document["need"]["part_mm"]["width"] == 10.0
    assert any("gear case" in line for line in document["need"]["notes"])
    (found,) = [
        f for f in contradictions(store)["contradictions"] if f["what"] == c.FOUND_OTHERWISE
    ]
    assert "8 against 10 mm" in found["why"]
    assert found["rows"][1]["source"].startswith("found on the machine, Ostrel No. 3, serial 300")


def test_sizes_that_agree_with_the_book_change_nothing(store):
    """A caliper's 59.98 is the book's 60."""
    evidence.add(store, "TW/3/1", sizes={"id": "59.98mm", "od": "80.02mm"}, on=DAY)
    assert known_part(store, "TW/3/1")["written"]["shaft_diameter"] == "60mm"
    assert "measures" not in known_part(store, "TW/3/1")["note"]


def test_machines_that_disagree_are_asked_about(store):
    """Two machines with different sizes for one number are a question, never a guess."""
    evidence.add(store, "TW/3/1", serial="1", sizes={"width": "10mm"}, on=DAY)
    second = evidence.add(store, "TW/3/1", serial="2", sizes={"width": "12mm"}, on=DAY)
    with pytest.raises(NeedsAnswer, match="different sizes"):
        match(store, number="TW/3/1")
    evidence.withdraw(store, second["evidence"], "another place", DAY)
    assert match(store, number="TW/3/1")["need"]["part_mm"]["width"] == 10.0


def test_the_form_found_decides_between_two_of_one_number(store):
    """A number that stands with two forms of different sizes is that of the form found.

    Two machines with different forms decide nothing: it is asked for.
    """
    rows = [
        {"number": "V 11", "variant": "before serial 5", **SEAL},
        {"number": "V 11", "variant": "from serial 5", **SEAL, "width_mm": 12.0},
    ]
    store.add_edition(ListInfo("originals", "forms"), pd.DataFrame(rows))
    with pytest.raises(NeedsAnswer):
        match(store, number="V 11")
    evidence.add(store, "V 11", serial="3", form="from serial 5", on=DAY)
    document = match(store, number="V 11")
    assert document["need"]["part_mm"]["width"] == 12.0
    assert "serial 3" in document["need"]["from"]["width"]
    evidence.add(store, "V 11", serial="4", form="before serial 5", on=DAY)
    with pytest.raises(NeedsAnswer):
        match(store, number="V 11")


def test_sizes_of_a_number_no_list_knows(store):
    """A number in no list is matched by what was measured on it."""
    evidence.add(
        store, "QQ 1", kind="shaft_seal", on=DAY,
        sizes={"id": "60mm", "od": "80mm", "width": "8mm"},
    )  # fmt: skip
    assert "RV 6080" in fitting(match(store, number="QQ 1"))


def test_a_machine_taken_apart_shows_what_was_noted_of_its_places(store):
    """`teardown show` has the evidence beside the place whose number it speaks of."""
    from xref.acts.teardown import show
    from xref.sourcing import teardown

    evidence.add(store, "TW/7/20", machine=MACHINE, bears="TW/7/20A", on=DAY)
    for machine in (MACHINE, "Ostrel No. 4"):
        teardown.add_place(store, machine, "take-off", number="TW/7/20", on=DAY)
    (place,) = show(store, MACHINE)["places"]
    assert "bears TW/7/20A" in place["evidence"][0]
    assert show(store, "Ostrel No. 4")["places"][0]["evidence"] == []


def test_withdrawn_evidence_counts_no_more_and_is_kept(store):
    """Withdrawn, it changes nothing any more; the event stays in the record."""
    noted = evidence.add(store, "TW/7/20", machine=MACHINE, bears="TW/7/20A", on=DAY)
    evidence.withdraw(store, noted["evidence"], "misread", DAY)
    assert given(identify(store, "TW/7/20", serial="300")) == []
    assert evidence.listing(store) == {"evidence": []}
    with store.reading() as state:
        acts = [r["act"] for r in state.rows("SELECT act FROM events ORDER BY seq")]
    assert acts[-2:] == ["evidence noted", "evidence withdrawn"]
    with pytest.raises(Impossible, match="was withdrawn"):
        evidence.withdraw(store, noted["evidence"], "again", DAY)
    with pytest.raises(NothingFound):
        evidence.withdraw(store, 99, "none", DAY)


@pytest.mark.parametrize(
    ("number", "more", "error"),
    [
        ("TW/3/1", {}, Impossible),
        ("", {"bears": "X1"}, Impossible),
        ("\u200b", {"bears": "X1"}, Impossible),
        ("TW/3/1", {"bears": "--"}, Impossible),
        ("TW/3/1", {"bears": "X1", "serial": "none"}, Impossible),
        ("TW/3/1", {"bears": "X\x001"}, Impossible),
        ("T" * 10_000, {"bears": "X1"}, Impossible),
        ("TW/3/1", {"sizes": {"width": "wide"}}, Exception),
        ("ZZ 9", {"sizes": {"width": "10mm"}}, NeedsAnswer),
        ("TW/3/1", {"sizes": {"width": "10mm"}, "kind": "wheel"}, Impossible),
    ],
)
def test_evidence_that_cannot_be_is_refused_in_words(store, number, more, error):
    """Nothing seen, no number, no serial number, no size, no such kind: nothing is noted."""
    with pytest.raises(error):
        evidence.add(store, number, on=DAY, **more)
    assert evidence.listing(store) == {"evidence": []}


def test_what_did_not_fit_sinks_and_says_why(store):
    """Tried in vain, a part fits no more in place of this original; elsewhere it still does."""
    assert fitting(match(store, number="TW/3/1"))[0] == "RV 6080"
    want = wants.add(store, "TW/3/1", quantity=1, on=DAY)["want"]
    done = proofs.add(
        store, want, number="RV 6080", maker="Rovald", did_not_fit="lip too short", on=DAY
    )
    assert (done["proof"], done["misfit"]) == (None, 1)
    document = match(store, number="TW/3/1")
    assert "RV 6080" not in fitting(document)
    miss = document["near_misses"][0]
    said = "you tried it: did not fit, 2027-10-01: lip too short"
    assert (miss["parts"][0]["number"], miss["verdict"]) == ("RV 6080", "does not fit")
    assert miss["tried"]["says"] == said
    assert miss["checks"][0]["rule"] == said
    assert "by its sizes: as is, assumed" in miss["warnings"]
    assert "RV 6080" in fitting(match(store, number="TW/9/20"))
    shown = identify(store, "TW/3/1")["matches"]
    (tried,) = [m for m in shown if m["number"] == "RV 6080"]
    assert tried["note"] == said
    assert [s["relation"] for s in tried["path"]] == ["equal to", "did not fit"]


def test_what_did_not_fit_contradicts_the_lists_that_claim_it(store):
    """The statement of the list stays, and is shown up with the trial beside it."""
    want = wants.add(store, "TW/3/1", quantity=1, on=DAY)["want"]
    proofs.add(store, want, number="rv-6080", did_not_fit="lip too short", on=DAY)
    (found,) = [f for f in contradictions(store)["contradictions"] if f["what"] == c.DISPROVED]
    assert "lip too short" in found["why"]
    assert [row["source"] for row in found["rows"]] == ["table, row 2", "own proof, 2027-10-01"]


def test_the_word_that_came_last_holds(store):
    """Tried in vain, proved after all, then failed for good: each is kept, the last one counts."""
    want = wants.add(store, "TW/3/1", quantity=1, on=DAY)["want"]
    said = {"number": "RV 6080", "maker": "Rovald", "on": DAY}
    proofs.add(store, want, did_not_fit="lip too short", **said)
    proofs.add(store, want, **said)
    assert fitting(match(store, number="TW/3/1"))[0] == "RV 6080"
    assert wants.listing(store, DAY)["wants"][0]["state"] == "proved"
    proofs.add(store, want, did_not_fit="leaked after all", **said)
    assert "RV 6080" not in fitting(match(store, number="TW/3/1"))
    assert wants.listing(store, DAY)["wants"][0]["state"] == "wanted"
    kept = proofs.listing(store)
    assert (len(kept["proofs"]), len(kept["did_not_fit"])) == (1, 2)
    assert store.check()["damage"] == []


def test_another_makers_part_of_that_number_is_not_meant(store):
    """What one maker's part did says nothing of another's; where no maker is named, it may."""
    want = wants.add(store, "TW/3/1", quantity=1, on=DAY)["want"]
    proofs.add(store, want, number="RV 6080", maker="Somebody", did_not_fit="other part", on=DAY)
    assert "RV 6080" in fitting(match(store, number="TW/3/1"))


def test_lists_matched_as_a_whole_know_it_too(store):
    """`match-list` and the buying plan's candidates put what was tried after what fits."""
    from xref.acts.want_candidates import candidates

    want = wants.add(store, "TW/3/1", quantity=1, on=DAY)["want"]
    rows = wants.listing(store, DAY)["wants"]
    with store.reading() as state:
        rows = wants.rows(state, DAY)
    assert ("Rovald", "RV 6080", "as is") in candidates(store, rows)[want]
    proofs.add(store, want, number="RV 6080", did_not_fit="lip too short", on=DAY)
    assert {number for _, number, _ in candidates(store, rows)[want]} == {"RV 6081"}


def stocked(store):
    """The later form and what superseded it on a supplier's list, of the same sizes."""
    rows = [{"number": n, **SEAL, "maker": None} for n in ("TW 7 20 A", "TW-9-20", "RV 6080")]
    store.add_edition(ListInfo("stock", "barn", "Barn"), pd.DataFrame(rows))


SEAL = {"kind": "shaft_seal", "shaft_diameter_mm": 60.0, "outside_diameter_mm": 80.0,
        "width_mm": 8.0}  # fmt: skip


def test_a_match_gives_the_later_form_only_if_asked_for(store):
    """Whatever its sizes, what the book has from serial 412 is no candidate before it."""
    stocked(store)
    document = match(store, number="TW/7/20")
    assert fitting(document)[0] == "RV 6080"
    assert not {"TW 7 20 A", "TW-9-20"} & set(fitting(document))
    kept = {m["parts"][0]["number"]: m for m in document["near_misses"] if "for_others" in m}
    assert set(kept) == {"TW 7 20 A", "TW-9-20"}
    assert "marked 'from serial 412'" in kept["TW 7 20 A"]["for_others"]
    assert kept["TW 7 20 A"]["checks"][0]["name"] == "serial break"
    assert {"TW 7 20 A", "TW-9-20"} <= set(fitting(match(store, number="TW/7/20A")))
    evidence.add(store, "TW/7/20", machine=MACHINE, bears="TW/7/20A", on=DAY)
    assert fitting(match(store, number="TW/7/20"))[0] == "TW 7 20 A"


def test_a_want_gets_the_later_form_only_if_it_accepts_it(store):
    """Buying goes by the same rule: the variant noted with the want, or the number itself."""
    from xref.acts.want_candidates import candidates

    stocked(store)
    plain = wants.add(store, "TW/7/20", quantity=1, on=DAY)["want"]
    form = wants.add(store, "TW/7/20", quantity=1, variants=["from serial 412"], on=DAY)["want"]
    number = wants.add(store, "TW/7/20", quantity=1, variants=["TW/7/20A"], on=DAY)["want"]
    with store.reading() as state:
        rows = wants.rows(state, DAY)
    found = {w: {n for _, n, _ in parts} for w, parts in candidates(store, rows).items()}
    assert not {"TW 7 20 A", "TW-9-20"} & found[plain]
    assert {"TW 7 20 A", "TW-9-20"} <= found[form]
    assert "TW 7 20 A" in found[number]


def test_the_plan_does_not_buy_again_what_did_not_fit(store):
    """Neither from a supplier's list nor by an offer; the offer is named with the trial."""
    from xref.acts.want_candidates import candidates
    from xref.sourcing import offers, suppliers
    from xref.sourcing.plan import plan

    suppliers.add(store, "Barn", currency="EUR", on=DAY)
    suppliers.add(store, "Shed", currency="EUR", on=DAY)
    rows = [{"number": "RV 6080", "price": 5.0, "currency": "EUR", "quantity": 3, **SEAL}]
    store.add_edition(ListInfo("stock", "barn", "Barn", "EUR"), pd.DataFrame(rows))
    want = wants.add(store, "TW/3/1", quantity=1, on=DAY)["want"]
    offers.add(
        store, supplier="Shed", want=want, number="RV-6080", price="4.00", currency="EUR", on=DAY
    )
    bought = plan(store, on=DAY, find=candidates)
    assert [line["supplier"] for line in bought["lines"]] == ["Shed"]
    proofs.add(store, want, number="RV 6080", did_not_fit="lip too short", on=DAY)
    after = plan(store, on=DAY, find=candidates)
    assert after["lines"] == []
    assert "you tried it: did not fit" in after["uncovered"][0]["why"]


@pytest.mark.parametrize(
    "more",
    [
        {"did_not_fit": "  "},
        {"did_not_fit": "why", "tests": ["leak"]},
        {"did_not_fit": "why", "hours": 3.0},
        {"did_not_fit": "why", "number": "--"},
    ],
)
def test_a_trial_that_cannot_be_is_refused(store, more):
    """No reason, a test or running hours beside it, no number in it: nothing is noted."""
    want = wants.add(store, "TW/3/1", quantity=1, on=DAY)["want"]
    with pytest.raises(Impossible):
        proofs.add(store, want, on=DAY, **{"number": "RV 6080", **more})
    with pytest.raises(NeedsAnswer):
        proofs.add(store, want, did_not_fit="why", on=DAY)
    assert proofs.listing(store)["did_not_fit"] == []


def test_the_records_survive_a_check_of_the_store(store):
    """The events alone give the same tables again."""
    want = wants.add(store, "TW/3/1", quantity=1, on=DAY)["want"]
    evidence.add(store, "TW/3/1", sizes={"width": "10mm"}, on=DAY)
    proofs.add(store, want, number="RV 6080", did_not_fit="why", on=DAY)
    assert store.check()["damage"] == []
