"""Who may speak with the review page: this machine's browser alone, with the token of this start.

Sources: OWASP Cheat Sheets on cross-site request forgery (origin check, synchroniser token) and DNS rebinding (Host
check); W3C Content Security Policy Level 3; RFC 6265bis (SameSite). From memory.
"""

import secrets
from dataclasses import dataclass, field
from urllib.parse import parse_qsl

from starlette.datastructures import MutableHeaders
from starlette.requests import Request
from starlette.responses import PlainTextResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

MOST_BYTES = 256 * 1024
_ALWAYS = {
    "Content-Security-Policy": "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; "
    "media-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'",
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",  # with no-referrer, browsers would send "Origin: null" with our own forms
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cache-Control": "no-store",
}


@dataclass
class Session:
    """One browser that showed the token: who checks with it, and what to tell on its next page, and where on it."""

    csrf: str = field(default_factory=lambda: secrets.token_urlsafe(24))
    who: str = ""
    told: tuple[str, str, str] = ("", "", "")
    at: str = ""
    undo: tuple[tuple[str, int], ...] = ()


class Guard:
    """Lets a request through to the pages only where it comes from our own page in a browser that has the token.

    Args:
        app: the pages.
        port: the port that is listened on, for the Host and Origin that are ours.
        token: what opens the first page.
        who: who is checking, "" where that is asked.
    """

    def __init__(self, app: ASGIApp, port: int, token: str, who: str = "") -> None:
        self._app = app
        self._hosts = frozenset({f"127.0.0.1:{port}", f"localhost:{port}"})
        self._cookie = f"saidseen_review_{port}"
        self._token = token
        self._who = who
        self._sessions: dict[str, Session] = {}

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request, or pass it on with its session and its form in ``scope["state"]``."""
        if scope["type"] != "http":
            return
        request = Request(scope, receive)

        async def sent(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in _ALWAYS.items():
                    headers[name] = value
            await send(message)

        refused = await self._refused(request, scope)
        await (refused or self._app)(scope, receive, sent)

    async def _refused(self, request: Request, scope: Scope) -> Response | None:
        hosts = request.headers.getlist("host")
        if len(hosts) != 1 or hosts[0].lower() not in self._hosts:
            return _no("This page is for this machine alone.", 403)
        if request.method not in ("GET", "HEAD", "POST"):
            return _no("Not done here.", 405)
        given = request.query_params.get("token")
        if request.method == "GET" and request.url.path == "/" and given is not None:
            return self._welcome(given)
        session = self._sessions.get(request.cookies.get(self._cookie, ""))
        if session is None:
            return _no("Open the address that saidseen review printed: it holds the word that lets you in.", 403)
        scope.setdefault("state", {})["session"] = session
        return await self._refused_form(request, scope, session) if request.method == "POST" else None

    async def _refused_form(self, request: Request, scope: Scope, session: Session) -> Response | None:
        if request.headers.getlist("origin") != [f"http://{request.headers['host'].lower()}"]:
            return _no("This form was not sent from this page.", 403)
        if request.headers.get("sec-fetch-site", "same-origin") != "same-origin":
            return _no("This form was not sent from this page.", 403)
        if request.headers.get("content-type", "").partition(";")[0] != "application/x-www-form-urlencoded":
            return _no("Only forms are taken here.", 415)
        body = b""
        async for part in request.stream():
            body += part
            if len(body) > MOST_BYTES:
                return _no("That is too long.", 413)
        try:
            fields = parse_qsl(body.decode("ascii"), keep_blank_values=True, errors="strict", max_num_fields=2000)
        except ValueError:
            return _no("That is no form.", 400)
        sent = [value for key, value in fields if key == "csrf"]
        if len(sent) != 1 or not secrets.compare_digest(sent[0].encode(), session.csrf.encode()):
            return _no("This form is from another start of the page. Go back and load it again.", 403)
        scope["state"]["form"] = [(key, value) for key, value in fields if key != "csrf"]
        return None

    def _welcome(self, given: str) -> Response:
        if not secrets.compare_digest(given.encode(), self._token.encode()):
            return _no("That address is of another start. Open the one that saidseen review printed last.", 403)
        name = secrets.token_urlsafe(32)
        self._sessions[name] = Session(who=self._who)
        answer = RedirectResponse("/", 303)
        answer.set_cookie(self._cookie, name, httponly=True, samesite="strict", path="/")
        return answer


def _no(text: str, status: int) -> Response:
    return PlainTextResponse(text + "\n", status)
