"""From checks to a verdict: the one place where FITS as a whole is decided.

A kind's judge makes `Check`s and `Work`s for a column of (need, part) pairs and
hands them to `conclude`. A check that fails may be cured by work: the kind then
calls `Check.after_work`, so that the checks shown are those of the finished
repair, and the work says what was wrong before.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from xref.fits import conformance as jcgm106
from xref.fits.conformance import DOUBTFUL, FAIL, LIKELY, NOT_CHECKED, PASS
from xref.fits.quantity import EPSILON_MM, NOMINAL, Bools, Codes, Floats, Quantity
from xref.fits.rules import Rule

AS_IS, WITH_SPACER, ALTER_PART, ALTER_MACHINE, DOES_NOT_FIT = range(5)
VERDICT_WORDS = ("as is", "with spacer", "alter the part", "alter the machine", "does not fit")
SURE, LIKELY_FIT, ASSUMED, MEASURE_FIRST = range(4)
CERTAINTY_WORDS = ("sure", "likely", "assumed", "measure first")


@dataclass(slots=True)
class Check:
    """One demand on one quantity, for every pair.

    `quantity` names what was measured: checks that share it count once in the
    conformance (their permitted intervals are intersected). `rules` and
    `rule_of` say which rule applied to which pair. `missing` names what to
    measure when a pair is not checked.
    """

    name: str
    quantity: str
    low: Floats
    high: Floats
    actual: Quantity
    rules: tuple[Rule, ...]
    result: Codes
    conformance: Floats
    missing: str
    unit: str = "mm"
    required: Bools | bool = True
    rule_of: Codes | None = None
    before: Check | None = None
    """The check before any work; shown where the part does not fit."""
    worked: Bools | bool = False
    """Where work changed the check."""
    applies: Bools | None = None
    """Where the check was asked for at all; elsewhere it is not shown. None means everywhere."""
    looked_up: Floats | None = None
    """Size [mm] by which the rule's table was read; above its reach nothing is known."""
    no_row: Callable[[int], str] | None = None
    """Says which row a table does not have for pair `row`; empty where it is not the table's lack.
    """

    @property
    def margin(self) -> Floats:
        """Distance of the best estimate from the nearest limit, negative outside."""
        return jcgm106.margin(self.actual, self.low, self.high)

    def not_covered(self, row: int) -> str:
        """Return which table does not cover pair `row` and where it ends; empty if that is not why.

        Nothing is extrapolated.
        """
        rule = self.rule(row)
        size, reach = self.looked_up, rule.reach_mm
        where = "" if self.no_row is None else self.no_row(row)
        if size is not None and reach is not None and size[row] > reach + EPSILON_MM:
            where = f" above {reach:g} mm"
        return f"not covered by {rule.table or rule.source}{where}" if where else ""

    def rule(self, row: int) -> Rule:
        """Return the rule that applied to pair `row`."""
        return self.rules[0 if self.rule_of is None else int(self.rule_of[row])]

    def set_result(self, mask: Bools, code: int) -> None:
        """Overrule the result where `mask` (a rule that is not an interval)."""
        self.result = np.where(mask, code, self.result).astype(np.int8)
        if code == NOT_CHECKED:  # nothing is known, so nothing counts for or against it
            self.conformance = np.where(mask, np.nan, self.conformance)

    def after_work(self, mask: Bools, low: ArrayLike, high: ArrayLike) -> None:
        """State the limits [mm] the work is made to, where `mask`: the check then passes."""
        rows = np.flatnonzero(mask)
        if not len(rows):
            return
        self._remember(mask)
        made = Quantity.limits(_at(low, rows), _at(high, rows))
        # Work on a place nobody measured is as assumed as the place.
        made.how[self.actual.take(rows).assumed] = NOMINAL
        self.actual = self.actual.copy()
        self.actual.put(rows, made)
        self.result, self.conformance = self.result.copy(), self.conformance.copy()
        self.result[rows] = PASS
        self.conformance[rows] = 1.0

    def after_fitting_to(self, mask: Bools, low: ArrayLike, high: ArrayLike) -> None:
        """State what the part permits once it is cut to suit the place, where `mask` [mm].

        The place stays as well known as it was measured, so the check is made anew.
        """
        if not mask.any():
            return
        self._remember(mask)
        self.low = np.where(mask, low, self.low)
        self.high = np.where(mask, high, self.high)
        result = jcgm106.classify(self.actual, self.low, self.high)
        chance = jcgm106.probability(self.actual, self.low, self.high)
        self.result = np.where(mask, result, self.result).astype(np.int8)
        self.conformance = np.where(mask, chance, self.conformance)

    def undo_work(self, mask: Bools) -> None:
        """Show the check as it was before any work, where `mask`."""
        old = self.before
        if old is None:
            return
        rows = np.flatnonzero(mask & self.worked)
        if not len(rows):
            return
        self.low, self.high = self.low.copy(), self.high.copy()
        self.actual, self.result = self.actual.copy(), self.result.copy()
        self.conformance = self.conformance.copy()
        self.low[rows], self.high[rows] = old.low[rows], old.high[rows]
        self.actual.put(rows, old.actual.take(rows))
        self.result[rows], self.conformance[rows] = old.result[rows], old.conformance[rows]

    def _remember(self, mask: Bools) -> None:
        if self.before is None:
            self.before = replace(self)
        self.worked = self.worked | mask


