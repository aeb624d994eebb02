"""The clock card on this machine's screen: a page that is served to this machine alone, until it is stopped."""

import os
import re
import secrets
from collections.abc import Callable
from datetime import datetime, tzinfo
from http import HTTPStatus
from http.server import BaseHTTPRequestHandler
from socketserver import ThreadingTCPServer

from pipeline.cards.clock_card import card_text, card_words
from pipeline.cards.qr_code import qr_svg
from pipeline.english import long_date
from pipeline.errors import WrongCommand
from pipeline.settings import known_zone
from pipeline.writing.pages import page

_HERE = "127.0.0.1"
_OUR_NAMES = frozenset({_HERE, "localhost"})
_WORDS_STAND_S = 10  # nobody can read a sentence aloud that changes every second


class ClockServer(ThreadingTCPServer):
    """Serves the clock card on the loopback address. Not http.server's own: that asks the network for our name.

    Args:
        now: reads the machine's clock.
        zone: in which time the figures and words are; None for the machine's own.
        port: 0 for any that is free.

    Raises:
        WrongCommand: the port is not to be had.
    """

    daemon_threads = True
    allow_reuse_address = os.name != "nt"  # on Windows it would let two programs share one port

    def __init__(self, now: Callable[[], datetime], zone: tzinfo | None = None, port: int = 0) -> None:
        try:
            super().__init__((_HERE, port), _Answer)
        except OSError as error:
            raise WrongCommand(
                f"Port {port} is not to be had ({error.strerror}). Leave --port out to get one that is free."
            ) from error
        self._now = now
        self._zone = zone

    @property
    def address(self) -> str:
        """Where the page is."""
        return f"http://{_HERE}:{self.server_address[1]}/"

    def local_now(self) -> datetime:
        """Return the present instant, in the zone to be shown."""
        return self._now().astimezone(self._zone)


def zone_called(name: str) -> tzinfo | None:
    """Return the zone of an IANA name; None, for the machine's own, if the name is "".

    Raises:
        WrongCommand: there is no such zone.
    """
    if not name:
        return None
    try:
        return known_zone(name)
    except ValueError as error:
        raise WrongCommand(f"--zone: {error}.") from error


def card_values(instant: datetime) -> dict[str, object]:
    """Return what the card shows at an aware instant, in the offset that it has.

    The words stand for ten seconds and give the instant at which they came: whoever begins as they change is right.
    """
    standing_s = instant.second % _WORDS_STAND_S
    return {
        "code": qr_svg(card_text(instant)),
        "time": f"{instant:%H:%M:%S}",
        "date": long_date(instant),
        "offset": instant.isoformat(timespec="seconds")[len("2026-02-14T10:20:31") :],
        "words": card_words(instant.replace(second=instant.second - standing_s)),
        "left_s": _WORDS_STAND_S - standing_s,
    }


class _Answer(BaseHTTPRequestHandler):
    """One request: the page, the card in it, or the code alone, all of this very second."""

    server: ClockServer
    server_version = "saidseen"
    sys_version = ""
    timeout = 5

    def do_GET(self) -> None:
        asked = self.path.partition("?")[0]
        if not self._asked_by_our_name():
            self._send(HTTPStatus.FORBIDDEN, "text/plain", f"This page is for this machine: {self.server.address}\n")
        elif asked == "/":
            nonce = secrets.token_urlsafe(16)
            self._send(HTTPStatus.OK, "text/html", page("clock.html", nonce=nonce, **self._values()), nonce)
        elif asked == "/card":
            self._send(HTTPStatus.OK, "text/html", page("clock_card.html", **self._values()))
        elif asked == "/card.svg":
            self._send(HTTPStatus.OK, "image/svg+xml", qr_svg(card_text(self.server.local_now())))
        else:
            self._send(HTTPStatus.NOT_FOUND, "text/plain", f"There is one page here: {self.server.address}\n")

    def _values(self) -> dict[str, object]:
        return card_values(self.server.local_now())

    def _asked_by_our_name(self) -> bool:
        """Tell whether the browser was sent to us by our own name, and not by one that another site's owner chose."""
        hosts = self.headers.get_all("Host", [])
        return len(hosts) == 1 and re.sub(r":[0-9]+$", "", hosts[0].strip().lower()) in _OUR_NAMES

    def _send(self, status: HTTPStatus, media_type: str, text: str, nonce: str = "") -> None:
        content = text.encode()
        ours = f"; script-src 'nonce-{nonce}'; style-src 'nonce-{nonce}'; connect-src 'self'" if nonce else ""
        self.send_response(status)
        self.send_header("Content-Type", f"{media_type}; charset=utf-8")
        self.send_header("Content-Length", str(len(content)))
        self.send_header("Cache-Control", "no-store")
        self.send_header(
            "Content-Security-Policy",
            f"default-src 'none'{ours}; base-uri 'none'; form-action 'none'; frame-ancestors 'none'",
        )
        self.send_header("Cross-Origin-Resource-Policy", "same-origin")
        self.send_header("X-Content-Type-Options", "nosniff")
        self.send_header("Referrer-Policy", "no-referrer")
        self.end_headers()
        self.wfile.write(content)

    def log_message(self, format: str, *args: object) -> None:
        """Say nothing: the page asks once a second."""
