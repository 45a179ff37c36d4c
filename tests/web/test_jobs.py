"""The main jobs through plain forms, as a browser without scripts sends them."""

from __future__ import annotations

import html
import re
from pathlib import Path

import pytest

from tests.web.conftest import DAY
from tests.web.pages import Browser, forms
from xref.resources import folder
from xref.sourcing import offers, orders, wants
from xref.store import Store

pytestmark = pytest.mark.store
HOBBLETON = "Hobbleton Bearing & Seal Stores"


def _open_wants(store: Path) -> dict[int, dict[str, object]]:
    return {w["want"]: w for w in wants.listing(Store.open(store), DAY)["wants"]}


def test_the_first_page_shows_who_closes_first(browser: Browser) -> None:
    """Closing suppliers stand under the box, the soonest first, as noted in the demo."""
    text = browser.open("/")
    assert 'name="q"' in text
    first, second = (text.index("closes 31 Oct 2027"), text.index("closes 1 Mar 2028"))
    assert first < second


def test_a_number_finds_what_fits_with_its_pictures(browser: Browser) -> None:
    """A number spaced differently finds the inch seal, its offer, closing date and drawings."""
    text = browser.open("/fits?q=DG 1143")
    assert "Umberline UMB-735" in text
    assert "closes 31 Oct 2027" in text
    assert text.count('class="drawing"') > 4
    assert "Near misses" in text
    assert "A size match is no load" in text


def test_the_sheet_of_a_fit_is_of_what_was_asked(browser: Browser) -> None:
    """The sheet to print takes gap, groove and service from the fields, as the page did."""
    text = browser.open(
        "/fits?q=IP/2171&groove_diameter=1.000&mating_diameter=1.226&groove_width=0.181&unit=in"
        "&gland=piston&pressure_bar=10&dirt=yes"
    )
    paper = re.search(r'href="(/sheet/fit[^"]*)"', text)
    assert paper is not None
    sheet = browser.open(html.unescape(paper[1]))
    assert "groove diameter 25.38 to 25.42 mm" in sheet
    assert "<strong>squeeze</strong>: pass" in sheet
    assert "Pressure, bar: 10; Dirt reaches it: yes" in sheet


def test_one_touch_puts_the_part_on_the_wanted_list(browser: Browser, demo_store: Path) -> None:
    """From the found part one button makes the want, with its number as the book writes it."""
    before = _open_wants(demo_store)
    browser.open("/fits?q=DG 1143")
    browser.send("/wanted")
    added = {i: w for i, w in _open_wants(demo_store).items() if i not in before}
    assert [(w["number"], w["quantity"]) for w in added.values()] == [("DG/1143", 1)]
    assert browser.page.url.path == f"/wanted/{next(iter(added))}"


def test_a_found_part_itself_can_be_wanted(browser: Browser, demo_store: Path) -> None:
    """Where only the machine was measured, the part found is what goes on the list."""
    before = _open_wants(demo_store)
    text = browser.open("/fits?q=seal shaft 35.0mm housing 52.0mm")
    assert "Want this one" in text
    assert "Add to wanted" not in text
    browser.send("/wanted")
    added = [w for i, w in _open_wants(demo_store).items() if i not in before]
    assert [(w["kind"], w["quantity"]) for w in added] == [("shaft_seal", 1)]
    assert str(added[0]["number"]) in text


def test_sizes_can_be_wanted(browser: Browser, demo_store: Path) -> None:
    """A want by sizes keeps them as typed, with their kind."""
    before = _open_wants(demo_store)
    browser.open("/fits?q=60x80x8 seal")
    browser.send("/wanted")
    added = [w for i, w in _open_wants(demo_store).items() if i not in before]
    assert [w["sizes"] for w in added] == [
        {"shaft_diameter": "60mm", "outside_diameter": "80mm", "width": "8mm"}
    ]


