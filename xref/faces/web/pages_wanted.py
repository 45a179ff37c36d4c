"""The wanted list, the story of a want, and what is noted on the way: offers, orders, letters."""

from __future__ import annotations

from typing import Any

from starlette.responses import Response

from xref.errors import Impossible, NeedsAnswer
from xref.faces.web.pages_evidence import form
from xref.faces.web.visit import Visit, digits, link
from xref.faces.web.words import day as written_day
from xref.kinds.spec import kinds, spec
from xref.sourcing import enquiries, offers, orders, proofs, story, suppliers, wants

Row = dict[str, Any]
MOST_WANTS = 150  # a longer list is shown in full when asked for
TITLES = {
    "order": "Order now",
    "decide": "Decide on an offer",
    "test": "Test what came",
    "chase": "Ask again",
    "ask": "Ask a supplier",
    "answer": "Waiting for an answer",
    "parts": "Waiting for the parts",
    "fit": "Fit it and prove it",
    "search": "Nobody known to ask",
}


def wanted(visit: Visit) -> Response:
    """The wanted list as one list, under what is to be done next."""
    from xref.acts.next_step import next_steps

    store = visit.bench.store()
    with store.reading():  # opened once for all that looks into the state
        found = next_steps(store, visit.bench.day)
    count = sum(len(step["wants"]) for step in found["steps"])
    steps = found["steps"] if visit.said("everything") else _first(found["steps"], MOST_WANTS)
    return visit.page(
        "wanted.html",
        steps=steps,
        ended=found["ended"][:MOST_WANTS],
        left_out=count - sum(len(step["wants"]) for step in steps),
        titles=TITLES,
        kinds=_kinds(),
        open_wants=count,
    )


def _first(steps: list[Row], most: int) -> list[Row]:
    """Return the first wants of a long list, under their steps."""
    kept = []
    for step in steps:
        shown = step["wants"][:most]
        most -= len(shown)
        if shown:
            kept.append({**step, "wants": shown})
    return kept


def add(visit: Visit) -> Response:
    """Put a want on the list."""
    noted = wants.add(
        visit.bench.store(),
        visit.said("what"),
        quantity=visit.whole("quantity", 1),
        kind=visit.said("kind") or None,
        by=visit.said("by") or None,
        priority=visit.whole("priority", 2),
        variants=[visit.said("variant")] if visit.said("variant") else (),
        place=visit.said("place") or None,
        remark=visit.said("remark") or None,
        on=visit.bench.day,
    )
    words = f"Want {noted['want']} is on the list. " + " ".join(noted["notes"])
    return visit.go(f"/wanted/{noted['want']}", words.strip())


def show(visit: Visit) -> Response:
    """The story of a want, and what can be noted for it."""
    from xref.acts.shop_sketch import MADE

    store, day = visit.bench.store(), visit.bench.day
    with store.reading():
        want = story.show(store, visit.key("want"), day)
        standing = [
            o for o in offers.listing(store, day, want=want["want"])["offers"] if o["stands"]
        ]
        asked = [
            {**e, "line": line}
            for e in enquiries.listing(store)["enquiries"]
            for line in e["wants"]
            if line["want"] == want["want"]
        ]
        placed = [
            o
            for o in orders.listing(store)["orders"]
            if o["want"] == want["want"] and not o["cancelled_on"]
        ]
        known = _suppliers(visit)
        seen = form(store, want["number"], want["kind"])
    return visit.page(
        "want.html",
        want=want,
        seen=seen,
        offers=standing,
        asked=asked,
        orders=placed,
        suppliers=known,
        ends=wants.ENDS,
        made=MADE,
    )


def close(visit: Visit) -> Response:
    """End a want as made, modified, reused or dropped."""
    want = visit.key("want")
    wants.close(visit.bench.store(), want, visit.said("as"), visit.said("reason"), visit.bench.day)
    return visit.go(f"/wanted/{want}", f"Want {want} ended as {visit.said('as')}.")


