"""Whether something was done, is planned, is only explained, was not done, or must not be taken as work at all."""

from collections.abc import Sequence

from pipeline.reading.clauses import Clause, gives_time
from pipeline.reading.fluids import HELD_IN
from pipeline.reading.forms import BASE, ING, PARTICIPLE, PAST, S_FORM, word_set
from pipeline.reading.governing import DENIALS, MEANT, NONE, WOULD, Mood
from pipeline.reading.pieces import BE, DETERMINERS, DOERS, HAVE
from pipeline.reading.present_tense import OBJECTS, PresentTense

_ENTAIL = word_set("mean involve entail require")
_LET_DO = word_set("them him her us somebody someone me")
_MOVES_ITSELF = word_set("come go lift slide drop pull fall slip draw")
_CAN = word_set("could ca can wo would")
_LEADS = word_set("and then so but well right")
_NOTE = word_set("note notice remember bear")  # after "please": what follows is told, not asked for


class Moods(PresentTense):
    """Judges the clauses of one text in order; remembers how the talk goes from clause to clause."""

    def start(self, clause: Clause) -> None:
        """Take note of a clause, and judge its first verb: what follows with "and" shares its mood."""
        super().start(clause)
        self.judged = []
        self.head_plan(clause)
        if self.unread is not None:
            self.before = self.unread
        known = self.before
        verbal = (at for at in range(clause.first, clause.last) if self.pieces[at].verb)
        first = next((at for at in verbal if not self._is_noun(at)), -1)
        self.opening = self.of_verb(clause, first) if first >= 0 else None
        self.before, self.unread = known, self.before if first >= 0 else None

    def _is_noun(self, at: int) -> bool:
        """Tell whether a word that may be a verb names a finding here: "the crack has been welded"."""
        return self.pieces[at].kind == "finding" and self.pieces[at].tag in ("NN", "NNS")

    def tells_no_work_done(self) -> bool:
        """Tell whether the first verb, or every one, is surely denied, to come, explained or supposed."""
        told = [mood.status != "done" and mood.sure for mood in self.judged]
        opens_so = self.opening is not None and self.opening.status != "done" and self.opening.sure
        return opens_so or (bool(told) and all(told))

    def supposes(self, clause: Clause) -> bool:
        """Tell whether the clause only says how a part might come: "the fin should come off easily"."""
        judged = {mood.status for mood in self.judged}
        if self.opening is None or self.opening.why != "might" or judged & {"done", "planned", "explained"}:
            return False
        verbs = [at for at in range(clause.first, clause.last) if self.pieces[at].verb]
        moves = [at for at in verbs if self.pieces[at].verb in _MOVES_ITSELF]
        they_come = (
            moves and self.pieces[moves[0]].verb in ("come", "go") and self.subject(clause, verbs[0]) == "they"
        )
        return verbs[:1] == moves[:1] and (they_come or self.subject(clause, verbs[0]) not in DOERS)

    def only_supposes(self, clause: Clause) -> bool:
        """Tell whether the clause names a state as a condition: "until the fin is off", "when it is on trestles"."""
        lows = {piece.low for piece in self.pieces[clause.first : clause.last]}
        if any(mood.status == "done" for mood in self.judged) or not lows & {"is", "are", "'s", "'re"}:
            return False
        return clause.opener in ("until", "till", "unless", "if") or self.opens_in_time(clause)

    def of_verb(self, clause: Clause, at: int) -> Mood:
        """Judge the verb (or auxiliary used as a verb) at piece ``at``."""
        piece = self.pieces[at]
        forms = piece.forms or frozenset({PAST, PARTICIPLE} if piece.low in ("had", "'d", "did", "been") else {BASE})
        mood = self._of_verb(clause, at, forms)
        supposed = self.means(clause, "if", upto=at) and not self.told_so(clause)
        if supposed or (mood.status in ("planned", "explained") and self.near_if(clause)):
            mood = Mood(NONE, "conditional")
        if piece.verb in _MOVES_ITSELF and self._ought(clause, at):
            mood = Mood(NONE, "might")
        if mood.status in ("planned", "explained") and self.means(clause, "perhaps", upto=at):
            mood = Mood(NONE, "perhaps")
        lows = {step.low for step in self.pieces[clause.first : clause.last]}
        pleads = self._pleads(clause)
        if pleads and mood.why in ("can", "might"):
            mood = Mood("planned", "asked for")
        if mood.status == "done" and (pleads or self._lets(clause)) and not lows & DOERS:
            mood = Mood("planned", "asked for")
        to_come = lows & {"is", "are", "'re"} or (BASE in forms and PAST not in forms and not lows & {"did", "had"})
        ahead = any(self.means(other, "planned") for other in self.beside(clause))
        to_come = to_come or (BASE in forms and (ahead or "can" in self._sentence_words(clause)))
        if mood.status == "done" and self.opens_in_time(clause) and to_come:
            mood = Mood("planned" if clause.opener == "once" else NONE, "once it is")
        if piece.verb == "look" and self.subject(clause, at) == "you":
            mood = Mood(NONE, "said to the listener")
        till = any(
            self.pieces[step].low in ("till", "until", "unless") and not gives_time(self.pieces, step)
            for step in range(clause.first, at)
        )
        earlier = self.before is not None and self.before[0].status == "done" and PAST in forms and BASE not in forms
        told_too = earlier and mood.status == "done" and self.subject(clause, at) in ("i", "we")
        if till or (clause.opener == "before" and clause.first + 1 < at and not told_too):
            mood = Mood(NONE, "only named as later")
        if mood.status == "planned" and self.says_when(clause):
            mood = mood._replace(sure=True)
        if clause.question and self.answered_no(clause):
            mood = Mood("not-done", "not") if mood.status == "done" and ING not in forms else Mood(NONE, "asked")
        self.before, self.unread = (mood, clause.sentence, forms), None
        self.judged.append(mood)
        return mood

    def _ought(self, clause: Clause, at: int) -> bool:
        """Tell whether a part only "ought to come off"."""
        before = [piece.low for piece in self.pieces[max(clause.first, at - 2) : at]]
        return before == ["ought", "to"] and self.subject(clause, at) not in DOERS - {"they"}

    def _sentence_words(self, clause: Clause) -> set[str]:
        same = self.beside(clause)
        return {piece.low for piece in self.pieces[same[0].first : same[-1].last]}

    def _lets(self, clause: Clause) -> bool:
        """Tell whether the clause asks for something to be done together ("let's have it off")."""
        return any(
            self.pieces[step].low == "let" and self.pieces[step + 1].low in ("'s", "us")
            for step in range(clause.first, clause.last - 1)
        )

    def _pleads(self, clause: Clause) -> bool:
        """Tell whether the clause asks for something ("please put it on rack 4"), and not only to be noted."""
        return any(
            self.pieces[step].low == "please" and self.pieces[min(step + 1, clause.last - 1)].low not in _NOTE
            for step in range(clause.first, clause.last)
        )

    def _of_verb(self, clause: Clause, at: int, forms: frozenset[str]) -> Mood:
        chain, verb_before = self.chain(clause, at)
        subject = self.subject(clause, at)
        not_done = self.denied(clause, at, chain) or subject in ("nobody", "no-one", "none")
        not_done = not_done or self._none_of(clause, at, forms)
        if self.means(clause, "nearly", upto=at):
            return Mood(NONE, "nearly")
        thought = self.only_thought(clause)
        if thought or self.means(clause, "supposed", upto=at) or self.asked_about(clause, at):
            return Mood(NONE, "not said to be so")
        if self.means(clause, "meant-to", upto=at):
            return Mood("not-done", "meant to, but") if self.thwarted(clause) else Mood(MEANT, "only meant")
        governed = self._by_governor(clause, at, forms)
        if governed is not None:
            return governed
        if at > clause.first and self.pieces[at - 1].low == "to" and BASE in forms:
            if self.by_somebody(clause, at, verb_before):
                return self._of_verb(clause, verb_before, self.pieces[verb_before].forms)
            return self.infinitive(clause, at, chain, verb_before, subject, not_done)
        if any(self.pieces[step].low == "how" for step in range(clause.first, at)):
            return Mood(NONE, "asked how")
        if self._pointed_at(clause, at, chain, subject):
            return Mood(NONE, "only pointed at")
        mood = self._with_auxiliary(clause, at, forms, chain, subject, not_done)
        if mood is not None:
            return mood
        if forms & {PAST, PARTICIPLE} and (BASE not in forms or (PARTICIPLE in forms and set(chain) & (HAVE | BE))):
            return self._past(clause, at, chain, subject, not_done)
        if ING in forms:
            return self._ing(clause, at, chain, verb_before, subject, not_done)
        return self.present(clause, at, chain, forms, subject, not_done)

    def _pointed_at(self, clause: Clause, at: int, chain: Sequence[str], subject: str) -> bool:
        """Tell whether "is what" or "is where" only points at something; "six is what I've undone" tells of work."""
        pointing = [
            self.pieces[step].low
            for step in range(clause.first + 1, at)
            if self.pieces[step].low in ("what", "where") and self.pieces[step - 1].low in ("is", "'s", "was")
        ]
        told = pointing[-1:] == ["what"] and subject in ("i", "we") and bool(set(chain) & {"'ve", "have"})
        return bool(pointing) and not told

    def _none_of(self, clause: Clause, at: int, forms: frozenset[str]) -> bool:
        """Tell whether the object denies it ("I've had none of them out", "took neither of them off")."""
        follows = [piece.low for piece in self.pieces[at + 1 : min(at + 3, clause.last)]]
        return bool(forms & {PAST, PARTICIPLE}) and follows in (["none", "of"], ["neither", "of"])

    def _by_governor(self, clause: Clause, at: int, forms: frozenset[str]) -> Mood | None:
        """Judge a verb by "let them" or by a cue right before it ("ran out of time to"); None without one."""
        let = self._let(clause, at, forms)
        cue = self.governing(clause, at, forms) if let is None else None
        return self.by_cue(clause, cue) if cue is not None else let

    def _let(self, clause: Clause, at: int, forms: frozenset[str]) -> Mood | None:
        """Judge "never have let them paint it" by "let"."""
        step = at - 1
        if BASE not in forms or step - 1 <= clause.first or self.pieces[step].low not in _LET_DO:
            return None
        governor = self.pieces[step - 1]
        return self._of_verb(clause, step - 1, governor.forms) if governor.verb in ("let", "make") else None

    def _with_auxiliary(
        self, clause: Clause, at: int, forms: frozenset[str], chain: Sequence[str], subject: str, not_done: bool
    ) -> Mood | None:
        """Judge by "will", "did", "could" and the like; None where none of them stands before the verb."""
        if "wo" in chain and not_done and self.will_not_move(clause, at, subject):
            return Mood("not-done", "would not come")
        if self._planned(clause, at, chain):
            told_how = self.explaining and subject not in DOERS
            if (subject == "you" and "to" not in chain) or told_how:
                return Mood("explained", "how-to")
            return Mood(NONE, "will not") if not_done else Mood("planned", "will")
        if "did" in chain:
            return Mood("not-done", "did not") if not_done else Mood("done", "did")
        if "what" in chain and "do" in chain and self.explaining:
            return Mood("explained", "how-to")
        if {"does", "do"} & set(chain):
            return Mood(NONE, "do not" if not_done else "do")
        unable = self.unable(clause, forms, chain, subject) if set(chain) & _CAN and not_done else None
        if unable is not None:
            return unable
        had = "'d" in chain and "have" not in chain and PARTICIPLE in forms and BASE not in forms
        if self._modal(chain) and not had and subject == "you" and self.explaining and BASE in forms:
            return Mood("explained", "how-to")
        if self._modal(chain) and set(chain) & {"have", "'ve"} and subject in ("i", "we") and PARTICIPLE in forms:
            excused = not not_done and not self.near_if(clause) and self.thwarted(clause)
            return Mood("not-done", "would have, but") if excused else Mood(NONE if not_done else MEANT, "might")
        if "must" in chain and BASE in forms and subject in ("i", "we", "") and not (not_done or "have" in chain):
            return Mood("explained", "how-to") if self.explaining else Mood("planned", "must")
        if self._modal(chain) and not had:
            return Mood(NONE, "might") if subject == "you" else Mood(MEANT, "might")
        return self.can(clause, at, chain, subject) if "can" in chain else None

    def _modal(self, chain: Sequence[str]) -> bool:
        return bool(set(chain) & WOULD)

    def _planned(self, clause: Clause, at: int, chain: Sequence[str]) -> bool:
        if self.means(clause, "done-to", upto=at):
            return False
        if set(chain) & {"will", "'ll", "shall", "wo"} and not ("wo" in chain and self.explaining):
            return True
        hits = [hit for hit in self.cues_in(clause.first, at) if hit.means == "planned" and hit.last <= at]
        return (
            bool(hits)
            and any(len(hit.cue.split()) > 1 or hit.cue in ("gonna", "wanna") for hit in hits)
            and ("be" in chain or "to" in chain[-2:] or "for" in chain or hits[-1].last == at)
        )

    def _past(self, clause: Clause, at: int, chain: Sequence[str], subject: str, not_done: bool) -> Mood:
        piece = self.pieces[at]
        caused = self._gets(clause, at, chain) or self._caused(clause, at)
        if caused is not None:
            return caused
        if (
            "be" in chain
            and not set(chain) & ((HAVE | BE) - {"be"})
            and self.before
            and self.before[1] == clause.sentence
        ):
            return self.before[0]
        if subject in ("somebody", "someone"):
            return Mood(NONE, "somebody's work")
        perfect_or_passive = bool(set(chain) & (HAVE | BE))
        if subject == "you":
            return (
                Mood("explained", "how-to")
                if set(chain) & {"'ve", "have"} and "'d" not in chain
                else Mood(NONE, "said of the listener")
            )
        if not_done:
            return Mood("not-done", "not")
        if "being" in chain and self.timed(clause) and not self.right_now(clause):
            return Mood("planned", "plan")
        if self.plan_headed and not (perfect_or_passive or subject):
            return Mood("planned", "under a plan")
        if self.means(clause, "needs", upto=at):
            return Mood("planned", "needs")
        shared = self.shared_mood(clause, at, piece.forms) if not (perfect_or_passive or subject) else None
        if shared is not None:
            return shared
        passive = bool(set(chain) & {"is", "are", "'s", "'re", "gets"})
        reported = PARTICIPLE not in piece.forms or self._drops_subject(clause, at)
        if (
            self.explained_in == clause.sentence
            and self.explaining
            and (passive or not (perfect_or_passive or subject or reported))
            and "has" not in chain
        ):
            return Mood("explained", "how-to")
        return Mood("done", "past")

    def _drops_subject(self, clause: Clause, at: int) -> bool:
        """Tell whether a report leaves out who did it: "Spun the pump", "then drew the bolt"."""
        before = all(piece.kind == "mark" or piece.low in _LEADS for piece in self.pieces[clause.first : at])
        follows = self.pieces[at + 1] if at + 1 < clause.last else None
        return before and follows is not None and (
            follows.kind in ("thing", "number", "side") or follows.low in DETERMINERS | OBJECTS
        )  # fmt: skip

    def _gets(self, clause: Clause, at: int, chain: Sequence[str]) -> Mood | None:
        """Judge "it gets painted"."""
        governor = self.pieces[at - len(chain) - 1] if at - len(chain) > clause.first else None
        if governor is None or governor.low != "gets" or chain:
            return None
        if self.explaining:
            return Mood("explained", "how-to")
        return Mood("planned", "plan") if self.timed(clause) else Mood(NONE, "tells what it does")

    def _caused(self, clause: Clause, at: int) -> Mood | None:
        """Judge "get the magnetos tested" by "get"."""
        step = at - 1
        while (
            step > clause.first
            and self.pieces[step].kind in ("thing", "side", "word", "number")
            and self.pieces[step].low not in ("and", "then")
        ):
            step -= 1
        governor = self.pieces[step]
        between = self.pieces[step + 1 : at]
        named = any(piece.kind in ("thing", "side") or piece.low in OBJECTS | HELD_IN.keys() for piece in between)
        if governor.low == "like" and step > clause.first and self.pieces[step - 1].low in ("'d", "would"):
            return Mood("planned", "wanted") if named else None
        if (
            step < clause.first
            or not named
            or (governor.kind != "verb" and governor.low not in ("have", "having"))
            or (governor.kind == "verb" and governor.verb not in ("get", "have", "want", "need", "see", "like"))
        ):
            return None
        if governor.kind != "verb":
            return self._of_verb(clause, step, frozenset({BASE}))
        if governor.verb in ("want", "need") and governor.forms & {BASE, S_FORM}:
            if self.means(clause, "explained"):
                return Mood("explained", "how the book has it")
            return Mood("planned", "wanted")
        return self._of_verb(clause, step, governor.forms)

    def _ing(
        self, clause: Clause, at: int, chain: Sequence[str], verb_before: int, subject: str, not_done: bool
    ) -> Mood:
        watched = self.pieces[verb_before] if verb_before >= clause.first else None
        if subject == "you" and not (watched and watched.verb in ("see", "watch", "hear")):
            return Mood("explained", "how-to")
        if (
            watched
            and watched.verb in ("see", "watch", "hear")
            and any(
                self.pieces[step].low in DETERMINERS or self.pieces[step].capital
                for step in range(verb_before + 1, at)
            )
        ):
            return Mood(NONE, "not seen") if not_done else Mood("done", "under way")
        if self.means(clause, "needs", upto=at):
            spared = not_done or bool(DENIALS & set(self.chain(clause, max(verb_before, clause.first))[0]))
            return Mood(NONE, "no need") if spared else Mood("planned", "needs")
        if not_done:
            return Mood(NONE, "not")
        previous = self.pieces[at - 1].low if at > clause.first else ""
        if previous == "to":
            return Mood(NONE, "only named")
        if previous == "for" and set(chain) & {"'s", "is", "are"}:
            return Mood("planned", "is for")
        if previous in ("without", "instead", "than", "about", "worth", "no", "from", "mind", "against"):
            return Mood(NONE, "only named")
        if previous in ("before", "for", "of", "by", "at", "when", "while"):
            if verb_before >= clause.first or self.before:
                return self._governed(clause, verb_before)
            return Mood(NONE, "only named")
        if set(chain) & {"was", "were", "'re", "'m", "am", "are", "is", "'s", "been"}:
            return self._progressive(clause, at, chain, subject)
        if verb_before >= clause.first:
            return self._governed(clause, verb_before)
        return self._bare_ing(clause, at, chain, subject)

    def _bare_ing(self, clause: Clause, at: int, chain: Sequence[str], subject: str) -> Mood:
        """Judge "taking it off" that nothing governs."""
        follows = self.before if self.before and self.before[1] == clause.sentence and ING in self.before[2] else None
        if follows and not subject and not set(chain) & (HAVE | BE):
            return follows[0]
        if self.explaining and self.explained_in == clause.sentence:
            return Mood("explained", "how-to")
        later = {piece.low for piece in self.pieces[at + 1 : clause.last]}
        if not subject and later & {"will", "'ll", "would", "should", "might", "means", "involves", "entails"}:
            return Mood(NONE, "only named")  # "removing it will take an hour"
        return Mood("planned", "plan") if self.in_sentence(clause, "plan-time") else Mood("done", "under way")

    def _progressive(self, clause: Clause, at: int, chain: Sequence[str], subject: str) -> Mood:
        """Judge "is making" and "are coming off": under way, unless it speaks of a time to come."""
        if {"was", "were", "been"} & set(chain) or self.right_now(clause):
            return Mood("done", "under way")
        if self.means(clause, "day"):
            return Mood("planned", "plan")
        upward = at + 1 < clause.last and self.pieces[at + 1].low in ("up", "down")
        leaves = self.pieces[at].verb in ("come", "go") and not upward and subject not in DOERS - {"they"}
        now = any(self.pieces[step].low == "now" for step in range(clause.first, clause.last))
        soon = any(other.opener in ("once", "when") for other in self.beside(clause))
        if soon or self.is_plan(clause, frozenset()) or (leaves and not now):
            return Mood("planned", "plan", soon or self.says_when(clause))
        return Mood("done", "under way")

    def _governed(self, clause: Clause, verb_before: int) -> Mood:
        if verb_before < clause.first:
            return Mood(NONE, "only named")
        governor = self.pieces[verb_before]
        if governor.verb in _ENTAIL and S_FORM in governor.forms:
            return Mood("explained", "what it takes")
        if self.means(clause, "planned", upto=verb_before) and governor.verb not in ("remove",):
            return Mood("planned", "will")
        if governor.verb in ("start", "finish", "keep", "begin", "get", "have"):
            return self._of_verb(clause, verb_before, governor.forms)
        return Mood(NONE, "only named")

    def of_state(self, clause: Clause, at: int, state_at: int) -> Mood:
        """Judge "is off", and remember it for what is joined to it ("I want it off and the tank drained")."""
        mood = self._of_state(clause, at, state_at)
        if clause.question and mood.status == "done" and self.answered_no(clause):
            mood = Mood("not-done", "not")
        self.before, self.unread = (mood, clause.sentence, frozenset({PARTICIPLE})), None
        self.judged += [mood] if mood.status == "not-done" else []
        return mood

    def _of_state(self, clause: Clause, at: int, state_at: int) -> Mood:
        """Judge "is off": ``at`` is the auxiliary (or the state's own piece where there is none)."""
        chain = [piece.low for piece in self.pieces[clause.first : state_at]]
        lows = set(chain[max(0, at - clause.first - 3) :])
        subject = self.subject(clause, at)
        thought = self.only_thought(clause)
        if thought or self.means(clause, "nearly", "meant-to", "perhaps", "supposed", upto=state_at):
            return Mood(NONE, "nearly")
        if self._pleads(clause) or clause.opener == "or" or lows & WOULD:
            return Mood(NONE, "might")
        if subject == "you":
            return Mood("explained", "how-to")
        if lows & {"will", "'ll"} or ("be" in lows and "to" in lows):
            status = NONE if self.near_if(clause) else "planned"
            return Mood(status, "will")
        if any(piece.verb in ("want", "need") for piece in self.pieces[clause.first : at]):
            return Mood("planned", "wanted")
        if clause.opener in ("if", "before", "till", "until", "unless") and not self.told_so(clause):
            return Mood(NONE, "conditional" if clause.opener == "if" else "only named as later")
        if lows & DENIALS or "nobody" in lows:
            return Mood("not-done", "not")
        verbless = not any(piece.kind in ("aux", "verb") for piece in self.pieces[clause.first : state_at])
        headed = verbless and any(
            self.means(other, "plan-time") for other in self.beside(clause) if other.first < clause.first
        )
        if (headed or (verbless and self.plan_headed) or self.means(clause, "plan-time")) and not lows & {
            "was",
            "were",
        }:
            return Mood("planned", "plan")
        if self.near_if(clause) and (clause.opener == "if" or self.means(clause, "if")):
            return Mood(NONE, "conditional")
        if self.explaining and self.explained_in == clause.sentence:
            return Mood("explained", "how-to")
        if clause.opener in ("once", "when", "after") and not lows & {"was", "were"}:
            return Mood("planned" if clause.opener == "once" else NONE, "once it is")
        return Mood("done", "state")
