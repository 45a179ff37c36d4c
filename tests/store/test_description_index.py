"""The descriptions by their words, against looking through every one of them as oracle."""

import random

import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from xref.store import ListInfo, Store, description_index, wording
from xref.store.columns import of_texts
from xref.store.description_index import DescriptionIndex, write_description_index
from xref.texts import Texts

pytestmark = pytest.mark.store
WORDS = ["Oil", "seal", "Dichtring", "für", "winch", "drum", "Gleitlager", "О-ring", "o-ring",
         "Ø60", "bush", "SEAL,", "(drum)", "l'arbre", "\u3000", "a\u2028b", "412",
         "re-seal"]  # fmt: skip
KINDS = ["shaft_seal", "plain_bushing", None]


def frame(rng, count, distinct):
    """Rows of a list whose descriptions repeat; some are missing, some state no kind."""
    texts = [
        " ".join(rng.choices(WORDS, k=rng.randint(1, 5))) + rng.choice(["", f" {n}"])
        for n in range(distinct)
    ]
    return pd.DataFrame(
        {
            "at": range(count),
            "number": [f"N{n}" for n in range(count)],
            "description": [rng.choice([*texts, None]) for _ in range(count)],
            "kind": [rng.choice(KINDS) for _ in range(count)],
        }
    )


@pytest.fixture(scope="module")
def store(tmp_path_factory):
    """Three lists, one of them without any kind."""
    rng = random.Random(3)  # noqa: S311 - invents rows
    made = Store.open(tmp_path_factory.mktemp("described") / "store")
    for name in ("one", "two", "three"):
        rows = frame(rng, 400, 60)
        rows = rows.drop(columns="kind") if name == "three" else rows
        made.add_edition(ListInfo("catalogue", name), rows)
    return made


def both(store, words, kinds, monkeypatch):
    """What the index and what the scan of every description say."""
    editions = store.editions()
    asked = {"limit": 400, "places": 20}
    found = wording.descriptions_with(store.lists, editions, words, kinds, **asked)
    with monkeypatch.context() as patched:
        patched.setattr(store.lists, "description_index", lambda _edition: None)
        scanned = wording.descriptions_with(store.lists, editions, words, kinds, **asked)
    return found, scanned


@pytest.mark.parametrize("kinds", [(), ("shaft_seal",), ("plain_bushing", "shaft_seal")])
@pytest.mark.parametrize(
    "words",
    [
        ["seal"], ["SEAL", "drum"], ["e"], ["ring", "oil", "für"], ["ø60"], ["l'arbre"], ["412"],
        ["nothing"], ["(drum)"], ["о-ring"], ["a\u2028b"], ["l s"], ["oil seal", "ich"], [],
    ],
    ids=repr,
)  # fmt: skip
def test_finds_what_looking_through_every_description_finds(store, words, kinds, monkeypatch):
    """The same descriptions of the same rows in the same order."""
    found, scanned = both(store, words, kinds, monkeypatch)
    assert found == scanned
    assert bool(found) == bool(scanned)


def test_few_are_cut_alike(store):
    """The limit keeps those with most of the words, of equals the first of the lists."""
    every = wording.descriptions_with(
        store.lists, store.editions(), ["seal", "drum"], (), limit=400, places=20
    )
    few = wording.descriptions_with(
        store.lists, store.editions(), ["seal", "drum"], (), limit=7, places=2
    )
    assert few == [(text, kind, places[:2]) for text, kind, places in every[:7]]


TEXTS = st.lists(st.text(alphabet="aäЖ \n\tB,0", max_size=12), min_size=1, max_size=30)


