"""Which part a text means: a smudged, spaced or superseded number, or a description.

The answer says how each match was found and in which list. Nothing is merged: another form of a
number, or a number that looks like it, is a suggestion of its own.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from xref.matching import descriptions, looks_like
from xref.matching.chains import Chains, Evidence, chains, forms_of
from xref.matching.graph import Graph, Route
from xref.matching.lists import Item, Lists
from xref.matching.telling import bare, did_not_fit, mentioned, path_of, said, source_of
from xref.matching.variants import Variant, machine, variant
from xref.store.number_key import number_key

HOW = (
    "exact",
    "same characters",
    "superseded by",
    "interchange",
    "other form",
    "looks like",
    "description",
)
_RANK = {how: rank for rank, how in enumerate(HOW)} | {"interchange": 2}  # by support, not by name
_TABLES = ("originals", "catalogue", "interchange", "stock")
_LONGEST_NUMBER = 80  # as the table schemas allow; longer texts are searched as descriptions
_ONLY_MISREAD = 1.0  # a cost below one slip: nothing but reading slips
_MOST_DESCRIPTIONS = 400  # distinct ones that are compared with what was asked
_LONGEST_TEXT = 400  # of which numbers among other words are looked for
_MOST_JOINED = 4  # words that a number is written in
_SHORTEST_WITHIN = 3  # shorter numbers among other words are counts or sizes
_SUGGESTED = 5  # likenesses shown beside a number that is known as it stands
_LAST = 10_000  # the place of what is known not to serve
_FOLLOWED = 3  # likely readings of a smudged number whose replacements are shown too

Match = dict[str, Any]


def identify(
    text: str,
    lists: Lists,
    *,
    top: int = 20,
    serial: int | str | None = None,
    form: str | None = None,
    accept: Sequence[str] = (),
    evidence: Sequence[Evidence] = (),
) -> list[Match]:
    """Return what `text` may mean, the surest first; empty if nothing is like it.

    Each match has `number, maker, kind, description, table, how, score, path, source`, and
    `variant`, `dimensions_mm`, `also_in` (other lists with the same), `note`. `serial` (of the
    machine) or `form` (a variant as lists write it) restricts replacements to that machine;
    `accept` names variants taken besides; `evidence` is what the machines themselves showed. What
    the user tried and what did not fit comes last, with the day and the reason. Raises
    `Impossible` for an empty serial number.
    """
    wanted = machine(serial) if serial is not None else variant(form) if form else None
    search = _Search(text, lists, wanted, tuple(variant(a) for a in accept), tuple(evidence))
    key = number_key(text)
    if key and len(key) <= _LONGEST_NUMBER:
        search.by_number(key, top)
    search.by_numbers_within(top)
    search.by_description(top)
    return search.matches(top)


class _Search:
    """The matches of one question while they are collected."""

    def __init__(
        self,
        text: str,
        lists: Lists,
        wanted: Variant | None,
        accepted: tuple[Variant, ...],
        evidence: tuple[Evidence, ...],
    ) -> None:
        self._text = text.strip()
        self._lists = lists
        self._wanted, self._accepted, self._evidence = wanted, accepted, evidence
        self._matches: list[Match] = []
        self._seen: dict[tuple[str, str, str], Match] = {}
        self._items: dict[str, list[Item]] = {}

    def matches(self, top: int) -> list[Match]:
        """Return the best, in the order of `HOW` and within it by support, likeness or score."""
        self._matches.sort(key=lambda match: match.pop("_order"))
        for match in self._matches[:top]:
            key = number_key(match["number"])
            for seen in self._evidence:
                told = seen.sentence()
                if key in (seen.book_key, seen.key) and told not in (match["note"] or ""):
                    match["note"] = "; ".join(filter(None, (match["note"], told)))
        return self._matches[:top]

    def by_number(self, key: str, top: int) -> None:
        """Find the number itself, its replacements, its other forms and its likenesses."""
        graph = self._lists.graph()
        indexes = self._lists.number_indexes()
        known = self._own(key, graph)
        if known:
            self._replacements(key, graph, [], 1.0)
        forms = looks_like.other_forms(key, indexes)
        most = _SUGGESTED if known else top
        near = [n for n in looks_like.like(key, indexes, limit=most + 1) if n.key != key][:most]
        self._look_up([*forms, *(n.key for n in near)])
        for other, differs in forms.items():
            for item in self._items[other] or mentioned(other, graph):
                self._add(item, "other form", 0.9, [], differs)
        likely = 0
        for place, likeness in enumerate(near):
            path = [{"from": self._text, "relation": "looks like", "to": likeness.key}]
            for item in self._items[likeness.key] or mentioned(likeness.key, graph):
                score = round(likeness.score, 4)
                self._add(item, "looks like", score, path, item.get("says"), place=place)
            if not known and likeness.cost < _ONLY_MISREAD and likely < _FOLLOWED:
                likely += 1
                self._replacements(likeness.key, graph, path, likeness.score, beside=place)

    def by_numbers_within(self, top: int) -> None:
        """Find the numbers named among other words, as in "oil seal TW 3/118", if nothing else is.

        Only numbers that stand in a list as they are, or misread: sizes and counts are no numbers.
        """
        if self._matches:
            return
        indexes = self._lists.number_indexes()
        for key in numbers_within(self._text):
            if looks_like.like(key, indexes, limit=1, slips=0):
                self.by_number(key, top)

    def by_description(self, top: int) -> None:
        """Find rows by their words, unless the text names a number only.

        A word with a digit in it is a number rather than a description; only if no list has such
        a number, or one like it, is it looked for in descriptions.
        """
        wanted = descriptions.described(self._text)
        words = [w for w in wanted.words if sum(c.isalpha() for c in w) > 2]
        if self._matches:
            words = [w for w in words if not any(c.isdigit() for c in w)]
        if not words and not wanted.kinds:
            return
        stems = descriptions.stems(words)
        found = self._lists.descriptions(stems, wanted.kinds, _MOST_DESCRIPTIONS)
        if wanted.kinds and len(found) < _MOST_DESCRIPTIONS:  # of lists that do not say the kind
            every = descriptions.stems(descriptions.words_of(self._text))
            found += self._lists.descriptions(every, (), _MOST_DESCRIPTIONS)
        best: dict[Any, float] = {}
        for score, told in descriptions.ranked(self._text, found):
            for place in told.places:
                best.setdefault(place, score)
        chosen = list(best)[:top]
        for place, item in zip(chosen, self._lists.items_at(chosen), strict=True):
            self._add(item, "description", best[place], [], None)

    def _own(self, key: str, graph: Graph) -> bool:
        """Add the rows of the number itself, or the statement that alone mentions it."""
        self._look_up([key])
        for item in self._items[key] or mentioned(key, graph):
            how = "exact" if item.get("number") == self._text else "same characters"
            self._add(item, how, 1.0 if how == "exact" else 0.99, [], item.get("says"))
        return bool(self._seen)

    def _replacements(
        self,
        key: str,
        graph: Graph,
        before: list[dict[str, Any]],
        score: float,
        beside: int | None = None,
    ) -> None:
        """Add what may stand in for `key`; what is for other machines only if none was named.

        `beside` puts them beside the likeness of that place, of which they are replacements.
        """
        found = self._chains(key, graph, self._wanted)
        self._look_up(route.key for route in found.routes)
        for place, route in enumerate(found.routes):
            note = found.against_the_book.get(route.key)
            self._add_route(route, before, score, place, beside, note)
        self._tried(key, graph, before, beside)
        if self._wanted is not None or not found.withheld:
            return
        given = {route.key for route in found.routes}
        why = {withheld.step.to_key: withheld.why for withheld in found.withheld}
        others = [r for r in graph.reach(key, limit=30) if r.key not in given]
        self._look_up(route.key for route in others)
        for place, route in enumerate(others, len(given)):
            reason = next((why[s.to_key] for s in route.steps if s.to_key in why), "")
            self._add_route(route, before, score, place, beside, f"only if asked for: {reason}")

    def _tried(
        self,
        key: str,
        graph: Graph,
        before: list[dict[str, Any]],
        beside: int | None,
    ) -> None:
        """Add what the user tried in place of `key` and what did not fit, after all the rest."""
        tried = [s for s in graph.proofs if s.key == key and not s.holds]
        self._look_up(to for s in tried for to in s.to_keys)
        for s in tried:
            claims = [
                c for c in graph.about(key) if c.holds and s.to_keys[0] in (c.key, *c.to_keys)
            ]
            path = [*before, *map(said, (*claims, s))]
            for item in self._items[s.to_keys[0]] or [bare(s.to[0], s.to_maker, s)]:
                self._add(
                    item, "interchange", 0.0, path, did_not_fit(s),
                    place=_LAST if beside is None else beside,
                    rank=_RANK["interchange" if beside is None else "looks like"],
                )  # fmt: skip

    def _chains(self, key: str, graph: Graph, wanted: Variant | None) -> Chains:
        return chains(
            graph,
            key,
            self._forms,
            wanted=wanted,
            accepted=self._accepted,
            evidence=self._evidence,
        )

    def _forms(self, key: str) -> list[Variant]:
        self._look_up([key])
        return forms_of(self._items[key])

    def _look_up(self, keys: Iterable[str]) -> None:
        """Read the rows of several numbers at once and keep them."""
        missing = [key for key in dict.fromkeys(keys) if key not in self._items]
        for key in missing:
            self._items[key] = []
        for item in self._lists.items_by_number(missing) if missing else ():
            self._items.setdefault(number_key(str(item["number"])), []).append(item)
        for key in missing:
            self._items[key].sort(key=_standing)

    def _add_route(
        self,
        route: Route,
        before: list[dict[str, Any]],
        score: float,
        place: int,
        beside: int | None,
        note: str | None,
    ) -> None:
        last = route.steps[-1].first
        unlisted = bare(route.number, last.to_maker, last)
        items = self._items[route.key]
        notes = [
            f"use {route.quantity} of it" if route.quantity != 1 else None,
            f"together with {' and '.join(route.beside)}" if route.together else None,
            note,
            None if items else "in none of the lists",
        ]
        for item in items or [unlisted]:
            self._add(
                item,
                route.relation,
                round(route.strength * score, 4),
                [*before, *path_of(route)],
                "; ".join(filter(None, notes)) or None,
                place=place if beside is None else beside,
                rank=_RANK[route.relation if beside is None else "looks like"],
            )

    def _add(
        self,
        item: Item,
        how: str,
        score: float,
        path: list[dict[str, Any]],
        note: str | None,
        *,
        place: int = 0,
        rank: int | None = None,
    ) -> None:
        """Add a row; the same number of the same maker in further lists is told beside it."""
        number, form = str(item.get("number")), str(item.get("variant") or "")
        maker = str(item.get("maker") or "").casefold()
        first = self._seen.get((number, maker, form))
        if first is None and not maker and not form:  # a list that names no maker
            first = next((m for name, m in self._seen.items() if name[0] == number), None)
        if first is not None:
            also = source_of(item)
            if also != first["source"] and also not in first["also_in"] and first["how"] == how:
                first["also_in"].append(also)
            return
        match: Match = {
            "number": number,
            "maker": item.get("maker"),
            "kind": item.get("kind"),
            "description": item.get("description"),
            "table": item.get("table"),
            "how": how,
            "score": score,
            "path": path,
            "source": source_of(item),
            "variant": item.get("variant"),
            "dimensions_mm": item.get("dimensions_mm") or {},
            "also_in": [],
            "note": note,
            "_order": (_RANK[how] if rank is None else rank, place, len(self._matches)),
        }
        self._seen[number, maker, form] = match
        self._matches.append(match)


def numbers_within(text: str) -> list[str]:
    """Return the keys of what may be numbers in a text, longer runs of words first.

    A run of up to four words one after another, with a digit in the first or last of them.
    """
    words = [w for w in text[:_LONGEST_TEXT].split() if number_key(w)]
    runs = [
        words[at : at + length]
        for length in range(min(_MOST_JOINED, len(words)), 0, -1)
        for at in range(len(words) - length + 1)
    ]
    keys = [
        number_key("".join(run).strip(",;:()"))
        for run in runs
        if any(c.isdigit() for c in run[0] + run[-1])
    ]
    fit = (key for key in keys if _SHORTEST_WITHIN <= len(key) <= _LONGEST_NUMBER)
    return list(dict.fromkeys(fit))


def _standing(item: Item) -> tuple[int, str, str]:
    table = item.get("table")
    rank = _TABLES.index(table) if table in _TABLES else len(_TABLES)
    return rank, str(item.get("list")), str(item.get("at"))
