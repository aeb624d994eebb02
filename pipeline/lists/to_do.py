"""What was said to be planned, or not to have been done, and has not been done since; and what it waits for."""

import re
from collections.abc import Iterable, Mapping, Sequence
from datetime import date

from pipeline.english import listed
from pipeline.lists.controls_called import controls_called, same_name
from pipeline.lists.logged import LoggedFact, in_order, names_of, position_of, same_place, same_side, sides
from pipeline.lists.refitted import is_for_now
from pipeline.lists.swaps import is_new_one
from pipeline.lists.waiting import Waiting
from pipeline.reading.fact import MarkedFact, Place
from pipeline.reading.positions import same_position
from pipeline.reading.vocabulary import Vocabulary
from pipeline.records import ToDo, WaitsFor

_ALSO_DONE_BY: Mapping[str, frozenset[str]] = {
    "remove": frozenset({"store", "bag"}),  # what lies on a rack is off
    "undo": frozenset({"remove", "separate", "drill-out"}),
    "disconnect": frozenset({"remove"}),
    "open": frozenset({"remove"}),
    "separate": frozenset({"remove"}),
    "store": frozenset({"bag"}),
    "move": frozenset({"fit"}),  # what was to be sent away is on again
}
"""Acts that cannot be told as done of a part unless the owed one is done too. Source: common practice, no source."""

_OVER_ALL_OF_IT = frozenset({"clean", "strip-finish", "prime", "paint"})
"""Acts that take in what belongs to a part. Source: common practice, no source."""

_TAKING_APART = frozenset({"remove", "undo", "drill-out", "disconnect", "separate", "open"})
_AS_IT_IS = r"connected|closed|shut|fitted|attached|fastened|bolted|joined|hooked up|coupled"
_STAYS = re.compile(
    rf"\b(?:stays?|staying|stayed|remains?|remaining)(?: \w+){{0,2}} "
    rf"(?:on|in|put|there|(?:as|where) (?:it is|they are)|{_AS_IT_IS})\b"
    r"|(?:\b(?:we|i|they|was|were|been|being|be|have|has|had|is|are)|['\u2019](?:ve|s|re|d))(?: \w+){0,2}? "
    r"(?:left|leaving|leave|keeping|kept)(?: \w+){0,3}? "
    rf"(?:on|in place|in (?:the|its|their|her|it)|alone|where (?:it|they) (?:is|are|was|were)|{_AS_IT_IS})\b"
    r"|(?:\b(?:is|are)|['\u2019](?:s|re)) still (?:\w+ )?on\b"
    r"|\b(?:left|leave|leaving) on (?:the|its|their|her|it|them)\b"
    r"|\b(?:did|have|has|had|was|were|is|are)(?:n['\u2019]t| not)(?: \w+){0,2}? (?:touch|disturb)(?:ed)?\b"
    r"|\b(?:is|are|was|were)(?:n['\u2019]t| not) (?:coming|to come) (?:off|out)\b"
    r"|['\u2019](?:s|re) not (?:coming|to come) (?:off|out)\b",
    re.IGNORECASE,
)
_STAYS_OFF = re.compile(
    r"\b(?:(?:stay(?:s|ed|ing)?|remain(?:s|ed|ing)?|left|leave|leaving|kept|keeping)(?: (?!not|to|on)\w+){0,2}"
    r"|(?:is|are) still) (?:off|out)\b",
    re.IGNORECASE,
)
_PUT_OFF = re.compile(
    r"\b(?:yet|until|till|for now|for the moment|later|next|tomorrow|still to|ran out)\b", re.IGNORECASE
)
_TURNS = re.compile(r";|\b(?:and|but)\b", re.IGNORECASE)
_NO_VOCABULARY = Vocabulary()