def note_offer(visit: Visit) -> Response:
    """Note what a supplier said by telephone."""
    want = visit.key("want")
    noted = offers.add(
        visit.bench.store(),
        visit.said("supplier"),
        want,
        on=visit.bench.day,
        price=visit.said("price") or None,
        currency=visit.said("currency") or None,
        quantity=visit.whole("quantity") if visit.said("quantity") else None,
        number=visit.said("number") or None,
        maker=visit.said("maker") or None,
        condition=visit.said("condition") or None,
        until=visit.said("until") or None,
    )
    words = f"Offer {noted['offer']} of {noted['supplier']} is noted. " + " ".join(noted["notes"])
    return visit.go(f"/wanted/{want}", words.strip())


def place_order(visit: Visit) -> Response:
    """Note that an offer was ordered."""
    noted = orders.add(
        visit.bench.store(), visit.whole("offer"), visit.whole("quantity", 1), visit.bench.day
    )
    words = f"Order {noted['order']} to {noted['supplier']} is noted; nothing was sent. "
    return visit.go(f"/wanted/{noted['want']}", (words + " ".join(noted["notes"])).strip())


def fall_away(visit: Visit) -> Response:
    """Note that an offer stands no more, or that the rest of an order will not come."""
    want, what = visit.key("want"), visit.said("what")
    noun, _, number = what.partition("-")
    key = digits(number)
    if noun not in ("offer", "order") or key is None:
        raise Impossible(f"{what[:40]!r} is neither an offer nor an order.", at="what")
    reason, store, day = visit.said("reason"), visit.bench.store(), visit.bench.day
    if noun == "offer":
        done = offers.withdraw(store, key, reason, day)
        words = f"Offer {key} stands no more. "
    else:
        done = orders.cancel(store, key, reason, day)
        words = f"Order {key}: {done['cancelled']} will not come. "
    return visit.go(f"/wanted/{want}", (words + " ".join(done["notes"])).strip())


def write_letter(visit: Visit) -> Response:
    """Write the letters that are due, or one to a supplier."""
    from xref.acts.want_candidates import candidates

    only = [visit.whole("want")] if visit.said("want") else []
    done = enquiries.write(
        visit.bench.store(),
        visit.bench.day,
        supplier=visit.said("supplier") or None,
        only=only,
        find=candidates,
    )
    written = done["enquiries"]
    if not written:
        return visit.go("/today", " ".join(done["notes"]) or "There is no letter to write.")
    words = f"{len(written)} written, nothing sent. Print or copy, send, then note it as sent."
    return visit.go(f"/letters/{written[0]['enquiry']}", words)


def letter(visit: Visit) -> Response:
    """One letter, to be copied or printed, and what was answered."""
    store = visit.bench.store()
    with store.reading():
        found = enquiries.show(store, visit.key("enquiry"))
        named = {
            w["want"]: w for w in wants.listing(store, visit.bench.day, everything=True)["wants"]
        }
    for line in found["wants"]:
        want = named[line["want"]]
        line["part"] = want["number"] or " × ".join(want["sizes"].values())
    return visit.page("letter.html", letter=found)


def sent(visit: Visit) -> Response:
    """Note a letter as sent."""
    enquiry = visit.key("enquiry")
    done = enquiries.sent(visit.bench.store(), enquiry, visit.bench.day)
    words = f"Noted as sent. An answer is expected by {written_day(done['chase_on'])}."
    return visit.go(f"/letters/{enquiry}", words)


def answered(visit: Visit) -> Response:
    """Note an answer to a letter."""
    enquiry, want = visit.key("enquiry"), visit.whole("want")
    has = visit.said("has")
    names = ("price", "currency", "number", "maker", "condition", "until")
    said: Row = {name: visit.said(name) or None for name in names}
    said["quantity"] = visit.whole("quantity") if visit.said("quantity") else None
    done = enquiries.answer(visit.bench.store(), enquiry, want, has, visit.bench.day, **said)
    offered = f" It is offer {done['offer']}." if done["offer"] else ""
    return visit.go(link(f"/letters/{enquiry}"), f"The answer is noted.{offered}")


