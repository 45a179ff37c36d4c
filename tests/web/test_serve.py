"""`xref serve`: what it says, whom it lets in, and how it ends."""

from __future__ import annotations

import re
import socket
from pathlib import Path

import pytest

from tests.command_line import Xref
from xref.faces.cli.serve import listening
from xref.faces.web.turns import Turns

pytestmark = pytest.mark.store


def test_it_answers_on_this_machine_only(demo_store: Path, xref: Xref) -> None:
    """Without --lan there is one address, on the loopback, and no code."""
    document = xref("serve", "--check", "--json", "--store", demo_store).document
    assert document["status"] == 200
    assert document["code"] is None
    assert re.fullmatch(r"http://127\.0\.0\.1:\d+/", document["address"])
    assert document["addresses"] == [document["address"]]


def test_the_network_needs_the_code(demo_store: Path, xref: Xref) -> None:
    """With --lan a code is printed, and the first page leads to its form."""
    document = xref("serve", "--lan", "--check", "--json", "--store", demo_store).document
    assert re.fullmatch(r"\w{4}-\w{4}", document["code"])
    assert document["status"] == 303


def test_a_taken_port_is_said(demo_store: Path, xref: Xref) -> None:
    """A port that another program has is named, with what to do."""
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        answer = xref("serve", "--port", port, "--store", demo_store)
    assert answer.status == 2
    assert str(port) in answer.err
    assert "--port 0" in answer.err


def test_a_page_is_sent_at_once() -> None:
    """A connection taken from the listener does not wait for acknowledgements (TCP_NODELAY)."""
    from asyncio import base_events

    with listening("127.0.0.1", 0) as listener:
        listener.listen()
        with socket.create_connection(listener.getsockname()):
            taken, _ = listener.accept()
            with taken:
                base_events._set_nodelay(taken)  # what asyncio does with each it accepts
                assert taken.getsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY)


def test_a_store_that_cannot_be_opened_is_said_at_once(xref: Xref, tmp_path: Path) -> None:
    """A file in the store's place ends the command with a sentence, before anything is served."""
    place = tmp_path / "file"
    place.write_text("no store")
    answer = xref("serve", "--check", "--store", place)
    assert answer.status == 5
    assert answer.err.strip()


def test_who_waits_to_write_comes_before_new_readers() -> None:
    """Readers go together; a waiting writer is let in when they end, before the next reader."""
    turns = Turns()
    with turns.reading(0.1) as first, turns.reading(0.1) as second:
        assert first
        assert second
        with turns.writing(0.05) as came:
            assert not came  # two are reading
    with turns.writing(0.1) as came:
        assert came
        with turns.reading(0.05) as reads:
            assert not reads  # one is writing
        with turns.writing(0.05) as other:
            assert not other
    with turns.reading(0.1) as free:
        assert free
