"""Sentences and clauses: run-on and unpunctuated speech is split where one statement ends and the next begins."""

from collections.abc import Sequence
from dataclasses import dataclass

from pipeline.reading.forms import BASE, ING, PARTICIPLE, PAST, S_FORM, word_set
from pipeline.reading.lexicon import Lexicon
from pipeline.reading.nouns import PREPOSITIONS
from pipeline.reading.pieces import BE, DETERMINERS, WEEKDAYS, Piece
from pipeline.reading.put_on import is_put_on

JOINERS = word_set("and but so then because cos or except plus although though while whereas")
OPENERS = word_set("which who if when where once until till before after unless supposing whether since as")
_SUBJECTS = word_set("i we you they he she it there that")
_LEAD_IN = _SUBJECTS | word_set(
    "to all who both got just already then also only never ever have still nearly been better"
)
_POINTING = word_set("that those this these it them one ones both")
_DENYING = word_set("not n't never hardly")
_NEGATING = word_set("neither nor either about")
_BINDING = PREPOSITIONS | DETERMINERS | {"both", "that"}
_ONLY_IF = word_set("if when once until till unless before after whether")
_STILL = word_set("got gotta need needs to have has want wants")
_GOING = word_set("off out in up down away on")
_ENDS = word_set(". ? ! ;")
_TIMES = WEEKDAYS | word_set(
    "today tonight tomorrow yesterday now morning afternoon "
    "evening night week weekend month year winter summer spring autumn lunch dinner tea teatime lunchtime breakfast "
    "noon midday midnight dark later dusk"
)
_TIME_LEADS = word_set("this that last next on in at after the early late")


@dataclass(frozen=True, slots=True)
class Clause:
    """Pieces ``first`` to ``last`` (exclusive). ``opener`` is the joining word that it starts with, or ""."""

    first: int
    last: int
    sentence: int
    opener: str
    question: bool
    starts_sentence: bool


def find_clauses(lexicon: Lexicon, pieces: Sequence[Piece]) -> list[Clause]:
    """Return the clauses of all sentences in order."""
    found: list[Clause] = []
    start = number = 0
    for at in range(len(pieces) + 1):
        ends = at == len(pieces) or (pieces[at].kind == "mark" and pieces[at].low[:1] in _ENDS)
        paused = at < len(pieces) and pieces[at].pause and at > start
        if not (ends or paused):
            continue
        if at > start:
            question = at < len(pieces) and pieces[at].low == "?"
            found.extend(_Splitter(lexicon, pieces, start, at, number, question).clauses())
            number += 1
        start = at if paused and not ends else at + 1
    return found


