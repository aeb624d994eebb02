"""Pieces of a text, and its words with what is looked up about them again and again."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from pipeline.hardware.makers_numbers import find_makers_numbers
from pipeline.hardware.part_numbers import find_part_numbers
from pipeline.hardware.thread_sizes import find_thread_sizes
from pipeline.reading.fact import Measure, Place
from pipeline.reading.forms import BASE, ING, PARTICIPLE, PAST, S_FORM, singular, word_set
from pipeline.reading.lexicon import Lexicon, Sense
from pipeline.reading.numbers import Number, find_numbers
from pipeline.reading.parse import Token

BE = word_set("is are was were be been being 's 're am 'm")
HAVE = word_set("have has had 've 's 'd having")
MODALS = word_set("will 'll shall wo would could might may should 'd must can ca ought")
DO = word_set("do does did")
DOERS = word_set("i we they he she")
WEEKDAYS = word_set("monday tuesday wednesday thursday friday saturday sunday")
DETERMINERS = word_set("the a an this that these those my our your his her its their some any no each every another")
BEFORE_VERB = word_set(
    "to will 'll can could would should might must did do does n't please shall we i you they he she who 've 'd let"
)
_SIDED = word_set(
    "hand one ones side wing engine leg main inner outer inboard outboard front rear upper lower forward aft half"
)
_TWIN = 8  # tokens back to "left" in "left wheel off, right wheel off"
_OPENERS = word_set("and then so but or now ok okay right well oh basically also just")
_AFTER_IS = word_set("been got in on still all next right both under seized")


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece of the text: ``text[start:end]``.

    ``kind`` is one of thing (part, fastener, short name), number, measure, place, stow, tag, side, finding, grade,
    verb, aux, mark, word. ``low`` is its text in small letters; ``verb`` and ``forms`` are set where it can be one.
    """

    kind: str
    start: int
    end: int
    low: str
    tag: str = ""
    senses: tuple[Sense, ...] = ()
    verb: str = ""
    forms: frozenset[str] = frozenset()
    number: Fraction | None = None
    digits: str = ""
    measures: tuple[Measure, ...] = ()
    places: tuple[Place, ...] = ()
    stow: tuple[str, str] = ("", "")
    plural: bool = False
    capital: bool = False
    pause: bool = field(default=False)

    @property
    def ends_sentence(self) -> bool:
        """Whether it is a full stop, a question mark or an exclamation mark."""
        return self.low in (".", "?", "!")

    @property
    def whole(self) -> int | None:
        """The whole number that it is, None where it is none or a fraction."""
        return int(self.number) if self.number is not None and self.number.denominator == 1 else None

    def sense(self, kind: str) -> str:
        """Return the notation of the first sense of that kind, or ""."""
        return next((sense.notation for sense in self.senses if sense.kind == kind), "")


