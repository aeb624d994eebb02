"""Cues: words that tell of questions, conditions, plans and other days, and how far they reach."""

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

from pipeline.reading.clauses import Clause
from pipeline.reading.forms import BASE, word_set
from pipeline.reading.lexicon import Lexicon
from pipeline.reading.pieces import BE, DO, HAVE, Piece

_ANYBODY = word_set("anybody anyone somebody someone we you i they he she it there the this that these those any")


_WH = word_set("who whose what which where when how why whether if")
_PEOPLE = word_set("i we you they he she it there")
_NOT_NOW = ("plan-time", "planned", "day", "if", "history")
YES = word_set("yes yep yeah yup aye")
_OPEN_QUESTION = word_set(
    "will would should could shall can 'll 'd may might must what which who how why where when you do does ever "
    "anybody"
)  # asks for a wish, a plan, a way, or what somebody thinks
_NO = word_set("no nope nah")
_NOT_BEFORE = word_set("yet till until while before")
_YET = word_set("yet either")
_ASKS_OF_WORK = word_set("did have has had")  # what somebody did, and no wish: "have you drained it"
SO_IT_IS = word_set("it they that she he i we those")
SO_IS = word_set("is 's are 're was were has have had did")
_NODS = word_set("right eh yeah yes ok okay innit")
_ASKING = word_set(
    "did do does have has is are was were will would should could shall can which what who how why where when"
)
_GLAD = word_set("glad pleased happy proud delighted sorry")  # "to say"


_SO_MANY = word_set("both all")
_OF_THEM = word_set("of them those these 'em the")


def says_so(pieces: Sequence[Piece], at: int) -> int:
    """Return the piece after "it is", "I did", "both were" or "eighteen of them have" at a piece; 0 without one."""
    many = pieces[at].kind == "number" or pieces[at].low in _SO_MANY
    if not many and pieces[at].low not in SO_IT_IS:
        return 0
    step = at + 1
    follows = _OF_THEM if many else _SO_MANY
    while step < len(pieces) and pieces[step].low in follows:
        step += 1
    if step >= len(pieces) or pieces[step].low not in SO_IS:
        return 0
    return step + 1


class Hit(NamedTuple):
    """A cue: the piece it starts at, the piece after it, what it means."""

    first: int
    last: int
    means: str
    cue: str


def find_cues(lexicon: Lexicon, pieces: Sequence[Piece]) -> list[Hit]:
    """Return the cues among the pieces, the longest at each place."""
    words: list[str] = []
    homes: list[int] = []
    for at, piece in enumerate(pieces):
        for word in (
            piece.low.replace("-", " ").replace("n't", " n't").split() if piece.kind != "aux" else [piece.low]
        ):
            words.append(word)
            homes.append(at)
    found = []
    step = 0
    while step < len(words):
        length, senses = lexicon.cues.longest(words, step)
        if length:
            found += [Hit(homes[step], homes[step + length - 1] + 1, sense.kind, sense.notation) for sense in senses]
        step += max(length, 1)
    return found


def _of_a_number(pieces: Sequence[Piece], hit: Hit) -> bool:
    """Tell whether "nearly" is only said of a number: "nearly two hundred screws"."""
    return hit.means == "nearly" and hit.last < len(pieces) and pieces[hit.last].kind == "number"


def first_asks(pieces: Sequence[Piece], clause: Clause) -> bool:
    """Tell whether a clause inside a sentence asks something of a person ("do you grease them")."""
    lows = [piece.low for piece in pieces[clause.first : clause.first + 3] if piece.kind != "mark"]
    return (
        len(lows) > 1
        and lows[0] in ("do", "did", "would", "could", "can", "should")
        and lows[1] in ("you", "we", "they", "he", "i", "anybody")
    )