def prove(visit: Visit) -> Response:
    """Note a test of what came, that it has proved right, or that it did not fit and why."""
    want = visit.key("want")
    failed = visit.said("failed")
    if visit.said("fits") == "no" and not failed:
        raise NeedsAnswer("Why did it not fit? It is asked for, so that nobody tries it again.")
    if visit.said("fits") == "yes" and failed:
        raise Impossible("Either it has proved right, or it did not fit: leave one out.")
    tests = [visit.said("test")] if visit.said("test") else []
    done = proofs.add(
        visit.bench.store(),
        want,
        tests=tests,
        result=visit.said("result") or "passed",
        number=visit.said("number") or None,
        maker=visit.said("maker") or None,
        did_not_fit=failed or None,
        remark=visit.said("remark") or None,
        on=visit.bench.day,
    )
    if failed:
        return visit.go(f"/wanted/{want}", f"Noted: it did not fit ({failed}). Wanted again.")
    words = f"Noted: {tests[0]}." if tests else f"Want {want} has proved right."
    left = done.get("open_tests") or []
    return visit.go(
        f"/wanted/{want}", words + (f" Still to do: {', '.join(left)}." if left else "")
    )


def today(visit: Visit) -> Response:
    """What is due, most urgent first, and who closes when."""
    from xref.acts.want_candidates import candidates
    from xref.sourcing.due import due

    store, day = visit.bench.store(), visit.bench.day
    with store.reading():
        document = due(store, day, find=candidates)
        named = {w["want"]: w for w in wants.listing(store, day)["wants"]}
        known = _suppliers(visit)
        letters = _unsent(enquiries.listing(store)["enquiries"])
    groups: dict[tuple[str, str], Row] = {}
    for action in document["actions"]:
        group = groups.setdefault(
            (action["do"], action["supplier"]), {**action, "wants": [], "records": []}
        )
        group["wants"].append(named.get(action["want"], {"want": action["want"]}))
        group["records"].append(action["record"])
    for group in groups.values():
        written = letters.get(group["supplier"], {})
        group["letter"] = next(
            (n for n, on in written.items() if {w["want"] for w in group["wants"]} <= on), None
        )
    return visit.page(
        "today.html",
        groups=list(groups.values()),
        suppliers=[s for s in known if s["closes_on"] and not s["stopped"]],
        titles=TITLES,
    )


def _unsent(letters: list[Row]) -> dict[str, dict[int, set[int]]]:
    """Return the letters not sent yet, by supplier, each with the wants it asks for."""
    found: dict[str, dict[int, set[int]]] = {}
    for one in letters:
        if not one["sent_on"]:
            asked = found.setdefault(one["supplier"], {})
            asked[one["enquiry"]] = {line["want"] for line in one["wants"]}
    return found


def add_supplier(visit: Visit) -> Response:
    """Note a supplier and when it closes."""
    done = suppliers.add(
        visit.bench.store(),
        visit.said("name"),
        closes=visit.said("closes") or None,
        last_order=visit.said("last_order") or None,
        reply_days=visit.whole("reply_days") if visit.said("reply_days") else None,
        postage=visit.said("postage") or None,
        currency=visit.said("currency") or None,
        on=visit.bench.day,
    )
    return visit.go("/today", f"{done['supplier']} is noted. " + " ".join(done.get("notes", [])))


def _suppliers(visit: Visit) -> list[Row]:
    found = suppliers.listing(visit.bench.store(), visit.bench.day)["suppliers"]
    return list(found)


def _kinds() -> list[tuple[str, str]]:
    return [(k, spec(k).title) for k in kinds()]
