"""The graph of statements against networkx, and what it must respect."""

import math

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from xref.matching.graph import Graph
from xref.store.statement_index import StatementIndex, write_statement_index
from xref.store.statements import (
    EQUAL_TO,
    MAY_SERVE_AS,
    PROOFS,
    SUPERSEDED_BY,
    Statement,
    read_replacements,
    statements_of,
)

NUMBERS = [f"K{n}" for n in range(9)]
STATEMENTS = st.lists(
    st.builds(
        Statement,
        number=st.sampled_from(NUMBERS),
        to=st.lists(st.sampled_from(NUMBERS), min_size=1, max_size=2, unique=True).map(tuple),
        relation=st.sampled_from([SUPERSEDED_BY, EQUAL_TO, MAY_SERVE_AS]),
        list=st.sampled_from(["one", "two"]),
    ),
    max_size=25,
)


def as_networkx(statements, strengths=()):
    """The same statements as a plain directed graph."""
    graph = nx.DiGraph()
    graph.add_nodes_from(NUMBERS)
    for s in statements:
        pairs = [(s.number, to) for to in s.to]
        if s.relation == EQUAL_TO and len(s.to) == 1:
            pairs.append((s.to[0], s.number))
        graph.add_edges_from((a, b) for a, b in pairs if a != b)
    for a, b, value in strengths:
        graph[a][b]["doubt"] = -math.log(value)
    return graph


def graph_of(statements, lists=2):
    """The statements spread over several lists."""
    return Graph([StatementIndex.from_statements(statements[n::lists]) for n in range(lists)])


@settings(max_examples=200)
@given(STATEMENTS, st.integers(1, 9))
def test_reaches_what_networkx_reaches_loops_and_all(statements, most_steps):
    """The numbers reached are those networkx reaches, loops and self-references included."""
    graph, oracle = graph_of(statements), as_networkx(statements)
    for start in NUMBERS[:4]:
        reached = {route.key for route in graph.reach(start, most_steps=20)}
        assert reached == nx.descendants(oracle, start)
        within = set(nx.single_source_shortest_path_length(oracle, start, cutoff=1)) - {start}
        assert {route.key for route in graph.reach(start, most_steps=1)} == within
        assert all(len(r.steps) <= most_steps for r in graph.reach(start, most_steps=most_steps))


@settings(max_examples=200)
@given(STATEMENTS)
def test_best_supported_first_like_a_shortest_path_of_doubt(statements):
    """Strength and order agree with networkx's shortest paths over -log(strength)."""
    graph = graph_of(statements)
    best = {}
    for number in NUMBERS:
        for step in graph.steps(number):
            at = (number, step.to_key)
            best[at] = max(best.get(at, 0), step.strength)
    oracle = as_networkx(statements, [(a, b, value) for (a, b), value in best.items()])
    for start in NUMBERS[:3]:
        lengths = nx.single_source_dijkstra_path_length(oracle, start, weight="doubt")
        routes = list(graph.reach(start, most_steps=20))
        assert [r.strength for r in routes] == sorted((r.strength for r in routes), reverse=True)
        for route in routes:
            assert route.strength == pytest.approx(math.exp(-lengths[route.key]))


@settings(max_examples=200)
@given(STATEMENTS)
def test_a_route_is_a_shortest_path_of_networkx(statements):
    """A chain between two numbers is there when networkx has one, as short, and unbroken."""
    graph, oracle = graph_of(statements, lists=3), as_networkx(statements)
    for start in NUMBERS[:3]:
        for goal in NUMBERS:
            route = graph.route(start, goal)
            if start == goal or not nx.has_path(oracle, start, goal):
                assert route is None
                continue
            assert len(route.steps) == nx.shortest_path_length(oracle, start, goal)
            assert [s.key for s in route.steps] + [goal] == [start] + [
                s.to_key for s in route.steps
            ]


def test_a_chain_across_lists_keeps_who_said_what():
    """A book supersedes, a dealer's list equates: the chain names both, and their rows."""
    book = Statement("DQ/1", ("DQ/2",), SUPERSEDED_BY, list="book", table="originals", row=4)
    dealer = Statement("dq 2", ("RV-9",), EQUAL_TO, list="dealer", row={"sheet": "A", "row": 7})
    graph = Graph([StatementIndex.from_statements([s]) for s in (book, dealer)])
    first, second = graph.reach("DQ1")
    assert (first.number, first.relation) == ("DQ/2", SUPERSEDED_BY)
    assert (second.number, second.relation) == ("RV-9", "interchange")
    assert [s.first.source for s in second.steps] == ["book, row 4", "dealer, sheet A, row 7"]
    assert [r.key for r in graph.reach("RV9")] == ["DQ2"]  # equal both ways, superseded one way


def test_two_lists_that_agree_come_before_one():
    """A replacement two lists name ranks before one that a single list names as strongly."""
    said = [
        Statement("A1", ("Z9",), EQUAL_TO, list="one", row=1),
        Statement("A1", ("B2",), EQUAL_TO, list="two", row=1),
        Statement("A1", ("Z9",), EQUAL_TO, list="two", row=2),
    ]
    assert [r.key for r in graph_of(said).reach("A1")] == ["Z9", "B2"]