def to_do(facts: Iterable[LoggedFact], vocabulary: Vocabulary = _NO_VOCABULARY) -> tuple[ToDo, ...]:
    """Return one line for each piece of work that is still owed, in the order first said.

    Work is owed from when it was said to be planned or not done until a later fact says that it is done. What was
    said to stay on is not owed. Said twice, it is one line, under the day on which it was first said; but where it
    was first said not to be done, and planned later, it is the plan that is told, under its own day, with the day
    since which it is owed. Done on one side or at one of several places, it is owed for the rest. A new part that was
    to be made is owed no more once a new one is fitted. A coat on the whole of a part is one on what belongs to it;
    other work done under a broader or narrower name ("the cable" for the rudder cable) counts for one line, where it
    can be of no other.

    Args:
        facts: of all days, in any order; the day of the last one is what the age of a line is counted to.
        vocabulary: for the names of parts that work is said to wait for.
    """
    ordered = in_order(facts)
    by_part: dict[str | None, list[tuple[int, LoggedFact]]] = {}  # with their turn
    kin = _OtherNames(vocabulary)
    for turn, logged in enumerate(ordered):
        fact = logged.fact
        if fact.act is None or (fact.status == "done" and is_for_now(logged)):
            continue
        owed = by_part.setdefault(fact.item, [])
        if fact.status == "done":
            before = list(owed)
            owed[:] = _left(owed, logged, vocabulary)
            if is_new_one(logged, vocabulary):  # what is in was made
                owed[:] = _left(owed, logged.told_as(act="make"), vocabulary)
            if fact.of and fact.of != fact.item and fact.of in by_part:  # "we need a new tailplane bolt"
                by_part[fact.of][:] = _without_those_of_its_own(by_part[fact.of], logged, vocabulary)
            for item in kin.called_otherwise(fact, by_part) if owed == before else ():
                by_part[item][:] = _left(by_part[item], logged.told_as(item=item), vocabulary)
        elif fact.status in ("planned", "not-done") and not _is_left_on(logged):
            for side in sides(fact.side):
                # a number told for both sides is not that of each
                one = logged.told_as(side=side, count=fact.count if side == fact.side else None)
                _owe(owed, turn, one, vocabulary)
    left = sorted((one for owed in by_part.values() for one in owed), key=lambda one: one[0])
    together = _together(left)
    waiting = Waiting([logged for _, logged in together], ordered, vocabulary)
    last = ordered[-1].at.date() if ordered else date.min
    return tuple(_line(logged, ordered[turn], last, waiting.of(logged), vocabulary) for turn, logged in together)


def _left(
    owed: Sequence[tuple[int, LoggedFact]], logged: LoggedFact, vocabulary: Vocabulary
) -> list[tuple[int, LoggedFact]]:
    """Return what of the work on one part is left when some was done on it."""
    return [
        (at, rest)
        for at, earlier in owed
        for rest in (_still_owed(earlier, logged.fact) if _same_one(earlier, logged, vocabulary) else (earlier,))
    ]


def _without_those_of_its_own(
    owed: Sequence[tuple[int, LoggedFact]], logged: LoggedFact, vocabulary: Vocabulary
) -> list[tuple[int, LoggedFact]]:
    """Return what of the work on fasteners is left when a part was fitted with its own: those owed for it are in."""
    of_it = re.compile(rf"\b(?:{names_of(str(logged.fact.item), vocabulary)})\b", re.IGNORECASE)
    own = logged.told_as(item=logged.fact.of)
    return [
        (at, earlier)
        for at, earlier in owed
        if not of_it.search(earlier.sentence)
        or _still_owed(earlier, own.fact)
        or not _same_one(earlier, own, vocabulary)
    ]


