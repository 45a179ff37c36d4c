"""`xref serve`: the bench page, for the browser or tablet at the machine."""

from __future__ import annotations

import socket
from typing import TYPE_CHECKING, Annotated, Any

import typer

from xref.errors import Impossible
from xref.faces.cli.options import (
    JsonOption,
    LogOption,
    OnOption,
    StoreOption,
    example,
    open_store,
    store_directory,
)
from xref.faces.cli.output import emit, say, tell

if TYPE_CHECKING:
    import uvicorn

LOOPBACK = "127.0.0.1"
EVERY_ADDRESS = "0.0.0.0"  # noqa: S104 - only with --lan, behind the access code
OWN_NAMES = frozenset({LOOPBACK, "localhost", "[::1]"})
# Addresses set aside for documentation (RFC 5737): a datagram socket "connected" there sends
# nothing and tells which of our addresses faces the network.
NOWHERE = ("192.0.2.1", 9)


def register(app: typer.Typer) -> None:
    """Add the command to the application."""

    @app.command(epilog=example("xref serve --check"))
    def serve(
        port: Annotated[
            int, typer.Option("--port", metavar="N", min=0, max=65535, help="The port to use.")
        ] = 8765,
        lan: Annotated[
            bool,
            typer.Option("--lan", help="Let the local network in, with the access code shown."),
        ] = False,
        check: Annotated[
            bool,
            typer.Option("--check", help="On a free port, ask for one page and stop."),
        ] = False,
        store: StoreOption = None,
        on: OnOption = None,
        json: JsonOption = False,
        log: LogOption = None,
    ) -> None:
        """Show the bench page in the browser of this machine or, with --lan, of a tablet near it.

        It works without internet, asks nothing elsewhere, and runs until Ctrl-C. Other commands
        work on the same store meanwhile.
        """
        del log
        import logging

        import uvicorn

        from xref.faces.web.app import application
        from xref.faces.web.bench import Bench, new_code

        logging.getLogger().addHandler(logging.NullHandler())  # failures go to --log, not here
        open_store(store)  # a store that cannot be opened is refused before anything is served
        listening = _listen(EVERY_ADDRESS if lan else LOOPBACK, 0 if check else port)
        names = _own_names() if lan else frozenset()
        bench = Bench(
            store_directory(store),
            on=on,
            code=new_code() if lan else None,
            hosts=OWN_NAMES | names,
        )
        server = uvicorn.Server(
            uvicorn.Config(application(bench), log_config=None, access_log=False)
        )
        bound = listening.getsockname()[1]
        addresses = [f"http://{name}:{bound}/" for name in (LOOPBACK, *sorted(names))]
        document: dict[str, Any] = {"addresses": addresses, "code": bench.code}
        if check:
            document["status"] = _ask_once(server, listening)
        wrong = document.get("status", 200) != 200
        emit(document, json, _render, 5 if wrong else 0)
        if not check:
            server.run(sockets=[listening])


def _listen(address: str, port: int) -> socket.socket:
    """Return a socket bound to the port; raises Impossible when another program has it."""
    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind((address, port))
    except OSError as error:
        listening.close()
        raise Impossible(
            f"Port {port} cannot be used ({error.strerror}). Name another one with --port, or end "
            "the bench page that is already running.",
            at="--port",
            code="port-taken",
        ) from error
    return listening


def _own_names() -> frozenset[str]:
    """Return the addresses and the name by which the local network reaches this machine."""
    names = {socket.gethostname().lower(), f"{socket.gethostname().lower()}.local"}
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(NOWHERE)
            names.add(probe.getsockname()[0])
        except OSError:  # no network at all: the name will have to do
            pass
    return frozenset(names)


def _ask_once(server: uvicorn.Server, listening: socket.socket) -> int:
    """Serve in a thread, ask for the first page, stop; return the status of the answer."""
    import threading
    import time
    from http.client import HTTPConnection

    thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]}, daemon=True)
    thread.start()
    while not server.started and thread.is_alive():
        time.sleep(0.01)
    connection = HTTPConnection(LOOPBACK, listening.getsockname()[1], timeout=30)
    try:
        connection.request("GET", "/")
        return connection.getresponse().status
    finally:
        connection.close()
        server.should_exit = True
        thread.join()


def _render(document: dict[str, Any]) -> None:
    if "status" in document:
        say(f"The bench page answers ({document['status']}).")
        return
    say("The bench page is at")
    for address in document["addresses"]:
        say(f"  {address}")
    if document["code"]:
        say(f"Access code: {document['code']}")
        tell("Anyone on this network with the code can read and change the store.")
    say("Ctrl-C ends it.")