def test_one_list_repeating_itself_gains_nothing():
    """Several lines of one list are one list's word."""
    once = [Statement("A1", ("B2",), EQUAL_TO, list="one", row=1)]
    (a,) = graph_of(once).reach("A1")
    (b,) = graph_of(once * 5).reach("A1")
    assert a.strength == b.strength


def test_the_users_own_proof_is_the_strongest_statement():
    """What ran in the user's machine comes before what any number of lists say."""
    lists = [Statement("A1", ("Z9",), SUPERSEDED_BY, list=f"list {n}") for n in range(30)]
    proof = Statement("A1", ("B2",), table=PROOFS, list="2026-05-01")
    graph = Graph([StatementIndex.from_statements(lists)], [proof])
    best = next(iter(graph.reach("A1")))
    assert (best.key, best.is_proved) == ("B2", True)


def test_a_proof_that_it_did_not_fit_takes_the_number_out():
    """A replacement the user proved not to fit is not offered again, whatever lists say."""
    lists = [Statement("A1", ("B2",), EQUAL_TO, list="one"), Statement("A1", ("C3",), list="two")]
    refuted = Statement("A1", ("B2",), table=PROOFS, holds=False)
    graph = Graph([StatementIndex.from_statements(lists)], [refuted])
    assert [r.key for r in graph.reach("A1")] == ["C3"]
    assert graph.route("A1", "B2") is None
    assert any(not s.holds for s in graph.about("A1"))


def test_quantities_multiply_and_sets_stay_together():
    """`use 2 of` twice makes four; cup and cone are reached each with the other beside it."""
    said = [
        Statement("A1", ("B2",), quantity=2),
        Statement("B2", ("C3",), quantity=2),
        Statement("D4", ("30206 CONE", "30206 CUP"), EQUAL_TO),
    ]
    graph = graph_of(said)
    assert {r.key: r.quantity for r in graph.reach("A1")} == {"B2": 2, "C3": 4}
    assert {r.number: r.together for r in graph.reach("D4")} == {
        "30206 CONE": ("30206 CUP",),
        "30206 CUP": ("30206 CONE",),
    }
    assert list(graph.reach("30206CUP")) == []  # half a set is not the whole


def test_written_and_mapped_says_the_same(tmp_path):
    """A statement comes back from the file as it went in."""
    said = [
        Statement("DQ/1", ("A 1", "Б 2"), EQUAL_TO, 3, "before serial 412", "M", "N", "list «x»",
                  "interchange", {"sheet": "S", "row": 2}, "note", True),
        Statement("DQ/2", ("DQ/1",), row=9, holds=False, table=PROOFS),
    ]  # fmt: skip
    write_statement_index(tmp_path / "s.index", said)
    index = StatementIndex.open(tmp_path / "s.index")
    assert index.about("DQ1") == said
    assert index.about("DQ2") == said[1:]
    assert index.about("NOTHERE") == []
    assert StatementIndex.from_statements([]).about("A1") == []


@pytest.mark.parametrize(
    ("written", "expected"),
    [
        ("QV 4126 / BWR-226N", [(("QV 4126",), 1), (("BWR-226N",), 1)]),
        ("DG/1111", [(("DG/1111",), 1)]),
        ("A1 or B2", [(("A1",), 1), (("B2",), 1)]),
        ("30206 CONE + 30206 CUP", [(("30206 CONE", "30206 CUP"), 1)]),
        ("use 2 of TLW-19", [(("TLW-19",), 2)]),
        ("2 x TLW-19", [(("TLW-19",), 2)]),
        ("2 off TLW-19", [(("TLW-19",), 2)]),
        ("2X4711", [(("2X4711",), 1)]),
        (["A1", "B2 + C3"], [(("A1",), 1), (("B2", "C3"), 1)]),
        ("NLA", []),
        ("N/A", []),
        ("", []),
        (None, []),
        (float("nan"), []),
    ],
)
def test_cells_of_replacements(written, expected):
    """`/` and `or` between spaces are alternatives, `+` goes together, `use 2 of` keeps the 2."""
    assert read_replacements(written) == (expected, [])


def test_words_in_place_of_a_number_are_told_and_not_followed():
    """Advice in words is no number; it is handed back so that it can be shown."""
    written = "UL721 or leather packing made to pattern"
    assert read_replacements(written) == (
        [(("UL721",), 1)],
        ["leather packing made to pattern"],
    )


def test_rows_of_a_book_and_of_an_interchange_list():
    """Book rows supersede unless they say otherwise; stored JSON cells are read as lists."""
    own = {"number": "DG/1141", "replacements": '["DG/1141A"]', "variant": "before serial 412"}
    book = [
        own | {"at": "7"},
        {"number": "DG/2", "supersedes": ["DG/1"], "at": 8},
        {"number": None},
    ]
    first, second = statements_of(book, list_name="book", table="originals")
    assert (first.to, first.relation, first.variant, first.row) == (
        ("DG/1141A",), SUPERSEDED_BY, "before serial 412", 7)  # fmt: skip
    assert (second.number, second.to, second.relation) == ("DG/1", ("DG/2",), SUPERSEDED_BY)
    rows = [{"number": "A", "replacements": ["B2"], "relation": None, "relation_quantity": 2.0}]
    (third,) = statements_of(rows, list_name="x", table="interchange")
    assert (third.relation, third.quantity) == (MAY_SERVE_AS, 2)
