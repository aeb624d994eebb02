"""A browser without a screen: it opens the review page's server and fills its forms."""

import html
import re

from starlette.testclient import TestClient

from pipeline.history.chain import read

HOST = "127.0.0.1:8123"
ORIGIN = {"Origin": f"http://{HOST}"}


class Browser:
    """A browser that has opened the page: it keeps its cookie and fills forms as the page gives them."""

    def __init__(self, app, who="Bea Linnet"):
        self.client = TestClient(app, base_url=f"http://{HOST}")
        self.client.get("/?token=secret")
        self.csrf = field(self.get("/who").text, "csrf")
        if who:
            self.post("/who", who=who)

    def get(self, path, **more):
        return self.client.get(path, **more)

    def post(self, path, headers=ORIGIN, **fields):
        return self.client.post(path, data={"csrf": self.csrf, **fields}, headers=headers)

    def act(self, entry, what, seen=None, **fields):
        if what == "answer":
            return self.post(f"/entry/{entry}/{what}", seen=seen, **fields)
        version, decision = seen or self.seen(entry)
        return self.post(f"/entry/{entry}/{what}", version=version, decision=decision, **fields)

    def seen(self, entry):
        text = self.get(f"/entry/{entry}").text
        return field(text, "version"), field(text, "decision")


def field(text, name):
    """The value of a form's field."""
    return html.unescape(re.search(f'name="{name}" value="([^"]*)"', text)[1])


def told(answer):
    """What a page tells of the act before it."""
    text = re.search(r'<div class="told.*?</div>', answer.text, re.DOTALL)
    return html.unescape(re.sub("<[^>]+>", "", text[0])) if text else ""


def events(book):
    """What people did, as the book's history has it."""
    return [one for one in read(book.history_file).events if one.act not in ("read", "took-in")]
