"""The review pages, served: what is shown at which address, and where each form leads."""

import threading
from collections.abc import Callable, Mapping
from pathlib import Path

from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import FileResponse, HTMLResponse, PlainTextResponse, RedirectResponse, Response
from starlette.routing import Route

from pipeline.errors import RunFault, WrongCommand
from pipeline.history.seen import ChangedSince
from pipeline.mistyped import nobody_called, to_type
from pipeline.reading.fact import MarkedFact
from pipeline.review.doing import ACTS, Done, Fields, accept_all, do, place_in, place_photo, whole_number, why_in
from pipeline.review.fact_form import GRADES, SCHEMES, SIDES, STATUSES, form_of, names_of
from pipeline.review.guard import Guard, Session
from pipeline.review.media_files import media_answer
from pipeline.review.open_book import OpenBook
from pipeline.review.release_page import Releases
from pipeline.review.teach_page import lesson_in, part_name, taught_words
from pipeline.review.views import Views
from pipeline.settings import Person
from pipeline.shipped import shipped
from pipeline.writing.decision_wording import NO_RELEASE
from pipeline.writing.pages import page

_LOOKS = {
    "logbook.css": ("logbook/logbook.css", "text/css"),
    "review.css": ("review/review.css", "text/css"),
    "review.js": ("review/review.js", "text/javascript"),
    "icon.svg": ("review/icon.svg", "image/svg+xml"),
}
_KEPT = {
    "read": "You wrote: “{}”",
    "item": "Your part was: “{}”",
    "why": "Your reason was: “{}”",
    "reason": "You wrote: “{}”",
}
_TOLD = "#told"  # where the focus goes: to what came of the act, which stands where it was done
_MOST_SHOWN = 300
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


