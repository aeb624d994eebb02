"""What the words around fasteners tell of them: of which part they are, how many in all, which number was wrong."""

import re
from collections.abc import Iterable, Sequence

from pipeline.english import ORDINALS
from pipeline.lists.holding import is_fastener
from pipeline.lists.logged import LoggedFact, last_words, names_of
from pipeline.lists.named_parts import NamedParts
from pipeline.reading.fact import MarkedFact
from pipeline.reading.numbers import Number, find_numbers
from pipeline.reading.vocabulary import Vocabulary

_ON_A_BOLT = frozenset({"nut", "castellated-nut", "anchor-nut", "washer", "split-pin", "locking-wire"})
"""What comes off with a bolt, a screw or a stud that it is on. Source: common practice, no source."""

_CAME_OFF = re.compile(
    r"\b(?:removed|took (?:\w+ ){0,6}off|dropped|pulled (?:\w+ ){0,6}(?:off|out)|lifted (?:\w+ ){0,6}(?:off|out)"
    r"|(?:is|are|was|were|came|come|has|have)(?: \w+)? (?:off|out))\b(?! of\b)",
    re.IGNORECASE,
)
_NOT_SO_MANY = re.compile(r"\b(?:not|instead of|rather than) (?:the )?(?P<so_many>[\w-]+)", re.IGNORECASE)
_ORDINAL = re.compile(rf"\bthe ({'|'.join(ORDINALS)})\b", re.IGNORECASE)
_ARE_IN_IT = re.compile(
    r"(?:\b(?:so|leaves|leaving|makes|making|only|have|has|there are)|['\u2019](?:ve|s|re)(?: got)?) "
    r"(?:(?:it|that|only|just|now|us|with)(?:['\u2019]s)? )*[\w-]+(?: left)? (?:[\w-]+ )?in (?:the|that|it|bag)\b",
    re.IGNORECASE,
)
_AGAIN = re.compile(r"\b(?:out|off|undone|loose)\b[^.,;]*\bagain\b|\bback (?:off|out)\b", re.IGNORECASE)
_OF_THOSE = re.compile(r"\b(?P<some>[\w-]+) of (?:the (?P<all>[\w-]+)|them|these|those)\b", re.IGNORECASE)
_AND = re.compile(r"\s*,?\s*(?:and|plus)\s+(?:another |a further )?", re.IGNORECASE)
_END = re.compile(r"\s*(?:$|[.,;:!?]|(?:in|from|out of|and (?:they|it|there))\b)", re.IGNORECASE)


def part_named(
    logged: LoggedFact, of: str, known: Iterable[str], vocabulary: Vocabulary, parts: NamedParts
) -> str | None:
    """Return the part that a sentence says fasteners are of; None where it names none, or several.

    It is named after them, "the bolts of the port float", or right before them, "the generator bolts are in bag 5",
    and maybe by its last word alone, "the cooler bolts", "the bolts for the port leg". Or the sentence begins with it
    and tells of nothing else before them, "starboard elevator, three bolts, bag five".

    Args:
        logged: the fact that tells of them.
        of: their kind.
        known: the parts that were told before to have such fasteners.
        vocabulary: for the names of the kind and of what is known.
        parts: finds parts by their names.
    """
    kind, words = names_of(of, vocabulary).lower(), logged.sentence
    of_what = rf"(?:{kind})s? (?:of|from|off|for)"
    found = parts.after(of_what, words)
    if found:
        return found[0] if len(found) == 1 else None
    called = _the_one_called(parts.word_after(of_what, words), known, vocabulary)
    if called:
        return called
    first = parts.first(words)
    if first and re.match(rf"\s*[,:]\s*[\w-]+ (?:{kind})s?\b", first[1]):
        return first[0]
    told = words[: words.find(logged.said) + len(logged.said)] if logged.said in words else words
    before = parts.before(kind, told) or parts.before(kind, words)
    if not before or before[-1].part:
        return before[-1].part if before else None
    return _the_one_called(before[-1].word, known, vocabulary)


