"""What must not pass: other hosts, foreign forms, large files, wrong codes, hostile text."""

from __future__ import annotations

import contextlib
import re
import threading
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any
from urllib.parse import quote

import pytest
from starlette.testclient import TestClient

from tests.web.conftest import DAY
from tests.web.pages import BASE, Browser, forms
from xref.faces.web import bench as bench_module
from xref.faces.web.app import application
from xref.faces.web.bench import Bench, new_code, safe_name
from xref.sourcing import wants
from xref.store import Store

pytestmark = pytest.mark.store
HOBBLETON = "Hobbleton Bearing & Seal Stores"
HOSTILE = "<script>document.title='caught'</script>\"><img src=x onerror=alert(1)>\u202e\u200b"


def _wants(store: Path) -> int:
    return len(wants.listing(Store.open(store), DAY)["wants"])


@pytest.mark.parametrize("host", ["evil.example", "127.0.0.1.evil.example", "", "localhost.:80"])
def test_another_host_is_refused(browser: Browser, host: str) -> None:
    """A page asked for by a name that is not its own (a rebound DNS name) is not given."""
    answer = browser.client.get("/", headers={"host": host})
    assert answer.status_code == 400
    assert "What fits" not in answer.text


def test_a_change_needs_the_token_of_its_session(browser: Browser, demo_store: Path) -> None:
    """Without the form's token, or with another session's, nothing is changed."""
    before = _wants(demo_store)
    browser.open("/wanted")
    token = re.search(r'name="token" value="(\w+)"', browser.page.text)
    assert token
    for given in ({}, {"token": ""}, {"token": "0" * 64}, {"token": "ü"}):
        answer = browser.client.post("/wanted", data={"what": "X 1", "quantity": "1", **given})
        assert answer.status_code == 403
    stranger = Browser(browser.client.app)
    stranger.open("/wanted")
    answer = stranger.client.post(
        "/wanted", data={"what": "X 1", "quantity": "1", "token": token[1]}
    )
    assert answer.status_code == 403
    assert _wants(demo_store) == before


def test_a_change_from_another_origin_is_refused(browser: Browser, demo_store: Path) -> None:
    """Even a right token does not help a form that another page sent."""
    before = _wants(demo_store)
    browser.open("/wanted")
    token = re.search(r'name="token" value="(\w+)"', browser.page.text)
    assert token
    for origin in ("http://evil.example", "null", "http://127.0.0.1:9999"):
        answer = browser.client.post(
            "/wanted",
            data={"what": "X 1", "quantity": "1", "token": token[1]},
            headers={"origin": origin},
        )
        assert answer.status_code == 403
    assert _wants(demo_store) == before


def test_looking_changes_nothing(browser: Browser) -> None:
    """Every address that changes something refuses to be merely opened."""
    for address in ("/unit", "/orders", "/letters", "/suppliers", "/wanted/1/close"):
        assert browser.client.get(address).status_code in (404, 405)


@pytest.mark.parametrize("address", ["/", "/fits?q=DG/1143", "/nowhere", "/static/bench.css"])
def test_every_answer_carries_the_policy(browser: Browser, address: str) -> None:
    """No inline script or style may run, and nothing may be fetched from elsewhere."""
    answer = browser.client.get(address)
    policy = answer.headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy
    assert "http" not in policy
    assert answer.headers["x-content-type-options"] == "nosniff"
    if "text/html" in answer.headers["content-type"]:
        assert not re.search(r"<script(?![^>]*\bsrc=)", answer.text)
        assert not re.search(r"<[a-z][^>]*\s(?:style|on\w+)\s*=", answer.text)
        assert "<style" not in answer.text
        outside = re.findall(r'(?:src|href|action)="(?:https?:)?//[^"]*"', answer.text)
        assert outside == []


def test_the_session_cookie_is_kept_from_scripts_and_strangers(browser: Browser) -> None:
    """The cookie is HttpOnly and never sent along from other sites."""
    cookie = browser.client.get("/").headers["set-cookie"]
    assert "HttpOnly" in cookie
    assert "SameSite=Strict" in cookie


def test_hostile_text_is_shown_as_text(browser: Browser, demo_store: Path) -> None:
    """Markup, reversed and unseen characters in a want appear escaped on every page."""
    wants.add(
        Store.open(demo_store),
        "DG/1143",
        quantity=1,
        place="<script>x</script>",
        remark=HOSTILE,
        description=HOSTILE,
        on=DAY,
    )
    for address in ("/wanted", "/wanted/16", "/sheet/wanted"):
        text = browser.open(address)
        assert "&lt;script&gt;" in text
        assert "<script>document" not in text
        assert "<img src=x" not in text
        assert "\u202e" not in text
    text = browser.client.get("/fits", params={"q": HOSTILE}).text
    assert "<script>document" not in text
    assert "\u200b" not in text