class _Pages:
    def __init__(self, book: OpenBook) -> None:
        self._book = book
        self._lock = threading.Lock()
        self._made: tuple[object, Views] | None = None

    def app(self) -> Starlette:
        made = Starlette(
            routes=[
                Route("/", self._days),
                Route("/who", self._who),
                Route("/who", self._choose, methods=["POST"]),
                Route("/day/{day}", self._day),
                Route("/day/{day}/accept-all", self._accept_all, methods=["POST"]),
                Route("/day/{day}/photo", self._place_photo, methods=["POST"]),
                Route("/entry/{entry}", self._entry),
                Route("/entry/{entry}/read-again", self._read_again),
                Route("/entry/{entry}/{what}", self._act, methods=["POST"]),
                Route("/undo", self._undo, methods=["POST"]),
                Route("/write", self._write, methods=["POST"]),
                Route("/writing", self._writing),
                Route("/teach", self._teach_form),
                Route("/teach", self._teach, methods=["POST"]),
                Route("/teach/look", self._teach_look, methods=["POST"]),
                Route("/release", self._release),
                Route("/release", self._say_of, methods=["POST"]),
                Route("/release/{day}", self._release_day),
                Route("/release/{day}", self._say_of, methods=["POST"]),
                Route("/photo/{name}", self._photo),
                Route("/media/{name}", self._media),
                Route("/look/{name}", self._look),
            ],
            exception_handlers={404: _not_there, RunFault: _fault},
        )
        made.router.redirect_slashes = False  # a redirect would hand an address of the client's making back
        return made

    def _views(self) -> Views:
        """Return what the pages show of the book as it stands, made anew only where it has changed."""
        with self._lock:
            records = self._book.records()
            if self._made is None or self._made[0] is not records:
                book = self._book
                views = Views(records, book.past, book.vocabulary, book.settings, book.spoken)
                self._made = (records, views)
            return self._made[1]

    def _releases(self, views: Views) -> Releases:
        return Releases(views.records, self._book.past, self._book.vocabulary, self._book.settings)

    # Pages -----------------------------------------------------------------------------------------------------

    def _days(self, request: Request) -> Response:
        return self._shown(request, "review/days.html", lambda views: {"days": views.days})

    def _day(self, request: Request) -> Response:
        def values(views: Views) -> dict[str, object] | None:
            day = views.day(request.path_params["day"])
            return None if day is None else {"day": day}

        return self._shown(request, "review/day.html", values)

    def _entry(self, request: Request) -> Response:
        def values(views: Views) -> dict[str, object] | None:
            entry = views.entry(request.path_params["entry"])
            if entry is None:
                return None
            vocabulary = self._book.vocabulary
            who = request.state.session.who
            me = next((one for one in self._book.settings.people if one.name == who), Person(name=who))
            return {
                "entry": entry,
                "told_at": entry.place(request.state.session.at),
                "names": names_of(vocabulary),
                "me": me,
                "may_sign": [(one, one) for one in me.may_sign],
                "no_release": NO_RELEASE,
                "empty": form_of(MarkedFact(status="done"), vocabulary),
                "statuses": STATUSES,
                "sides": SIDES,
                "schemes": SCHEMES,
                "grades": GRADES,
            }

        return self._shown(request, "review/entry.html", values)

    def _photo(self, request: Request) -> Response:
        """Show a photo that stands in no entry, with the entries of a day: its clock may have the wrong one."""

        def values(views: Views) -> dict[str, object] | None:
            found = views.loose_photo(request.path_params["name"])
            if found is None:
                return None
            days, chosen = views.days_to_choose(found[0].day, request.query_params.get("day", ""))
            return {"day": found[0], "photo": found[1], "days": days, "chosen": chosen}

        return self._shown(request, "review/place-photo.html", values)

    def _read_again(self, request: Request) -> Response:
        """Show what is read in an entry's words; nothing is changed by that."""
        name = request.path_params["entry"]

        def values(views: Views) -> dict[str, object] | None:
            shown = views.entry(name)
            return None if shown is None else {"entry": shown, "again": self._book.read_again(views.entries[name])}

        try:
            return self._shown(request, "review/read-again.html", values)
        except WrongCommand as fault:
            request.state.session.told = ("fault", str(fault), "")
            return RedirectResponse(f"/entry/{name}", 303)

    def _who(self, request: Request) -> Response:
        return self._shown(request, "review/who.html", lambda views: {}, ask=False)

    def _writing(self, request: Request) -> Response:
        going = self._book.is_writing()
        values = {"going": going, "writing": self._book.writing}
        return self._shown(request, "review/writing.html", lambda views: values)

    def _teach_form(self, request: Request) -> Response:
        given = {key: request.query_params.get(key, "")[:200] for key in ("heard", "means", "entry")}
        return self._shown(request, "review/teach.html", lambda views: self._teaching(views, given))

    def _teach_look(self, request: Request) -> Response:
        """Show what a lesson would change; nothing is changed by that."""
        given = {key: value[:200] for key, value in request.state.form}
        try:
            lesson = lesson_in(given, self._book.vocabulary)
            changes = self._book.changes_of(lesson)
        except RunFault as fault:
            request.state.session.told = ("fault", str(fault), "")
            return self._shown(request, "review/teach.html", lambda views: self._teaching(views, given))
        return self._shown(
            request,
            "review/teach-look.html",
            lambda views: {
                "lesson": lesson,
                "part": part_name(lesson, self._book.vocabulary),
                "changes": changes,
                "entry": given.get("entry", ""),
                "called": views.called,
                "state": self._book.state,
            },
        )

    def _teaching(self, views: Views, given: Mapping[str, str]) -> dict[str, object]:
        entry = given.get("entry", "")
        return {
            "given": {key: given.get(key, "") for key in ("heard", "means", "part")},
            "entry": entry if entry in views.entries else "",
            "names": names_of(self._book.vocabulary),
            "taught": taught_words(self._book.past),
        }

    def _release(self, request: Request) -> Response:
        return self._shown(request, "review/release.html", self._released)

    def _released(self, views: Views) -> dict[str, object]:
        days = tuple(one for one in views.days if one.known)
        return {"out": self._releases(views), "days": days, "may": self._may_release}

    def _release_day(self, request: Request) -> Response:
        def values(views: Views) -> dict[str, object] | None:
            day = views.day(request.path_params["day"])
            out = self._releases(views)
            may = {"out": out, "may": self._may_release}
            return None if day is None else {**may, "day": day, "said": out.said_on(day.day)}

        return self._shown(request, "review/release-day.html", values)

    @property
    def _may_release(self) -> tuple[str, ...]:
        return tuple(one.name for one in self._book.settings.people if one.may_release)

    def _shown(
        self,
        request: Request,
        template: str,
        values: Callable[[Views], Mapping[str, object] | None],
        ask: bool = True,
    ) -> Response:
        session: Session = request.state.session
        if ask and not session.who:
            return RedirectResponse("/who", 303)
        views = self._views()
        found = values(views)
        if found is None:
            return PlainTextResponse("There is no such page. Go back to the days.\n", 404)
        told, undo = session.told, session.undo
        session.told, session.undo, session.at = ("", "", ""), (), ""
        text = page(
            template,
            book=views.records.book,
            who=session.who,
            people=self._book.settings.people,
            csrf=session.csrf,
            told=told,
            undo=undo,
            here=request.url.path,
            unwritten=self._book.unwritten,
            going_on=self._book.is_writing(),
            **{"told_at": "", **found},
        )
        return HTMLResponse(text.encode("utf-8", "backslashreplace"))

    # Acts ------------------------------------------------------------------------------------------------------

    def _choose(self, request: Request) -> Response:
        session, told = request.state.session, dict(request.state.form)
        given = (told.get("typed") or told.get("who") or "").strip()
        for person in self._book.settings.people:
            if given.casefold() in (name.casefold() for name in (person.name, *person.also)):
                session.who = person.name
                return RedirectResponse("/", 303)
        text = nobody_called(given, (one.name for one in self._book.settings.people))
        session.told = ("fault", text if given else "Choose who you are.", "")
        return RedirectResponse("/who", 303)

    def _act(self, request: Request) -> Response:
        name, what = request.path_params["entry"], request.path_params["what"]
        views = self._views()
        entry = views.entries.get(name)
        if entry is None or what not in ACTS:
            return PlainTextResponse("There is no such page. Go back to the days.\n", 404)
        back = f"/entry/{entry.id}"

        def act(fields: Fields, who: str) -> Done:
            return do(what, self._book, views, entry, fields, who)

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
        return self._done(
            request, lambda fields, who: accept_all(self._book, fields, who), self._back_to_day(request)
        )

    def _place_photo(self, request: Request) -> Response:
        views = self._views()

        def act(fields: Fields, who: str) -> Done:
            return place_photo(self._book, views, fields, who)

        # a day that was there for this photo alone is there no more
        return self._done(request, act, self._back_to_day(request), lambda done: self._back_to_day(request))

    def _back_to_day(self, request: Request) -> str:
        day = self._views().day(request.path_params["day"])
        return "/" if day is None else f"/day/{day.day}"

    def _undo(self, request: Request) -> Response:
        views = self._views()
        told = dict(request.state.form)

        def undo(fields: Fields, who: str) -> Done:
            why = told.get("why", "").strip() or "done by mistake"
            numbers = [value.rpartition("|") for key, value in fields if key == "undo"]
            for on, _, number in numbers:
                self._book.withdraw(on, int(number) if number.isascii() and number.isdigit() else 0, who, why)
            return Done("Taken back. It stays in the history that it was done.")

        back = told.get("entry", "")
        return self._done(request, undo, f"/entry/{back}" if back in views.entries else "/")

    def _write(self, request: Request) -> Response:
        session: Session = request.state.session
        self._book.begin_writing()
        if self._book.is_writing(_PATIENCE_S):
            return RedirectResponse("/writing", 303)
        session.told = ("done", self._book.writing, "")
        return RedirectResponse("/", 303)

    def _teach(self, request: Request) -> Response:
        told = dict(request.state.form)

        def act(fields: Fields, who: str) -> Done:
            if told.get("state") != self._book.state:
                raise WrongCommand("The book has changed since you saw what this would change. Look again.")
            made = self._book.teach(lesson_in(told, self._book.vocabulary), who, why_in(fields))
            return Done(
                f"Taught. The next run reads the whole book with it: saidseen run {to_type(self._book.book.folder)}",
                ((made.on, made.n),),
            )

        entry = told.get("entry", "")
        after = f"/entry/{entry}" if entry in self._views().entries else "/teach"
        return self._done(request, act, "/teach", lambda done: after)

    def _say_of(self, request: Request) -> Response:
        views, told = self._views(), dict(request.state.form)
        day = views.day(request.path_params.get("day", ""))

        def act(fields: Fields, who: str) -> Done:
            releases = self._releases(views)
            thing = releases.thing_called(told.get("thing", ""), told.get("words", ""), told.get("by", ""))
            out = told.get("act") == "out"
            if out and (held := releases.why_held(thing)):
                raise WrongCommand(f"Every report would hold these words back: {'; '.join(held)}. Nothing was done.")
            made = self._book.say_of(thing, whole_number(told.get("seen", "")), who, why_in(fields), out=out)
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
        return media_answer(self._views().media, request.path_params["name"], Path(self._book.book.out))

    def _look(self, request: Request) -> Response:
        found = _LOOKS.get(request.path_params["name"])
        if found is None:
            return PlainTextResponse("There is no such page.\n", 404)
        return FileResponse(shipped("templates") / found[0], media_type=found[1])


def _kept(fields: Fields) -> str:
    """Return what a person wrote into a form that could not be done, so that it can be copied."""
    return " ".join(_KEPT[key].format(value[:_MOST_SHOWN]) for key, value in fields if key in _KEPT and value.strip())


def _not_there(request: Request, fault: Exception) -> Response:
    return PlainTextResponse("There is no such page. Go back to the days.\n", 404)


def _fault(request: Request, fault: Exception) -> Response:
    """Tell a fault of the book itself: its history was changed, its settings cannot be read."""
    return PlainTextResponse(f"{fault}\n", 503)
