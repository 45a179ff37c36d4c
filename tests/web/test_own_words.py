"""What the acts say with options and commands, said on the page with its own fields."""

from __future__ import annotations

import html
import re
from pathlib import Path

import pytest

from tests.web.conftest import DAY
from tests.web.pages import Browser
from xref.faces.web.own_words import LABELS, here, offered
from xref.sourcing import offers, orders
from xref.store import Store

pytestmark = pytest.mark.store


def _words(text: str) -> str:
    """Return what a page says, without its markup."""
    main = re.search(r"<main.*?</main>", text, re.S)
    assert main
    return html.unescape(re.sub(r"<[^>]+>", " ", main[0]))


@pytest.mark.parametrize(
    ("said", "shown"),
    [
        ("why? Give it with --reason", "why? Give it with “Why”"),
        (
            "in inches or in millimetres? Answer with --unit in or --unit mm",
            "in inches or in millimetres? Answer with “Sizes without a unit” below.",
        ),
        (
            "duty not stated: say --rotating inner|outer and --load light|normal|heavy to judge",
            "duty not stated: say “Ring that turns under the load” and “Load on a bearing or "
            "bush” to judge",
        ),
        ("for example --shaft 60.31mm.", "for example “Shaft or journal” 60.31mm."),
        (
            "measure what came: xref receive 4 60.02mm 80.1mm 8mm (or say what you decided with "
            "--decision accept|rework|return)",
            "measure what came and type it above (or say what you decided with one of the "
            "buttons under “Record it”)",
        ),
        ("note it with `xref supplier add NAME --currency EUR`",
         "note it with “Note a supplier” on the page Today"),
        ("or sizes: 60x80x8mm, or --id, --od, --width", "or sizes: 60x80x8mm, or its sizes"),
        ("as then (--supplier or --name).", "as then (“Whose list”)."),
        # What only a command line does stays its own, and is said to be.
        ("name another with --store.", "name another with the option --store of the command line."),
        ("`xref store restore FILE` puts a backup in its place",
         "`xref store restore FILE` puts a backup in its place"),
        ("no options here", "no options here"),
        ("", ""),
    ],
)  # fmt: skip
def test_an_option_is_said_as_its_field(said: str, shown: str) -> None:
    """The field's label stands in place of the option; a placeholder goes, an example stays."""
    assert here(said) == shown


def test_a_question_offers_its_answers() -> None:
    """Answers that a question names become choices; a free one does not."""
    assert offered("which? Answer with --column 'Part No.=number'") == [
        {"name": "column", "value": "Part No.=number"}
    ]
    assert [a["value"] for a in offered("what? Answer with --table stock|catalogue")] == [
        "stock",
        "catalogue",
    ]
    assert offered("which sheet? Answer with --sheet NAME") == []
    assert offered("no question") == []


def test_every_label_stands_on_a_page(browser: Browser) -> None:
    """Each field's label that a sentence may name is one that the pages show."""
    browser.open("/lists")
    browser.send("/lists", {"file": ("x.csv", b"Part No,Qty\nMW 1,4\n")}, table="stock")
    shown = _words(browser.page.text) + _words(browser.open("/")) + _words(browser.open("/plan"))
    shown += _words(browser.open("/plan?currency=GBP&rates=EUR 0.86"))
    shown += _words(browser.open("/wanted/1")) + _words(browser.open("/wanted"))
    browser.open("/machines")
    browser.send("/machines", machine="Ostrel No. 3", assembly="DG/1000")
    shown += _words(browser.page.text)
    missing = [label for label in LABELS.values() if label not in shown]
    assert missing == []