class _Splitter:
    """Splits one sentence, ``pieces[first:last]``."""

    def __init__(
        self, lexicon: Lexicon, pieces: Sequence[Piece], first: int, last: int, sentence: int, question: bool
    ) -> None:
        self.lexicon, self.pieces = lexicon, pieces
        self.first, self.last, self.sentence, self.question = first, last, sentence, question
        self.bare = not any(piece.kind == "mark" and piece.low == "," for piece in pieces[first:last])

    def clauses(self) -> list[Clause]:
        borders = [self.first]
        marks = self._marks()
        for place, at in enumerate(marks):
            if borders[-1] != self.first and self._takes_back(borders[-1]) and not self.has_predicate(at, self.last):
                continue
            upto = marks[place + 1] if place + 1 < len(marks) else self.last
            if not self.has_predicate(borders[-1], at):
                continue
            if self.has_predicate(at, upto) or self.pieces[at].low in OPENERS or self._takes_back(at):
                borders.append(at)
        found = []
        for place, at in enumerate(borders):
            upto = borders[place + 1] if place + 1 < len(borders) else self.last
            opener = self._opener(at, upto)
            found.append(Clause(at, upto, self.sentence, opener, self.question, place == 0))
        return found

    def _marks(self) -> list[int]:
        """Return where a clause may begin; "and tomorrow we" begins with its joining word, not with "we"."""
        marks: list[int] = []
        for at in range(self.first + 1, self.last):
            if not self._may_split(at):
                continue
            timed = bool(marks) and self.pieces[at].kind != "mark" and at - marks[-1] > 1
            if timed and all(_tells_when(piece) for piece in self.pieces[marks[-1] : at]):
                continue
            marks.append(at)
        return marks

    def _takes_back(self, at: int) -> bool:
        """Tell whether ", no, sorry, not the crew door" begins here."""
        lows = [piece.low for piece in self.pieces[at : min(at + 7, self.last)] if piece.kind != "mark"]
        return (
            lows[:1] == ["no"]
            and bool({"sorry", "not", "mean"} & set(lows[1:4]))
            and any(piece.kind == "thing" for piece in self.pieces[at : self.last])
        )

    def _opener(self, at: int, upto: int) -> str:
        words = []
        for step in range(at, min(at + 4, upto)):
            low = self.pieces[step].low
            if low in ("before", "after", "till", "until") and step + 1 < upto and self._at_a_time(step):
                continue
            if low in JOINERS | OPENERS | {"then", "now", "to"}:
                words.append(low)
            elif self.pieces[step].kind != "mark" and low not in (
                "and",
                "right",
                "ok",
                "okay",
                "well",
                "just",
                "only",
                "now",
            ):
                break
        strong = [word for word in words if word in OPENERS]
        return strong[-1] if strong else (words[-1] if words else "")

    def _at_a_time(self, at: int) -> bool:
        """Tell whether "before" or "after" only gives the time ("after that", "before lunch I ...")."""
        noun = self.pieces[at + 1]
        subject = self.pieces[at + 2].low if at + 2 < self.last else ""
        named = noun.tag == "NN" and noun.kind == "word" and subject in _SUBJECTS | {","}
        return noun.low == "that" or named or gives_time(self.pieces, at)

    def _may_split(self, at: int) -> bool:
        piece, before = self.pieces[at], self.pieces[at - 1]
        if piece.kind == "mark":
            return piece.low in (",", ":", "-", "\u2013", "\u2014", "--", "...", "…")
        if before.kind == "mark" or before.low in JOINERS | OPENERS:
            return False
        if piece.low == "then" and self._inside_clause(at):
            return False
        if piece.low in JOINERS or (piece.low in OPENERS and self._opens(at)):
            return True
        if piece.low == "still" and self.bare and before.kind in ("thing", "stow", "number"):
            return at + 1 < self.last and self.pieces[at + 1].low in _STILL
        if before.low in ("n't", "just") and PAST in piece.forms and "base" not in piece.forms:
            recent = [step.low for step in self.pieces[max(self.first, at - 3) : at]]
            if "did" in recent and "n't" in recent:
                return True
        named = self._new_subject(at) or self._new_thing(at) or self._new_none(at) or self._new_person(at)
        return named or self._new_verb(at) or self._new_finding(at)

    def _inside_clause(self, at: int) -> bool:
        """Tell whether "then" stands between a subject and its verb ("the tab then comes away", "is then locked")."""
        before = self.pieces[at - 1]
        if before.kind == "aux":
            return True
        step = at - 1
        while step > self.first and self.pieces[step].kind in ("thing", "side", "number"):
            step -= 1
        led = step < at - 1 and self.pieces[step].low in DETERMINERS and step > self.first
        border = led and (self.pieces[step - 1].kind == "mark" or self.pieces[step - 1].low in JOINERS)
        follows = self.pieces[at + 1] if at + 1 < self.last else None
        return border and follows is not None and (follows.kind == "aux" or S_FORM in follows.forms)

    def _opens(self, at: int) -> bool:
        """Tell whether "before", "after", "as" ... begin a clause here and are not prepositions."""
        low = self.pieces[at].low
        follows = self.pieces[at + 1] if at + 1 < self.last else None
        if low == "after" and follows and self.pieces[at - 1].low in BE:
            return follows.low != "having" and ING not in follows.forms  # "I'm after taking it off", as in Ireland
        if low in ("before", "after") and at + 1 < self.last and self.pieces[at + 1].low == "that":
            return False
        if low not in ("before", "after", "as", "since", "once", "till", "until", "where"):
            return True
        return self.has_predicate(at + 1, min(at + 7, self.last))

    def _new_subject(self, at: int) -> bool:
        piece, before = self.pieces[at], self.pieces[at - 1]
        if piece.kind != "word" or piece.low not in _SUBJECTS or at + 1 >= self.last:
            return False
        loose = piece.low in ("i", "we", "you", "they", "he", "she") or before.low in (
            "off",
            "out",
            "in",
            "up",
            "down",
            "on",
        )
        if (
            (before.low in PREPOSITIONS and not loose)
            or (before.kind == "aux" and not self._cut_short(at))
            or before.low in DETERMINERS | {"that", "what", "which", "to", "how"}
        ):
            return False
        if self._object_before(at):
            return False
        follows = self.pieces[at + 1]
        if before.low in _GOING and follows.verb in ("come", "go") and self._turned(at - 1):
            return False
        if piece.low in ("it", "that", "there"):
            return follows.kind == "aux" or "s" in follows.forms or PAST in follows.forms
        return follows.kind in ("aux", "verb") or follows.tag == "RB"

    def _cut_short(self, at: int) -> bool:
        """Tell whether a clause ends in "isn't" before a person is named ("the right one isn't | we ran out")."""
        if self.pieces[at - 1].low != "n't" or at - 3 < self.first or self.pieces[at].low not in ("i", "we"):
            return False
        subject = self.pieces[at - 3]
        if subject.low in ("it", "that", "they"):
            return True  # "no it isn't | we cleaned it"
        stated = self.pieces[at - 2].low in ("is", "are", "was", "were", "has")
        return stated and (subject.kind in ("thing", "side") or subject.low in ("one", "ones"))

    def _turned(self, at: int) -> bool:
        """Tell whether "off", "up" or "back in" begins a clause ("then out it comes", "and up she goes")."""
        if at > self.first and self.pieces[at - 1].low == "back":
            at -= 1
        return at == self.first or self.pieces[at - 1].kind == "mark" or self.pieces[at - 1].low in JOINERS

    def _object_before(self, at: int) -> bool:
        """Tell whether the words before a subject are its object, said first ("the port one I'll look at")."""
        step = at - 1
        while step >= self.first and (
            self.pieces[step].kind in ("thing", "side", "finding")
            or self.pieces[step].low in DETERMINERS | {"one", "other", "ones"}
        ):
            step -= 1
            if self.pieces[step + 1].low in DETERMINERS:
                break
        if step == at - 1:
            return False
        head = self.pieces[step + 1]
        pointed = step > self.first and self.pieces[step].low in ("'s", "is") and self.pieces[step - 1].low == "it"
        return head.low in DETERMINERS and (pointed or self._border_like(step + 1))

    def _border_like(self, at: int) -> bool:
        before = self.pieces[at - 1] if at > self.first else None
        if before is None or before.kind == "mark" or before.low in JOINERS | OPENERS:
            return True
        return before.kind not in ("verb", "aux") and before.low not in PREPOSITIONS and self.bare

    def _noun_end(self, at: int) -> int:
        """Return where the noun phrase that starts at ``at`` ends; ``at`` where none starts."""
        step, noun = at, False
        while step < self.last:
            piece = self.pieces[step]
            inner = piece.low in DETERMINERS | {"other", "both", "rest"} or piece.kind in ("side", "number")
            inner = inner or (piece.low == "of" and step > at and self.pieces[step - 1].kind == "number")
            if piece.kind in ("thing", "place") or piece.low in ("one", "ones", "rest"):
                noun = True
            elif piece.kind == "side":
                noun = noun or (step > at and self.pieces[step - 1].low in DETERMINERS)
            elif not inner and not (piece.tag.startswith(("JJ", "NN")) and piece.kind == "word" and step > at):
                break
            step += 1
        unknown = (
            self.bare
            and step > at + 1
            and self.pieces[at].low in DETERMINERS
            and self.pieces[step - 1].tag in ("NN", "NNS")
        )
        return step if noun or unknown else at

    def _new_thing(self, at: int) -> bool:
        """Tell whether a noun with a verb of its own begins: "the windscreen isn't", "the port one we haven't"."""
        before, piece = self.pieces[at - 1], self.pieces[at]
        state = before.low in ("off", "out", "apart") and self.pieces[at - 2].low in ("is", "are", "'s", "'re")
        state = state or (before.low in ("on", "in") and at - 2 >= self.first and self.pieces[at - 2].low == "back")
        bound = before.kind in ("aux", "thing", "side", "number") or (before.low in _BINDING and not state)
        bound = bound or (before.kind == "word" and before.tag.startswith("JJ"))
        if bound and not (before.kind == "thing" and piece.low in DETERMINERS):
            return False
        if before.kind == "verb" and not self._complete(at - 1):
            return False
        if piece.kind not in ("thing", "side", "place", "number") and piece.low not in DETERMINERS:
            return False
        end = self._noun_end(at)
        if end > at and self.bare and self.has_predicate(self.first, at):
            end = self._with_where(end)
        if end == at or end >= self.last:
            return False
        follows = self.pieces[end]
        if self.bare and follows.low in ("needs", "wants") and self.has_predicate(self.first, at):
            return True
        past_only = PAST in follows.forms and not follows.forms & {PARTICIPLE, BASE}
        if self.bare and past_only and piece.low in DETERMINERS and self.has_predicate(self.first, at):
            return True  # "i've capped the ends | the bottles went years ago"
        seems = follows.low in ("looks", "seems", "feels") and self.pieces[at].kind in ("thing", "place")
        if seems or (follows.kind == "aux" and not (self.pieces[end - 1].low == "one" and end - 1 == at)):
            return True
        if follows.low in ("i", "we", "they") and end + 1 < self.last and self.pieces[at].low in DETERMINERS:
            return self.pieces[end + 1].kind in ("aux", "verb")
        return False

    def _with_where(self, end: int) -> int:
        """Return where a noun phrase ends with what tells its place: "the intercom box on the port wall"."""
        if end + 1 < self.last and self.pieces[end].low in ("on", "at", "under", "over", "behind", "from"):
            after = self._noun_end(end + 1)
            return after if after > end + 1 else end
        return end

    def _new_none(self, at: int) -> bool:
        """Tell whether "none of the rear nine are" begins."""
        if self.pieces[at].low != "none" or at + 1 >= self.last or self.pieces[at + 1].low != "of":
            return False
        ahead = self.pieces[at + 2 : min(at + 8, self.last)]
        return self.has_predicate(self.first, at) and any(piece.kind == "aux" for piece in ahead)

    def _new_person(self, at: int) -> bool:
        """Tell whether somebody is named who will do something: "they're in box 18 | Ottoline will weld them"."""
        piece, before = self.pieces[at], self.pieces[at - 1]
        follows = self.pieces[at + 1].low if at + 1 < self.last else ""
        named = piece.kind == "word" and piece.tag[:2] == "NN" and follows in ("will", "'ll", "wo")
        return named and self.bare and before.kind in ("stow", "place", "number", "measure", "tag")

    def _complete(self, at: int) -> bool:
        """Tell whether a verb is a passive that takes no object ("has been primed | the port one hasn't")."""
        if PARTICIPLE not in self.pieces[at].forms:
            return False
        recent = self.pieces[max(self.first, at - 5) : at]
        subject = any(piece.low in ("i", "we", "they") for piece in recent)
        return not subject and any(
            piece.low in ("been", "be", "is", "are", "was", "were", "being") for piece in recent
        )

    def _new_verb(self, at: int) -> bool:
        """Tell whether a verb without a subject begins: "undid eight screws unplugged the looms"."""
        piece, before = self.pieces[at], self.pieces[at - 1]
        if (
            piece.low == "all"
            and before.low not in ("them", "it")
            and at + 1 < self.last
            and PARTICIPLE in self.pieces[at + 1].forms
        ):
            return before.kind != "aux"
        if piece.low == "had" and self.bare and before.kind not in ("thing", "aux") and before.low not in _LEAD_IN:
            return at + 1 < self.last and self.pieces[at + 1].low in ("a", "the", "another")
        if piece.kind != "verb" or not piece.forms & {PAST, PARTICIPLE} or not self.bare:
            return False
        if any(step.low in ("how", "what") for step in self.pieces[max(self.first, at - 2) : at]):
            return False
        if before.low in _POINTING and self.pieces[at - 2].verb in ("want", "need", "get", "have", "see"):
            return False  # "I want those looked at"
        if self._wanted(at):
            return False
        step = at - 1
        while step > self.first and (self.pieces[step].tag == "RB" or self.pieces[step].low in _NEGATING):
            step -= 1
        if before.kind in ("aux", "verb") or before.low in _LEAD_IN or self.pieces[step].kind == "aux":
            return False
        if any(between.low in _DENYING for between in self.pieces[step + 1 : at]):
            return False  # "the cable not yet inspected"
        if before.capital or (before.kind == "word" and before.tag in ("NNP",)):
            return False
        follows = self.pieces[at + 1] if at + 1 < self.last else None
        has_object = follows is not None and (
            follows.low in DETERMINERS | {"it", "them", "both", "up", "off"}
            or follows.kind in ("thing", "number", "side")
        )
        return has_object or before.kind != "thing"

    def _wanted(self, at: int) -> bool:
        """Tell whether a noun that is wanted stands before a verb: "I want the fuel drained"."""
        step = at - 1
        while step > self.first and (self.pieces[step].kind == "word" and self.pieces[step].tag[:2] in ("NN", "JJ")):
            step -= 1
        led = self.first < step < at - 1 and self.pieces[step].low in DETERMINERS
        return led and self.pieces[step - 1].verb in ("want", "need")

    def _new_finding(self, at: int) -> bool:
        """Tell whether a finding begins: "for half an hour no leaks on the port one"."""
        if self.pieces[at].low not in ("no", "slight", "light", "moderate", "heavy", "some", "bit"):
            return False
        if self.pieces[at - 1].kind in ("aux", "verb") or self.pieces[at - 1].low in PREPOSITIONS | DETERMINERS:
            return False
        return any(self.pieces[step].kind == "finding" for step in range(at + 1, min(at + 4, self.last)))

    def _one_before(self, at: int) -> bool:
        """Tell whether "the starboard one" or "the rudder" stands before "next" as all there is of a clause."""
        before = self.pieces[at - 1]
        return before.kind in ("thing", "side") or before.low in ("one", "ones")

    def has_predicate(self, first: int, last: int) -> bool:
        """Tell whether something is said of something among these pieces."""
        for at in range(first, last):
            piece = self.pieces[at]
            if piece.kind in ("verb", "aux", "finding"):
                return True
            if piece.low in ("next", "tomorrow") and at > first and self._one_before(at):
                return True
            if piece.low == "same" and at + 1 < last and self.pieces[at + 1].low in ("again", "on", "for"):
                return True
            if piece.kind == "stow" and any(step.kind == "thing" for step in self.pieces[first:at]):
                return True
            if piece.low == "still" and at > first and self.pieces[at - 1].kind == "thing":
                return at + 1 < last and self.pieces[at + 1].low in ("on", "in")
            if piece.low in ("off", "out", "apart", "away") and at > first and self.pieces[at - 1].kind == "thing":
                follows = self.pieces[at + 1] if at + 1 < len(self.pieces) else None
                if follows is None or follows.kind == "mark" or follows.low in JOINERS | {"of"}:
                    return True
            if at > first and is_put_on(self.lexicon, self.pieces, at):
                return True
        return False


def gives_time(pieces: Sequence[Piece], at: int) -> bool:
    """Tell whether a time follows a "till", "before" or "after": "till five", "before lunch"."""
    after = at + 1
    while after < len(pieces) and pieces[after].low in _TIME_LEADS:
        after += 1
    if after >= len(pieces):
        return False
    clock = pieces[after].kind == "number" and (
        after + 1 >= len(pieces) or pieces[after + 1].kind not in ("thing", "verb", "aux", "side")
    )
    return clock or pieces[after].low in _TIMES


def _tells_when(piece: Piece) -> bool:
    """Tell whether a word joins or gives the time, as each of ", and on Saturday" does."""
    return piece.kind == "mark" or piece.low in JOINERS - {"because", "cos"} | _TIMES | _TIME_LEADS


def only_if(pieces: Sequence[Piece], at: int) -> bool:
    """Tell whether a condition stands before a piece, in its part of the sentence: "once the hoist is away"."""
    while at > 0 and pieces[at - 1].kind != "mark":
        at -= 1
        if pieces[at].low in _ONLY_IF:
            return True
    return False