class Line:
    """The tokens of one text with what is looked up again and again."""

    def __init__(self, lexicon: Lexicon, text: str, tokens: Sequence[Token]) -> None:
        self.lexicon, self.text, self.tokens = lexicon, text, tokens
        self.lows = [token.low for token in tokens]
        self.nouns = [singular(low) for low in self.lows]
        starts = {token.start: number for number, token in enumerate(tokens)}
        self.numbers: dict[int, tuple[Number, int]] = {}
        spans = [(one.start, one.end) for one in find_part_numbers(text)]
        spans += [(one.start, one.end) for one in find_makers_numbers(text)]
        spans += [(one.start, one.end) for one in find_thread_sizes(text)]
        # Tokens at which a part number, a maker's number or a thread's size begins, with the first token after it.
        self.part_numbers = {starts[at]: self.token_after(end, starts[at]) for at, end in spans if at in starts}
        for number in find_numbers(text):
            if number.start in starts:
                self.numbers[starts[number.start]] = (number, self.token_after(number.end, starts[number.start]))

    def low(self, at: int) -> str:
        """Return token ``at`` in small letters, "" beyond the ends."""
        return self.lows[at] if 0 <= at < len(self.lows) else ""

    def token_after(self, character: int, at: int) -> int:
        """Return the first token from ``at`` on that starts at or after a character."""
        while at < len(self.tokens) and self.tokens[at].start < character:
            at += 1
        return at

    def piece(self, kind: str, at: int, after: int, **more: object) -> Piece:
        """Return tokens ``at`` to ``after`` (exclusive) as one piece with the fields given."""
        first, last = self.tokens[at], self.tokens[after - 1]
        low = self.text[first.start : last.end].lower() if after > at + 1 else first.low
        more.setdefault("tag", last.tag)
        return Piece(kind, first.start, last.end, low, capital=first.capital, **more)  # type: ignore[arg-type]

    def counts_before(self, at: int) -> bool:
        """Tell whether a number that ends before ``at`` counts or measures something."""
        _length, senses = self.lexicon.names.longest(self.nouns, at)
        return any(sense.kind in ("counted", "units", "part") for sense in senses)

    def is_side(self, at: int) -> bool:
        """Tell whether "left" or "right" is a side here and not a verb or an opening word."""
        before, after = self.low(at - 1), self.low(at + 1)
        if after in _SIDED or self.low(at + 1) == "-":
            return True
        if before in (",", ":", "-", "(") and after in (
            "",
            ".",
            ":",
            ")",
            "and",
            *((",",) if self.low(at) == "left" else ()),
        ):
            return True
        if before in ("the", "on", "our", "your", "not") and after not in (
            "way",
            "time",
            "place",
            "size",
            "stuff",
            "thing",
        ):
            return True
        _length, senses = self.lexicon.names.longest(self.nouns, at + 1)
        twin = before == "," and self.low(at) == "right" and "left" in self.lows[max(0, at - _TWIN) : at]
        if (twin or before in ("", ".", "?", "!")) and any(sense.kind in ("part", "short") for sense in senses):
            return True
        return before not in ("", ".", ",", "have", "'ve", "we", "i", "had", "has", "is", "be", "it") and any(
            sense.kind == "part" for sense in senses
        )

    def is_predicate(self, at: int) -> bool:
        """Tell whether what starts at ``at`` says something of a subject: a state, a finding, a participle."""
        _length, senses = self.lexicon.names.longest(self.nouns, at)
        if any(sense.kind.startswith("finding-adj") for sense in senses):
            return True
        if self.lexicon.states.longest(self.lows, at)[0] or self.low(at) in _AFTER_IS:
            return True
        known = self.lexicon.verbs.get(self.low(at))
        return bool(known and known[1] & {PARTICIPLE, ING})

    def _named_by_ing(self, at: int, after: int) -> bool:
        """Tell whether an "-ing" word only names a part ("the spar fitting is sound", "a fitting")."""
        if any(sense.kind in ("part", "short") for sense in self.lexicon.names.longest(self.nouns, at)[1]):
            before = self.low(at - 1)
            own = before in DETERMINERS or before in ("front", "rear", "top", "bottom", "upper", "lower")
            own = own or any(
                sense.kind in ("part", "short", "places")
                for sense in self.lexicon.names.longest(self.nouns, at - 1)[1]
            )
            return own and self.low(after) not in DETERMINERS | {"it", "them"}
        return False

    def _cleft(self, at: int) -> bool:
        """Tell whether "what we've done here is ..." or "what I did was ..." comes before."""
        earlier = self.lows[max(0, at - 7) : at]
        return "what" in earlier and bool(DO & set(earlier) | {"done"} & set(earlier))

    def is_verbal(self, at: int, after: int, forms: frozenset[str]) -> bool:
        """Tell whether the words from ``at`` are used as a verb."""
        token, before = self.tokens[after - 1], self.low(at - 1)
        step = at - 1
        while step >= 0 and self.tokens[step].tag == "RB" and self.low(step) not in ("n't", "not"):
            step -= 1
        denied = self.low(step) == "not" and self.low(step - 1) in DO | MODALS
        if (denied or self.low(step) in BEFORE_VERB) and (forms & {BASE, PAST, PARTICIPLE}):
            return self.low(at - 1) != "to" or BASE in forms
        following = self.low(after)
        noun_follows = bool(self.lexicon.names.longest(self.nouns, after)[0])
        after_noun_marker = before in DETERMINERS or self.tokens[at - 1].tag.startswith("JJ") if at else False
        counted = bool(at) and (self.tokens[at - 1].tag == "CD" or before in DETERMINERS)
        if ING in forms and counted and noun_follows and before not in ("that", "this", "those", "these"):
            return False
        if ING in forms and self._named_by_ing(at, after):
            return False
        if forms & {PAST, PARTICIPLE, ING}:
            if (
                after_noun_marker
                and (noun_follows or token.tag.startswith(("NN", "JJ")))
                and before not in ("that", "this")
            ):
                return False
            return not (token.tag in ("NN", "NNS") and after_noun_marker)
        if before in ("that", "which", "who") and token.tag.startswith("VB"):
            return True
        if before in ("is", "was") and BASE in forms and self._cleft(at - 1):
            return True
        pronoun = before in ("one", "ones")
        if after_noun_marker or (at and not pronoun and self.tokens[at - 1].tag in ("CD", "PRP$", "POS")):
            return False
        if token.tag.startswith("VB"):
            return not (S_FORM in forms and BASE not in forms and token.tag == "NNS")
        opens = at == 0 or self.tokens[at - 1].tag in (".", ",", ":") or before in _OPENERS
        return opens and BASE in forms and (following in DETERMINERS | {"it", "them", "up", "down", "both"})