class _OtherNames:
    """Under which other names of a part work may be owed."""

    def __init__(self, vocabulary: Vocabulary) -> None:
        self._vocabulary = vocabulary
        self._broader: dict[str, tuple[str, ...]] = {}

    def called_otherwise(
        self, done: MarkedFact, owed: Mapping[str | None, Sequence[tuple[int, LoggedFact]]]
    ) -> list[str]:
        """Return the parts on which the same work is owed, and was done by what was told of another name."""
        if done.item is None or done.act is None:
            return []
        item, act = done.item, done.act
        kin = [
            one
            for one, lines in owed.items()
            if one and one != item and any(work.fact.act == act for _, work in lines) and self._are_kin(one, item)
        ]
        over = [one for one in kin if act in _OVER_ALL_OF_IT and self._vocabulary.is_a(one, item)]
        alike = [one for one in kin if self._last_word(one) == self._last_word(item)]
        fitting = [
            work for one in alike for _, work in owed[one] if work.fact.act == act and not _still_owed_as(work, done)
        ]
        return over or (alike if len(alike) == len(fitting) == 1 else [])

    def _are_kin(self, one: str, other: str) -> bool:
        return other in self._above(one) or one in self._above(other)

    def _above(self, item: str) -> tuple[str, ...]:
        if item not in self._broader:
            part, above = self._vocabulary.part(item), []
            while part and part.broader and part.broader not in above:
                above.append(part.broader)
                part = self._vocabulary.part(part.broader)
            self._broader[item] = tuple(above)
        return self._broader[item]

    def _last_word(self, item: str) -> str:
        return self._vocabulary.preferred(item).split()[-1]


def _still_owed_as(work: LoggedFact, done: MarkedFact) -> tuple[LoggedFact, ...]:
    """Return what of owed work is left, were the work done called by the same name."""
    return _still_owed(work, done.model_copy(update={"item": work.fact.item}))


def _owe(owed: list[tuple[int, LoggedFact]], turn: int, logged: LoggedFact, vocabulary: Vocabulary) -> None:
    """Add a piece of work, or leave it at what was told before; a plan takes the place of what was not done then."""
    fact = logged.fact
    before = [
        at
        for at, (_, earlier) in enumerate(owed)
        if _told_before(earlier.fact, fact) and _same_one(earlier, logged, vocabulary)
    ]
    undone = [at for at in before if owed[at][1].fact.status == "not-done"]
    if not before:
        owed.append((turn, logged))
    if fact.status != "planned":
        return
    for at in undone:
        first, earlier = owed[at]
        side, place = earlier.fact.side or fact.side, earlier.fact.place or fact.place
        owed[at] = (first, logged.told_as(side=side, place=place))


def _same_one(one: LoggedFact, other: LoggedFact, vocabulary: Vocabulary) -> bool:
    """Tell whether two facts can be of the same one of several engines, and of the same control, where words tell."""
    (a, b) = ((each.fact.side, position_of(each, vocabulary)) for each in (one, other))
    called, others = (controls_called(each, vocabulary) for each in (one, other))
    alike = not (called and others) or any(same_name(x, y) for x in called for y in others)
    return alike and same_position(a, b)


def _told_before(owed: MarkedFact, fact: MarkedFact) -> bool:
    return (
        owed.act == fact.act
        and owed.item is not None
        and owed.item == fact.item
        and same_side(owed.side, fact.side)
        and same_place(owed.place, fact.place)
    )


def _still_owed(owed: LoggedFact, done: MarkedFact) -> tuple[LoggedFact, ...]:
    """Return what of a piece of work is left when another was done: all of it, a part, or nothing."""
    work = owed.fact
    same_act = work.act == done.act or done.act in _ALSO_DONE_BY.get(str(work.act), ())
    if not same_act or work.item is None or work.item != done.item or not same_side(work.side, done.side):
        return (owed,)
    if not _meet(work.place or (), done.place or ()):
        return (owed,)
    rest = _places_left(work.place or (), done.place or ())
    if rest:
        return (owed.told_as(place=rest),)
    if work.act == done.act and work.count and done.count and work.of == done.of != "person":
        left = work.count - done.count
        if left > 0:
            return (owed.told_as(count=left),)
    return ()


def _places_left(owed: Sequence[Place], done: Sequence[Place]) -> tuple[Place, ...]:
    """Return the places that are left: () where the work done was at all of them, or nobody said where it was.

    "4-9" covers "6"; what was done at 6 leaves the whole of "4-9" owed, because nobody said that it was all.
    """
    here = [place for place in owed if any(other.scheme == place.scheme for other in done)]
    left = {place for place in here if not any(_covers(other, place) for other in done)}
    if not left:
        return ()
    return tuple(place for place in owed if place in left or place not in here)


