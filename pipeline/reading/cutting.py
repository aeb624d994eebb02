"""Text cut into pieces: parts, numbers, measures, places, stowages, tags, sides, findings, verbs, plain words."""

import re
from collections.abc import Sequence
from dataclasses import replace

from pipeline.reading.fact import Place
from pipeline.reading.forms import ING, PARTICIPLE, PAST, singular, word_set
from pipeline.reading.lexicon import Lexicon, Sense
from pipeline.reading.measures_said import measure_at
from pipeline.reading.numbered import add_numbered
from pipeline.reading.numbers import Number
from pipeline.reading.owned_lines import with_owned_lines
from pipeline.reading.parse import Token
from pipeline.reading.pieces import BE, BEFORE_VERB, DETERMINERS, DO, HAVE, MODALS, Line, Piece
from pipeline.reading.ranges import other_end
from pipeline.reading.stores_said import store_at
from pipeline.reading.tags import tag_at

_USES = ("NN", "NNS", "JJ", "VBG", "VB")  # tags of "transfer", "pressure", "return", "cooling"
_RANKS = word_set("upper lower outer inner top bottom front rear main")
_WHERE_IT_IS = word_set("on off in out put where there up till until")


class Cutter:
    """Cuts texts into pieces by one lexicon."""

    def __init__(self, lexicon: Lexicon) -> None:
        self._lexicon = lexicon
        vocabulary = lexicon.vocabulary
        self._place_names = {
            entry.notation: set(entry.extra.get("names", "").split("|")) for entry in vocabulary.places
        }

    def cut(self, text: str, tokens: Sequence[Token], pauses: Sequence[int] = ()) -> list[Piece]:
        """Return the pieces of ``text`` in order. ``pauses`` are characters at which the speaker paused."""
        line = Line(self._lexicon, text, tokens)
        pieces: list[Piece] = []
        at = 0
        paused = sorted(pauses)
        while at < len(tokens):
            if at in line.part_numbers:  # "two AN4-12A bolts" are two bolts
                at = line.part_numbers[at]
                continue
            piece, after = self._piece(line, at)
            if paused and piece.start >= paused[0]:
                paused = [pause for pause in paused if pause > piece.start]
                piece = replace(piece, pause=True)
            add_numbered(pieces, piece, line.low(after))
            at = after
        return with_owned_lines(self._lexicon, pieces)

    def _piece(self, line: Line, at: int) -> tuple[Piece, int]:
        for rule in (
            tag_at,
            self._parted_name,
            self._name_with_use,
            self._place,
            store_at,
            measure_at,
            self._number,
        ):
            found = rule(line, at)
            if found is not None:
                return found
        return self._word(line, at)

    def _place(self, line: Line, at: int) -> tuple[Piece, int] | None:
        length, senses = self._lexicon.names.longest(line.nouns, at)
        scheme = next((sense.notation for sense in senses if sense.kind == "places"), "")
        if not scheme:
            return self._named_place(line, at)
        after = at + length
        if line.low(after) in ("number", "no", "numbers", "no."):
            after += 1
        number = line.numbers.get(after)
        letter_at = ""
        part = number is not None and scheme == "station" and "." in number[0].digits  # "station 144.5"
        if number is None or not (part or number[0].value.denominator == 1):
            letter_at = line.low(after) if re.fullmatch(r"\d+[a-z]|[b-hj-z]", line.low(after)) else ""
            if not letter_at:
                return None
        ats, after = self._ats(line, after, at, scheme) if number else ([letter_at.upper()], after + 1)
        places = tuple(Place.model_validate({"scheme": scheme, "at": one}) for one in ats)
        return line.piece("place", at, after, senses=tuple(senses), places=places), after

    def _ats(self, line: Line, at: int, first: int, scheme: str) -> tuple[list[str], int]:
        """Read "12", "12 to 14", "12 out to rib 14", "12 and 13" from token ``at``; after "between" a range."""
        number, after = line.numbers[at]
        ats = [number.digits]
        between = "between" in (line.low(first - 1), line.low(first - 2) if line.low(first - 1) == "the" else "")
        while True:
            last = self._other_end(line, after, scheme, between)
            if last is not None:
                ats[-1] = f"{ats[-1]}-{last[0].digits}"
                return ats, last[1]
            glued = line.numbers.get(after)
            if glued and after < len(line.tokens) and line.tokens[after].glued and len(ats) == 1:
                return [f"{ats[0]}-{glued[0].digits}"], glued[1]
            plural = line.tokens[first].low.endswith("s")
            more = line.numbers.get(after + 1)
            if line.low(after) in ("and", ",") and plural and more and not line.counts_before(more[1]):
                ats.append(more[0].digits)
                after = more[1]
                continue
            return ats, after

    def _other_end(self, line: Line, at: int, scheme: str, between: bool) -> tuple[Number, int] | None:
        """Return the other end of a range, with the token after it; None where "to" at a token begins none."""
        end = at + 1 if between and line.low(at) == "and" else other_end(line.lows, at)
        if not end:
            return None
        length, senses = self._lexicon.names.longest(line.nouns, end)
        named = {sense.notation for sense in senses if sense.kind == "places"}
        found = line.numbers.get(end + length if named else end)
        if (named and scheme not in named) or found is None or found[0].value.denominator != 1:
            return None
        plain = named or line.low(at) in ("to", "through", "and")
        return found if plain or not line.counts_before(found[1]) else None

    def _named_place(self, line: Line, at: int) -> tuple[Piece, int] | None:
        length, senses = self._lexicon.names.longest(line.nouns, at)
        if length > 1 and not any(sense.kind == "part" for sense in senses):
            return None
        noun = line.nouns[at + 1] if at + 1 < len(line.nouns) else ""
        for scheme, names in self._place_names.items():
            if line.low(at) in names and noun == scheme and length <= 2:
                place = Place.model_validate({"scheme": scheme, "at": line.low(at)})
                inner, own = self._lexicon.names.longest(line.nouns, at + 1)
                part_of = inner > 1 and any(sense.kind == "part" for sense in own)
                if length < 2 or part_of:
                    senses = own
                after = at + 1 + inner if part_of else at + 2
                plural = line.low(after - 1).endswith("s")
                return line.piece("thing", at, after, senses=tuple(senses), places=(place,), plural=plural), after
        return None

    def _number(self, line: Line, at: int) -> tuple[Piece, int] | None:
        found = line.numbers.get(at)
        if found is None:
            return None
        number, after = found
        before, next_low = line.low(at - 1), line.low(after)
        if line.tokens[at].low == "one" and after == at + 1:
            _length, senses = self._lexicon.names.longest(line.nouns, after)
            counts = any(sense.kind in ("part", "counted", "short") for sense in senses)
            sided = bool(self._lexicon.names.longest(line.nouns, at - 1)[1]) if at else False
            if before in DETERMINERS | {"other", "new", "last", "only", "next", "old"} or (sided and not counts):
                return line.piece("word", at, after, tag="PRP"), after
            if not counts and next_low not in (
                "of",
                "each",
                "on",
                "off",
                "is",
                "'s",
                "has",
                ",",
                "that",
                "was",
                "bolt",
                "by",
                "whacking",
            ):
                return line.piece("word", at, after, tag="PRP"), after
        return line.piece("number", at, after, number=number.value, digits=number.digits), after

    def _parted_name(self, line: Line, at: int) -> tuple[Piece, int] | None:
        """Read "lower starboard wing", a name with its side inside, as the starboard lower wing."""
        _length, sides = self._lexicon.names.longest(line.nouns[: at + 2], at + 1)
        side = [sense for sense in sides if sense.kind == "sides"]
        return self._without_inner(line, at, side) if line.low(at) in _RANKS and side else None

    def _name_with_use(self, line: Line, at: int) -> tuple[Piece, int] | None:
        """Read "fuel transfer line", a name with its use inside, as the fuel line: a line alone may be any."""
        if at + 2 >= len(line.tokens) or line.tokens[at + 1].tag not in _USES:
            return None
        names = self._lexicon.names
        _own, last = names.longest(line.nouns, at + 2)
        alone = names.longest(line.nouns, at + 1)[0] == 1  # the use is a thing itself; "pressure pipe" may be a name
        whole = any(sense.kind == "part" for sense in names.longest(line.nouns, at)[1])
        if alone or whole or not any(sense.kind == "short" for sense in last):
            return None
        return self._without_inner(line, at, ())

    def _without_inner(self, line: Line, at: int, more: Sequence[Sense]) -> tuple[Piece, int] | None:
        """Read the name of a part that one word stands inside of, with further senses; None where there is none."""
        length, senses = self._lexicon.names.longest([line.nouns[at], *line.nouns[at + 2 :]], 0)
        if length < 2 or not any(sense.kind == "part" for sense in senses):
            return None
        after = at + 1 + length
        plural = line.low(after - 1) != line.nouns[after - 1]
        return line.piece("thing", at, after, senses=(*senses, *more), plural=plural), after

    def _word(self, line: Line, at: int) -> tuple[Piece, int]:
        lexicon = self._lexicon
        length, senses = lexicon.names.longest(line.nouns, at)
        if length > 1 and _stays(line, at + length - 1):
            length, senses = lexicon.names.longest(line.nouns, at, at + length - 1)  # "the tailplane stays on"
        if length == 2 and _two_at_the_side(line, at):
            length, senses = 0, []
        verb_length, verb_senses = lexicon.long_verbs.longest(line.lows, at)
        token = line.tokens[at]
        if token.low in BE | HAVE | MODALS | DO | {"not", "n't"} and not (length > 1 or verb_length > 1):
            return self._auxiliary(line, at)
        verb, forms = lexicon.verbs[verb_senses[0].notation] if verb_senses else ("", frozenset[str]())
        if verb_length > length:
            length, senses = verb_length, []
        elif verb_length < length:
            verb, forms = "", frozenset()
        after = at + max(length, 1)
        last = line.tokens[after - 1]
        verbal = bool(verb) and line.is_verbal(at, after, forms)
        if verbal and last.tag in ("NN", "NNS") and ING in forms and any(sense.kind == "part" for sense in senses):
            verbal = False
        if (
            verbal
            and any(sense.kind in ("part", "short") for sense in senses)
            and not forms & {PAST, PARTICIPLE, ING}
        ):
            verbal = line.low(after) in DETERMINERS | {"it", "them", "up", "her", "down", "each"}
        kind = _kind(senses, verbal, line, at, after)
        shown = tuple(senses) if kind in ("thing", "finding", "side", "grade") or senses else ()
        low = line.text[token.start : last.end].lower() if after > at + 1 else token.low
        plural = last.low != singular(last.low)
        if not (verbal or kind == "finding"):
            verb, forms = "", frozenset()
        return Piece(
            kind, token.start, last.end, low, last.tag, shown, verb, forms, plural=plural, capital=token.capital
        ), after

    def _auxiliary(self, line: Line, at: int) -> tuple[Piece, int]:
        token = line.tokens[at]
        if token.low == "'s" and token.tag == "POS" and at:
            before = line.tokens[at - 1]
            after = line.tokens[at + 1] if at + 1 < len(line.tokens) else None
            beyond = line.tokens[at + 2] if at + 2 < len(line.tokens) else None
            described = after is not None and after.tag == "JJ" and beyond is not None and beyond.tag.startswith("NN")
            noun_next = after is not None and (after.tag.startswith(("NN", "CD")) or described)
            noun_next = noun_next and not line.is_predicate(at + 1)
            if noun_next and before.low not in ("it", "that", "there", "one", "what", "who", "he", "she"):
                return line.piece("word", at, at + 1), at + 1
        return line.piece("aux", at, at + 1), at + 1


