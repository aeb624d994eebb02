"""The review pages that are shown: what a page is filled with. Nothing is changed by looking at one."""

import threading
from collections.abc import Callable, Mapping

from starlette.requests import Request
from starlette.responses import HTMLResponse, PlainTextResponse, RedirectResponse, Response

from pipeline.errors import RunFault, WrongCommand
from pipeline.reading.fact import MarkedFact
from pipeline.review.fact_form import GRADES, SCHEMES, SIDES, form_of, names_of
from pipeline.review.guard import Session
from pipeline.review.open_book import OpenBook
from pipeline.review.release_page import Releases
from pipeline.review.teach_page import lesson_in, part_name, taught_words
from pipeline.review.views import Views
from pipeline.settings import Person
from pipeline.writing.decision_wording import NO_RELEASE
from pipeline.writing.pages import page
from pipeline.writing.wording import STATUS_HEADINGS


class ShownPages:
    """The pages of one open book: each method answers for one address."""

    def __init__(self, book: OpenBook) -> None:
        self.book = book
        self._lock = threading.Lock()
        self._made: tuple[object, Views] | None = None

    def views(self) -> Views:
        """Return what the pages show of the book as it stands, made anew only where it has changed."""
        with self._lock:
            records = self.book.records()
            if self._made is None or self._made[0] is not records:
                book = self.book
                views = Views(records, book.past, book.vocabulary, book.settings, book.spoken)
                self._made = (records, views)
            return self._made[1]

    def releases(self, views: Views) -> Releases:
        """Return what may go out to supporters of the book as it stands."""
        return Releases(views.records, self.book.past, self.book.vocabulary, self.book.settings)

    def days(self, request: Request) -> Response:
        """Show all days."""
        return self._shown(request, "review/days.html", lambda views: {"days": views.days})

    def day(self, request: Request) -> Response:
        """Show one day's entries."""

        def values(views: Views) -> dict[str, object] | None:
            day = views.day(request.path_params["day"])
            return None if day is None else {"day": day}

        return self._shown(request, "review/day.html", values)

    def entry(self, request: Request) -> Response:
        """Show one entry, with all that can be done to it."""

        def values(views: Views) -> dict[str, object] | None:
            entry = views.entry(request.path_params["entry"])
            if entry is None:
                return None
            vocabulary = self.book.vocabulary
            who = request.state.session.who
            me = next((one for one in self.book.settings.people if one.name == who), Person(name=who))
            return {
                "entry": entry,
                "told_at": entry.place(request.state.session.at),
                "names": names_of(vocabulary),
                "me": me,
                "may_sign": [(one, one) for one in me.may_sign],
                "no_release": NO_RELEASE,
                "empty": form_of(MarkedFact(status="done"), vocabulary),
                "statuses": STATUS_HEADINGS,
                "sides": SIDES,
                "schemes": SCHEMES,
                "grades": GRADES,
            }

        return self._shown(request, "review/entry.html", values)

    def photo(self, request: Request) -> Response:
        """Show a photo that stands in no entry, with the entries of a day: its clock may have the wrong one."""

        def values(views: Views) -> dict[str, object] | None:
            found = views.loose_photo(request.path_params["name"])
            if found is None:
                return None
            days, chosen = views.days_to_choose(found[0].day, request.query_params.get("day", ""))
            return {"day": found[0], "photo": found[1], "days": days, "chosen": chosen}

        return self._shown(request, "review/place-photo.html", values)

    def read_again(self, request: Request) -> Response:
        """Show what is read in an entry's words; nothing is changed by that."""
        name = request.path_params["entry"]

        def values(views: Views) -> dict[str, object] | None:
            shown = views.entry(name)
            return None if shown is None else {"entry": shown, "again": self.book.read_again(views.entries[name])}

        try:
            return self._shown(request, "review/read-again.html", values)
        except WrongCommand as fault:
            request.state.session.told = ("fault", str(fault), "")
            return RedirectResponse(f"/entry/{name}", 303)

    def who(self, request: Request) -> Response:
        """Ask who is checking."""
        return self._shown(request, "review/who.html", lambda views: {}, ask=False)

    def writing(self, request: Request) -> Response:
        """Show how the writing of the pages goes."""
        going = self.book.is_writing()
        values = {"going": going, "writing": self.book.writing}
        return self._shown(request, "review/writing.html", lambda views: values)

    def teach_form(self, request: Request) -> Response:
        """Show the form that teaches a word, and what was taught."""
        given = {key: request.query_params.get(key, "")[:200] for key in ("heard", "means", "entry")}
        return self._shown(request, "review/teach.html", lambda views: self._teaching(views, given))

    def teach_look(self, request: Request) -> Response:
        """Show what a lesson would change; nothing is changed by that."""
        given = {key: value[:200] for key, value in request.state.form}
        try:
            lesson = lesson_in(given, self.book.vocabulary)
            changes = self.book.changes_of(lesson)
        except RunFault as fault:
            request.state.session.told = ("fault", str(fault), "")
            return self._shown(request, "review/teach.html", lambda views: self._teaching(views, given))
        return self._shown(
            request,
            "review/teach-look.html",
            lambda views: {
                "lesson": lesson,
                "part": part_name(lesson, self.book.vocabulary),
                "changes": changes,
                "entry": given.get("entry", ""),
                "called": views.called,
                "state": self.book.state,
            },
        )

    def _teaching(self, views: Views, given: Mapping[str, str]) -> dict[str, object]:
        entry = given.get("entry", "")
        return {
            "given": {key: given.get(key, "") for key in ("heard", "means", "part")},
            "entry": entry if entry in views.entries else "",
            "names": names_of(self.book.vocabulary),
            "taught": taught_words(self.book.past),
        }

    def release(self, request: Request) -> Response:
        """Show what has been let out, and what may be."""
        return self._shown(request, "review/release.html", self._released)

    def _released(self, views: Views) -> dict[str, object]:
        days = tuple(one for one in views.days if one.known)
        return {"out": self.releases(views), "days": days, "may": self._may_release}

    def release_day(self, request: Request) -> Response:
        """Show what was said on a day, to let it out."""

        def values(views: Views) -> dict[str, object] | None:
            day = views.day(request.path_params["day"])
            out = self.releases(views)
            may = {"out": out, "may": self._may_release}
            return None if day is None else {**may, "day": day, "said": out.said_on(day.day)}

        return self._shown(request, "review/release-day.html", values)

    @property
    def _may_release(self) -> tuple[str, ...]:
        return tuple(one.name for one in self.book.settings.people if one.may_release)

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
        views = self.views()
        found = values(views)
        if found is None:
            return PlainTextResponse("There is no such page. Go back to the days.\n", 404)
        told, undo = session.told, session.undo
        session.told, session.undo, session.at = ("", "", ""), (), ""
        text = page(
            template,
            book=views.records.book,
            who=session.who,
            people=self.book.settings.people,
            csrf=session.csrf,
            told=told,
            undo=undo,
            here=request.url.path,
            unwritten=self.book.unwritten,
            going_on=self.book.is_writing(),
            **{"told_at": "", **found},
        )
        return HTMLResponse(text.encode("utf-8", "backslashreplace"))
