"""`xref serve`: the bench page, on this machine or on the workshop's network."""

from __future__ import annotations

import contextlib
import logging
import socket
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from xref.errors import Impossible
from xref.faces.cli.output import say, tell
from xref.faces.cli.shared import Shared, example, shared_options

if TYPE_CHECKING:
    import uvicorn

    from xref.faces.web.bench import Bench

LOOPBACK = "127.0.0.1"


def register(app: typer.Typer) -> None:
    """Add the command to the application."""

    @app.command(
        epilog=example("xref serve --check"),
    )
    @shared_options()
    def serve(
        shared: Shared,
        port: Annotated[
            int,
            typer.Option("--port", min=0, max=65535, help="The port; 0 takes any that is free."),
        ] = 8624,
        lan: Annotated[
            bool,
            typer.Option(
                "--lan", help="Let others on the local network in, with the code that is printed."
            ),
        ] = False,
        check: Annotated[
            bool,
            typer.Option("--check", help="Take a free port, ask for the first page, and stop."),
        ] = False,
        largest: Annotated[
            int,
            typer.Option("--largest", metavar="MB", min=1, help="The largest file taken, in MB."),
        ] = 25,
    ) -> None:
        """Open the bench page: find what fits, the wanted list, lists, goods in.

        Without --lan only this machine can open it. The page holds nothing of the store while
        it is idle, so the command line works beside it. Ctrl-C stops it.
        """
        from xref.faces.web.bench import Bench, new_code

        code = new_code() if lan else None
        with listening("0.0.0.0" if lan else LOOPBACK, 0 if check else port) as listener:  # noqa: S104 - --lan
            names = _names() if lan else []
            bench = Bench(
                shared.folder,
                on=shared.on,
                code=code,
                hosts=frozenset({LOOPBACK, "localhost", *names}),
                largest=largest * 1_000_000,
            )
            bench.store()  # a store that cannot be opened is said now, not on the first page
            document = _document(listener, names, code, shared.on)
            server = _server(bench, shared.log)
            try:
                if check:
                    document["status"] = _ask_once(server, listener)
                shared.emit(document, _render, 0 if document.get("status", 200) < 400 else 5)
                if not check:
                    _warm_up()
                    server.run(sockets=[listener])
            finally:
                bench.close()


@contextlib.contextmanager
def listening(address: str, port: int) -> Iterator[socket.socket]:
    """Give a socket bound to the port; raises Impossible with a sentence when it is taken."""
    # The protocol is named, else asyncio leaves Nagle's algorithm on and each page waits 40 ms for
    # the browser's delayed acknowledgement.
    with socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP) as listener:
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            listener.bind((address, port))
        except OSError as error:
            raise Impossible(
                f"port {port} cannot be used: {error.strerror}. Choose another with --port, or "
                "let xref choose with --port 0.",
                at="port",
                code="port-taken",
            ) from error
        yield listener


def _names() -> list[str]:
    """Return the names and addresses by which this machine is known on its network."""
    name = socket.gethostname()
    found = {name.lower(), f"{name.lower()}.local"}
    with contextlib.suppress(OSError):  # a name nobody resolves: reached by its address
        found |= {str(info[4][0]) for info in socket.getaddrinfo(name, None, socket.AF_INET)}
    datagram = socket.socket(socket.AF_INET, socket.SOCK_DGRAM)
    with datagram as probe, contextlib.suppress(OSError):
        probe.connect(("192.0.2.1", 9))  # chooses a route; a datagram socket sends nothing
        found.add(probe.getsockname()[0])
    return sorted(n for n in found if not n.startswith("127."))


def _document(
    listener: socket.socket, names: list[str], code: str | None, on: date | None
) -> dict[str, Any]:
    port = listener.getsockname()[1]
    hosts = names if code else [LOOPBACK]
    return {
        "address": f"http://{hosts[0] if hosts else LOOPBACK}:{port}/",
        "addresses": [f"http://{host}:{port}/" for host in hosts],
        "code": code,
        "on": on,
    }


def _render(document: dict[str, Any]) -> None:
    if "status" in document:
        say(f"The bench page answers ({document['status']}).")
        return
    say("The bench page is open at")
    for address in document["addresses"]:
        say(f"  {address}")
    if document["code"]:
        say()
        say(f"Access code: {document['code']}")
        tell(
            "Anybody on the network who has the code can read and change the store. Traffic is "
            "not encrypted: use it on a network you trust.",
        )
    say()
    say("Stop it with Ctrl-C.")


def _server(bench: Bench, log: Path | None) -> uvicorn.Server:
    import uvicorn

    from xref.faces.web.app import application

    if log is None:  # what goes wrong is said on the page; the log is for whoever asked for it
        logging.getLogger().addHandler(logging.NullHandler())
    config = uvicorn.Config(
        application(bench),
        log_config=None,
        log_level="info" if log else "warning",
        access_log=log is not None,
        server_header=False,
        timeout_graceful_shutdown=3,
        limit_concurrency=200,
    )
    return uvicorn.Server(config)


def _warm_up() -> None:
    """Load beside the start what the first question would otherwise wait for."""
    import importlib
    import threading

    def load() -> None:
        for name in ("xref.acts.ask_box", "xref.acts.match", "xref.acts.identify", "pandas"):
            importlib.import_module(name)

    threading.Thread(target=load, name="xref-warm-up", daemon=True).start()


def _ask_once(server: uvicorn.Server, listener: socket.socket) -> int:
    """Serve in a thread, ask for a page as a browser would, stop; return the answer's status."""
    import threading
    import time
    from http.client import HTTPConnection

    thread = threading.Thread(target=server.run, kwargs={"sockets": [listener]}, daemon=True)
    thread.start()
    while not server.started and thread.is_alive():
        time.sleep(0.01)
    connection = HTTPConnection(LOOPBACK, listener.getsockname()[1], timeout=30)
    try:
        connection.request("GET", "/")
        return connection.getresponse().status
    finally:
        connection.close()
        server.should_exit = True
        thread.join()