def _covers(done: Place, owed: Place) -> bool:
    if done.scheme != owed.scheme:
        return False
    if done.at == owed.at:
        return True
    wide, narrow = _range(done.at), _range(owed.at)
    return wide is not None and narrow is not None and wide[0] <= narrow[0] <= narrow[1] <= wide[1]


def _range(at: str) -> tuple[float, float] | None:
    found = re.fullmatch(r"(\d+(?:\.\d+)?)(?:-(\d+(?:\.\d+)?))?", at)
    return (float(found[1]), float(found[2] or found[1])) if found else None


def _meet(owed: Sequence[Place], done: Sequence[Place]) -> bool:
    """Tell whether work can have been at an owed place: one covers the other in every scheme that both name."""
    for scheme in {place.scheme for place in owed} & {place.scheme for place in done}:
        pairs = [(one, other) for one in owed for other in done if one.scheme == other.scheme == scheme]
        if not any(_covers(one, other) or _covers(other, one) for one, other in pairs):
            return False
    return True


def _together(owed: Sequence[tuple[int, LoggedFact]]) -> list[tuple[int, LoggedFact]]:
    """Put the two sides of one fact together again where both are still owed."""
    kept: list[tuple[int, LoggedFact]] = []
    for turn, logged in owed:
        last = kept[-1][1] if kept else None
        halves = last is not None and (last.fact.side, logged.fact.side) == ("port", "starboard")
        alike = last is not None and halves and last == logged.model_copy(update={"fact": last.fact})
        if last is not None and alike and _but_for_the_side(last.fact) == _but_for_the_side(logged.fact):
            kept[-1] = (turn, last.told_as(side="both"))
            continue
        kept.append((turn, logged))
    return kept


def _but_for_the_side(fact: MarkedFact) -> dict[str, object]:
    return fact.model_dump(exclude={"side", "utterances"})


def _line(
    logged: LoggedFact, first: LoggedFact, last: date, waits_for: tuple[WaitsFor, ...], vocabulary: Vocabulary
) -> ToDo:
    """Return a line; ``first`` is when the work was first said to be owed."""
    fact, since = logged.fact, first.at.date()
    counted = fact.count is not None and fact.of not in (None, "person") and (fact.of, fact.count) != (fact.item, 1)
    return ToDo(
        said_on=logged.at.date(),
        status="planned" if fact.status == "planned" else "not-done",
        act=str(fact.act),
        item=fact.item,
        side=fact.side,
        place=fact.place,
        position=position_of(logged, vocabulary),
        called=listed(controls_called(logged, vocabulary)),
        count=fact.count if counted else None,
        of=fact.of if counted else None,
        words=logged.sentence,
        entry=logged.entry,
        owed_since=since if since != logged.at.date() else None,
        age_days=(last - since).days,
        waits_for=waits_for,
    )


def _is_left_on(logged: LoggedFact) -> bool:
    """Tell whether the words say that a part stays on ("that stays on the mount"), and not that work was put off.

    Nor is anything owed of what stays off, however long. Only the words up to the next "and" or "but" count: what
    comes after may be of another part.
    """
    fact = logged.fact
    if fact.status != "not-done" or fact.act not in _TAKING_APART:
        return False
    sentence = logged.sentence
    at = max(0, sentence.find(logged.said))
    starts = [found.end() for found in _TURNS.finditer(sentence) if found.end() <= at]
    ends = [found.start() for found in _TURNS.finditer(sentence) if found.start() >= at + len(logged.said)]
    words = sentence[max(starts, default=0) : min(ends, default=len(sentence))]
    if fact.act == "remove" and _STAYS_OFF.search(words):
        return True
    return bool(_STAYS.search(words)) and not _PUT_OFF.search(words)