def test_a_form_sent_twice_counts_once(browser: Browser, demo_store: Path) -> None:
    """The same form sent again, by a second tap or a retry, changes nothing more."""
    before = len(_open_wants(demo_store))
    browser.open("/fits?q=DG 1143")
    page = browser.page
    browser.send("/wanted")
    first = browser.page.url
    browser.page = page
    browser.send("/wanted")
    assert browser.page.url == first
    assert len(_open_wants(demo_store)) == before + 1


def test_the_wanted_list_stands_under_its_next_steps(browser: Browser, demo_store: Path) -> None:
    """Every open want stands on the list once, under a heading that says what to do next."""
    text = browser.open("/wanted")
    listed = [
        int(i) for i in re.findall(r'<li class="across"><span><a href="/wanted/(\d+)">', text)
    ]
    assert sorted(listed) == sorted(_open_wants(demo_store))
    assert "Ask a supplier" in text


def test_a_long_wanted_list_is_shown_in_two_steps(
    browser: Browser, demo_store: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Of a long list the most urgent wants are shown, and all of them when asked for."""
    from xref.faces.web import pages_wanted

    monkeypatch.setattr(pages_wanted, "MOST_WANTS", 5)
    everything = len(_open_wants(demo_store))
    text = browser.open("/wanted")
    assert len(re.findall(r'<li class="across"><span><a href="/wanted/\d+">', text)) == 5
    assert f"Show {everything - 5} more" in text
    text = browser.open("/wanted?everything=yes")
    assert len(re.findall(r'<li class="across"><span><a href="/wanted/\d+">', text)) == everything


def test_from_telephone_to_proof(browser: Browser, demo_store: Path) -> None:
    """An offer by telephone, the order, goods in, the test and the proof, by forms alone."""
    browser.open("/wanted/2")
    browser.send(
        "/wanted/2/offer", supplier=HOBBLETON, price="7.60", number="UMB-735", maker="Umberline"
    )
    assert "Offer 1 of" in browser.said()
    browser.send("/orders", quantity="1")
    assert "Order 1 to" in browser.said()
    browser.open("/arrived/1")
    text = browser.send("/arrived/1", shaft_diameter="60.2", outside_diameter="79.5", width="9.5")
    assert "<strong>accept</strong>" in text
    assert orders.listing(Store.open(demo_store))["orders"][0]["received"] == 0  # only judged
    record = next(f for f in _forms(browser) if f.method == "post" and f.action == "/arrived/1")
    browser.page = browser.client.post(record.action, data=record.fields)
    assert "accept 1" in browser.said()
    browser.send("/wanted/2/prove", result="passed")
    browser.send("/wanted/2/prove")
    assert "has proved right" in browser.said()
    assert "proved" in browser.open("/wanted/2")


def _forms(browser: Browser) -> list[object]:
    from tests.web.pages import forms

    return list(forms(browser.page.text))


def test_a_part_far_too_large_is_sent_back(browser: Browser, demo_store: Path) -> None:
    """A seal that measures sizes too large goes back, and only the decision is asked for."""
    browser.open("/wanted/2")
    browser.send("/wanted/2/offer", supplier=HOBBLETON, price="7.60", number="UMB-735")
    browser.send("/orders")
    text = browser.open(
        "/arrived/1?shaft_diameter=60.2&outside_diameter=95.25&width=9.5&only=decision"
    )
    assert "<strong>return</strong>" in text
    assert "<html" not in text
    assert orders.listing(Store.open(demo_store))["orders"][0]["received"] == 0


def test_readings_one_after_another(browser: Browser) -> None:
    """Each reading leads to the next: near 0, near 90, far 0, far 90 of the shaft."""
    browser.open("/machines")
    browser.send("/machines", machine="Ostrel No. 3", assembly="DG/1000", serial="468")
    place = re.search(r'href="(/machines/place\?[^"]+)"', browser.page.text)
    assert place
    browser.open(html.unescape(place[1]))
    asked = []
    for size in ("34.98", "34.98", "34.97", "34.97"):
        form = next(f for f in _forms(browser) if f.action == "/machines/reading")
        asked.append((form.fields["dimension"], form.fields["plane"], form.fields["direction"]))
        browser.send("/machines/reading", size=size)
    assert asked == [("shaft", p, d) for p in ("near", "far") for d in ("0", "90")]
    assert "taper 0.01 mm" in browser.page.text
    browser.send("/machines/place", decision="replace", reason="lip track worn")
    assert "want" in browser.said()


def test_a_reading_that_cannot_be_is_said(browser: Browser) -> None:
    """Words in place of a reading are refused in a sentence, and nothing is noted."""
    browser.open("/machines")
    browser.send("/machines", machine="Ostrel No. 3", assembly="DG/1000", serial="468")
    place = re.search(r'href="(/machines/place\?[^"]+)"', browser.page.text)
    assert place
    address = html.unescape(place[1])
    browser.open(address)
    browser.send("/machines/reading", size="about so")
    assert browser.page.status_code == 422
    assert "about so" in browser.said()
    assert "Read so far" not in browser.open(address)


def _send_list(browser: Browser, file: str, **answers: str) -> str:
    browser.open("/lists")
    content = (folder("data_demo") / file).read_bytes()
    return browser.send("/lists", {"file": (file, content)}, **answers)


def test_a_list_is_looked_at_loaded_and_mended(browser: Browser, demo_store: Path) -> None:
    """A pasted table: preview changes nothing; loading keeps what was set aside to be mended."""
    from xref.sourcing import suppliers

    suppliers.add(Store.open(demo_store), "Marrowby Spares", on=DAY)
    before = len(Store.open(demo_store).editions())
    text = _send_list(
        browser, "stock_nettlewick.html", supplier="Marrowby Spares", table="stock", currency="GBP"
    )
    assert "2 set aside" in text
    assert len(Store.open(demo_store).editions()) == before
    load = next(f for f in _forms(browser) if f.action.split("?")[0].endswith("/load"))
    browser.send(load.action.split("?")[0])
    assert "Mend what was set aside" in browser.wait()
    listed = next(e for e in Store.open(demo_store).editions() if e.name == "Marrowby Spares")
    mend = next(f for f in _forms(browser) if f.action.split("?")[0].endswith("/mend"))
    wrong = next(name for name, value in mend.fields.items() if value == "44 x 26 x 1.5 mm")
    browser.page = browser.client.post(mend.action, data={**mend.fields, wrong: "26 x 44 x 1.5 mm"})
    browser.wait()
    assert browser.page.status_code == 200, browser.said()
    mended = next(e for e in Store.open(demo_store).editions() if e.name == "Marrowby Spares")
    assert mended.items == listed.items + 1
    found = Store.open(demo_store).items_by_number("TLW-19X")
    assert any(i["list"] == "Marrowby Spares" for i in found)


def test_a_heading_can_be_answered(browser: Browser) -> None:
    """A heading nobody knows is given its meaning, and the file is read again with it."""
    browser.open("/lists")
    content = b"Part No,Description,Zorp\nMW 117,Oil seal,4\nMW 118,Bush,2\n"
    browser.send("/lists", {"file": ("odd.csv", content)}, table="stock", supplier="Marrowby")
    form = next(f for f in _forms(browser) if f.action.startswith("/lists/file/"))
    number = next(n for n, v in form.fields.items() if v == "Zorp").partition(":")[2]
    text = browser.send(form.action, **{f"col:{number}": "quantity"})
    assert re.search(r"<td>MW 117</td>.*?<td>4</td>", text, re.S)


def test_the_plan_asks_for_rates_and_covers_the_list(browser: Browser, demo_store: Path) -> None:
    """With prices in two currencies the plan asks; with the rate it is that of the command line."""
    from xref.acts.want_candidates import candidates
    from xref.sourcing.plan import plan

    rates = folder("data_demo") / "rates.csv"
    expected = plan(Store.open(demo_store), DAY, currency="GBP", rates=rates, find=candidates)
    text = browser.open("/plan")
    assert "Prices stand in EUR and GBP. In which is the plan to be?" in text
    assert "--" not in re.sub(r"<!--.*?-->", "", text)
    assert "Total" not in text
    asked = next(f for f in forms(text) if f.fields.get("currency") == "GBP")
    assert asked.fields == {"currency": "GBP", "rate_EUR": ""}
    text = browser.open("/plan?currency=GBP&rate_EUR=0.86")
    assert f"GBP {expected['total']}" in text
    paper = re.search(r'href="(/sheet/plan[^"]*)"', text)
    assert paper
    assert f"GBP {expected['total']}" in browser.open(html.unescape(paper[1]))
    browser.open("/plan?currency=GBP&rates=EUR nothing")
    assert "as in EUR 0.86" in browser.said()


def test_letters_are_written_sent_and_answered(browser: Browser, demo_store: Path) -> None:
    """From what is due a letter is written, noted as sent, and its answer makes an offer."""
    browser.open("/today")
    browser.send("/letters", supplier=HOBBLETON)
    address = browser.page.url.path
    assert address.startswith("/letters/")
    browser.send(f"{address}/sent")
    assert "An answer is expected by 13 Sep 2027" in browser.said()
    first = re.search(r"<h2>(\S+) × (\d+): no answer yet</h2>", browser.page.text)
    assert first
    browser.send(f"{address}/answer", has="no", price="7.60")
    assert "leaves nothing to offer, yet price was given" in browser.page.text
    browser.open(address)
    said = {"has": "yes", "price": "7.60", "quantity": "3", "number": "UMB-735", "currency": "eur"}
    browser.send(f"{address}/answer", None, **said)
    assert "It is offer 1" in browser.said()
    assert f"<h2>{first[1]} × {first[2]}: yes</h2>" in browser.page.text
    with Store.open(demo_store).reading() as state:
        (offer,) = state.rows("SELECT number, quantity, currency FROM offers")
    assert offer == {"number": "UMB-735", "quantity": 3, "currency": "EUR"}


def test_sizes_without_a_kind_are_a_question(browser: Browser) -> None:
    """Bare sizes ask of what kind, and the answer leads to what fits."""
    text = browser.open("/fits?q=60x80x8")
    choice = re.search(r'href="([^"]*kind=shaft_seal[^"]*)"', text)
    assert choice
    text = browser.open(html.unescape(choice[1]))
    assert "60 × 80 × 8 mm" in text


def test_the_unit_shown_is_kept(browser: Browser) -> None:
    """Showing inches changes the labels of the drawings, and stays for the next page."""
    browser.open("/fits?q=DG 1143")
    assert "2-3/8 in" in browser.send("/unit", unit="in")
    assert "Show millimetres" in browser.open("/wanted")


def test_one_number_with_two_forms_is_a_question(browser: Browser) -> None:
    """A number that changed at a serial break asks which form, and each leads to its seal."""
    text = browser.open("/fits?q=FD/4113")
    assert "different sizes" in text
    choices = re.findall(r'class="choice" href="([^"]+)"', text)
    assert len([c for c in choices if "/fits" in c]) == 2
    assert "28 × 47" in browser.open(html.unescape(choices[0]))


@pytest.mark.parametrize(
    "address",
    [
        "/wanted/999",
        "/wanted/" + "9" * 30,
        "/arrived/999",
        "/letters/999",
        "/machines?name=Nobody",
        "/lists/file/none",
    ],
)
def test_what_is_not_there_is_said(browser: Browser, address: str) -> None:
    """An address that leads to nothing answers with a sentence, never with a traceback."""
    text = browser.open(address)
    assert browser.page.status_code == 404
    assert browser.said()
    assert "Traceback" not in text


@pytest.mark.parametrize("more", ["top=²", "top=-1", "open=9²", "top=99999999999", "unit=furlong"])
def test_odd_addresses_are_answered(browser: Browser, more: str) -> None:
    """Figures of other scripts, negative and absurd ones give a page or a sentence."""
    browser.open(f"/fits?q=DG/1143&{more}")
    assert browser.page.status_code in (200, 422)


def test_the_page_stays_light(browser: Browser) -> None:
    """The heaviest page with its style and script weighs at most 150 kB, even unpacked."""
    page = len(browser.open("/fits?q=60x80x8 seal&top=50").encode())
    rest = sum(
        len(browser.client.get(f"/static/{name}").content)
        for name in ("bench.css", "bench.js", "mark.svg")
    )
    assert page + rest <= 150_000


def test_every_page_names_its_language_and_its_job(browser: Browser) -> None:
    """Every page of the navigation has a language, one main heading and a title of its own."""
    titles = set()
    for address in ("/", "/wanted", "/today", "/machines", "/lists", "/arrived"):
        text = browser.open(address)
        assert '<html lang="en">' in text
        assert text.count("<h1>") == 1
        titles.update(re.findall(r"<title>(.*?)</title>", text))
    assert len(titles) == 6


@pytest.mark.parametrize(
    "asked",
    [
        "q=DG/1143",
        "q=6207",
        "q=DG/1153",
        "q=IP/2162",
        "q=IP/2171",
        "q=FD/4181",
        "q=45 x 45.5 x 14 mm shaft sleeve",
        "q=20 x 30 x 5 mm spacer ring",
        "q=28 x 42 x 120 mm bushing blank",
        "q=DG/1191",
    ],
)
def test_every_kind_has_its_page(browser: Browser, asked: str) -> None:
    """What fits is shown for each kind, also where a check compares words and has no figures."""
    text = browser.open(f"/fits?{asked}")
    assert browser.page.status_code == 200
    assert "<h1>What fits" in text
    assert "None" not in text


def test_a_part_that_did_not_fit_is_told_everywhere(browser: Browser, demo_store: Path) -> None:
    """Tried in vain, a part is noted with its reason, and the match says so from then on."""
    browser.open("/wanted/2")
    text = browser.send("/wanted/2/prove", number="UMB-735", fits="no")
    assert browser.page.status_code == 422
    assert "Why did it not fit" in text
    browser.open("/wanted/2")
    browser.send(
        "/wanted/2/prove", number="UMB-735", maker="Umberline", failed="lip too stiff", fits="no"
    )
    assert "did not fit (lip too stiff)" in browser.said()
    assert "lip too stiff" in browser.page.text[browser.page.text.index("Its story") :]
    text = html.unescape(browser.open("/fits?q=DG/1143"))
    fitting, _, missing = text.partition("Near misses")
    assert "UMB-735" not in re.findall(r"<h3>.*?</h3>", fitting, re.S)[0]
    assert "UMB-735" in missing
    assert "lip too stiff" in missing
    assert wants.listing(Store.open(demo_store), DAY)["wants"]


def test_what_the_machine_shows_is_noted_on_a_want(browser: Browser) -> None:
    """The number on the part fitted comes before the book from then on, until it is taken back."""
    browser.open("/wanted/1")
    text = browser.send("/evidence", machine="Ostrel No. 3, serial 300")
    assert browser.page.status_code == 422
    assert "say what the part fitted shows: the number on it (“Number on the part fitted”)" in text
    browser.open("/wanted/1")
    fields = {"machine": "Ostrel No. 3, serial 300", "bears": "DG/1141", "remark": "original"}
    text = browser.send("/evidence", **fields)
    assert str(browser.page.url.path) == "/wanted/1"
    assert "the part fitted bears DG/1141" in browser.said()
    assert "Take it back" in text
    assert "the part fitted bears DG/1141" in browser.open("/fits?q=DG/1141A")
    browser.open("/wanted/1")
    text = browser.send("/evidence/1/withdraw", reason="misread")
    assert "is taken back: misread" in browser.said()
    assert "Take it back" not in text
    assert "the part fitted bears" not in browser.open("/fits?q=DG/1141A")


def test_what_the_machine_shows_is_noted_at_its_place(browser: Browser) -> None:
    """On the page of a place the machine is known; sizes are typed in the unit shown."""
    browser.open("/machines")
    browser.send("/machines", machine="Ostrel No. 3", assembly="DG/1000", serial="468")
    place = re.search(r'href="(/machines/place[^"]*)"><strong>countershaft', browser.page.text)
    assert place is not None
    browser.open(html.unescape(place[1]))
    text = browser.send("/evidence", shaft_diameter="60.1", form="before serial 412")
    assert browser.page.url.path == "/machines/place"
    assert "measures shaft diameter 60.1mm" in html.unescape(browser.said())
    assert "is the form 'before serial 412'" in html.unescape(text)
    browser.send("/evidence/1/withdraw", reason="another machine")
    assert browser.page.url.path == "/machines/place"
    assert "is taken back: another machine" in browser.said()


def test_a_part_proves_right_without_an_order(browser: Browser) -> None:
    """What was in the drawer and fits is noted as proved by its number."""
    browser.open("/wanted/2")
    browser.send("/wanted/2/prove", number="UMB-735", maker="Umberline", fits="yes")
    assert "has proved right" in browser.said()


def test_what_a_repair_takes_besides_can_be_wanted(browser: Browser, demo_store: Path) -> None:
    """A worn shaft's candidate names the sleeve it takes with its checks; one touch wants it."""
    text = html.unescape(
        browser.open("/fits?q=FD/4111&shaft=44.8mm&housing=62.02mm&uncertainty=0.005mm")
    )
    beside = re.search(r'<div class="beside">(.*?)</div>', text, re.S)
    assert beside
    assert "With it: shaft repair sleeve Tollersett" in beside[1]
    assert re.search(r"wall: \w+", beside[1])
    before = len(_open_wants(demo_store))
    form = next(f for f in forms(text) if f.fields.get("kind") == "shaft_sleeve")
    browser.client.post(form.action, data=form.fields)
    assert len(_open_wants(demo_store)) == before + 1


def test_an_offer_and_an_order_fall_away(browser: Browser, demo_store: Path) -> None:
    """Without a command line: an order that will not come, then the offer it was of, with why."""
    browser.open("/wanted/1")
    browser.send("/wanted/1/offer", supplier="Ofterling Sundries", price="5.00", quantity="2")
    browser.send("/orders", quantity="2")
    assert 'value="offer-' not in browser.page.text  # ordered to the last piece
    text = browser.send("/wanted/1/gone", what="order-1", reason="lost in the post")
    assert "Order 1: 2 will not come." in text
    offer = re.search(r'value="(offer-\d+)"', text)
    assert offer
    text = browser.send("/wanted/1/gone", what=offer[1], reason="none left")
    assert "stands no more" in text
    assert 'action="/wanted/1/gone"' not in text
    assert _open_wants(demo_store)[1]["covered"] == 0
    browser.open("/wanted/1")
    browser.send("/wanted/1/offer", supplier="Ofterling Sundries", price="5.00")
    for wrong in ("", "offer-", "offer-99", "want-1", "order-٣"):
        browser.open("/wanted/1")
        browser.send("/wanted/1/gone", what=wrong, reason="x")
        assert browser.page.status_code in (404, 422), wrong


def test_a_telephone_offer_takes_its_currency(browser: Browser, demo_store: Path) -> None:
    """A supplier without a currency of his own can be quoted in one, in the form itself."""
    browser.open("/today")
    browser.send("/suppliers", name="Old Tom")
    browser.open("/wanted/1")
    browser.send("/wanted/1/offer", supplier="Old Tom", price="5.00", currency="gbp")
    assert "no currency is known" not in browser.page.text
    assert "GBP 5.00" in browser.page.text
    browser.send("/wanted/1/offer", supplier="Old Tom", price="6.00", currency="pounds")
    assert "three-letter code" in browser.page.text
    assert len(offers.listing(Store.open(demo_store), DAY)["offers"]) == 1
