"""The buying plan as a mixed-integer programme: which offers cover the wants at least cost.

    minimise    Σ cost(o)·x(o) + Σ postage(s)·y(s)
    subject to  Σ x(o) over a want's offers = what they can cover of it
                x(o) ≤ limit(o)·y(s)        postage is paid once per supplier used
                x(o) whole, y(s) 0 or 1

Cost is price plus work per piece, everything in whole cents, so that a bound less than one
cent away proves the optimum. Every piece that any offer can cover is covered: that comes
before cost, because a part not bought in time may never be had again.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

_BELOW_ONE_CENT = 0.99


@dataclass(frozen=True)
class Choice:
    """An offer the plan may use; money in whole cents per piece, `limit` None for any quantity."""

    offer: int
    want: int
    supplier: str
    price: int
    work: int = 0
    limit: int | None = None


@dataclass(frozen=True)
class Plan:
    """Pieces per offer, the total in cents, whether it is proven least, and the gap left [-]."""

    pieces: dict[int, int]
    total: int
    proven: bool
    gap: float
    bound: float


def coverable(quantities: Mapping[int, int], choices: Sequence[Choice]) -> dict[int, int]:
    """Return how many pieces of each want the offers can cover at all."""
    reach: dict[int, int] = defaultdict(int)
    for c in choices:
        wanted = quantities[c.want]
        reach[c.want] += wanted if c.limit is None else min(c.limit, wanted)
    return {want: min(quantity, reach[want]) for want, quantity in quantities.items()}


def cost(pieces: Mapping[int, int], choices: Sequence[Choice], postage: Mapping[str, int]) -> int:
    """Return the total of a plan in cents: pieces, their work, postage once per supplier used."""
    used = {c.supplier for c in choices if pieces.get(c.offer)}
    bought = sum(pieces.get(c.offer, 0) * (c.price + c.work) for c in choices)
    return bought + sum(postage.get(s, 0) for s in used)


def solve(
    quantities: Mapping[int, int],
    choices: Sequence[Choice],
    postage: Mapping[str, int],
    *,
    seconds: float = 15.0,
    gap: float = 0.0,
) -> Plan:
    """Return the least-cost plan, proven when the bound is less than a cent (or `gap`) away.

    `seconds` limits the search; when it runs out, the best plan found is returned with the
    gap that is left, never worse than the greedy plan the search starts from.
    """
    choices = [c for c in choices if quantities.get(c.want, 0) > 0 and c.limit != 0]
    if not choices:
        return Plan({}, 0, True, 0.0, 0.0)
    cover = coverable(quantities, choices)
    start = improved(greedy(quantities, choices, postage), quantities, choices, postage)
    found, bound, finished = _search(cover, choices, postage, start, seconds, gap)
    best = min((start, found), key=lambda p: cost(p, choices, postage)) if found else start
    total = cost(best, choices, postage)
    bound = min(max(bound, without_postage(cover, choices)), float(total))
    left = (total - bound) / total if total else 0.0
    proven = finished and total - bound <= max(1.0, gap * total)
    return Plan(
        {o: n for o, n in best.items() if n},
        total,
        proven,
        0.0 if proven and gap == 0.0 else round(left, 6),
        bound,
    )


def without_postage(cover: Mapping[int, int], choices: Sequence[Choice]) -> float:
    """Return what the pieces alone cost at least: no plan costs less."""
    left = dict(cover)
    total = 0
    for c in sorted(choices, key=lambda c: c.price + c.work):
        take = left[c.want] if c.limit is None else min(c.limit, left[c.want])
        left[c.want] -= take
        total += take * (c.price + c.work)
    return float(total)


def greedy(
    quantities: Mapping[int, int], choices: Sequence[Choice], postage: Mapping[str, int]
) -> dict[int, int]:
    """Return a plan that takes the cheapest piece for each want, postage already paid counting."""
    cover = coverable(quantities, choices)
    per_want: dict[int, list[Choice]] = defaultdict(list)
    for c in choices:
        per_want[c.want].append(c)
    used: set[str] = set()
    pieces: dict[int, int] = {}
    for want in sorted(per_want, key=lambda w: (len(per_want[w]), w)):
        _fill(cover[want], per_want[want], postage, used, pieces)
    return pieces


def _fill(
    need: int,
    offers: Sequence[Choice],
    postage: Mapping[str, int],
    used: set[str],
    pieces: dict[int, int],
) -> None:
    """Cover `need` pieces from `offers`, adding to `pieces` and the suppliers `used`."""
    left = list(offers)
    while need > 0 and left:

        def per_piece(c: Choice, wanted: int = need) -> tuple[float, int]:
            take = wanted if c.limit is None else min(c.limit, wanted)
            once = 0 if c.supplier in used else postage.get(c.supplier, 0)
            return c.price + c.work + once / take, c.offer

        best = min(left, key=per_piece)
        take = need if best.limit is None else min(best.limit, need)
        pieces[best.offer] = take
        used.add(best.supplier)
        need -= take
        left.remove(best)


def improved(
    pieces: dict[int, int],
    quantities: Mapping[int, int],
    choices: Sequence[Choice],
    postage: Mapping[str, int],
) -> dict[int, int]:
    """Return the plan after closing and opening one supplier at a time while that saves money."""
    by_want: dict[int, list[Choice]] = defaultdict(list)
    for c in choices:
        by_want[c.want].append(c)
    for offers in by_want.values():
        offers.sort(key=lambda c: (c.price + c.work, c.offer))
    cover = coverable(quantities, choices)
    wants_of: dict[str, set[int]] = defaultdict(set)
    for c in choices:
        wants_of[c.supplier].add(c.want)

    def assign(want: int, open_: set[str]) -> tuple[int, dict[int, int]] | None:
        need, total, taken = cover[want], 0, {}
        for c in by_want[want]:
            if need == 0:
                break
            if c.supplier in open_:
                take = need if c.limit is None else min(c.limit, need)
                taken[c.offer] = take
                total += take * (c.price + c.work)
                need -= take
        return None if need else (total, taken)

    open_ = {c.supplier for c in choices if pieces.get(c.offer)}
    state: dict[int, tuple[int, dict[int, int]]] = {}
    for want in by_want:
        assigned = assign(want, open_)
        if assigned is None:  # the offers of one want can share an id only by mistake
            return pieces
        state[want] = assigned
    for _ in range(20):
        changed = False
        for supplier in sorted(wants_of):
            flipped = open_ ^ {supplier}
            sign = 1 if supplier in flipped else -1
            saving = -sign * postage.get(supplier, 0)
            moved: dict[int, tuple[int, dict[int, int]]] = {}
            for want in wants_of[supplier]:
                assigned = assign(want, flipped)
                if assigned is None:
                    break
                moved[want] = assigned
                saving += state[want][0] - assigned[0]
            else:
                if saving > 0:
                    open_, changed = flipped, True
                    state.update(moved)
        if not changed:
            break
    better: dict[int, int] = {}
    for _total, taken in state.values():
        better.update(taken)
    return min((pieces, better), key=lambda p: cost(p, choices, postage))


def _search(
    cover: Mapping[int, int],
    choices: Sequence[Choice],
    postage: Mapping[str, int],
    start: Mapping[int, int],
    seconds: float,
    gap: float,
) -> tuple[dict[int, int] | None, float, bool]:
    """Run HiGHS; return pieces per offer (None if it found nothing), the bound, and whether done.

    Offers of suppliers without postage need no switch; for the others x ≤ limit·y stands
    once per offer, which keeps the linear relaxation close to the whole numbers.
    """
    import highspy
    import numpy as np

    suppliers = sorted({c.supplier for c in choices if postage.get(c.supplier, 0) > 0})
    switch = {s: len(choices) + i for i, s in enumerate(suppliers)}
    wants = sorted({c.want for c in choices})
    limits = [cover[c.want] if c.limit is None else min(c.limit, cover[c.want]) for c in choices]

    lp = highspy.HighsLp()
    lp.num_col_ = len(choices) + len(suppliers)
    lp.col_cost_ = np.array(
        [c.price + c.work for c in choices] + [postage[s] for s in suppliers], float
    )
    lp.col_lower_ = np.zeros(lp.num_col_)
    lp.col_upper_ = np.array([*limits, *([1] * len(suppliers))], float)
    lp.integrality_ = [highspy.HighsVarType.kInteger] * lp.num_col_

    starts, index, value = [0], [], []
    row_of = {w: [] for w in wants}  # type: dict[int, list[int]]
    for i, c in enumerate(choices):
        row_of[c.want].append(i)
    lower, upper = [], []
    for w in wants:
        index += row_of[w]
        value += [1.0] * len(row_of[w])
        starts.append(len(index))
        lower.append(float(cover[w]))
        upper.append(float(cover[w]))
    for i, c in enumerate(choices):
        if c.supplier in switch:
            index += [i, switch[c.supplier]]
            value += [1.0, -float(limits[i])]
            starts.append(len(index))
            lower.append(-highspy.kHighsInf)
            upper.append(0.0)
    lp.num_row_ = len(lower)
    lp.row_lower_, lp.row_upper_ = np.array(lower), np.array(upper)
    lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    lp.a_matrix_.start_ = np.array(starts)
    lp.a_matrix_.index_ = np.array(index)
    lp.a_matrix_.value_ = np.array(value)

    class Quiet(highspy.Highs):
        """HiGHS without its banner, which starting its callbacks would print on stdout."""

        def enableCallbacks(self) -> None:  # noqa: N802 - their name
            self.silent()

    h: highspy.Highs = Quiet()  # type: ignore[no-untyped-call]
    h.setOptionValue("time_limit", float(seconds))
    h.setOptionValue("mip_rel_gap", gap)
    h.setOptionValue("mip_abs_gap", _BELOW_ONE_CENT)
    h.setOptionValue("random_seed", 0)
    h.passModel(lp)
    first = highspy.HighsSolution()
    used = {c.supplier for c in choices if start.get(c.offer)}
    first.col_value = [float(start.get(c.offer, 0)) for c in choices] + [
        float(s in used) for s in suppliers
    ]
    h.setSolution(first)
    h.run()
    info = h.getInfo()
    finished = h.getModelStatus() == highspy.HighsModelStatus.kOptimal
    if info.primal_solution_status != highspy.SolutionStatus.kSolutionStatusFeasible:
        return None, 0.0, False
    values = h.getSolution().col_value
    pieces = {c.offer: round(values[i]) for i, c in enumerate(choices)}
    return pieces, float(info.mip_dual_bound), finished
