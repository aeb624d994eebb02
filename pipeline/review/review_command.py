"""Serves the review page to this machine alone, until it is stopped."""

import secrets
import socket
from collections.abc import Callable
from contextlib import suppress

import uvicorn

from pipeline.errors import WrongCommand
from pipeline.history.team import person_called
from pipeline.review.open_book import OpenBook
from pipeline.review.server import review_app

_HERE = "127.0.0.1"


def listener(port: int) -> socket.socket:
    """Return a socket that listens on the loopback address; 0 is any free port.

    Raises:
        WrongCommand: the port is not to be had.
    """
    made = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    try:
        made.bind((_HERE, port))
        made.listen(64)
    except OSError as error:
        made.close()
        raise WrongCommand(
            f"Port {port} is not to be had ({error.strerror}). Leave --port out to get one that is free."
        ) from error
    return made


def serve(book: OpenBook, port: int, who: str, ready: Callable[[str], None]) -> None:
    """Serve the pages until Ctrl-C.

    Args:
        book: the open book.
        port: 0 for any that is free.
        who: who is checking, "" to ask on the page.
        ready: told the address, with the token that lets a browser in.

    Raises:
        WrongCommand: the port is not to be had, or the book does not list the person.
    """
    if who:
        who = person_called(book.settings.people, who).name
    token = secrets.token_urlsafe(24)
    with listener(port) as here:
        number = here.getsockname()[1]
        server = server_of(book, number, token, who)
        ready(f"http://{_HERE}:{number}/?token={token}")
        with suppress(KeyboardInterrupt):  # uvicorn raises it again once it has let go of its connections
            server.run(sockets=[here])


def server_of(book: OpenBook, port: int, token: str, who: str = "") -> uvicorn.Server:
    """Return the server; it writes no log, for its first address holds the token."""
    app = review_app(book, port, token, who)
    settings = uvicorn.Config(
        app, lifespan="off", log_level="error", access_log=False, server_header=False, proxy_headers=False
    )
    return uvicorn.Server(settings)
