"""The documents of contract 1, command by command, as a program that pipes them relies on."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.command_line import Xref
from xref.resources import folder

pytestmark = [pytest.mark.store, pytest.mark.usefixtures("demo_store")]

ON = ("--on", "2027-09-06")
VERDICTS = {"as is", "with spacer", "alter the part", "alter the machine", "does not fit"}
CERTAINTIES = {"sure", "likely", "assumed", "measure first"}
RESULTS = {"pass", "likely", "doubtful", "fail", "not checked"}
BASES = {"standard", "handbook", "common practice", "from memory"}
HOWS = {
    "exact",
    "same characters",
    "looks like",
    "description",
    "other form",
    "superseded by",
    "interchange",
}
MEASURED = (
    *("match", "--kind", "shaft_seal", "--shaft", "59.93mm", "--housing", "80.01mm"),
    *("--uncertainty", "0.02mm", "--top", "2"),
)


def holds(document: dict[str, Any], **types: Any) -> None:
    """Assert that fields are there with their types."""
    for name, kind in types.items():
        assert isinstance(document[name], kind), (name, document[name])


def test_match_by_place(xref: Xref) -> None:
    """Contract: "need" of a place as measured: null number, intervals, from, nothing assumed."""
    answer = xref(*MEASURED, "--json")
    assert (answer.status, answer.err) == (0, "")
    need = answer.document["need"]
    assert need["number"] is None
    assert need["kind"] == "shaft_seal"
    assert need["part_mm"] == {}
    assert need["place_mm"]["shaft"] == pytest.approx([59.91, 59.95])
    assert need["from"]["shaft"] == "measured ±0.02"
    assert need["assumed"] == []


def test_match_candidates_and_near_misses(xref: Xref) -> None:
    """Contract: fields, words and types of a candidate, its parts, checks and offers."""
    document = xref(*MEASURED, "--json").document
    ranks = [one["rank"] for one in document["candidates"]]
    assert ranks == [1, 2]
    for one in document["candidates"] + document["near_misses"]:
        holds(one, rank=int, work=list, warnings=list, supported_by=list, offers=list)
        assert one["verdict"] in VERDICTS
        assert one["certainty"] in CERTAINTIES
        assert 0 <= one["conformance"] <= 1
        for part in one["parts"]:
            holds(part, role=str, number=str, kind=str, list=str)
            assert all(isinstance(v, float | int) for v in part["dimensions_mm"].values())
        for check in one["checks"]:
            assert check["result"] in RESULTS
            assert check["basis"] in BASES
            holds(check, name=str, rule=str, source=str, permitted_mm=list, actual_mm=list)
            assert {"estimate_mm", "margin_mm", "conformance"} <= set(check)
        for offer in one["offers"]:
            assert {"supplier", "quantity", "price", "currency", "as_of", "closes_on"} <= set(offer)
            assert offer["price"] is None or isinstance(offer["price"], float | int)
    assert document["near_misses"]
    for miss in document["near_misses"]:
        assert miss["verdict"] == "does not fit"
        assert any(check["result"] == "fail" for check in miss["checks"])
    assert all(isinstance(text, str) for text in document["cautions"])


def test_match_by_number_says_what_it_assumed(xref: Xref) -> None:
    """Contract: a place derived from nominal sizes is `assumed`, in the document and in words."""
    document = xref("match", "DG/1143", "--json", *ON).document
    assert document["need"]["number"] == "DG/1143"
    assert any("measure before buying" in text for text in document["need"]["assumed"])
    assert document["candidates"][0]["certainty"] == "assumed"
    closing = [o["closes_on"] for c in document["candidates"] for o in c["offers"]]
    assert "2027-10-31" in closing
    words = xref("match", "DG/1143", "--top", "1", *ON).out
    assert "assumed, not measured; conformance 1.00 only if the machine has its" in words


@pytest.mark.parametrize(
    "words",
    [
        ("--rpm", "600", "--medium", "grease", "--temperature", "60", "--pressure-bar", "0"),
        ("--rpm=600", "--medium=grease", "--temperature=60", "--pressure-bar=0"),
    ],
)
def test_every_service_option(xref: Xref, words: tuple[str, ...]) -> None:
    """Contract: the service options in their spellings; a pressure of zero is a statement."""
    more = ("--dirt", "--load", "normal", "--rotating", "inner", "--wear-track", "6mm,2mm")
    service = xref(*MEASURED, *words, *more, "--all", "--json").document["need"]["service"]
    assert service["rpm"] == 600
    assert service["medium"] == "grease"
    assert service["temperature"] == 60
    assert service["pressure_bar"] == 0
    assert service["load"] == "normal"
    assert service["rotating"] == "inner"
    assert (service["track_position"], service["track_width"]) == (6, 2)


@pytest.mark.parametrize("gland", ["piston", "rod", "face"])
def test_groove_options(xref: Xref, gland: str) -> None:
    """Contract: --groove-diameter --groove-width --mating-diameter --gland piston|rod|face."""
    groove, mating = ("56mm", "50mm") if gland == "rod" else ("50mm", "56mm")
    answer = xref(
        *("match", "--kind", "o_ring", "--groove-diameter", groove, "--groove-width=4.8mm"),
        *("--mating-diameter", mating, f"--gland={gland}", "--json"),
    )
    assert answer.status in (0, 1)
    assert {"groove_diameter", "groove_width", "mating_diameter"} == set(
        answer.document["need"]["place_mm"]
    )


@pytest.mark.parametrize(
    ("kind", "options", "names"),
    [
        (
            "rolling_bearing",
            ("--id=25mm", "--od=52mm", "--width=15mm"),
            {"bore_diameter", "outside_diameter", "width"},
        ),
        (
            "plain_bushing",
            ("--id=25mm", "--od=32mm", "--length=20mm"),
            {"bore_diameter", "outside_diameter", "length"},
        ),
        ("o_ring", ("--id=50mm", "--section=3.53mm"), {"inside_diameter", "cross_section"}),
        (
            "thrust_washer",
            ("--id=20mm", "--od=35mm"),
            {"inside_diameter", "outside_diameter"},
        ),
    ],
)
def test_what_id_and_od_mean(
    xref: Xref, kind: str, options: tuple[str, ...], names: set[str]
) -> None:
    """Contract: --id and --od mean the kind's inside and outside dimension."""
    answer = xref("match", "--kind", kind, *options, "--json")
    assert answer.status in (0, 1)
    assert set(answer.document["need"]["part_mm"]) == names


