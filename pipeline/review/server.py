"""The review pages, served: which page is at which address, and where each form leads."""

from collections.abc import Callable
from pathlib import Path

from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import FileResponse, PlainTextResponse, RedirectResponse, Response
from starlette.routing import Route

from pipeline.errors import RunFault, WrongCommand
from pipeline.history.seen import ChangedSince
from pipeline.history.team import person_called
from pipeline.mistyped import to_type
from pipeline.review.doing import ACTS, Done, Fields, accept_all, do, place_in, place_photo, whole_number, why_in
from pipeline.review.fact_form import STOWED_IN
from pipeline.review.guard import Guard, Session
from pipeline.review.media_files import media_answer
from pipeline.review.open_book import OpenBook
from pipeline.review.shown_pages import ShownPages
from pipeline.review.teach_page import lesson_in
from pipeline.shipped import shipped

_LOOKS = {
    "logbook.css": ("logbook/logbook.css", "text/css"),
    "review.css": ("review/review.css", "text/css"),
    "review.js": ("review/review.js", "text/javascript"),
    "icon.svg": ("review/icon.svg", "image/svg+xml"),
}
_KEPT = {
    "read": "You wrote: “{}”",
    "item": "Your part was: “{}”",
    "count": "How many: “{}”",
    "of": "Of what: “{}”",
    "value": "Your measure was: “{}”",
    **{store: f"{store.capitalize()}: “{{}}”" for store in STOWED_IN},
    "tag": "Tag: “{}”",
    "why": "Your reason was: “{}”",
    "reason": "You wrote: “{}”",
}
_TOLD = "#told"  # where the focus goes: to what came of the act, which stands where it was done
_PATIENCE_S = 1.0


def review_app(book: OpenBook, port: int, token: str, who: str = "") -> Guard:
    """Return the whole page as an ASGI application, behind its guard.

    Args:
        book: the open book.
        port: the port that it is served on, by which it knows its own address.
        token: the word that the first address holds.
        who: who is checking, "" to ask.
    """
    return Guard(_Pages(book).app(), port, token, who)


