"""What governs a verb: "tried to", "ran out of time to", "in the middle of", "meant to ... but"."""

from collections.abc import Sequence
from typing import NamedTuple

from pipeline.reading.clauses import Clause
from pipeline.reading.cues import Hit
from pipeline.reading.forms import BASE, ING, PARTICIPLE, PAST, word_set
from pipeline.reading.lexicon import Lexicon
from pipeline.reading.pieces import DOERS, Piece
from pipeline.reading.planning import Planning

NONE, MEANT = "none", "meant"
DENIALS = word_set("not n't never")
WOULD = word_set("would could might may should must ought 'd")
_STILL = word_set("got need want needs wants left remember wanted")
_UNSURE = word_set("might may could")
_TELLS = word_set("tells says wants asks has tell say advises reminds")
_PAST_TIMES = word_set("yesterday today already morning ago")
_BUT = word_set("but only except however though although trouble")
_ENDINGS = word_set("yet though today so either because cos as")

_BINDING = frozenset(
    (
        "conditional", "perhaps", "nearly", "might", "will not", "not said to be so", "only named as later",
        "not going to", "once it is", "said of the listener", "could not", "asked how", "might have to",
    )
)  # fmt: skip


class Mood(NamedTuple):
    """The status of something said ("none": no fact; "meant": only intended), and the rule that gave it.

    ``sure`` is False where no word of its clause says so: it is the likeliest of what the form of the verb allows.
    """

    status: str
    why: str
    sure: bool = True


Judged = tuple[Mood, int, frozenset[str]]
"""How a verb was judged, in which sentence, and the verb's forms."""


