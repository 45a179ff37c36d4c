"""Enquiries: wants grouped by supplier into a letter, when it was sent, what was answered."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

from xref.errors import Impossible, NothingFound
from xref.kinds.spec import spec

from . import due, due_rules, forms, found_fits, letters, lookup, offers, supply, wants

if TYPE_CHECKING:
    from xref.store import Store
    from xref.store.state import State

    from .supply import Listing

Row = dict[str, Any]
ANSWERS = ("yes", "no", "looking")


def write(
    store: Store,
    on: date,
    *,
    supplier: str | None = None,
    only: Sequence[int] = (),
    find: found_fits.FindCandidates | None = None,
) -> dict[str, Any]:
    """Write the letters that are due, one per supplier; nothing is sent.

    Without `supplier` and `only` (wants) the letters follow from what `due` says to ask.
    With both, exactly those wants are asked of that supplier. A want already in a letter to
    the supplier is not written again until it is answered and no offer of theirs stands.
    Raises as `lookup`; no letters at all is an empty list.
    """
    with store.reading() as state:
        wanted = [w for w in wants.rows(state, on) if w["needed"]]
    lines = supply.listings(store, wanted, found_fits.remembered(store, wanted, find))
    with store.writing("write enquiries") as state:
        seen = due.picture(state, on)  # within the turn: nobody else writes the same letter
        todo = due.actions(seen, lines)
        chosen = lookup.supplier(state, supplier) if supplier is not None else None
        for want in only:
            lookup.open_want(state, want)
        if chosen is not None:
            lookup.still_trading(chosen, on, "an enquiry")
        groups = _groups(todo, chosen, only)
        existing = {(r["supplier"], r["want"]): r for r in seen.asked}
        written, notes = [], []
        for key, ids in groups.items():
            fresh = [
                w
                for w in ids
                if (key, w) not in existing
                or (existing[key, w]["answer"] in ("yes", "no") and (key, w) not in seen.offered)
            ]
            notes += [
                f"want {w} is already in enquiry {existing[key, w]['enquiry']} to "
                f"{seen.suppliers[key]['name']}"
                for w in ids
                if w not in fresh
            ]
            if fresh:
                rows = [seen.wants[w] for w in fresh]
                written.append(_record(store, state, seen.suppliers[key], rows, lines, on))
    return {"enquiries": written, "notes": notes}


def _groups(
    todo: Sequence[due_rules.Action], chosen: Row | None, only: Sequence[int]
) -> dict[str, list[int]]:
    if chosen is not None and only:
        return {chosen["supplier"]: list(dict.fromkeys(only))}
    groups: dict[str, list[int]] = defaultdict(list)
    for action in todo:
        if action.do != "ask" or (only and action.want not in only):
            continue
        key = lookup.supplier_key(action.supplier)
        if (chosen is None or key == chosen["supplier"]) and action.want not in groups[key]:
            groups[key].append(action.want)
    return {key: sorted(wants) for key, wants in groups.items() if wants}


def _record(
    store: Store,
    state: State,
    supplier: Row,
    rows: Sequence[Row],
    lines: Mapping[int, Sequence[Listing]],
    on: date,
) -> Row:
    enquiry = state.next_id("enquiries")
    key = supplier["supplier"]
    letter = letters.Letter(
        supplier["name"],
        on,
        str(enquiry),
        [_line(store, w, lines.get(w["want"], ()), key) for w in rows],
        _answer_by(supplier, rows, on),
    )
    text = letters.as_text(letter)
    state.record(
        "enquiry written", "enquiries", enquiry, {"supplier": key, "written_on": on, "letter": text}
    )
    for want in rows:
        state.record(
            "want put in an enquiry",
            "enquiry_lines",
            f"{enquiry}-{want['want']}",
            {
                "enquiry": enquiry,
                "want": want["want"],
                "quantity": want["needed"] or want["quantity"],
            },
        )
    return {
        "enquiry": enquiry,
        "supplier": supplier["name"],
        "wants": [w["want"] for w in rows],
        "letter": text,
        "html": letters.as_html(letter),
    }


def _answer_by(supplier: Row, rows: Sequence[Row], on: date) -> date | None:
    """Return the last day on which an answer still leaves time to decide and order."""
    dates = lookup.supplier_dates(supplier)
    limits = [d for d in (dates.deadline, *(w["needed_by"] for w in rows)) if d]
    if not limits:
        return None
    latest = min(limits) - timedelta(days=dates.postage_days + due_rules.DECISION_DAYS)
    return latest if latest > on else None


def _line(store: Store, want: Row, listings: Sequence[Listing], key: str) -> letters.Line:
    kind = spec(want["kind"]) if want["kind"] else None
    titles = {d.name: d.title for d in kind.dimensions} if kind else {}
    name = want["number"] or (kind.title if kind else "part")
    if want["number"] and want["description"]:
        name += f", {want['description']}"
    ranges, substitutes = forms.of_want(want["variants"])
    name += "".join(f", {text}" for text in ranges)
    theirs = [li for li in listings if li.supplier == key and li.current]
    return letters.Line(
        int(want["needed"] or want["quantity"]),
        name,
        kind.title if kind and name != kind.title else None,
        [(titles.get(n, n), low, high, text) for n, low, high, text in part_sizes(store, want)],
        substitutes,
        _named(li for li in theirs if li.how != "candidate"),
        _named(li for li in theirs if li.how == "candidate"),
    )


def _named(listings: Iterable[Listing]) -> list[str]:
    return list(dict.fromkeys(" ".join(x for x in (li.maker, li.number) if x) for li in listings))


def part_sizes(store: Store, want: Row) -> list[tuple[str, float, float, str | None]]:
    """Return a want's sizes [mm]: as the user gave them, else as a list gives its number."""
    if want["part"]:
        sizes = wants.in_order(want["kind"], want["part"])
        return [(n, v["low"], v["high"], v["text"]) for n, v in sizes.items()]
    if not want["number"]:
        return []
    for item in store.items_by_number(want["number"]):
        sizes = wants.in_order(item["kind"], item["dimensions_mm"])
        if (
            sizes
            and forms.applies(want, item)
            and (want["kind"] is None or item.get("kind") == want["kind"])
        ):
            return [(n, float(v), float(v), item["written"].get(n)) for n, v in sizes.items()]
    return []


