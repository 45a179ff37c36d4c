"""Lists in memory, for the tests of identification."""

from collections.abc import Iterable, Sequence

from xref.matching.graph import Graph
from xref.matching.lists import Told
from xref.store.number_index import NumberIndex
from xref.store.number_key import number_key
from xref.store.statement_index import StatementIndex
from xref.store.statements import Statement


def row(number, *, table="originals", list="book", at=1, **more):
    """A row of a list as the store gives it, most of it unknown."""
    unknown = dict.fromkeys(("maker", "kind", "description", "variant"))
    return {"number": number, "table": table, "list": list, "at": at, **unknown, **more}


class FakeLists:
    """A few rows and statements that answer like a store, by plain loops."""

    def __init__(
        self,
        rows: Sequence[dict],
        statements: Iterable[Statement] = (),
        proofs: Sequence[Statement] = (),
    ) -> None:
        self.rows = list(rows)
        self.statements = list(statements)
        self.proofs = proofs

    def items_by_number(self, numbers):
        """The rows with one of the numbers."""
        keys = {number_key(n) for n in numbers}
        return [dict(r) for r in self.rows if number_key(r["number"]) in keys]

    def number_indexes(self):
        """One index of all numbers, those of statements included."""
        stated = {k for s in self.statements for k in (s.key, *s.to_keys)}
        keys = {number_key(r["number"]) for r in self.rows} | stated
        return [NumberIndex.from_keys(sorted(keys - {""}))]

    def graph(self):
        """Each list's statements apart, as a store has them."""
        names = sorted({s.list for s in self.statements})
        return Graph(
            [
                StatementIndex.from_statements([s for s in self.statements if s.list == name])
                for name in names
            ],
            self.proofs,
        )

    def descriptions(self, words, kinds, limit):
        """The descriptions that have the words, most of them first."""
        hits = []
        for place, r in enumerate(self.rows):
            text = (r["description"] or "").lower()
            count = sum(w in text for w in words)
            if text and (r["kind"] in kinds if kinds else count):
                hits.append((count, Told(r["description"], r["kind"], [place])))
        return [told for _, told in sorted(hits, key=lambda h: -h[0])][:limit]

    def items_at(self, places):
        """The rows at places."""
        return [dict(self.rows[place]) for place in places]
