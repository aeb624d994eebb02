"""Work told in the present: a plan, an order, how it goes, or a report as it goes."""

from collections.abc import Sequence

from pipeline.reading.clauses import OPENERS, Clause
from pipeline.reading.forms import BASE, PARTICIPLE, PAST, S_FORM, word_set
from pipeline.reading.governing import NONE, Governing, Judged, Mood
from pipeline.reading.pieces import BE, DETERMINERS, DOERS, HAVE

OBJECTS = word_set("it them one ones that those this these both all")
_PARTICLES = word_set("off out in up down away back on")
_LIE = word_set("lie live hang sit stand rest stay")


class PresentTense(Governing):
    """Judges verbs in the present."""

    def present(
        self, clause: Clause, at: int, chain: Sequence[str], forms: frozenset[str], subject: str, not_done: bool
    ) -> Mood:
        """Return the mood of the verb at piece ``at``, with the words before it (``chain``) and its subject."""
        if BASE in forms and (self.named_doer(clause, at) or (set(chain) & {"had", "got"} and not not_done)):
            return Mood("done", "had it done")
        if not_done or subject == "you":
            return Mood(NONE, "do not") if not_done else Mood("explained", "how-to")
        inherited = self.before if self.before and self.before[1] == clause.sentence else None
        follows = not subject and BASE in forms and PAST not in forms and inherited and BASE in inherited[2]
        # "I took it off and blank the ends" is a past whose ending was not heard.
        past = bool(inherited) and inherited is not None and PAST in inherited[2] and not self.explaining
        unheard = past and inherited and inherited[0].status == "done" and self.pieces[at - 1].low in ("and", "then")
        if inherited and ((follows and inherited[0].status != "done") or (unheard and BASE in forms)):
            return inherited[0]
        if PAST in forms and BASE in forms:
            same = self._past_or_base(clause, at, chain, forms, subject)
            if same is not None:
                return same
        planned = (self.means(clause, "day") and PAST not in forms) or self.pieces[at].verb in ("want", "need")
        if planned or self.is_plan(clause, forms):
            return Mood("planned", "plan", planned or self.says_when(clause))
        if self._kept(clause, at, forms):
            return Mood("done", "state")
        if self._thing_does(clause, at, chain, forms, subject):
            return Mood(NONE, "tells what it does", not self._reads_off(clause, at))
        if S_FORM in forms and self.pieces[at].verb in ("come", "go") and not self.explaining:
            return self._goes(clause, at, chain, inherited)
        return self._told(clause, at, forms, subject, inherited)

    def _goes(self, clause: Clause, at: int, chain: Sequence[str], inherited: Judged | None) -> Mood:
        """Judge "the rudder comes off", which is mostly what comes next, and "and out it comes"."""
        if not self._turned_round(clause, at, chain):
            return Mood("planned", "goes next")
        told = inherited is not None and inherited[0].status == "done" and self.pieces[at].verb == "come"
        return Mood("done", "told as it goes") if told else Mood("planned", "goes next", sure=False)

    def _told(self, clause: Clause, at: int, forms: frozenset[str], subject: str, inherited: Judged | None) -> Mood:
        """Judge a verb in the present that no word of plan or of place goes with."""
        if self.explaining or S_FORM in forms:
            return Mood("explained", "how-to", not self._reads_off(clause, at))
        if self.pieces[at].low == "has":
            return Mood("done", "state")  # "it has a tag on it"
        if subject in DOERS:
            ahead = self.still_ahead(clause) or (inherited is not None and inherited[0].status == "planned")
            return Mood("planned", "plan") if ahead else Mood("done", "told as it goes")
        if self.pieces[at].verb == "look":
            return Mood(NONE, "only pointed at")
        return Mood("planned", "order", not self._unlike_an_order(clause, at, inherited))

    def _unlike_an_order(self, clause: Clause, at: int, inherited: Judged | None) -> bool:
        """Tell whether it may be no order, but a noun ("rub down, etch") or a report ("and nip it up")."""
        goes_on = inherited is not None and inherited[0].status == "done" and clause.opener in ("and", "then")
        after = self.pieces[at + 1 : self.beside(clause)[-1].last]  # "rub down, etch and prime the fin": orders
        named = any(
            piece.kind in ("thing", "number", "side") or piece.low in DETERMINERS | OBJECTS for piece in after
        )
        return goes_on or not named

    def _turned_round(self, clause: Clause, at: int, chain: Sequence[str]) -> bool:
        """Tell whether it is told with its particle first, as people tell what just came: "and out she comes"."""
        if clause.opener in OPENERS or "so" in chain:  # a conclusion: "held by four screws, so off it comes"
            return False
        if self.before and self.before[0].status in ("planned", "explained"):
            return False
        away = at + 1 < clause.last and self.pieces[at + 1].low == "away"
        return bool(_PARTICLES & set(chain)) or away

    def _kept(self, clause: Clause, at: int, forms: frozenset[str]) -> bool:
        """Tell whether a part is told to be kept somewhere ("it lies in bag 6", "the pins hang in bag 6")."""
        if self.pieces[at].verb not in _LIE or not forms & {S_FORM, BASE}:
            return False
        itself = at > clause.first and (self.pieces[at - 1].kind == "thing" or S_FORM in forms)
        return itself and any(piece.kind == "stow" for piece in self.pieces[at + 1 : clause.last])

    def _reads_off(self, clause: Clause, at: int) -> bool:
        """Tell whether a size is read off in the present: "it mikes at 18.9 mm", "the axle measures 20 mm"."""
        follows = self.pieces[at + 1 : min(at + 4, clause.last)]
        return not self.explaining and any(piece.kind in ("measure", "number") for piece in follows)

    def _thing_does(self, clause: Clause, at: int, chain: Sequence[str], forms: frozenset[str], subject: str) -> bool:
        """Tell whether a part is what does it ("six bolts hold it"), and no participle that lacks its "is"."""
        named = at > clause.first and self.pieces[at - 1].kind == "thing" and subject not in DOERS | {"you"}
        passive = PARTICIPLE in forms and not chain[:-1]
        return named and self.pieces[at].verb not in ("come", "go") and not passive

    def _past_or_base(
        self, clause: Clause, at: int, chain: Sequence[str], forms: frozenset[str], subject: str
    ) -> Mood | None:
        """Judge a verb whose past is like its base ("put", "split"); None where it may be neither."""
        shared = self.shared_mood(clause, at, forms) if not subject else None
        if shared is not None:
            return shared
        if self.before and self.before[1] == clause.sentence and not subject:
            mood, _sentence, forms_before = self.before
            if BASE in forms_before and PAST not in forms_before:
                return mood
        if subject in DOERS and not set(chain) & (HAVE | BE) and self.still_ahead(clause):
            return Mood("planned", "plan")
        if set(chain) & (HAVE | BE) or not self.explaining:
            alone = not subject and not set(chain) & (HAVE | BE) and not self.named_doer(clause, at)
            return Mood("done", "past or order" if alone else "past")
        return None