def _kind(senses: Sequence[Sense], verbal: bool, line: Line, at: int, after: int) -> str:
    kinds = {sense.kind for sense in senses}
    low = line.tokens[at].low
    if "sides" in kinds:
        if low == "right" and after == at + 1 and not line.is_side(at):
            return "word"
        if low == "left" and after == at + 1 and not line.is_side(at):
            return "verb"
        if low in ("port",) and line.low(after) in ("leaks", "is", "'s") and line.low(at - 1) in ("outlet", "inlet"):
            return "word"
        return "side"
    if verbal and not kinds & {"finding-adjective", "finding-noun"}:
        return "verb"
    if kinds & {"finding-adjective", "finding-noun"}:
        return "finding"
    if _only_manner(senses, line, at, after):
        return "word"
    if kinds & {"part", "counted", "short"}:
        tilts = line.tokens[at].tag in ("VB", "VBP", "VBZ") and (
            line.low(at - 1) in BEFORE_VERB
            or (line.tokens[at].tag == "VBZ" and kinds <= {"short"})
            or (low == "stands" and line.low(after) in ("on", "in", "by"))
        )
        return "word" if tilts else "thing"
    if "grades" in kinds:
        return "grade"
    if line.tokens[at].tag in (".", ",", ":", "``", "''", "-LRB-", "-RRB-", "HYPH") or not low[:1].isalnum():
        return "mark" if low[:1] != "'" else "word"
    return "word"