class Cues:
    """The cues of one text, clause by clause."""

    def __init__(self, lexicon: Lexicon, pieces: Sequence[Piece], clauses: Sequence[Clause]) -> None:
        self.pieces, self.clauses = pieces, clauses
        self.cues = [hit for hit in find_cues(lexicon, pieces) if not _of_a_number(pieces, hit)]
        self._starts = [hit.first for hit in self.cues]
        self._supposed_before = {
            hit.last
            for hit in self.cues
            if hit.means == "supposed" and not (hit.first and pieces[hit.first - 1].low in _GLAD)
        }
        self._sentences: defaultdict[int, list[Clause]] = defaultdict(list)
        for clause in clauses:
            self._sentences[clause.sentence].append(clause)
        self._if_clauses = {n for n, clause in enumerate(clauses) if self._has_if(clause)}
        self._numbers = {clause: n for n, clause in enumerate(clauses)}

    def means(self, clause: Clause, *kinds: str, upto: int | None = None) -> bool:
        """Tell whether a cue of one of these kinds stands in the clause (before piece ``upto``)."""
        last = clause.last if upto is None else upto
        return any(hit.means in kinds for hit in self.cues_in(clause.first, last))

    def cues_in(self, first: int, last: int) -> Sequence[Hit]:
        """Return the cues that start at piece ``first`` or after it, and before ``last``."""
        return self.cues[bisect_left(self._starts, first) : bisect_left(self._starts, last)]

    def number_of(self, clause: Clause) -> int:
        """Return which of the clauses it is."""
        return self._numbers[clause]

    def beside(self, clause: Clause) -> Sequence[Clause]:
        """Return the clauses of its sentence, itself among them."""
        return self._sentences[clause.sentence]

    def only_thought(self, clause: Clause) -> bool:
        """Tell whether what stands right before the clause makes it a guess ("I thought")."""
        return clause.first in self._supposed_before

    def in_sentence(self, clause: Clause, kind: str) -> bool:
        """Tell whether a cue of the sentence reaches the clause; in long talk, one of the clauses beside it.

        What is said of today is reached from nowhere. No clause with a subject of its own reaches back.
        """
        if self.means(clause, kind):
            return True
        if any(piece.low == "today" for piece in self.pieces[clause.first : clause.last]):
            return False
        same = self.beside(clause)
        here = same.index(clause)
        if len(same) > 6:
            same, here = same[max(here - 1, 0) : here + 2], min(here, 1)
        return any(
            self.means(other, kind) and (at < here or not self._own_subject(other)) for at, other in enumerate(same)
        )

    def _own_subject(self, clause: Clause) -> bool:
        """Tell whether a clause names what it speaks of before its verb."""
        for piece in self.pieces[clause.first : clause.last]:
            if piece.kind == "verb":
                return False
            if piece.low in _PEOPLE or piece.kind in ("thing", "side") or piece.low in ("one", "ones"):
                return True
        return False

    def asked_about(self, clause: Clause, at: int) -> bool:
        """Tell whether the verb stands in a question that is only told of ("nobody knows how they got it off")."""
        if self.told_so(clause):
            return False
        number = self._numbers[clause]
        for other in (clause, self.clauses[number - 1] if number else clause):
            if other.sentence != clause.sentence:
                continue
            asking = [hit for hit in self.cues_in(other.first, other.last) if hit.means == "asking"]
            if any(
                self.pieces[step].low in _WH
                for hit in asking
                for step in range(hit.last, min(at, hit.last + 2))
            ):  # fmt: skip
                return True
        comes = self.pieces[at].verb in ("come", "go") and "s" in self.pieces[at].forms
        told = ("which", "what", "the") if comes else ("which", "what")
        return any(
            self.pieces[step].low == "way" and self.pieces[step - 1].low in told
            for step in range(clause.first + 1, at)
        )

    def is_question(self, clause: Clause) -> bool:
        """Tell whether the clause asks something."""
        lows = [piece.low for piece in self.pieces[clause.first : clause.last]]
        if "please" in lows and {"can", "could", "will", "would"} & set(lows[:2]):
            return False
        if lows and lows[-1] in _NODS and len(lows) > 2:
            return False
        if clause.question and self._asks_for_a_nod(clause):
            return False
        if clause.question and not self._tagged_on(clause):
            return True
        if first_asks(self.pieces, clause):
            return True
        if not (clause.starts_sentence or clause.opener in ("and", "but", "so", "or")):
            return False
        at = clause.first
        while at < clause.last - 1 and self.pieces[at].low in (
            "and",
            "but",
            "so",
            "well",
            "right",
            "oh",
            "now",
            ",",
            "then",
        ):
            at += 1
        first, second = self.pieces[at], self.pieces[at + 1] if at + 1 < clause.last else None
        if second is None:
            return False
        inverted = first.low in (DO | BE | HAVE | {"will", "would", "could", "should", "shall", "can"}) - {
            "'s",
            "been",
            "being",
            "be",
            "had",
        }
        if first.low == "did" and not any(BASE in piece.forms for piece in self.pieces[at + 1 : clause.last]):
            return False  # "did the left aileron today"
        if inverted and clause.starts_sentence and second.low in _ANYBODY and first.low not in ("'ve", "'d", "'re"):
            return True
        return first.low in ("why", "who", "where", "when") and second.kind == "aux" and clause.starts_sentence

    def _asks_for_a_nod(self, clause: Clause) -> bool:
        """Tell whether all that asks in the sentence is a word at its end ("the front four are out, see?")."""
        same = self.beside(clause)
        words = [piece.low for piece in self.pieces[same[0].first : same[-1].last] if piece.kind != "mark"]
        return len(words) > 3 and words[-1] in _NODS | {"see"} and words[0] not in _ASKING

    def _tagged_on(self, clause: Clause) -> bool:
        """Tell whether only the end of the sentence asks ("it came off last week, did I say that?")."""
        same = self.beside(clause)
        ends = [piece.low for piece in self.pieces[same[-1].first : same[-1].last] if piece.kind != "mark"]
        starts = [piece.low for piece in self.pieces[same[0].first : same[0].first + 3] if piece.kind != "mark"]
        return (
            len(same) > 1
            and clause is not same[-1]
            and ends[:1] != []
            and ends[0] in _ASKING
            and not _ASKING & set(starts)
        )

    def _has_if(self, clause: Clause) -> bool:
        return self.means(clause, "if")

    def barred(self, clause: Clause) -> str:
        """Return why nothing in the clause counts ("question", "history"), or ""."""
        asked = self.is_question(clause) or any(
            other.starts_sentence and self.is_question(other)
            and self._numbers[clause] - self._numbers[other] < 2 for other in self.beside(clause)
        )  # fmt: skip
        if asked and not self._answered_yes(clause):
            return "question"
        if self._told_of_before(clause):
            return "history"
        return ""

    def _answered_yes(self, clause: Clause) -> bool:
        """Tell whether "yes" follows a question whether something is so ("Is the rudder off? Yes.", "It is.")."""
        answer = self._answer(clause)
        if answer is None or not (self.pieces[answer.first].low in YES or self._says_so(answer)):
            return False
        return not self.means(answer, *_NOT_NOW) and not self._year(answer)

    def answered_no(self, clause: Clause) -> bool:
        """Tell whether "no" or "not yet" follows a question whether something is so ("Is it locked? It isn't.")."""
        answer = self._answer(clause)
        if answer is None or self.pieces[self.beside(clause)[0].first].low not in _ASKING:
            return False
        lows = [piece.low for piece in self.pieces[answer.first : answer.first + 4]]
        ends = answer.last - answer.first
        if lows[0] in _NO:
            return ends == 1 or lows[1] in (",", ".", "!", "not")
        if lows[0] == "not":
            return lows[1:2] != [] and lows[1] in _NOT_BEFORE
        denied = len(lows) > 2 and lows[0] in SO_IT_IS and lows[1] in SO_IS and lows[2] in ("n't", "not")
        return denied and (ends <= 3 or lows[3] in _YET or self.pieces[answer.first + 3].kind == "mark")

    def _answer(self, clause: Clause) -> Clause | None:
        """Return what follows a question whether something was done, no wish, plan or way; None after any other."""
        same = self.beside(clause)
        number = self._numbers[same[-1]] + 1
        if not clause.question or number >= len(self.clauses):
            return None
        pieces = self.pieces[same[0].first : same[-1].last]
        asked = {piece.low for piece in pieces}
        open_question = asked & (_OPEN_QUESTION - {"you"} if pieces[0].low in _ASKS_OF_WORK else _OPEN_QUESTION)
        planned = any(self.means(one, "plan-time", "if") for one in same)
        return None if open_question or planned or self._asks_what_to_do(pieces) else self.clauses[number]

    def _asks_what_to_do(self, asked: Sequence[Piece]) -> bool:
        """Tell whether a question is of what is to be done, or was wanted: "have we got to drain it"."""
        return any(to.low == "to" and BASE in verb.forms for to, verb in pairwise(asked))

    def _says_so(self, clause: Clause) -> bool:
        """Tell whether a sentence begins with "it is" or "six have" alone, which says that what was asked is so."""
        after = says_so(self.pieces, clause.first) if clause.starts_sentence else 0
        return bool(after) and after <= clause.last and (after == clause.last or self.pieces[after].kind == "mark")

    def answers_otherwise(self, clause: Clause) -> bool:
        """Tell whether a clause is only "I did" to a question of something else than work: "did you want to …"."""
        words = [piece for piece in self.pieces[clause.first : clause.last] if piece.kind != "mark"]
        number = self._numbers[clause]
        if len(words) != 2 or not number or not self._says_so(clause):
            return False
        asked = self.clauses[number - 1]
        return asked.question and not self._answered_yes(asked)

    def told_so(self, clause: Clause) -> bool:
        """Tell whether what somebody asked about is said to be so next: "he asked if it was drained. It was."."""
        same = self.beside(clause)
        number = self._numbers[same[-1]] + 1
        asked = any(self.means(one, "asking") for one in same)
        return asked and number < len(self.clauses) and self._says_so(self.clauses[number])

    def _told_of_before(self, clause: Clause) -> bool:
        """Tell whether the clause tells of earlier owners or other days; what is seen now beside it still counts."""
        if self.means(clause, "history") or self._year(clause):
            return True
        opens = self.beside(clause)[0]
        if opens.opener == "when" and self.means(opens, "history") and not self.means(clause, "day"):
            return True  # "when I was at the other place, a transport lost its door because a lad undid one hinge"
        number = self._numbers[clause]
        lows = {piece.low for piece in self.pieces[clause.first : clause.last]}
        before = self.clauses[number - 1] if number else None
        goes_on = clause.opener in ("and", "then") and not lows & (_PEOPLE - {"they", "he", "she"})
        goes_on = goes_on or (clause.opener == "" and not lows & _PEOPLE and self._bare_past(clause))
        if goes_on and before is not None and before.sentence == clause.sentence and self._told_of_before(before):
            return True
        if lows & {"'s", "is", "are", "'ve", "have", "looks", "has", "i", "we"}:
            return False
        return any(
            0 <= near < len(self.clauses)
            and self.clauses[near].sentence == clause.sentence
            and self.means(self.clauses[near], "history")
            for near in (number - 1, number + 1)
        )

    def _bare_past(self, clause: Clause) -> bool:
        """Tell whether a clause goes on with a participle alone (", never patched")."""
        kinds = {piece.kind for piece in self.pieces[clause.first : clause.last]}
        return "verb" in kinds and not kinds & {"aux", "thing", "finding", "stow"}

    def _year(self, clause: Clause) -> bool:
        """Tell whether a year of the aircraft's service is named ("in 1946")."""
        return any(
            piece.kind == "number"
            and piece.number is not None
            and 1910 <= piece.number <= 1999
            and before.low == "in"
            for before, piece in zip(
                self.pieces[clause.first : clause.last], self.pieces[clause.first + 1 : clause.last], strict=False
            )
        )

    def near_if(self, clause: Clause) -> bool:
        """Tell whether the clause, or one next to it in its sentence, says "if"."""
        if self.told_so(clause):
            return False
        number = self._numbers[clause]
        if number in self._if_clauses:
            return True
        return any(
            near in self._if_clauses
            and self.clauses[near].sentence == clause.sentence
            and not self._apart(number, near)
            for near in (number - 1, number - 2, number + 1)
            if 0 <= near < len(self.clauses)
        )

    def _apart(self, number: int, near: int) -> bool:
        """Tell whether "but", or "and if" after it, keeps a clause out of a condition."""
        later = self.clauses[max(near, number)]
        if any(self.pieces[at].low == "but" for at in range(later.first, min(later.first + 2, len(self.pieces)))):
            return True
        condition = self.clauses[near]
        return near == number + 1 and condition.opener == "if" and self.pieces[condition.first].low in ("and", "but")

    def subject(self, clause: Clause, at: int) -> str:
        """Return the pronoun that is the subject of the verb at ``at``: the nearest before it, or "".

        Whoever answers "have you drained it" with "I have" is the one who did it: "we".
        """
        for step in range(at - 1, clause.first - 1, -1):
            low = self.pieces[step].low
            if low in (
                "i",
                "we",
                "you",
                "they",
                "he",
                "she",
                "it",
                "nobody",
                "no-one",
                "none",
                "everybody",
                "there",
                "who",
                "somebody",
                "someone",
            ):
                return "we" if low == "you" and self._answered_yes(clause) else low
            if low in ("one",) and step and self.pieces[step - 1].low == "no":
                return "nobody"
        return ""
