"""What was seen at several places, told of each: "the fairlead at frame 6 is worn and so is the one at frame 9"."""

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from typing import NamedTuple

from pipeline.reading.fact import SCHEMES, Fact, Place
from pipeline.reading.forms import word_set
from pipeline.reading.laws.case import Case
from pipeline.reading.pieces import BE, DETERMINERS, Piece
from pipeline.reading.spans import Span, holds

_AT = DETERMINERS - {"another"} | word_set(
    "at by near on behind in under over outboard inboard forward aft ahead of between around just further along"
)
_SO = BE | word_set("does do did has have had")
_LEADS_TO_NUMBER = word_set(", side there are 's is has had got we it")
_SENTENCES = 2  # from a number alone back to what was counted
_WHY = ("place", "told of each place")


class _Places(NamedTuple):
    """Places at which the same was seen, each told for itself, of a sentence; ``finding`` is "" where it is any."""

    sentence: Span
    groups: tuple[tuple[Place, ...], ...]
    finding: str


def at_each_place(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, with a finding of its own for each place of which the same is told."""
    found = list(facts)
    for one in (*_again(case), *_each_named(case)):
        own = [n for n, f in enumerate(found) if holds(one.sentence, f.words[0]) and _is_seen(f, one.finding)]
        if own and len({(found[n].finding, found[n].item) for n in own}) == 1:
            _tell_each(found, own, one.groups)
    return [told for fact in found for told in _of_each_pair(fact)]


def _of_each_pair(fact: Fact) -> tuple[Fact, ...]:
    """Return a finding told of "stringer 4 at frame 27 and stringer 6 at frame 28" as two, any other as it is."""
    places = fact.place or ()
    schemes = [place.scheme for place in places]
    if fact.finding is None or len(places) != 4 or schemes[:2] != schemes[2:] or schemes[0] == schemes[1]:
        return (fact,)
    return tuple(fact.model_copy(update={"place": pair}) for pair in (places[:2], places[2:]))


def _is_seen(fact: Fact, finding: str) -> bool:
    seen = fact.finding is not None and not fact.absent
    return seen and (not finding or (fact.finding == finding and fact.item in SCHEMES))


def _tell_each(found: list[Fact], own: list[int], groups: Sequence[tuple[Place, ...]]) -> None:
    """Put each group of places on one of a sentence's own findings, or on a further one."""
    first = found[own[0]]
    for n in own:
        here = [group for group in groups if set(group) & set(found[n].place or ())]
        others = {place for group in here[1:] for place in group}
        if others:
            stays = tuple(place for place in found[n].place or () if place not in others)
            found[n] = found[n].model_copy(update={"place": stays})
    for group in groups:
        if any(set(group) & set(found[n].place or ()) for n in own):
            continue
        unplaced = next((n for n in own if not found[n].place), None)
        why = (*first.inferred, _WHY)
        if unplaced is not None:
            found[unplaced] = found[unplaced].model_copy(update={"place": group, "inferred": why})
            continue
        bare = {"measure": None, "count": None, "of": None, "about": None, "grade": None, "tag": None}
        found.append(first.model_copy(update=bare | {"place": group, "inferred": why}))
        own.append(len(found) - 1)


def _again(case: Case) -> Iterator[_Places]:
    """Yield the places of "at frame 6 …, and another at frame 9", "… and so is the one at frame 9"."""
    pieces = case.pieces
    placed = [at for at, piece in enumerate(pieces) if piece.places and piece.kind == "place"]
    groups: list[int] = []
    for before, at in pairwise(placed):
        if not groups or groups[-1] != before:
            groups = [before]
        sentence = case.rules.sentence(pieces[at].start)
        if holds(sentence, pieces[before].start) and _once_more(pieces, before, at):
            groups.append(at)
        if len(groups) > 1 and (at == placed[-1] or groups[-1] != at or not _goes_on(case, placed, at)):
            yield _Places(case.rules.sentence(pieces[groups[0]].start), tuple(pieces[n].places for n in groups), "")
            groups = []


def _goes_on(case: Case, placed: Sequence[int], at: int) -> bool:
    """Tell whether the next place after a piece is one more of the same sentence."""
    following = placed[placed.index(at) + 1]
    sentence = case.rules.sentence(case.pieces[at].start)
    return holds(sentence, case.pieces[following].start) and _once_more(case.pieces, at, following)


def _once_more(pieces: Sequence[Piece], before: int, at: int) -> bool:
    """Tell whether the place at a piece is where the same was seen once more, since the place before it."""
    lows = _led_by(pieces, before + 1, at)
    if lows[-1:] in (["another"], ["same"]) or lows[-2:] in (["another", "one"], ["one", "more"], ["and", "more"]):
        return True
    so = any(low == "so" and after in _SO for low, after in pairwise(lows))
    both_one = lows in (["one"], [",", "one"], ["and", "one"]) and _led_by(pieces, 0, before)[-1:] == ["one"]
    ends = at + 1 == len(pieces) or pieces[at + 1].kind == "mark"  # "one bolt at frame 3 is loose and one at frame 5"
    return lows[-1:] == ["one"] and (so or both_one or (ends and lows[-2:-1] == ["and"]))


def _led_by(pieces: Sequence[Piece], first: int, at: int) -> list[str]:
    """Return what is said from a piece up to the words of place before another: "and another" of "and another at"."""
    step = at - 1
    while step >= first and pieces[step].low in _AT:
        step -= 1
    return [piece.low for piece in pieces[first : step + 1]]


def with_numbers_elsewhere(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, with what was counted on the other side or at the next place, where only its number is said.

    "Three loose rivets at frame 12. Frame 14, five.", "nine loose to port, and on the starboard side there are six".
    """
    found, counted_ones = list(facts), case.lexicon.fasteners | {"hole"}
    for where, number in _numbers_elsewhere(case.pieces):
        earlier = [f for f in found if f.finding and f.count and not f.absent and f.of in counted_ones]
        since = (_since(case, where.start), where.start)
        own = {"side": where.sense("sides")} if where.kind == "side" else {"place": where.places}
        before = [f for f in earlier if holds(since, f.words[0]) and not _is_where(f, own)]
        if not before:
            continue
        told = [n for n, f in enumerate(found) if f.finding == before[-1].finding and _is_where(f, own)]
        counted = {"count": number.whole, "of": before[-1].of, "about": None}
        if not told:
            bare = {"measure": None, "tag": None, "words": (where.start, number.end)}
            found.append(before[-1].model_copy(update=bare | own | counted))
        elif _is_uncounted(case, found[told[-1]], before[-1], where) and not found[told[-1]].absent:
            found[told[-1]] = found[told[-1]].model_copy(update=counted)
    return found


def _is_uncounted(case: Case, fact: Fact, before: Fact, where: Piece) -> bool:
    """Tell whether a finding has no number, or that of the one before it, not said again in the place's sentence."""
    sentence = case.rules.sentence(where.start)
    said = any(piece.whole == fact.count for piece in case.pieces if holds(sentence, piece.start))
    return fact.count is None or (fact.count == before.count and not said)


def _since(case: Case, character: int) -> int:
    """Return where the second sentence before that of a character begins."""
    start = case.rules.sentence(character)[0]
    for _before in range(_SENTENCES):
        start = case.rules.sentence(max(0, start - 1))[0]
    return start


def _is_where(fact: Fact, own: Mapping[str, object]) -> bool:
    return all(getattr(fact, key) == value for key, value in own.items())


def _numbers_elsewhere(pieces: Sequence[Piece]) -> Iterator[tuple[Piece, Piece]]:
    """Yield each side or place with the number that stands alone after it."""
    for at, piece in enumerate(pieces):
        if piece.kind not in ("side", "place") or piece.sense("sides") == "both":
            continue
        step = at + 1
        while step < len(pieces) and pieces[step].low in _LEADS_TO_NUMBER:
            step += 1
        if at + 1 < step < len(pieces) and pieces[step].kind == "number" and pieces[step].whole:
            after = pieces[step + 1] if step + 1 < len(pieces) else None
            if after is None or after.kind == "mark" or after.low in ("and", "of"):
                yield piece, pieces[step]


def _each_named(case: Case) -> Iterator[_Places]:
    """Yield the places of "rib 4 is split, rib 5 is split", which are parts themselves."""
    told: dict[tuple[Span, str], list[tuple[Place, ...]]] = {}
    for place, be, seen in zip(case.pieces, case.pieces[1:], case.pieces[2:], strict=False):
        finding = seen.sense("finding-adjective") or seen.sense("finding-noun")
        if place.kind == "place" and len(place.places) == 1 and be.low in _SO and finding:
            told.setdefault((case.rules.sentence(place.start), finding), []).append(place.places)
    yield from (
        _Places(sentence, tuple(groups), finding) for (sentence, finding), groups in told.items() if groups[1:]
    )