def test_hostile_cells_of_a_file_are_shown_as_text(browser: Browser) -> None:
    """Headings and cells of a sent file are data in the preview."""
    cell = HOSTILE.replace('"', '""')
    content = f'Part No,"{cell}",Description\nMW 1,4,"{cell}"\n'.encode()
    browser.open("/lists")
    text = browser.send("/lists", {"file": ("x.csv", content)}, table="stock")
    assert "&lt;script&gt;" in text
    assert "<script>document" not in text


@pytest.mark.parametrize(
    ("sent", "kept"),
    [
        ("../../etc/passwd", "passwd"),
        ("..\\..\\boot.ini", "boot.ini"),
        ("C:\\lists\\stock.csv", "stock.csv"),
        ("..", "table"),
        ("", "table"),
        ("a\x00b\n.csv", "a-b-.csv"),
        ("<b>.csv", "b-.csv"),
        ("x" * 300 + ".csv", "x" * 80 + ".csv"),
        (".hidden", "hidden"),
        ("Preisliste März.xlsx", "Preisliste März.xlsx"),
    ],
)
def test_names_of_files_lose_their_paths(sent: str, kept: str) -> None:
    """A sent file's name is one plain word of a path, whatever was sent."""
    assert safe_name(sent) == kept
    assert "/" not in safe_name(sent)


def test_a_path_like_name_stays_in_the_folder(browser: Browser, bench: Bench) -> None:
    """A file named like a path lies in the page's own folder and is read there."""
    browser.open("/lists")
    content = b"Part No,Qty\nMW 1,4\n"
    text = browser.send("/lists", {"file": ("../../../etc/x.csv", content)}, table="stock")
    key = browser.page.url.path.rpartition("/")[2]
    upload = bench.file(key)
    assert upload is not None
    assert upload.path.parent.name == key
    assert upload.name == "x.csv"
    assert "MW 1" in text


def test_what_is_too_large_is_refused(demo_store: Path) -> None:
    """A body beyond the limit is refused, stated or not, and nothing of it is kept."""
    small = Bench(demo_store, on=DAY, largest=20_000)
    browser = Browser(application(small))
    browser.open("/lists")
    browser.send("/lists", {"file": ("big.csv", b"x" * 50_000)})
    assert browser.page.status_code == 413
    assert "xref load" in browser.page.text

    def unstated() -> object:
        for _ in range(50):
            yield b"x" * 1000

    answer = browser.client.post(
        "/lists",
        content=unstated(),  # type: ignore[arg-type]
        headers={"content-type": "multipart/form-data; boundary=b"},
    )
    assert answer.status_code in (400, 413)
    small.close()


def test_an_empty_or_broken_form_is_a_sentence(browser: Browser) -> None:
    """A form without a file, and a body that is no form, are answered in words."""
    browser.open("/lists")
    browser.send("/lists")
    assert browser.page.status_code == 422
    assert "Choose one" in browser.said()
    answer = browser.client.post(
        "/lists", content=b"garbage", headers={"content-type": "multipart/form-data"}
    )
    assert answer.status_code in (400, 403)


def test_the_access_code_lets_in_and_counts_its_tries(demo_store: Path) -> None:
    """Without the code only its form is shown; too many wrong codes make everybody wait."""
    locked = Bench(demo_store, on=DAY, code=new_code())
    browser = Browser(application(locked))
    for address in ("/", "/wanted", "/sheet/wanted", "/fits?q=DG/1143"):
        text = browser.open(address)
        assert browser.page.url.path == "/code"
        assert "DG/1143" not in text
    browser.send("/code", code="wrong")
    assert browser.page.status_code == 403
    browser.send("/code", code=str(locked.code).upper().replace("-", " "))
    assert browser.page.url.path == "/"
    assert "What fits" in browser.page.text
    known = "0" * 32  # a session somebody else chose is not the one that is let in
    chosen = Browser(application(locked))
    chosen.client.cookies.set("xref_bench", known)
    chosen.open("/code")
    chosen.send("/code", code=str(locked.code))
    assert "What fits" in chosen.page.text
    assert not locked.admitted(known)

    other = Browser(application(locked))
    other.open("/code")
    statuses = [
        other.client.post("/code", data={"code": f"wrong{n}", "token": _token(other)}).status_code
        for n in range(bench_module.TRIES)
    ]
    assert statuses[-1] == 429
    answer = other.client.post("/code", data={"code": str(locked.code), "token": _token(other)})
    assert answer.status_code == 429  # the right code too has to wait now
    locked.close()