def check(
    name: str,
    actual: Quantity,
    low: ArrayLike,
    high: ArrayLike,
    rules: Rule | tuple[Rule, ...],
    *,
    missing: str,
    quantity: str | None = None,
    required: Bools | bool = True,
    rule_of: Codes | None = None,
    unit: str = "mm",
    applies: Bools | None = None,
    looked_up: Floats | None = None,
    no_row: Callable[[int], str] | None = None,
) -> Check:
    """Check `actual` against permitted `low`..`high` and keep how it came out.

    Where it does not apply the check passes and is not shown. A NaN limit is not checked: the
    size `looked_up` in a table, or `no_row`, then says what does not cover it.
    """
    shape = actual.low.shape
    low_ = np.broadcast_to(np.asarray(low, dtype=np.float64), shape)
    high_ = np.broadcast_to(np.asarray(high, dtype=np.float64), shape)
    result = jcgm106.classify(actual, low_, high_)
    chance = jcgm106.probability(actual, low_, high_, result)
    if applies is not None:
        result[~applies] = PASS
        chance[~applies] = 1.0
    return Check(
        name=name,
        quantity=quantity or name,
        low=low_,
        high=high_,
        actual=actual,
        rules=rules if isinstance(rules, tuple) else (rules,),
        result=result,
        conformance=chance,
        missing=missing,
        unit=unit,
        required=required,
        rule_of=rule_of,
        applies=applies,
        looked_up=looked_up,
        no_row=no_row,
    )


@dataclass(frozen=True, slots=True)
class Beside:
    """A further part that an operation takes: a sleeve, a ring.

    `place`: where it goes, one row each, by the places of its kind; `own`: low and high that its
    own dimensions, or its wall, must lie within [mm], and by which rule; `open`: checks that may
    stay open, since such parts rarely state what they need.
    """

    kind: str
    place: Mapping[str, Quantity]
    own: Mapping[str, tuple[float, float, Rule]]
    open: tuple[str, ...] = ()


@dataclass(slots=True)
class Work:
    """An operation that some pairs need; `text(row)` is the instruction with its limits."""

    name: str
    level: int
    applies: Bools
    amount_mm: Floats
    text: Callable[[int], str]
    beside: Callable[[int], Beside] | None = None
    """The part it takes, where one can be bought ready for it."""


@dataclass(slots=True)
class Remark:
    """Something to tell the user where `applies`."""

    applies: Bools
    text: Callable[[int], str]


@dataclass(slots=True)
class Judgement:
    """The verdict on every pair, with all that led to it."""

    checks: list[Check]
    work: list[Work]
    warnings: list[Remark]
    verdict: Codes
    certainty: Codes
    conformance: Floats
    operations: Codes
    work_amount_mm: Floats
    width_difference_mm: Floats
    has_doubt: Bools
    has_gap: Bools
    misfit_mm: Floats
    """How far the failing checks miss together [mm]; orders the near misses."""

    def __len__(self) -> int:
        return len(self.verdict)