def sent(store: Store, enquiry: int, on: date) -> dict[str, Any]:
    """Note that a letter was sent; from then the days to reply count."""
    with store.writing("note an enquiry as sent") as state:
        row = lookup.record(state, "enquiries", enquiry)
        if row["sent_on"]:
            raise Impossible(f"enquiry {enquiry} was sent on {row['sent_on']}", at="enquiry")
        if on < row["written_on"]:
            raise Impossible(
                f"enquiry {enquiry} was written on {row['written_on']}, so it cannot have been "
                f"sent on {on.isoformat()}",
                at="on",
                code="impossible-date",
            )
        supplier = lookup.suppliers(state)[row["supplier"]]
        lookup.still_trading(supplier, on, f"enquiry {enquiry}")
        state.record("enquiry sent", "enquiries", enquiry, {"sent_on": on})
    chase = on + timedelta(days=lookup.supplier_dates(supplier).reply_days)
    return {
        "enquiry": enquiry,
        "supplier": supplier["name"],
        "sent_on": on.isoformat(),
        "chase_on": chase.isoformat(),
    }


def answer(
    store: Store, enquiry: int, want: int, has: str, on: date, **said: Any
) -> dict[str, Any]:
    """Note the answer for one want of an enquiry; `yes` makes an offer of what was `said`.

    A later answer for the same want replaces the earlier one, whose offer is withdrawn.
    Raises Impossible for an answer never asked for (want not in the letter, letter not sent).
    """
    if has not in ANSWERS:
        raise Impossible(f"an answer is one of {', '.join(ANSWERS)}, not {has!r}", at="has")
    columns = offers.terms(on=on, **said)
    stated = [name for name, value in said.items() if value is not None and name != "remark"]
    if has != "yes" and stated:
        raise Impossible(
            f"the answer {has!r} leaves nothing to offer, yet {stated[0]} was given", at=stated[0]
        )
    with store.writing("note an answer") as state:
        row = lookup.record(state, "enquiries", enquiry)
        line = state.one(
            "SELECT * FROM enquiry_lines WHERE enquiry = ? AND want = ?", [enquiry, want]
        )
        lookup.open_want(state, want)
        if line is None:
            raise Impossible(
                f"enquiry {enquiry} did not ask for want {want}; note what was said with "
                "`xref offer add`",
                at="want",
                code="never-asked",
            )
        if row["sent_on"] is None:
            raise Impossible(
                f"enquiry {enquiry} is not noted as sent, so nobody was asked yet; first: "
                f"xref enquiry sent {enquiry}",
                at="enquiry",
                code="never-asked",
            )
        if on < row["sent_on"]:
            raise Impossible(
                f"enquiry {enquiry} was sent on {row['sent_on']}, after {on.isoformat()}",
                at="on",
                code="impossible-date",
            )
        supplier = lookup.suppliers(state)[row["supplier"]]
        if line["offer"] is not None:
            state.record(
                "offer replaced by a later answer", "offers", line["offer"], {"withdrawn_on": on}
            )
        offer = None
        if has == "yes":
            lookup.still_trading(supplier, on, f"an offer for want {want}")
            offer = offers.record(
                state, "offer noted", supplier, want, {**columns, "enquiry": enquiry}, on
            )
        state.record(
            "answer noted",
            "enquiry_lines",
            line["line"],
            {"answer": has, "answered_on": on, "offer": offer},
        )
        left = state.rows(
            "SELECT want FROM enquiry_lines WHERE enquiry = ? AND "
            "(answer IS NULL OR answer = 'looking') ORDER BY want",
            [enquiry],
        )
    return {
        "offer": offer,
        "enquiry": enquiry,
        "want": want,
        "has": has,
        "supplier": supplier["name"],
        "unanswered": [r["want"] for r in left],
    }