def _token(browser: Browser) -> str:
    found = re.search(r'name="token" value="(\w+)"', browser.page.text)
    assert found
    return found[1]


def test_codes_are_compared_in_constant_time(
    demo_store: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Codes go through the comparison that tells nothing by its duration."""
    seen: list[tuple[bytes, bytes]] = []
    real = bench_module.hmac.compare_digest

    def noted(a: bytes, b: bytes) -> bool:
        seen.append((a, b))
        return real(a, b)

    monkeypatch.setattr(bench_module.hmac, "compare_digest", noted)
    locked = Bench(demo_store, code="abcd-efgh")
    assert locked.try_code("s", "abcd-efgx") == "wrong"
    assert locked.try_code("s", "ABCD efgh") == "right"
    assert seen == [(b"abcdefgh", b"abcdefgx"), (b"abcdefgh", b"abcdefgh")]


def test_codes_differ_and_are_long_enough() -> None:
    """A code has eight letters or figures of 31, some 40 bits, and is new each time."""
    codes = {new_code() for _ in range(200)}
    assert len(codes) == 200
    assert all(re.fullmatch(r"[2-9a-hjkmnp-z]{4}-[2-9a-hjkmnp-z]{4}", code) for code in codes)


def test_a_busy_store_says_so_and_keeps_what_was_typed(
    browser: Browser, demo_store: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """While another program writes, the page says who, and sends the form again when it ends."""
    from xref.store import store as store_module

    monkeypatch.setattr(store_module.Store.writing, "__defaults__", (0.3,), raising=False)
    before = _wants(demo_store)
    browser.open("/fits?q=DG 1143")
    held, release = threading.Event(), threading.Event()

    def hold() -> None:
        with Store.open(demo_store).writing("count the shelves"):
            held.set()
            release.wait(30)

    holder = threading.Thread(target=hold)
    holder.start()
    assert held.wait(10)
    try:
        text = browser.send("/wanted")
        assert browser.page.status_code == 503
        assert "count the shelves" in browser.said()
        assert browser.page.headers["retry-after"]
        assert "data-retry" in text
    finally:
        release.set()
        holder.join()
    browser.send("/wanted")
    assert browser.page.status_code == 200
    assert _wants(demo_store) == before + 1


def test_a_damaged_store_is_not_called_busy(browser: Browser, demo_store: Path) -> None:
    """A store that cannot be read is said to be so, and the page does not try for ever."""
    (demo_store / "state.duckdb").write_bytes(b"no database")
    text = browser.open("/wanted")
    assert browser.page.status_code == 503
    assert "cannot be" in browser.said()
    assert "http-equiv" not in text


def test_the_page_holds_nothing_of_the_store_while_idle(
    browser: Browser, bench: Bench, demo_store: Path
) -> None:
    """After a page was shown, another process may write to the store at once."""
    import subprocess
    import sys

    browser.open("/wanted")
    done = subprocess.run(
        [
            *(sys.executable, "-m", "xref.faces.cli.app", "want", "add", "DG/1143"),
            *("--quantity", "1", "--on", "2027-09-06", "--store", str(demo_store)),
        ],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert bench.store().folder == demo_store


def test_an_unexpected_failure_is_a_sentence(
    browser: Browser, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A fault in the program itself shows no traceback, and says what to do."""
    from xref.acts import ask_box

    def broken(*_: object, **__: object) -> None:
        raise RuntimeError("a fault")

    monkeypatch.setattr(ask_box, "answer", broken)
    text = browser.open("/fits?q=1")
    assert browser.page.status_code == 500
    assert "Traceback" not in text
    assert "a fault" not in text
    assert "--log" in text


def test_leading_back_never_leaves_the_page(browser: Browser) -> None:
    """The unit form leads back into this page only."""
    browser.open("/")
    token = _token(browser)
    for back in ("//evil.example", "https://evil.example", "/\\evil.example"):
        answer = browser.client.post(
            "/unit", data={"token": token, "unit": "in", "back": back}, follow_redirects=False
        )
        assert answer.headers["location"] in ("/", f"{BASE}/")


@pytest.mark.parametrize(
    ("address", "status", "words"),
    [
        ("/nowhere", 404, "There is no page /nowhere here."),
        ("/<script>x</script>", 404, "&lt;script&gt;"),
        ("/wanted/soon", 404, "There is no page"),
        ("/orders", 405, "takes a form"),
        ("/static/none.css", 404, "There is no page"),
    ],
)
def test_an_address_of_no_page_is_a_page(
    browser: Browser, address: str, status: int, words: str
) -> None:
    """What is not here is said in a page of the bench's own look, with the way back."""
    text = browser.open(address)
    assert browser.page.status_code == status
    assert words in text
    assert "<script>" not in text
    assert 'href="/"' in text
    assert "bench.css" in text


def test_an_empty_store_says_where_to_begin(tmp_path: Path) -> None:
    """With nothing read and nothing wanted each page says so and leads on; none fails."""
    bench = Bench(tmp_path / "new", on=DAY)
    browser = Browser(application(bench))
    assert "No list is read yet" in browser.open("/")
    assert "Nothing is wanted" in browser.open("/wanted")
    assert "Nothing is wanted, so there is nothing to plan" in browser.open("/plan")
    assert "Nothing is due" in browser.open("/today")
    assert "Who closes" not in browser.page.text
    for address in ("/machines", "/lists", "/arrived", "/fits?q=60x80x8 seal", "/fits?q=DG 1"):
        browser.open(address)
        assert browser.page.status_code == 200
    bench.close()


def test_a_form_sent_twice_at_the_same_moment_counts_once(
    bench: Bench, browser: Browser, demo_store: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A double touch, the second before the first is answered, makes one want."""
    from xref.faces.web import pages_wanted

    before = _wants(demo_store)
    browser.open("/wanted")
    form = next(f for f in forms(browser.page.text) if f.action == "/wanted")
    add, both = pages_wanted.wants.add, threading.Barrier(2)

    def slowly(*told: Any, **more: Any) -> dict[str, Any]:
        with contextlib.suppress(threading.BrokenBarrierError):
            both.wait(1)  # both at once, if two come here
        return add(*told, **more)

    monkeypatch.setattr(pages_wanted.wants, "add", slowly)
    cookies = dict(browser.client.cookies)

    def touch(_: int) -> str:
        client = TestClient(application(bench), base_url=BASE, cookies=cookies)
        sent = client.post("/wanted", data={**form.fields, "what": "TW 1"}, follow_redirects=False)
        return str(sent.headers["location"])

    with ThreadPoolExecutor(2) as pool:
        led = list(pool.map(touch, range(2)))
    assert led[0] == led[1]
    assert _wants(demo_store) == before + 1


@pytest.mark.parametrize("figures", ["9" * 5000, "9" * 10, "²", "٣", "-1", "1.5"])
def test_what_is_no_number_of_a_record_is_a_sentence(browser: Browser, figures: str) -> None:
    """Numbers longer than any, and figures of other scripts, are refused wherever they are sent."""
    for address in ("/wanted/", "/letters/", "/arrived/", "/sheet/shop/", "/sheet/enquiry/"):
        browser.open(address + quote(figures))
        assert browser.page.status_code == 404, address
    browser.open(f"/fits?q=60x80x8mm&kind=shaft_seal&top={quote(figures)}")
    assert browser.page.status_code == 200
    browser.open("/wanted")
    token = _token(browser)
    for address, given in (
        ("/letters", {"want": figures, "supplier": HOBBLETON}),
        ("/orders", {"offer": figures, "quantity": "1"}),
        ("/wanted/1/gone", {"what": f"order-{figures}", "reason": "x"}),
    ):
        answer = browser.client.post(address, data={"token": token, **given})
        assert answer.status_code == 422, address


def test_a_serial_number_longer_than_a_plate_is_a_sentence(browser: Browser) -> None:
    """Five thousand figures, or a figure that is none, is no failure of the page."""
    browser.open("/wanted")
    given = {"token": _token(browser), "machine": "Press", "assembly": "DG/1000"}
    for serial, status in (("9" * 5000, 422), ("²", 200)):
        answer = browser.client.post("/machines", data={**given, "serial": serial})
        assert answer.status_code == status


def test_evidence_of_an_unknown_kind_is_a_sentence(browser: Browser) -> None:
    """A kind that is none, sent by a form of somebody's own, is refused and nothing is noted."""
    browser.open("/wanted/1")
    given = {"token": _token(browser), "number": "DG/1141A", "bears": "X 1", "want": "1"}
    assert browser.client.post("/evidence", data={**given, "kind": "no kind"}).status_code == 422
