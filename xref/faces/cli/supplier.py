"""`xref supplier`: who sells what, on what terms, until when."""

from __future__ import annotations

from typing import Annotated, Any

import typer

from xref.faces.cli.output import money, note, say, table, tell
from xref.faces.cli.shared import Shared, example, shared_options


def register(app: typer.Typer) -> None:
    """Add the commands to the application."""
    noun = typer.Typer(no_args_is_help=True, help="Suppliers, private owners and parts machines.")
    app.add_typer(noun, name="supplier")
    noun.command(
        "add",
        epilog=example(
            "xref supplier add 'Marlowe Seals' --closes 2028-10 --reply-days 10 \\\n"
            "    --postage 12.50 --currency EUR --carries shaft_seal,o_ring"
        ),
    )(_add)
    noun.command("list", epilog=example("xref supplier list --on 2027-09-06"))(_list)
    noun.command("show", epilog=example("xref supplier show 'Ofterling Sundries'"))(_show)
    noun.command("forget", epilog=example("xref supplier forget 'Ofterling Sundries'"))(_forget)


@shared_options()
def _add(
    shared: Shared,
    name: Annotated[str, typer.Argument(metavar="NAME", help="The supplier's name.")],
    closes: Annotated[
        str | None,
        typer.Option(
            "--closes", metavar="DATE", help="When it closes; a month means its first day."
        ),
    ] = None,
    last_order: Annotated[
        str | None,
        typer.Option(
            "--last-order",
            metavar="DATE",
            help="Last day for orders; a month means its first.",
        ),
    ] = None,
    reply_days: Annotated[
        int | None,
        typer.Option("--reply-days", metavar="N", help="Days it usually takes to answer."),
    ] = None,
    postage_days: Annotated[
        int | None, typer.Option("--postage-days", metavar="N", help="Days in the post, one way.")
    ] = None,
    postage: Annotated[
        str | None, typer.Option("--postage", metavar="AMOUNT", help="Postage for one parcel.")
    ] = None,
    currency: Annotated[
        str | None,
        typer.Option("--currency", metavar="CODE", help="Currency of its prices, as EUR."),
    ] = None,
    tax: Annotated[
        str | None,
        typer.Option("--tax", metavar="BASIS", help="Its prices are 'with tax' or 'without tax'."),
    ] = None,
    carries: Annotated[
        list[str] | None,
        typer.Option("--carries", metavar="KINDS", help="Kinds it carries, as shaft_seal,o_ring."),
    ] = None,
    sort: Annotated[
        str | None,
        typer.Option("--sort", metavar="SORT", help="supplier, owner or 'parts machine'."),
    ] = None,
    contact: Annotated[
        str | None,
        typer.Option(
            "--contact", metavar="TEXT", help="Address or telephone; can be erased again."
        ),
    ] = None,
    remark: Annotated[
        str | None, typer.Option("--remark", metavar="TEXT", help="Anything else.")
    ] = None,
) -> None:
    """Note a supplier, or what has changed about one already noted."""
    from xref.sourcing import suppliers

    document = suppliers.add(
        shared.store(),
        name,
        closes=closes,
        last_order=last_order,
        reply_days=reply_days,
        postage_days=postage_days,
        postage=postage,
        currency=currency,
        tax=tax,
        carries=carries or (),
        sort=sort,
        contact=contact,
        remark=remark,
        on=shared.day,
    )
    shared.emit(document, _render_add)


def _render_add(document: dict[str, Any]) -> None:
    say(f"{'Noted' if document['new'] else 'Changed'}: {document['supplier']}")
    for text in document["notes"]:
        note(text)


@shared_options()
def _list(
    shared: Shared,
) -> None:
    """List suppliers, those that stop trading soonest first."""
    from xref.sourcing import suppliers

    document = suppliers.listing(shared.store(), shared.day)
    shared.emit(document, _render_list, 0 if document["suppliers"] else 1)


def _render_list(document: dict[str, Any]) -> None:
    if not document["suppliers"]:
        note("No suppliers are noted: xref supplier add NAME")
        return
    table(
        ["supplier", "last order", "closes", "reply", "postage", "carries"],
        [
            [
                s["supplier"] + (" (stopped)" if s["stopped"] else ""),
                s["last_order"],
                s["closes_as_written"] or s["closes_on"],
                f"{s['reply_days']} d",
                money(s["postage"], s["currency"]) if s["postage"] is not None else None,
                ", ".join(s["carries"]),
            ]
            for s in document["suppliers"]
        ],
    )


@shared_options()
def _show(
    shared: Shared,
    name: Annotated[str, typer.Argument(metavar="NAME", help="The supplier's name.")],
) -> None:
    """Show a supplier with contact, enquiries, offers and orders."""
    from xref.sourcing import suppliers

    shared.emit(suppliers.show(shared.store(), name, shared.day), _render_show)


def _render_show(document: dict[str, Any]) -> None:
    say(document["supplier"] + (" (stopped)" if document["stopped"] else ""))
    facts = [
        ("sort", document["sort"]),
        ("carries", ", ".join(document["carries"])),
        ("contact", document["contact"]),
        ("last order", document["last_order"]),
        ("closes", document["closes_on"]),
        ("replies in", f"{document['reply_days']} days"),
        ("in the post", f"{document['postage_days']} days"),
        ("currency", document["currency"]),
        ("prices", document["tax_basis"]),
        ("postage", document["postage"]),
        ("remark", document["remark"]),
    ]
    for title, value in facts:
        if value not in (None, ""):
            tell(f"{title}: {value}", indent=4, first="  ")
    for e in document["enquiries"]:
        sent = f"sent {e['sent_on']}" if e["sent_on"] else "not sent"
        say(f"  enquiry {e['enquiry']}, written {e['written_on']}, {sent}")
    for o in document["offers"]:
        say(f"  offer {o['offer']} for want {o['want']}: {money(o['price'], o['currency'])}")
    for o in document["orders"]:
        say(f"  order {o['order']} of {o['ordered_on']}: {o['quantity']} for want {o['want']}")


@shared_options()
def _forget(
    shared: Shared,
    name: Annotated[str, typer.Argument(metavar="NAME", help="The supplier's name.")],
) -> None:
    """Erase a supplier's contact details for good; everything else stays.

    Backups made before, and a store kept aside by a restore, still hold them.
    """
    from xref.sourcing import suppliers

    document = suppliers.forget_contact(shared.store(), name)
    shared.emit(document, _render_forget)


def _render_forget(document: dict[str, Any]) -> None:
    if document["erased"]:
        say(f"Contact details of {document['supplier']} are erased.")
        note("Backups made before, and a store kept aside by a restore, still hold them.")
    else:
        say(f"No contact details of {document['supplier']} were kept.")