class Governing(Planning):
    """Judges a verb by the words that govern it."""

    def __init__(self, lexicon: Lexicon, pieces: Sequence[Piece], clauses: Sequence[Clause]) -> None:
        super().__init__(lexicon, pieces, clauses)
        # The mood of the verb judged last, and of the first verb of a clause in which no act has been found so far.
        self.before: Judged | None = None
        self.unread: Judged | None = None
        self.opening: Mood | None = None
        self.judged: list[Mood] = []

    def governing(self, clause: Clause, at: int, forms: frozenset[str]) -> Hit | None:
        """Return the cue that stands right before an infinitive or "-ing" form and tells how it went."""
        if not forms & {BASE, ING}:
            return None
        step = at
        while step > clause.first and self.pieces[step - 1].tag == "RB" and self.pieces[step - 1].low != "not":
            step -= 1
        hits = [
            hit
            for hit in self.cues_in(clause.first, at)
            if hit.means in ("failed", "under-way") and hit.last in (step, at)
        ]
        return hits[-1] if hits else None

    def by_cue(self, clause: Clause, hit: Hit) -> Mood:
        """Judge a verb by the cue that governs it ("ran out of time to", "busy")."""
        before = [piece.low for piece in self.pieces[clause.first : hit.first]]
        if {"you"} & set(before[-4:]):
            return Mood(NONE, "said of the listener")
        if self.means(clause, "planned", upto=hit.first) or {"will", "'ll"} & set(before):
            return Mood("planned", "will try")
        if set(before[-3:]) & (WOULD - {"'d"}):
            return Mood(NONE, "might")
        if hit.means == "failed":
            return Mood("not-done", "failed to")
        if set(before) & DENIALS and "finish" not in hit.cue:
            return Mood("not-done", "not begun")
        return Mood("done", "under way")

    def thwarted(self, clause: Clause) -> bool:
        """Tell whether what was only meant is told to have come to nothing ("but the crane was out")."""
        lows = [piece.low for piece in self.pieces[clause.first : clause.last]]
        if {"but", "only"} & set(lows[4:]) or ("out" in lows and "ran" in lows):
            return True
        number = self._numbers[clause]
        if number + 1 >= len(self.clauses):
            return False
        after = self.clauses[number + 1]
        following = [piece.low for piece in self.pieces[after.first : after.last] if piece.kind != "mark"]
        if not set(following[:2]) & _BUT:
            return False
        while following and following[-1] in _ENDINGS:
            following.pop()
        return bool(following) and following[-1] not in ("n't", "not")

    def chain(self, clause: Clause, at: int) -> tuple[list[str], int]:
        """Return the words between the verb before and this one."""
        step = at - 1
        while step >= clause.first and self.pieces[step].kind != "verb":
            step -= 1
        return [piece.low for piece in self.pieces[step + 1 : at]], step

    def by_somebody(self, clause: Clause, at: int, verb_before: int) -> bool:
        """Tell whether somebody is got to do it ("I got Ted to remove it", "we had them to help")."""
        if verb_before < clause.first or self.pieces[verb_before].verb not in ("get", "help", "persuade"):
            return False
        named = self.pieces[at - 2]
        own = named.capital and named.kind == "word" and named.tag == "NNP"
        return at - 2 > verb_before and (own or named.low in ("him", "her", "lads", "somebody", "someone"))

    def infinitive(
        self, clause: Clause, at: int, chain: Sequence[str], verb_before: int, subject: str, not_done: bool
    ) -> Mood:
        """Judge a verb after "to"."""
        governor = self.pieces[verb_before].low if verb_before >= clause.first else ""
        part_between = any(piece.sense("part") for piece in self.pieces[max(verb_before, clause.first) : at])
        if part_between and governor in ("took", "needed", "takes", "needs"):
            governor = ""  # "took the rudder off to paint the fin"
        before_to = self.pieces[at - 2].low if at - 2 >= clause.first else ""
        if verb_before >= clause.first and at - verb_before <= 3:
            not_done = not_done or bool(DENIALS & set(self.chain(clause, verb_before)[0]))
        moved = governor == "got" and self.pieces[at].verb in ("come", "move", "shift", "budge", "go")
        holding = {"'ve", "have", "has", "'s", "still"} & set(self.chain(clause, verb_before)[0])
        if moved and at - verb_before > 2 and not holding and not not_done:
            return Mood("done", "got it to")
        mood = self._governed_infinitive(governor, before_to, subject, not_done)
        if mood is not None:
            return mood
        if set(chain) & _UNSURE and not {"like"} & set(chain):
            return Mood(NONE, "might have to")
        hits = [hit for hit in self.cues if hit.means == "planned" and hit.last == at]
        still = governor in _STILL or "still" in chain
        thing_before = at - 2 >= clause.first and self.pieces[at - 2].kind in ("thing", "side")
        thing_before = thing_before or before_to == "one"
        if hits or still or thing_before:
            if not_done and not (thing_before or any(hit.cue.startswith("do n't") for hit in hits)):
                return Mood(NONE, "not going to")
            told_how = self.explaining and self.explained_in == clause.sentence and subject not in DOERS
            return Mood("explained", "how-to") if told_how else Mood("planned", "still to")
        if at - 1 == clause.first or before_to in (",", "so", "and"):
            return Mood(NONE, "the goal")
        return Mood(NONE, "purpose")

    def _governed_infinitive(self, governor: str, before_to: str, subject: str, not_done: bool) -> Mood | None:
        """Judge "had to", "managed to", "tried to" and the like; None where the words around decide."""
        if subject == "you":
            told = self.explaining and governor in _TELLS
            how = (
                told
                or before_to in ("have", "need", "want", "got", "has", "'ve")
                or governor
                in (
                    "need",
                    "want",
                    "got",
                    "have",
                )
            )
            return Mood("explained", "how-to") if how else Mood(NONE, "purpose")
        if before_to in ("had", "having"):
            return Mood(NONE, "did not have to") if not_done else Mood("done", "had to")
        if (governor in ("manage", "managed", "managing") or before_to == "able") and not_done:
            return Mood("not-done", "did not manage to")
        if governor in ("managed", "helped", "started", "began") and subject in ("i", "we", ""):
            return Mood("done", "managed to")
        if governor in ("takes", "needs") and before_to != governor and subject not in DOERS | {"you"}:
            return Mood("explained", "takes so many")
        if governor in ("took", "helped", "needed") and not self.explaining:
            return Mood("done", "took")
        if before_to == "was":
            return Mood(MEANT, "only meant")
        if before_to in ("is", "'s"):
            return Mood("explained", "how-to") if self.explaining else Mood("planned", "is to")
        if governor in ("tried", "failed", "forgot", "trying", "attempted") or before_to == "unable":
            return Mood("not-done", "tried to")
        return None

    def denied(self, clause: Clause, at: int, chain: Sequence[str]) -> bool:
        """Tell whether "not" stands before a verb, "not just" and "not only" left out; or "no" before its subject."""
        first = at - len(chain)
        for step in range(first, at):
            low, after = self.pieces[step].low, self.pieces[step + 1].low
            if low == "neither" or (low in DENIALS and after not in ("just", "only", "merely", "simply")):
                return True
            own = self.pieces[step + 1].kind == "thing" or after in ("other", "single", "more")
            if low == "no" and own and PARTICIPLE in self.pieces[at].forms and {"was", "were", "been"} & set(chain):
                return True
        return False

    def will_not_move(self, clause: Clause, at: int, subject: str) -> bool:
        """Tell whether a part itself refuses ("it won't come off"), and not only till some later time."""
        if self.pieces[at].verb not in ("come", "budge", "shift") or subject in DOERS - {"she", "they"} | {"you"}:
            return False
        lows = {piece.low for piece in self.pieces[at : clause.last]}
        later = self._numbers[clause] + 1
        till = later < len(self.clauses) and self.clauses[later].opener in ("till", "until", "unless", "if")
        return not (till or lows & {"till", "until", "unless", "if"} or self.near_if(clause))

    def shared_mood(self, clause: Clause, at: int, forms: frozenset[str]) -> Mood | None:
        """Return the mood of the clause before for a verb joined to its verb ("if we took X and drained Y")."""
        if self.before is None or clause.opener not in ("and", "or", "then", ""):
            return None
        mood, sentence, forms_before = self.before
        starts = all(piece.kind in ("mark", "word", "thing", "side") for piece in self.pieces[clause.first : at])
        alike = forms & forms_before & {PAST, PARTICIPLE} or (BASE in forms and BASE in forms_before)
        # "We'll have the rudder off, the tank drained": what is to be done to a part named before its participle.
        before = self.pieces[clause.first : at]
        wanted = (
            mood.status in ("planned", "explained")
            and PARTICIPLE in forms
            and any(piece.kind == "thing" for piece in before)
            and not any(piece.low in _PAST_TIMES for piece in self.pieces[clause.first : clause.last])
        )
        own = any(piece.kind == "thing" for piece in before)  # "fuel line not connected, oil line connected"
        if mood.status == "not-done" and (own or {"just", "only", "instead"} & {piece.low for piece in before}):
            return None
        wished = mood.why == "might" and PARTICIPLE in forms and not any(piece.low in DOERS for piece in before)
        wanted = wanted or wished
        if sentence != clause.sentence or not (starts and (alike or wanted)) or mood.status == "done":
            return None
        return mood if mood.status != NONE or mood.why in _BINDING else None

    def named_doer(self, clause: Clause, at: int) -> bool:
        """Tell whether people are named right before the verb ("had Molly lift it", "the lads have it off")."""
        named = self.pieces[at - 1] if at > clause.first else None
        if named is None:
            return False
        return named.sense("counted") == "person" or (named.capital and named.kind == "word" and named.tag == "NNP")

    def unable(self, clause: Clause, forms: frozenset[str], chain: Sequence[str], subject: str) -> Mood | None:
        """Judge "could not", "can't" and "wouldn't"."""
        if BASE in forms and subject != "you":
            wished = "would" in chain and subject in DOERS
            outcome = clause.opener in ("where", "so") and subject not in DOERS
            failed = not (self.explaining or wished or outcome)
            return Mood("not-done", "could not") if failed else Mood(NONE, "could not")
        return Mood(NONE, "cannot be") if "be" in chain else None

    def can(self, clause: Clause, at: int, chain: Sequence[str], subject: str) -> Mood:
        """Judge "can": how a job goes, what comes next, or only what is possible."""
        if self.explaining:
            return Mood("explained", "how-to")
        next_job = subject not in DOERS | {"you"} and self.now_possible(clause, at, chain)
        return Mood("planned", "can now") if next_job else Mood(NONE, "can")