def _the_one_called(word: str, known: Iterable[str], vocabulary: Vocabulary) -> str | None:
    alike = {one for one in known if word in last_words(one, vocabulary)}
    return alike.pop() if len(alike) == 1 else None


def are_of_what_came_off(logged: LoggedFact, of: str, vocabulary: Vocabulary) -> bool:
    """Tell whether the sentence of loose fasteners says that something else came off, so that they are of that.

    Where no part was read that did, it is one that no list has. That the fasteners came out themselves tells nothing.
    """
    names = names_of(of, vocabulary)
    themselves = re.compile(
        rf"\b(?:{names})s? (?:all )?(?:is|are|was|were|came|come|have)\b"
        rf"|\b(?:removed|took|pulled|dropped|lifted) (?:out )?(?:\w+ ){{0,2}}?(?:{names})s?\b",
        re.IGNORECASE,
    )
    return _CAME_OFF.search(themselves.sub(" ", logged.sentence)) is not None


def number_taken_back(words: str) -> int | None:
    """Return the number that some words say was wrong: 5 for "it was six bolts, not five"; None where they do not."""
    found = _NOT_SO_MANY.search(words)
    numbers = find_numbers(found["so_many"]) if found else []
    return int(numbers[0].value) if numbers and numbers[0].start == 0 and numbers[0].value.denominator == 1 else None


def is_told_as_again(words: str) -> bool:
    """Tell whether words say that what was back came out once more: "I've had those two out again"."""
    return _AGAIN.search(words) is not None


def are_of_those(words: str) -> bool:
    """Tell whether words count some of what was counted before: "two of them", "four of the eight"."""
    return any(
        find_numbers(found["some"]) and (found["all"] is None or find_numbers(found["all"]))
        for found in _OF_THOSE.finditer(words)
    )


def are_in_it_now(words: str) -> bool:
    """Tell whether words say how many are there by now, and not that they were put there: "so we've three in it"."""
    return _ARE_IN_IT.search(words) is not None


def ordinal_told(words: str) -> int | None:
    """Return which one in the order of all that some words tell of: 6 for "the sixth is in bag eight"."""
    found = _ORDINAL.search(words)
    return ORDINALS.index(found[1].lower()) + 1 if found else None


def goes_with(one: str, other: str) -> bool:
    """Tell whether fasteners of two kinds come off together: a bolt and its nut."""
    return one != other and bool({one, other} & _ON_A_BOLT)


def in_all(logged: LoggedFact, here: Sequence[LoggedFact], vocabulary: Vocabulary) -> MarkedFact:
    """Return a fact with the sum of its count and those joined to it: "36 screws and 40 screws" are 76.

    Args:
        logged: the fact, which has the count of one of them.
        here: all facts of its entry: what another fact of them has counted is not added.
        vocabulary: tells fasteners by their names.
    """
    fact = logged.fact
    of = fact.of or fact.item
    if fact.count is None or not is_fastener(of, vocabulary):
        return fact
    alike = [one for one in here if (one.fact.act, one.fact.item, one.around) == (fact.act, fact.item, logged.around)]
    counts = _joined(logged.sentence, names_of(str(of), vocabulary))
    if len(alike) > 1 or len(counts) < 2 or fact.count not in counts:
        return fact
    return fact.model_copy(update={"count": sum(counts)})


def _joined(words: str, names: str) -> list[int]:
    """Return the counts of one kind that "and" joins, where nothing else is said of the last one."""
    counted = re.compile(rf"\s+(?:new |old )?(?:{names})s?\b", re.IGNORECASE)
    told: list[tuple[Number, int]] = []
    for number in find_numbers(words):
        noun = counted.match(words, number.end)
        joined = not told or (_AND.fullmatch(words, told[-1][1], number.start) is not None)
        if noun and number.value.denominator == 1:
            told = [*told, (number, noun.end())] if joined else [(number, noun.end())]
    last = told[-1][1] if told else 0
    return [int(number.value) for number, _ in told] if _END.match(words, last) else []
