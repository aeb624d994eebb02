"""Whether what is said lies ahead: "next week", "on Sunday", "once it's dry", a plan that heads a list."""

from collections.abc import Sequence

from pipeline.reading.clauses import Clause
from pipeline.reading.explaining import Explaining
from pipeline.reading.forms import BASE, PAST, S_FORM
from pipeline.reading.lexicon import Lexicon
from pipeline.reading.pieces import DOERS, Piece


class Planning(Explaining):
    """Follows what is planned through the clauses of one text."""

    def __init__(self, lexicon: Lexicon, pieces: Sequence[Piece], clauses: Sequence[Clause]) -> None:
        super().__init__(lexicon, pieces, clauses)
        self.plan_headed = False

    def head_plan(self, clause: Clause) -> None:
        """Take note of "Next week." or "Still to do:" over fragments, and of where a full sentence ends them."""
        inside = self.pieces[clause.first : clause.last]
        said = any(piece.kind in ("aux", "verb") and piece.low not in ("to", "do") for piece in inside)
        colon = any(piece.low == ":" for piece in inside)
        alone = colon or not any(piece.kind == "thing" for piece in inside)
        if self.means(clause, "plan-time") and not said and alone:
            self.plan_headed = True
        elif any(piece.kind == "aux" or piece.low in DOERS for piece in inside):
            self.plan_headed = False

    def opens_in_time(self, clause: Clause) -> bool:
        """Tell whether the clause begins with "when", "once", "after" or "as soon as"."""
        if clause.opener in ("once", "when", "after"):
            return True
        return clause.opener == "as" and any(
            piece.low == "soon" for piece in self.pieces[clause.first : clause.first + 3]
        )

    def still_ahead(self, clause: Clause) -> bool:
        """Tell whether "tomorrow", "next" or "once it's dry" stands before work told in the present."""
        words = {piece.low for piece in self.pieces[clause.first : clause.last]}
        if words & {"tomorrow", "next"}:
            return True
        number = self._numbers[clause]
        before = self.clauses[number - 1] if number else clause
        if before.sentence != clause.sentence or before is clause or not self.opens_in_time(before):
            return False
        return any(
            piece.low in ("is", "are", "'s", "'re") or (piece.forms & {BASE, S_FORM} and PAST not in piece.forms)
            for piece in self.pieces[before.first : before.last]
        )

    def is_plan(self, clause: Clause, forms: frozenset[str]) -> bool:
        """Tell whether the clause speaks of a time to come ("on Tuesday", "next", "once the pins arrive")."""
        if self.in_sentence(clause, "plan-time"):
            return True
        if any(self.pieces[step].low == "next" for step in range(clause.first, clause.last)):
            return True
        number = self._numbers[clause]
        if S_FORM not in forms or self.explaining or number + 1 >= len(self.clauses):
            return False
        following = self.clauses[number + 1]
        return following.sentence == clause.sentence and following.opener in ("once", "when", "after")

    def says_when(self, clause: Clause) -> bool:
        """Tell whether the clause itself names a time to come."""
        return self.means(clause, "plan-time") or any(
            piece.low == "next" for piece in self.pieces[clause.first : clause.last]
        )

    def timed(self, clause: Clause) -> bool:
        """Tell whether the sentence names a time to come ("once", "when", "on Sunday")."""
        after = any(other.opener in ("once", "when", "after") for other in self.beside(clause))
        return after or self.in_sentence(clause, "plan-time") or self.means(clause, "day")

    def right_now(self, clause: Clause) -> bool:
        """Tell whether it goes on as it is said ("as I speak", "right now")."""
        lows = " ".join(piece.low for piece in self.pieces[clause.first : clause.last])
        now = any(words in lows for words in ("as i speak", "as we speak", "right now", "at this moment"))
        return now or lows.split()[-1:] == ["now"]

    def now_possible(self, clause: Clause, at: int, chain: Sequence[str]) -> bool:
        """Tell whether "it can be painted" says what comes next: "so", "now", "once", "on Sunday" stand beside it."""
        if "be" not in chain and self.pieces[at].verb not in ("come", "go", "have"):
            return False
        words = {piece.low for piece in self.pieces[clause.first : clause.last]}
        return bool(words & {"so", "now", "then"}) or self.timed(clause)
