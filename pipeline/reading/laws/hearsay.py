"""What the speaker has from somebody else: "apparently the rudder's off", "Ken reckons he's had the tank out"."""

from collections.abc import Iterator, Sequence

from pipeline.reading.fact import Fact
from pipeline.reading.forms import word_set
from pipeline.reading.laws.case import Case
from pipeline.reading.learnt.deciding import by_rules_only
from pipeline.reading.pieces import BE, DETERMINERS, HAVE, Piece
from pipeline.reading.spans import Span, overlap

HEARSAY = "told by hearsay"  # a doubt

_ADVERBS = word_set("apparently supposedly allegedly reportedly")
_PHRASES = (["by", "all", "accounts"], ["word", "is"], ["word", "'s"], ["rumour", "has", "it"])
_SAYS = word_set(
    "say says said reckon reckons reckoned claim claims claimed swear swears swore insist insists insisted thinks"
    " thought believes believed"
)
_TELLS = word_set("tell tells told")
_LEARNS = word_set("hear hears heard gather gathers understand")
_WE = word_set("i we")
_NOBODY = _WE | DETERMINERS | word_set("you it which what who nobody n't not never if to")
_NO_CLAUSE = word_set("to not off about")  # "told me to take it off"
_NOT_SAID = word_set("as than if")  # "I undid ten, as Harald told me", "more than I'd been told"
_PAPERS = word_set(
    "book books manual manuals handbook drawing drawings log logbook logbooks card cards label labels tag tags tin"
    " plate placard sheet list gauge paper papers notes plan sign"
)
_BETWEEN = BE | HAVE | word_set("also still only just always now even both all since")
_JOINS = word_set("and so but then because cos")
_OFF_OR_ON = ("state: remove", "state: fit")
_AHEAD = 7  # pieces in which what was heard has its verb: "I heard the tail wheel has been taken off"


def told_by_hearsay(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, with a doubt of work done, and of what was found good or gone, that others told of."""
    said = list(_hearsay(case.pieces))
    return [
        fact.model_copy(update={"doubts": (*fact.doubts, HEARSAY)})
        if _reassures(case, fact) and any(overlap(one, fact.words) for one in said)
        else fact
        for fact in facts
    ]


def with_what_others_told(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts with what others plainly told to be off or on, and of which nothing else is told."""
    said, found = list(_hearsay(case.pieces)), list(facts)
    for fact in case.by_rules:
        plain = fact.rule in _OFF_OR_ON and fact.status == "done" and case.names_part_of(fact)
        heard = case.breaks_after(fact) and any(overlap(one, fact.words) for one in said)
        if plain and heard and not any(overlap(other.words, fact.words) for other in found):
            found.append(by_rules_only(fact))
    return found


def _reassures(case: Case, fact: Fact) -> bool:
    """Tell whether nobody looks again at a part once a fact is believed."""
    return fact.status == "done" or bool(fact.finding and (fact.absent or fact.finding in case.lexicon.good))


def _hearsay(pieces: Sequence[Piece]) -> Iterator[Span]:
    """Yield the characters of all that each "Ken says", "I'm told" or "apparently" is said of."""
    for at in range(len(pieces)):
        cue = _by_phrase(pieces, at) or _by_verb(pieces, at)
        if cue is None:
            continue
        first, after = cue
        opens = first == 0 or pieces[first - 1].kind == "mark" or pieces[first - 1].low in _JOINS
        last = _ends(pieces, first, after) or (not opens and pieces[after].low in _JOINS)
        inside = pieces[first].low in _ADVERBS and not opens  # "the rudder's apparently off"
        start = _breath_before(pieces, first) if last or inside else first
        end = after if last else _breath_after(pieces, after)
        yield pieces[start].start, pieces[end - 1].end


def _by_phrase(pieces: Sequence[Piece], at: int) -> tuple[int, int] | None:
    """Return the pieces (from, to) of "apparently" or "according to Ken" at a piece, None where there is none."""
    lows = [piece.low for piece in pieces[at : at + 3]]
    if lows[:2] == ["according", "to"]:
        source = at + 2 + (len(lows) > 2 and lows[2] in DETERMINERS)
        return (at, source + 1) if source < len(pieces) and _is_person(pieces[source]) else None
    long = next((len(one) for one in _PHRASES if lows[: len(one)] == one), int(lows[0] in _ADVERBS))
    return (at, at + long) if long else None


def _by_verb(pieces: Sequence[Piece], at: int) -> tuple[int, int] | None:
    """Return the pieces (from, to) of "Ken says", "they told me" or "I'm told" whose verb is at a piece."""
    subject = next((n for n in range(at - 1, -1, -1) if pieces[n].low not in _BETWEEN), None)
    if subject is None or (subject and pieces[subject - 1].low in _NOT_SAID):
        return None
    follows = [piece.low for piece in pieces[at + 1 : at + 3]] + ["", ""]
    low, ours = pieces[at].low, pieces[subject].low in _WE
    if ours:
        passive = low == "told" and pieces[at - 1].low in BE and follows[0] not in _NO_CLAUSE
        return (subject, at + 1) if passive or (low in _LEARNS and _tells_a_state(pieces, at + 1)) else None
    if not _is_person(pieces[subject]):
        return None
    if low in _TELLS and follows[0] in ("me", "us") and follows[1] not in _NO_CLAUSE:
        return subject, at + 2
    return (subject, at + 1) if low in _SAYS and follows[0] not in _NO_CLAUSE else None


def _is_person(piece: Piece) -> bool:
    """Tell whether a piece may be somebody else who tells something: no part, no paper, and not the speaker."""
    part = piece.sense("part") or piece.sense("short")
    return piece.kind in ("word", "thing") and not part and piece.low not in _NOBODY | _PAPERS


def _tells_a_state(pieces: Sequence[Piece], at: int) -> bool:
    """Tell whether what the speaker heard is told from a piece on: "that the fin has gone", not "it click"."""
    for piece in pieces[at : at + _AHEAD]:
        if piece.kind == "mark" or piece.low in _JOINS:
            return False
        if piece.kind == "aux" or piece.low in BE | HAVE:
            return True
    return False


def _ends(pieces: Sequence[Piece], first: int, after: int) -> bool:
    """Tell whether nothing of what was said follows: "it's off, Ken says", "it's off, so they say."."""
    if after == len(pieces) or pieces[after].ends_sentence or pieces[after].pause:
        return True
    return pieces[after].kind == "mark" and first > 0 and pieces[first - 1].low == ","


def _breath_before(pieces: Sequence[Piece], first: int) -> int:
    """Return the first piece of what is said in one breath up to a piece."""
    step = first
    while step > 0 and not pieces[step - 1].ends_sentence:
        step -= 1
        if pieces[step].low in _JOINS and step < first - 1:
            break
    return step


def _breath_after(pieces: Sequence[Piece], after: int) -> int:
    """Return one after the last piece of the sentence, or of what stands before the speaker's own doing in it."""
    for step in range(after, len(pieces)):
        if pieces[step].ends_sentence or (pieces[step].low in _WE and step > after + 1):
            return max(step, after)
    return len(pieces)
