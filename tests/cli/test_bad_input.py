"""What the command line does with what cannot be: sentences, statuses, and nothing changed."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.command_line import Xref

SEAL = ["match", "--kind", "shaft_seal"]


@pytest.mark.store
@pytest.mark.usefixtures("demo_store")
def test_an_unknown_number_ends_with_1_and_the_nearest(xref: Xref) -> None:
    """A number in no list is status 1; the document is printed and names what is near."""
    answer = xref("match", "DG/1148", "--json")
    assert answer.status == 1
    assert answer.document["candidates"] == []
    assert "DG/1143" in answer.out
    shown = xref("match", "DG/1148")
    assert shown.status == 1
    assert "DG/1143" in shown.out


@pytest.mark.parametrize(
    "words",
    [
        ("match", "--kind", "gearbox", "--id", "3mm"),
        ("fit", "gearbox", "--id", "3mm"),
        ("want", "add", "G 1", "--quantity", "1", "--kind", "gearbox"),
        ("supplier", "add", "Nettlewick", "--carries", "o_ring,gearbox"),
        ("evidence", "add", "G 1", "--kind", "gearbox", "--bears", "G 2", "--machine", "press"),
        ("teardown", "add", "press", "--place", "pump", "--kind", "gearbox"),
    ],
)
def test_a_kind_that_is_none_is_one_sentence_everywhere(words: tuple[str, ...], xref: Xref) -> None:
    """Whatever command is given a kind there is not, the same sentence names all there are."""
    answer = xref(*words, "--json")
    assert (answer.status, answer.document["error"]["code"]) == (2, "unknown-kind")
    message = answer.document["error"]["message"]
    assert message.startswith("There is no kind of part called 'gearbox'; the kinds are bushing_")


@pytest.mark.store
@pytest.mark.usefixtures("demo_store")
def test_nothing_like_it_ends_with_1(xref: Xref) -> None:
    """A text like nothing in the lists is status 1 with an empty list of matches."""
    answer = xref("identify", "QQQQQQQQQQQQ-777777777777", "--json")
    assert answer.status == 1
    assert answer.document["matches"] == []


def test_a_bare_size_is_a_question(xref: Xref) -> None:
    """A size without its unit is status 3, with the question and both readings."""
    answer = xref(*SEAL, "--shaft", "2.375", "--json")
    assert answer.status == 3
    assert "2.375 mm" in answer.document["error"]["message"]
    assert "2.375 in" in answer.document["error"]["message"]
    assert xref(*SEAL, "--shaft", "2.375").status == 3


@pytest.mark.parametrize(
    ("words", "status"),
    [
        (["--shaft", "-5mm"], {2, 4}),
        (["--shaft", "0mm"], {2, 4}),
        (["--shaft", "nan"], {4}),
        (["--shaft", "1-13/8in"], {4}),
        (["--shaft", "wide"], {4}),
        (["--shaft", "60mm", "--housing", "50mm"], {2}),
        (["--shaft", "60mm", "--uncertainty", "0mm"], {2, 4}),
        (["--section", "3mm"], {2}),
        (["--shaft", "60mm", "--wear-track", "6mm"], {2}),
    ],
)
def test_impossible_sizes_are_refused(xref: Xref, words: list[str], status: set[int]) -> None:
    """What no shaft or seal can measure is one sentence and its status, never an answer."""
    answer = xref(*SEAL, *words)
    assert answer.status in status
    assert answer.out == ""
    assert answer.err.strip()
    assert "Traceback" not in answer.err


def test_an_unknown_kind_names_the_kinds(xref: Xref) -> None:
    """A kind xref does not know is refused with those it knows."""
    answer = xref("match", "--kind", "gasket", "--id", "60mm")
    assert answer.status == 2
    assert "shaft_seal" in answer.err


@pytest.mark.parametrize("act", ["read", "load"])
@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("missing.csv", None),
        ("empty.csv", b""),
        ("picture.csv", b"\x89PNG\r\n\x1a\n" + bytes(range(256)) * 20),
        ("torn.xlsx", b"PK\x03\x04" + b"\x00" * 40),
        ("prose.txt", b"Dear Sir,\nthank you for your letter.\nYours\n"),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_an_unreadable_file_is_refused(
    xref: Xref, tmp_path: Path, act: str, name: str, content: bytes | None
) -> None:
    """A file that is no table is status 4 with one sentence, and the store stays empty."""
    path = tmp_path / name
    if content is not None:
        path.write_bytes(content)
    more = ["--table", "stock"] if act == "load" else []
    answer = xref(act, path, *more)
    assert answer.status == 4
    assert (answer.out + answer.err).strip()
    assert "Traceback" not in answer.err
    assert xref("store", "info", "--json").document["lists"] == []


@pytest.mark.store
@pytest.mark.usefixtures("demo_store", "beside_the_demo_files")
def test_a_refused_list_leaves_the_list_before(xref: Xref, tmp_path: Path) -> None:
    """An empty newer list replaces nothing."""
    before = xref("store", "info", "--json").document["lists"]
    empty = tmp_path / "empty.csv"
    empty.write_text("Number;Qty;Price\n", encoding="utf-8")
    answer = xref("load", empty, "--table", "stock", "--supplier", "Brasswater Bush Works")
    assert answer.status == 4
    assert xref("store", "info", "--json").document["lists"] == before


@pytest.mark.store
def test_a_newer_store_is_refused_with_the_way_out(xref: Xref, private_store: Path) -> None:
    """A store of a newer xref is status 5 and says to update or to name another store."""
    assert xref("store", "info").status == 0
    mark = private_store / "store.json"
    mark.write_text(json.dumps({"format": 999}), encoding="utf-8")
    answer = xref("identify", "A1")
    assert answer.status == 5
    assert "newer" in answer.err
    assert "--store" in answer.err
    assert json.loads(mark.read_text(encoding="utf-8")) == {"format": 999}


@pytest.mark.store
def test_a_folder_that_is_no_store_is_left_alone(xref: Xref, private_store: Path) -> None:
    """A folder with other files is status 5, and nothing is put into it."""
    private_store.mkdir()
    (private_store / "letters.txt").write_text("mine", encoding="utf-8")
    answer = xref("store", "info")
    assert answer.status == 5
    assert [path.name for path in private_store.iterdir()] == ["letters.txt"]


@pytest.mark.store
def test_the_demo_never_mixes_with_lists_of_the_user(xref: Xref, tmp_path: Path) -> None:
    """`xref demo` refuses a store that holds the user's own lists and changes nothing."""
    own = tmp_path / "own.csv"
    own.write_text("Number,Qty,Price\nZZ-1,3,4.50\n", encoding="utf-8")
    loaded = xref("load", own, "--table", "stock", "--supplier", "Myself", "--currency", "EUR")
    assert loaded.status == 0, loaded.err
    before = xref("store", "info", "--json").document["lists"]
    answer = xref("demo")
    assert answer.status == 2
    assert "--store" in answer.err
    assert xref("store", "info", "--json").document["lists"] == before


def test_a_number_listed_without_sizes_is_not_called_unknown(xref: Xref, tmp_path: Path) -> None:
    """It stands in an interchange list: the answer says so, and offers others as the nearest."""
    path = tmp_path / "inter.csv"
    path.write_text("Old number,Replacement,Relation\nQQ/403,NLA,\nQQ/405,GG-1,equal to\n", "utf-8")
    assert xref("load", path, "--table", "interchange").status == 0
    answer = xref("match", "QQ/403", "--json")
    assert answer.status == 1
    (note,) = answer.document["need"]["notes"]
    assert "stands in inter, row 2; no list gives its sizes" in note
    assert "QQ/403" not in [near["number"] for near in answer.document["nearest"]]


@pytest.mark.usefixtures("demo_store")
@pytest.mark.parametrize(
    "words",
    [[*SEAL, "--depth", "10mm"], ["match", "--kind", "o_ring", "--groove-diameter", "25.4mm"]],
)
def test_sizes_that_leave_all_open_say_what_to_add(xref: Xref, words: list[str]) -> None:
    """A depth or a groove alone is a size, and no ground to choose parts on."""
    answer = xref(*words)
    assert answer.status == 2
    assert "add a diameter" in " ".join(answer.err.split())
