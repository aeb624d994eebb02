"""What a supporters' report is asked of: a book's records and settings, a period, and what the editor wants of it."""

from dataclasses import dataclass
from datetime import date

from pipeline.records import Records
from pipeline.settings import Settings
from pipeline.writing.supporters.choosing import Looks, unseen
from pipeline.writing.supporters.earlier import Earlier
from pipeline.writing.supporters.past import Past
from pipeline.writing.terms import Terms


@dataclass(frozen=True)
class Asked:
    """A report that somebody asks for.

    ``records`` are everything that the book holds; ``settings`` the team, what to withhold, and what the report is
    called; ``terms`` the vocabulary; ``first`` and ``last`` the days, in the book's time zone. ``looks`` tells how
    photos look, for choosing among them; ``lead`` is the photo that the editor would begin with, if it may be shown,
    "" for the program's choice; ``let_out`` are photos that the editor has looked at and lets out. ``earlier`` knows
    what came before, where it has been worked out for other reports too.
    """

    records: Records
    settings: Settings
    terms: Terms
    first: date
    last: date
    looks: Looks = unseen
    lead: str = ""
    let_out: frozenset[str] = frozenset()
    earlier: Earlier | None = None

    def past(self) -> Past:
        """Return what came before the report."""
        earlier = self.earlier or Earlier(self.records, self.settings, self.terms)
        return earlier.before(self.first)