def listing(store: Store) -> dict[str, Any]:
    """Return all enquiries with their answers."""
    with store.reading() as state:
        names = {k: r["name"] for k, r in lookup.suppliers(state).items()}
        rows = state.rows("SELECT * FROM enquiries ORDER BY enquiry")
        lines = state.rows("SELECT * FROM enquiry_lines ORDER BY enquiry, want")
    by_enquiry: dict[int, list[Row]] = defaultdict(list)
    for r in lines:
        by_enquiry[r["enquiry"]].append(
            {
                "want": r["want"],
                "quantity": r["quantity"],
                "answer": r["answer"],
                "answered_on": lookup.iso(r["answered_on"]),
                "offer": r["offer"],
            }
        )
    return {
        "enquiries": [
            {
                "enquiry": r["enquiry"],
                "supplier": names.get(r["supplier"], r["supplier"]),
                "written_on": lookup.iso(r["written_on"]),
                "sent_on": lookup.iso(r["sent_on"]),
                "wants": by_enquiry[r["enquiry"]],
                "letter": r["letter"],
            }
            for r in rows
        ]
    }


def show(store: Store, enquiry: int) -> dict[str, Any]:
    """Return one enquiry with its letter and answers."""
    for row in listing(store)["enquiries"]:
        if row["enquiry"] == enquiry:
            found: dict[str, Any] = row
            return found
    raise NothingFound(f"there is no enquiry {enquiry}", at="enquiry", code="unknown-enquiry")