def _at(limit: ArrayLike, rows: NDArray[np.intp]) -> Floats:
    value = np.asarray(limit, dtype=np.float64)
    return value[rows] if value.ndim else np.full(len(rows), value)


def conclude(
    checks: list[Check],
    work: Sequence[Work] = (),
    warnings: Sequence[Remark] = (),
    *,
    width_difference_mm: Floats | None = None,
) -> Judgement:
    """Conclude verdict, certainty and conformance from checks and work (FITS 2)."""
    length = len(checks[0].result)
    fails = np.logical_or.reduce([one.result == FAIL for one in checks])
    if fails.any():  # work that does not make it fit is not worth doing: show what is, and no work
        for one in checks:
            one.undo_work(fails)
        for item in work:
            item.applies = item.applies & ~fails
    had = np.zeros(length, dtype=np.uint8)  # one bit for each result that occurs
    required_gap = np.zeros(length, dtype=np.bool_)
    assumed = np.zeros(length, dtype=np.bool_)
    misfit = np.zeros(length)
    for one in checks:
        had |= np.left_shift(1, one.result.view(np.uint8))
        unchecked = one.result == NOT_CHECKED
        required_gap |= unchecked & one.required
        by_name = one.actual.assumed & ~unchecked
        assumed |= by_name if one.applies is None else by_name & one.applies
        rows = np.flatnonzero(one.result == FAIL)
        if len(rows):
            miss = -jcgm106.margin(one.actual.take(rows), _at(one.low, rows), _at(one.high, rows))
            misfit[rows] += np.where(np.isfinite(miss), np.maximum(miss, 0.0), 0.0)
    doubt, likely, gap = ((had & (1 << code)) != 0 for code in (DOUBTFUL, LIKELY, NOT_CHECKED))
    verdict = np.zeros(length, dtype=np.int8)
    operations = np.zeros(length, dtype=np.int8)
    amount = np.zeros(length)
    for item in work:
        rows = np.flatnonzero(item.applies)
        if len(rows):
            verdict[rows] = np.maximum(verdict[rows], item.level)
            operations[rows] += 1
            amount[rows] += np.abs(item.amount_mm[rows])
    verdict[fails] = DOES_NOT_FIT
    certainty = np.full(length, SURE, dtype=np.int8)
    certainty[likely] = LIKELY_FIT
    certainty[assumed] = ASSUMED
    certainty[doubt | required_gap | fails] = MEASURE_FIRST
    return Judgement(
        checks=checks,
        work=list(work),
        warnings=list(warnings),
        verdict=verdict,
        certainty=certainty,
        conformance=_joint_conformance(checks, length),
        operations=operations,
        work_amount_mm=amount,
        width_difference_mm=np.zeros(length)
        if width_difference_mm is None
        else np.nan_to_num(np.abs(width_difference_mm)),
        has_doubt=doubt,
        has_gap=gap,
        misfit_mm=misfit,
    )


def _demanded(one: Check) -> tuple[Floats, Floats]:
    """Return what a check permits; nothing where it was not made or not asked for."""
    silent = one.result == NOT_CHECKED
    if one.applies is not None:
        silent |= ~one.applies
    return np.where(silent, np.nan, one.low), np.where(silent, np.nan, one.high)


def _joint_conformance(checks: list[Check], length: int) -> Floats:
    """Product over measured quantities; checks on one quantity form one joint interval."""
    total = np.ones(length)
    by_quantity: dict[str, list[Check]] = {}
    for one in checks:
        by_quantity.setdefault(one.quantity, []).append(one)
    for group in by_quantity.values():
        if len(group) == 1:
            chance = group[0].conformance
        else:
            low, high = jcgm106.joint_interval([_demanded(one) for one in group])
            chance = jcgm106.probability(group[0].actual, low, high)
        np.multiply(total, chance, out=total, where=~np.isnan(chance))
    return total
