"""From needs and parts to ranked pairs: windows in stages, judged once, best few kept.

The narrow stage serves every need; the wider ones (work, near misses) only
those still short of clean candidates.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Generic, TypeVar

import numpy as np
from numpy.typing import NDArray

from xref.fits.judgement import AS_IS, DOES_NOT_FIT, Judgement
from xref.kinds.base import Need, Part, Window
from xref.matching import rank
from xref.matching.candidates import BySize, pairs
from xref.matching.judging import judge_of, judge_pairs

Rows = NDArray[np.intp]

NARROW, WITH_WORK, NEAR_MISSES = range(3)
STAGES = (NARROW, WITH_WORK, NEAR_MISSES)
MISSES_SHOWN = 3
"""Near misses shown beside the candidates of one need."""


T = TypeVar("T")


@dataclass(slots=True)
class Ranked(Generic[T]):
    """One ranked pair: which need, which part, and what `tell` said of its judgement."""

    need_row: int
    part_row: int
    fits: bool
    clean: bool
    as_is: bool
    told: T


@dataclass(slots=True)
class Support:
    """Statements that favour a pair: codes by need row and part row (see `rank`)."""

    codes: dict[tuple[int, int], int]

    def of(self, need_rows: Rows, part_rows: Rows) -> NDArray[np.int8]:
        """Return the codes of pairs."""
        made = np.full(len(need_rows), rank.UNSUPPORTED, dtype=np.int8)
        if self.codes:
            for i, pair in enumerate(zip(need_rows.tolist(), part_rows.tolist(), strict=True)):
                made[i] = self.codes.get(pair, rank.UNSUPPORTED)
        return made


def search(
    kind: str,
    need: Need,
    part: Part,
    *,
    names: Rows,
    top: int,
    misses: int = MISSES_SHOWN,
    tell: Callable[[Judgement, int], T],
    always_misses: bool = True,
    rows: Rows | None = None,
    support: Support | None = None,
    supply: Rows | None = None,
    by_size: BySize | None = None,
) -> list[Ranked[T]]:
    """Return, for every need, its best `top` parts and then its nearest misses, in order.

    `names`: position of each part's maker and number in alphabetical order.
    `tell` turns the judgement of a kept pair into what the caller wants of it.
    `rows`: the needs to serve (all by default). `always_misses`: seek near misses for needs
    that have candidates enough too (the widest window makes very many pairs).
    `by_size`: the parts, if they were sorted before.
    """
    left = np.arange(len(need)) if rows is None else rows
    if not len(left) or not len(part):
        return []
    supply = np.zeros(len(part), dtype=np.intp) if supply is None else supply
    support = support or Support({})
    judge = judge_of(kind)
    parts = BySize(part) if by_size is None else by_size
    best: list[Ranked[T]] = []
    keys = np.zeros((0, 0))
    done: list[Window] | None = None
    for stage in STAGES:
        windows = judge.windows(need, stage)
        fresh: list[Ranked[T]] = []
        found = []
        for need_rows, part_rows in pairs(windows, parts, left, done):
            if len(need_rows):
                judged, _, _, use = judge_pairs(kind, need, part, need_rows, part_rows)
                chosen = _take(judged, use)
                ranking = rank.columns(
                    chosen, support.of(need_rows, part_rows), supply[part_rows], names[part_rows]
                )
                kept = _keep(ranking, need_rows, top, misses)
                found.append(ranking[:, kept])
                for i in kept.tolist():
                    fits = bool(chosen.verdict[i] != DOES_NOT_FIT)
                    fresh.append(
                        Ranked(
                            int(need_rows[i]),
                            int(part_rows[i]),
                            fits,
                            fits and not chosen.has_doubt[i],
                            bool(chosen.verdict[i] == AS_IS),
                            tell(judged, int(use[i])),
                        )
                    )
        # A wider stage holds the narrower one's pairs: what was judged is kept, not judged again.
        done = windows
        if fresh:
            best += fresh
            keys = np.concatenate([keys, *found], axis=1) if keys.size else np.hstack(found)
            kept = _keep(keys, np.array([one.need_row for one in best]), top, misses)
            best, keys = [best[i] for i in kept.tolist()], keys[:, kept]
        of_need: dict[int, list[Ranked[T]]] = {}
        for one in best:
            of_need.setdefault(one.need_row, []).append(one)
        left = np.array(
            [
                row
                for row in left.tolist()
                if _is_short(of_need.get(row, []), top, stage)
                or (always_misses and _lacks_misses(of_need.get(row, []), misses))
            ],
            dtype=np.intp,
        )
        if not len(left):
            break
    return best


def _is_short(ranked: list[Ranked[T]], top: int, stage: int) -> bool:
    """Whether a wider stage could still bring a better part.

    The narrow stage holds all that fit as they are; of repairs it holds only some.
    """
    settled = sum(one.clean and (one.as_is or stage > NARROW) for one in ranked)
    return settled < top


def _lacks_misses(ranked: list[Ranked[T]], misses: int) -> bool:
    return sum(not one.fits for one in ranked) < misses


def _keep(ranking: NDArray[np.float64], need_rows: Rows, top: int, misses: int) -> Rows:
    """Return the rows of each need's best parts and nearest misses, in order."""
    order = rank.order(ranking, need_rows)
    fits = ranking[0, order] == 0.0
    place = _place_within(need_rows[order], fits)
    return order[np.where(fits, place < top, place < misses)]


def _place_within(group: Rows, fits: NDArray[np.bool_]) -> Rows:
    """Position of each ordered row among its need's fitting (or missing) parts."""
    block = np.flatnonzero(np.r_[True, (group[1:] != group[:-1]) | (fits[1:] != fits[:-1])])
    return np.arange(len(group)) - np.repeat(block, np.diff(np.r_[block, len(group)]))


def _take(judged: Judgement, rows: Rows) -> Judgement:
    """Return the columns the ranking needs, at `rows`."""
    return Judgement(
        checks=[],
        work=[],
        warnings=[],
        verdict=judged.verdict[rows],
        certainty=judged.certainty[rows],
        conformance=judged.conformance[rows],
        operations=judged.operations[rows],
        work_amount_mm=judged.work_amount_mm[rows],
        width_difference_mm=judged.width_difference_mm[rows],
        has_doubt=judged.has_doubt[rows],
        has_gap=judged.has_gap[rows],
        misfit_mm=judged.misfit_mm[rows],
    )