@settings(max_examples=200)
@given(TEXTS, st.text(alphabet="aäжb0,", min_size=1, max_size=3))
def test_any_text_is_found_by_any_part_of_its_words(tmp_path_factory, texts, part):
    """White space of all sorts, other alphabets and repeats, against a plain loop."""
    path = tmp_path_factory.mktemp("d") / "descriptions.index"
    column = of_texts("description", Texts.of(texts))
    write_description_index(path, column, None, len(texts))
    index = DescriptionIndex.open(path)
    found = {one.description: one.items for one in index.search([part], (), 100)}
    rows = {t: [n for n, other in enumerate(texts) if other == t] for t in texts}
    assert found == {t: at[:20] for t, at in rows.items() if part in t.lower()}


def test_the_first_rows_of_a_description_are_found_in_steps(tmp_path, monkeypatch):
    """However the rows are cut into steps, each description keeps its first twenty rows."""
    rng = random.Random(4)  # noqa: S311 - invents rows
    texts = [rng.choice(["one", "two", "three", "rare"] + ["one"] * 20) for _ in range(1000)]
    monkeypatch.setattr(description_index, "_STEP", 37)
    column = of_texts("description", Texts.of(texts))
    write_description_index(tmp_path / "d.index", column, None, len(texts))
    index = DescriptionIndex.open(tmp_path / "d.index")
    for one in index.search(["e", "o"], (), 10):
        rows = [n for n, text in enumerate(texts) if text == one.description]
        assert one.items == rows[:20]


def test_descriptions_that_hardly_repeat_are_looked_through(tmp_path, monkeypatch):
    """Above a share of distinct ones a list has no index of words, and answers all the same."""
    monkeypatch.setattr(description_index, "ALWAYS_INDEXED", 10)
    made = Store.open(tmp_path / "store")
    rows = pd.DataFrame(
        {"number": [f"N{n}" for n in range(50)], "description": [f"seal {n}" for n in range(50)]}
    )
    edition = made.add_edition(ListInfo("catalogue", "distinct"), rows)
    index = DescriptionIndex.open(made.lists.file(edition, description_index.FILE))
    assert (index.is_whole, len(index)) == (False, 0)
    found = wording.descriptions_with(made.lists, [edition], ["seal", "49"], (), limit=3, places=20)
    assert found[0] == ("seal 49", None, [(edition.edition, 49)])


def test_a_list_without_descriptions_has_none(tmp_path):
    """No column of descriptions, no rows: nothing is found and nothing fails."""
    write_description_index(tmp_path / "d.index", None, None, 5)
    index = DescriptionIndex.open(tmp_path / "d.index")
    assert (len(index), index.search(["seal"], (), 5)) == (0, [])


def test_an_edition_of_an_earlier_xref_is_looked_through(store):
    """Without the file of descriptions the rows themselves are read."""
    edition = store.editions()[0]
    path = store.lists.file(edition, description_index.FILE)
    aside = path.with_suffix(".aside")
    path.rename(aside)
    try:
        lists = Store.open(store.folder).lists  # has nothing mapped yet
        assert lists.description_index(edition) is None
        without = wording.descriptions_with(lists, [edition], ["seal"], (), limit=9, places=20)
    finally:
        aside.rename(path)
    assert without == wording.descriptions_with(
        store.lists, [edition], ["seal"], (), limit=9, places=20
    )


def test_descriptions_of_a_restored_store_are_read_anew(tmp_path):
    """Another list under the same number, restored under an open store, is not the one before."""
    one, other = Store.open(tmp_path / "one"), Store.open(tmp_path / "other")
    for made, what in ((one, "oil seal"), (other, "drum seal")):
        rows = pd.DataFrame({"at": [1], "number": ["W 3"], "description": [what]})
        made.add_edition(ListInfo("stock", "x", digest=what), rows)

    def told():
        found = wording.descriptions_with(
            one.lists, one.editions(), ["seal"], (), limit=3, places=20
        )
        return [text for text, _, _ in found]

    assert told() == ["oil seal"]
    other.backup(tmp_path / "backup.zip")
    Store.restore(tmp_path / "backup.zip", one.folder)
    assert told() == ["drum seal"]