def test_unknown_number(xref: Xref) -> None:
    """Contract: exit 1 with the document printed, and the nearest shown."""
    answer = xref("match", "DG/114I", "--json")
    assert answer.status == 1
    assert answer.document["candidates"] == []
    assert answer.document["near_misses"] == []
    assert "DG/1141" in [near["number"] for near in answer.document["nearest"]]
    plain = xref("match", "DG/114I")
    assert plain.status == 1
    assert "DG/1141" in plain.out
    assert "Nothing in the lists fits" not in plain.out


def test_ambiguous_unit(xref: Xref) -> None:
    """Contract: exit 3 and the question, with both readings in words."""
    answer = xref("match", "--kind", "shaft_seal", "--id", "2.375", "--od=3.125", "--json")
    assert answer.status == 3
    assert "millimetres or inches" in answer.document["error"]["message"]


def test_identify(xref: Xref) -> None:
    """Contract: fields of a match, `how` from the fixed words."""
    for text in ("DG/1143", "dg 1143", "DG/114I", "oil seal, countershaft"):
        answer = xref("identify", text, "--json")
        assert (answer.status, answer.err) == (0, "")
        for match in answer.document["matches"]:
            assert match["how"] in HOWS
            assert {"number", "maker", "kind", "description", "table", "score", "source"} <= set(
                match
            )
            holds(match, path=list, score=float | int)
    answer = xref("identify", "QQQQQQQQQ", "--json")
    assert (answer.status, answer.document["matches"]) == (1, [])


def test_contradictions(xref: Xref) -> None:
    """Contract: exit 6 when there are any, each with what, rows and why."""
    answer = xref("contradictions", "--json")
    assert answer.status == 6
    for one in answer.document["contradictions"]:
        holds(one, what=str, rows=list, why=str)


def test_due_and_plan(xref: Xref) -> None:
    """Contract: `due` says what to do by when and why; `plan` has lines with work_cost."""
    due = xref("due", *ON, "--json").document
    assert due["on"] == "2027-09-06"
    assert due["actions"]
    days = [one["by"] for one in due["actions"]]
    assert days == sorted(days)
    for one in due["actions"]:
        assert one["do"] in {"ask", "chase", "decide", "order", "test"}
        assert {"supplier", "want", "by", "why"} <= set(one)
    closing = "Hobbleton Bearing & Seal Stores"
    rates = ("--rates", folder("data_demo") / "rates.csv", "--currency", "GBP")
    plan = xref("plan", *ON, *rates, "--without", closing, "--json").document
    holds(plan, total=int | float, currency=str, lines=list, uncovered=list, proven=bool)
    holds(plan, gap=float)
    for line in plan["lines"]:
        assert {"want", "offer", "supplier", "quantity", "price", "work_cost"} <= set(line)
        assert line["supplier"] != closing
    for one in plan["uncovered"]:
        assert {"want", "why"} <= set(one)


def test_match_list(xref: Xref, tmp_path: Path) -> None:
    """Contract: `match-list FILE|--wanted --out FILE`; every line of the file is in the result."""
    file = tmp_path / "old.csv"
    file.write_text("number,quantity\nDG/1143,1\nNOSUCH/1,2\n", encoding="utf-8")
    out = tmp_path / "found.csv"
    answer = xref("match-list", file, "--out", out, "--json")
    assert answer.status == 0
    written = out.read_text(encoding="utf-8-sig")
    assert "DG/1143" in written
    assert "NOSUCH/1" in written
    assert xref("match-list", "--wanted", "--out", tmp_path / "w.csv").status == 0


def test_fit(xref: Xref) -> None:
    """Contract: `fit KIND|press` gives the check list with given, rule, result, source."""
    seal = xref(
        *("fit", "shaft_seal", "--id", "60mm", "--od", "80mm", "--width", "8mm"),
        *("--shaft", "60.05mm", "--uncertainty", "0.02mm", "--json"),
    )
    assert seal.status == 0  # explained, though it does not fit
    assert seal.document["given"]["place_mm"]["shaft"] == pytest.approx([60.03, 60.07])
    assert seal.document["verdict"] in VERDICTS
    press = xref(
        *("fit", "press", "--interference=0.05mm", "--interface=32mm", "--inner-bore=25mm"),
        *("--outer-outside=60mm", "--length=30mm", "--json"),
    )
    for check in seal.document["checks"] + press.document["checks"]:
        assert {"rule", "result", "source"} <= set(check)