class _Pages(ShownPages):
    def app(self) -> Starlette:
        made = Starlette(
            routes=[
                Route("/", self.days),
                Route("/who", self.who),
                Route("/who", self._choose, methods=["POST"]),
                Route("/day/{day}", self.day),
                Route("/day/{day}/accept-all", self._accept_all, methods=["POST"]),
                Route("/day/{day}/photo", self._place_photo, methods=["POST"]),
                Route("/entry/{entry}", self.entry),
                Route("/entry/{entry}/read-again", self.read_again),
                Route("/entry/{entry}/{what}", self._act, methods=["POST"]),
                Route("/undo", self._undo, methods=["POST"]),
                Route("/write", self._write, methods=["POST"]),
                Route("/writing", self.writing),
                Route("/teach", self.teach_form),
                Route("/teach", self._teach, methods=["POST"]),
                Route("/teach/look", self.teach_look, methods=["POST"]),
                Route("/release", self.release),
                Route("/release", self._say_of, methods=["POST"]),
                Route("/release/{day}", self.release_day),
                Route("/release/{day}", self._say_of, methods=["POST"]),
                Route("/photo/{name}", self.photo),
                Route("/media/{name}", self._media),
                Route("/look/{name}", self._look),
            ],
            exception_handlers={404: _not_there, RunFault: _fault},
        )
        made.router.redirect_slashes = False  # a redirect would hand an address of the client's making back
        return made

    # Acts ------------------------------------------------------------------------------------------------------

    def _choose(self, request: Request) -> Response:
        session, told = request.state.session, dict(request.state.form)
        given = (told.get("typed") or told.get("who") or "").strip()
        if not given:
            session.told = ("fault", "Choose who you are.", "")
            return RedirectResponse("/who", 303)
        try:
            session.who = person_called(self.book.settings.people, given).name
        except WrongCommand as fault:
            session.told = ("fault", str(fault), "")
            return RedirectResponse("/who", 303)
        return RedirectResponse("/", 303)

    def _act(self, request: Request) -> Response:
        name, what = request.path_params["entry"], request.path_params["what"]
        views = self.views()
        entry = views.entries.get(name)
        if entry is None or what not in ACTS:
            return PlainTextResponse("There is no such page. Go back to the days.\n", 404)
        back = f"/entry/{entry.id}"

        def act(fields: Fields, who: str) -> Done:
            return do(what, self.book, views, entry, fields, who)

        def after(done: Done) -> str:
            if done.at:
                return f"/entry/{done.at}"
            if not done.next_one:
                return back
            following = views.next_to_check(entry.id)
            day = views.day_of(entry.id)
            return f"/entry/{following.id}" if following else f"/day/{day.day}" if day else "/"

        return self._done(request, act, back, after)

    def _accept_all(self, request: Request) -> Response:
        return self._done(request, lambda fields, who: accept_all(self.book, fields, who), self._back_to_day(request))

    def _place_photo(self, request: Request) -> Response:
        views = self.views()

        def act(fields: Fields, who: str) -> Done:
            return place_photo(self.book, views, fields, who)

        # a day that was there for this photo alone is there no more
        return self._done(request, act, self._back_to_day(request), lambda done: self._back_to_day(request))

    def _back_to_day(self, request: Request) -> str:
        day = self.views().day(request.path_params["day"])
        return "/" if day is None else f"/day/{day.day}"

    def _undo(self, request: Request) -> Response:
        views = self.views()
        told = dict(request.state.form)

        def undo(fields: Fields, who: str) -> Done:
            why = told.get("why", "").strip() or "done by mistake"
            numbers = [value.rpartition("|") for key, value in fields if key == "undo"]
            for on, _, number in numbers:
                self.book.withdraw(on, int(number) if number.isascii() and number.isdigit() else 0, who, why)
            return Done("Taken back. It stays in the history that it was done.")

        back = told.get("entry", "")
        return self._done(request, undo, f"/entry/{back}" if back in views.entries else "/")

    def _write(self, request: Request) -> Response:
        session: Session = request.state.session
        self.book.begin_writing()
        if self.book.is_writing(_PATIENCE_S):
            return RedirectResponse("/writing", 303)
        session.told = ("done", self.book.writing, "")
        return RedirectResponse("/", 303)

    def _teach(self, request: Request) -> Response:
        told = dict(request.state.form)

        def act(fields: Fields, who: str) -> Done:
            if told.get("state") != self.book.state:
                raise WrongCommand("The book has changed since you saw what this would change. Look again.")
            made = self.book.teach(lesson_in(told, self.book.vocabulary), who, why_in(fields))
            return Done(
                f"Taught. The next run reads the whole book with it: saidseen run {to_type(self.book.book.folder)}",
                ((made.on, made.n),),
            )

        entry = told.get("entry", "")
        after = f"/entry/{entry}" if entry in self.views().entries else "/teach"
        return self._done(request, act, "/teach", lambda done: after)

    def _say_of(self, request: Request) -> Response:
        views, told = self.views(), dict(request.state.form)
        day = views.day(request.path_params.get("day", ""))

        def act(fields: Fields, who: str) -> Done:
            releases = self.releases(views)
            thing = releases.thing_called(told.get("thing", ""), told.get("words", ""), told.get("by", ""))
            out = told.get("act") == "out"
            if out and (held := releases.why_held(thing)):
                raise WrongCommand(f"Every report would hold these words back: {'; '.join(held)}. Nothing was done.")
            made = self.book.say_of(thing, whole_number(told.get("seen", "")), who, why_in(fields), out=out)
            return Done("It may go out." if out else "It is kept in.", ((made.on, made.n),))

        return self._done(request, act, "/release" if day is None else f"/release/{day.day}")

    def _done(
        self,
        request: Request,
        act: Callable[[Fields, str], Done],
        back: str,
        after: Callable[[Done], str] | None = None,
    ) -> Response:
        session: Session = request.state.session
        if not session.who:
            return RedirectResponse("/who", 303)
        session.at = place_in(request.state.form)
        try:
            done = act(request.state.form, session.who)
        except ChangedSince as fault:
            text = f"This has changed since you saw it: {fault.told}. Nothing was done, and nothing is lost. "
            session.told = ("fault", f"{text}It is shown as it stands now.", _kept(request.state.form))
            return RedirectResponse(f"{back}{_TOLD}", 303)
        except RunFault as fault:
            session.told = ("fault", str(fault), _kept(request.state.form))
            return RedirectResponse(f"{back}{_TOLD}", 303)
        session.told, session.undo = ("done", done.text, ""), done.undo
        return RedirectResponse(f"{back if after is None else after(done)}{_TOLD}", 303)

    # Files -----------------------------------------------------------------------------------------------------

    def _media(self, request: Request) -> Response:
        return media_answer(self.views().media, request.path_params["name"], Path(self.book.book.out))

    def _look(self, request: Request) -> Response:
        found = _LOOKS.get(request.path_params["name"])
        if found is None:
            return PlainTextResponse("There is no such page.\n", 404)
        return FileResponse(shipped("templates") / found[0], media_type=found[1])


def _kept(fields: Fields) -> str:
    """Return what a person wrote into a form that could not be done, so that it can be copied."""
    return " ".join(_KEPT[key].format(value) for key, value in fields if key in _KEPT and value.strip())


def _not_there(request: Request, fault: Exception) -> Response:
    return PlainTextResponse("There is no such page. Go back to the days.\n", 404)


def _fault(request: Request, fault: Exception) -> Response:
    """Tell a fault of the book itself: its history was changed, its settings cannot be read."""
    return PlainTextResponse(f"{fault}\n", 503)