@pytest.mark.parametrize(
    ("name", "content", "choices"),
    [
        ("s.csv", "Part,Qty,Shaft,OD,Width\nA 1,2,2.5,3.5,0.5\nA 2,1,1.25,2,0.5\n",
         {"inches", "millimetres"}),
        ("t.csv", "Part No,Order No,Qty\nA 1,B 1,2\nA 2,B 2,1\n", set()),
        ("n.csv", "1,2\n3,4\n", set()),
    ],
)  # fmt: skip
def test_questions_about_a_list_have_buttons(
    browser: Browser, name: str, content: str, choices: set[str]
) -> None:
    """A list that raises a question shows it without options; where answers are few, as links."""
    browser.open("/lists")
    text = browser.send("/lists", {"file": (name, content.encode())}, supplier="Marrowby Spares")
    said = _words(text)
    assert "--" not in said
    links = {
        label: html.unescape(address)
        for address, label in re.findall(r'<a class="choice" href="([^"]+)">([^<]+)</a>', text)
    }
    assert choices <= set(links)
    for label in choices:
        assert "In inches or in millimetres" not in _words(browser.open(links[label]))
        assert "sizes without a unit, such as" not in _words(browser.page.text)


@pytest.mark.parametrize(
    "address",
    [
        "/plan",
        "/wanted/999",
        "/fits?q=FD/4113",
        "/fits?q=6207",
        "/fits?q=6207&shaft=35.01mm&housing=72.01mm",
        "/fits?q=DG/1161&shaft=24.95mm",
        "/fits?kind=shaft_seal&q=&shaft=",
        "/fits?q=zzz&kind=shaft_seal&shaft=60mm",
        "/arrived/1",
        "/arrived/1?shaft_diameter=60.1",
        "/arrived/1?shaft_diameter=60.1&outside_diameter=79.5&width=9.5&uncertainty=1",
        "/wanted",
        "/today",
    ],
)
def test_no_page_speaks_of_options(browser: Browser, demo_store: Path, address: str) -> None:
    """Whatever a page has to say, it names its own fields and pages."""
    store = Store.open(demo_store)
    offer = offers.add(
        store, "Hobbleton Bearing & Seal Stores", 2, on=DAY, price="7.60", number="UMB-735"
    )["offer"]
    orders.add(store, offer, 1, DAY)
    said = _words(browser.open(address))
    assert not re.search(r"--[a-z]", said)
    assert "`xref" not in said


@pytest.mark.parametrize(
    ("form", "given"),
    [
        ("/wanted", {"what": "", "quantity": "1"}),
        ("/wanted", {"what": "60x80x8mm", "quantity": "1", "kind": ""}),
        ("/wanted", {"what": "A 1", "quantity": "1", "by": "soon"}),
        ("/wanted/1/close", {"as": "made", "reason": ""}),
        ("/wanted/1/offer", {"supplier": "Nobody at all", "price": "3"}),
    ],
)
def test_refusals_name_fields(browser: Browser, form: str, given: dict[str, str]) -> None:
    """A form that cannot be acted on is refused in the words of the page."""
    browser.open("/wanted/1" if form.startswith("/wanted/") else "/wanted")
    browser.send(form, **given)
    assert browser.page.status_code in (404, 422)
    said = _words(browser.page.text)
    assert not re.search(r"--[a-z]", said)
    assert "`xref" not in said


@pytest.mark.parametrize(
    ("sentence", "shown"),
    [
        (
            "offer 1 still stands; if they have no more: `xref offer withdraw 1 --reason TEXT`",
            "offer 1 still stands; if they have no more: “An offer or an order falls away” on the "
            "page of the want",
        ),
        (
            "leak failed on 2027-01-10: note that it did not fit (`xref proof add 1 --failed WHY`)",
            "leak failed on 2027-01-10: note that it did not fit (the tests on the page of the "
            "want)",
        ),
        (
            "if it is not wanted any more: `xref want close 1 --as reused --reason TEXT`",
            "if it is not wanted any more: “It ends another way” on the page of the want",
        ),
    ],
)
def test_what_falls_away_is_told_in_the_page_s_words(sentence: str, shown: str) -> None:
    """Where the command line names a command to end something, the page names its own form."""
    assert here(sentence) == shown
