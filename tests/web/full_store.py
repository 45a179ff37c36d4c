"""A demo store in the middle of the work, and an address of every page on it."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from urllib.parse import quote_plus

from xref.sourcing import enquiries, offers, orders, teardown, wants
from xref.store import Store

DAY = date(2027, 9, 6)
MACHINE = "Ostrel No. 3, serial 468"
HOBBLETON = "Hobbleton Bearing & Seal Stores"


def fill(folder: Path) -> dict[str, list[str]]:
    """Take a machine apart, write letters, order a part; return the addresses of each page.

    The addresses are keyed by the page's path as `xref.faces.web.app.LOOK` writes it; those of
    files and loads under way are left out, as they need a file sent first.
    """
    from xref.acts.want_candidates import candidates

    store = Store.open(folder)
    teardown.add_assembly(store, MACHINE, "DG/1000", 1, "468")
    place = teardown.add_place(
        store,
        MACHINE,
        "drum shaft",
        kind="shaft_seal",
        number="FD/4111",
        readings=["shaft@near,0=44.802mm", "shaft@far,0=44.801mm", "housing@near,0=62.02mm"],
        instructions={"lip": "towards the gear case", "torque": "12 Nm", "torque_end": "nut"},
        decision="replace",
        on=DAY,
    )
    bush = teardown.add_place(
        store,
        MACHINE,
        "gripper cam",
        kind="plain_bushing",
        number="CJ/3162",
        readings=["shaft=50.738mm", "housing=66.68mm"],
        decision="make",
        on=DAY,
    )
    offer = offers.add(store, HOBBLETON, 2, on=DAY, price="7.60", number="UMB-735")["offer"]
    orders.add(store, offer, 1, DAY)
    enquiries.write(store, DAY, supplier=None, only=[], find=candidates)
    enquiries.sent(store, 2, DAY)
    wants.close(store, 15, "reused", "still sound", DAY)
    machine = quote_plus(MACHINE)
    rates = "currency=GBP&rates=EUR+0.86"
    return {
        "/": ["/"],
        "/fits": [
            "/fits?q=DG/1143",
            "/fits?q=6207",
            "/fits?q=DG/1153",
            "/fits?q=IP/2162",
            "/fits?q=DG/1162",
            "/fits?q=IP/2171",
            "/fits?q=FD/4181",
            "/fits?q=FD/4111&shaft=44.8mm&housing=62.02mm",
            "/fits?q=60x80x8+seal&top=50",
            "/fits?kind=o_ring&groove_diameter=20mm&groove_width=4.8mm&mating_diameter=25mm",
            "/fits?q=60x80x8",
            "/fits?q=25-52-7",
            "/fits?q=FD/4113",
            "/fits?q=oil+seal",
            "/fits?q=zzzz",
            "/fits?q=80x60x8+seal",
        ],
        "/wanted": ["/wanted"],
        "/wanted/{want:key}": ["/wanted/1", "/wanted/2", "/wanted/15", "/wanted/999"],
        "/today": ["/today"],
        "/plan": ["/plan", f"/plan?{rates}"],
        "/letters/{enquiry:key}": ["/letters/1", "/letters/2"],
        "/machines": ["/machines", f"/machines?name={machine}"],
        "/machines/place": [
            f"/machines/place?machine={machine}&place={place['place']}",
            f"/machines/place?machine={machine}&place={bush['place']}",
        ],
        "/lists": ["/lists"],
        "/arrived": ["/arrived"],
        "/arrived/{order:key}": [
            "/arrived/1",
            "/arrived/1?shaft_diameter=60.1&outside_diameter=79.5&width=9.5",
        ],
        "/sheet/fit": ["/sheet/fit?q=DG/1143", "/sheet/fit?q=CJ/3162", "/sheet/fit?q=6207"],
        "/sheet/enquiry/{enquiry:key}": ["/sheet/enquiry/1"],
        "/sheet/wanted": ["/sheet/wanted"],
        "/sheet/plan": [f"/sheet/plan?{rates}"],
        "/sheet/receiving/{order:key}": ["/sheet/receiving/1"],
        "/sheet/assembly": [f"/sheet/assembly?machine={machine}"],
        "/sheet/shop/{want:key}": ["/sheet/shop/5"],
        "/sheet/make": [f"/sheet/make?machine={machine}&place={bush['place']}"],
        "/code": ["/code"],
    }


NOT_PAGES = ("/sheet/{paper}.css", "/lists/file/{key}", "/lists/load/{job}")