def _stays(line: Line, at: int) -> bool:
    """Tell whether a token says that what stands before it stays where it is; "took the drag stay off" does not."""
    several = line.low(at - 1) != line.nouns[at - 1]
    return (line.low(at) == "stays" or (several and line.low(at) == "stay")) and line.low(at + 1) in _WHERE_IT_IS


def _two_at_the_side(line: Line, at: int) -> bool:
    """Tell whether "both side cowlings" begins here: two of one engine, and not one on each side."""
    _length, senses = line.lexicon.names.longest(line.nouns, at + 2)
    return line.lows[at : at + 2] == ["both", "side"] and any(sense.kind in ("part", "short") for sense in senses)


def _only_manner(senses: Sequence[Sense], line: Line, at: int, after: int) -> bool:
    """Tell whether a name is no part here: "a line of holes", "on the cradle, leading edge down"."""
    if {sense.kind for sense in senses} == {"short"}:
        return line.low(after) == "of" and line.low(at - 1) in ("a", "one", "another")
    if not at or line.low(after) not in ("up", "down", "uppermost"):
        return False
    edge = any(sense.notation in ("leading-edge", "trailing-edge") for sense in senses)
    ends = after + 1 >= len(line.tokens) or line.tokens[after + 1].tag in (".", ",", ":", "CC", "IN")
    return edge and ends and not line.tokens[at - 1].tag.startswith(("D", "V", "PRP"))
