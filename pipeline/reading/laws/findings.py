"""Findings: what was mended is not seen anew, what is cured is no more there, and where it is not known is asked."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from pipeline.reading.clauses import only_if
from pipeline.reading.fact import Fact
from pipeline.reading.forms import word_set
from pipeline.reading.laws.case import Case
from pipeline.reading.learnt.deciding import by_rules_only
from pipeline.reading.pieces import BE, DETERMINERS, HAVE, Piece
from pipeline.reading.spans import holds, overlap

_CLOTH = ("wing-fabric", "fabric-tape")
NOT_NAMED = "the part was not named"  # a doubt

_SEEMS = ("sounds", "sounded", "looks", "looked")
_MENDS = ("repair", "clean", "treat", "weld", "paint", "prime")
_TORN = word_set("tear tears torn rip rips ripped")
_CRACKED = word_set("crack cracks cracked cracking split splits")
_CRACK_TESTS = word_set(
    "dye dyed dyeing pen pens penned penning penetrant penetrants dyepen flaw flaws magnetic particle eddy ultrasonic"
)
_NO_MORE = ("more", "longer", "anymore")
_CURED = ("cured", "stopped", "gone", "fixed", "cleared", "sorted")
_BY_NOW = ("been", "now", "all", "completely", "finally")
_KNOWN = word_set("the that this those these both")
_BESIDE = word_set("round around behind beside under underneath")
_AS_FAR = 10  # pieces from a finding to what was done to it


class _Mended(NamedTuple):
    finding: str
    start: int
    end: int
    cured: bool

    def tells(self, fact: Fact) -> bool:
        """Tell whether the words of a fact begin in these."""
        return holds((self.start, self.end), fact.words[0])


def without_what_was_mended(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; what its sentence says was mended is not seen anew: "the crack is stop drilled"."""
    mended = list(_mended(case.pieces))
    return [fact for fact in facts if not (_is_mended(fact, mended) and _was_mended(case, facts, fact))]


def of_what_has_it(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; "the tyre on the nose wheel is perished" tells once of the wheel that the detail belongs to.

    What lies round or behind "it" and is no part itself, as "the rubber round it", tells nothing of it.
    """
    return [
        fact
        for fact in facts
        if not fact.finding or not (_round_it(case, fact) or any(_is_detail_of(case, fact, other) for other in facts))
    ]


def _round_it(case: Case, fact: Fact) -> bool:
    """Tell whether a finding is of a thing beside the part: "the rubber round it has cracked"."""
    own = case.own(fact)
    for at in own[:-2]:
        noun, where, it = case.pieces[at : at + 3]
        thing = noun.kind == "word" and noun.tag in ("NN", "NNS") and noun.start < fact.words[1]
        if thing and where.low in _BESIDE and it.low in ("it", "them") and not case.names_part_of(fact):
            return True
    return False


def _is_detail_of(case: Case, fact: Fact, other: Fact) -> bool:
    """Tell whether the same is told of a detail, and of the part that it is named as being on."""
    keys = ("status", "finding", "absent")
    same = case.together(fact, other) and all(getattr(fact, key) == getattr(other, key) for key in keys)
    if not same or case.lexicon.part_kind.get(fact.item or "") != "detail":
        return False
    own = case.own_pieces(fact)
    named = [at for at, piece in enumerate(own) if piece.sense("part") == fact.item]
    whole = [at for at, piece in enumerate(own) if piece.sense("part") == other.item]
    between = [piece.low for piece in own[named[0] + 1 : whole[0]]] if named and whole else []
    return between[:1] in (["on"], ["of"]) and set(between[1:]) <= DETERMINERS | {
        "port",
        "starboard",
        "left",
        "right",
    }


def _is_mended(fact: Fact, mended: Sequence[_Mended]) -> bool:
    told = any(one.finding == fact.finding and one.tells(fact) for one in mended)
    return told and not fact.measure and not fact.absent


def _was_mended(case: Case, facts: Sequence[Fact], fact: Fact) -> bool:
    return any(
        other.act in _MENDS
        and other.status == "done"
        and other.item == fact.item
        and other.words[1] > fact.words[0]
        and case.together(other, fact)
        for other in facts
    )


def not_by_its_sound(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; skin that "sounds dead", or a hook that "looked dry", was not found good."""
    return [fact for fact in facts if fact.finding != "sound" or not _seems_bad(case, fact)]


def _seems_bad(case: Case, fact: Fact) -> bool:
    """Tell whether "sounds", or "looked" with what it looked like, tells a fact, and nothing good comes after it."""
    own = case.own_pieces(fact)
    told = [at for at, one in enumerate(own) if holds(fact.words, one.start) and one.low in _SEEMS]
    after = own[told[-1] + 1 : told[-1] + 4] if told else []
    so = bool(after) and (own[told[-1]].low.startswith("sound") or after[0].tag == "JJ")
    return so and not any(one.sense("finding-adjective") in case.lexicon.good for one in after)


def dry_is_not_there(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; "the leak at the cover's dry" tells once that it leaks no more."""
    gone = [f for f in facts if f.finding == "leak" and f.absent and _dried(case, f)]
    return [f for f in facts if f.finding != "leak" or f.absent or not any(_same_leak(case, f, one) for one in gone)]


def _dried(case: Case, fact: Fact) -> bool:
    told = (piece.low for piece in case.pieces if overlap(fact.words, (piece.start, piece.end)))
    return any(word in ("dry", "dried") for low in told for word in low.split())


def _same_leak(case: Case, fact: Fact, gone: Fact) -> bool:
    return fact.item == gone.item and case.together(fact, gone) and fact.words[0] < gone.words[0]


def without_pins_that_are_split(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; pins that are "in and split" have their legs opened, and no crack."""
    return [fact for fact in facts if fact.finding != "crack" or not _legs_opened(case, fact)]


def _legs_opened(case: Case, fact: Fact) -> bool:
    own = case.own_pieces(fact)
    at = next((n for n, one in enumerate(own) if holds(fact.words, one.start) and one.low == "split"), 0)
    before = [one.low for one in own[:at]]
    pins = any(low.split()[-1] in ("pin", "pins") for low in before)
    return pins and before[-1:] == ["and"] and bool({"in", "through"} & set(before))


def gone_where_cured(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; what is cured is not there: "the oil leak on the starboard engine is cured"."""
    mended = list(_mended(case.pieces))
    found = []
    for fact in facts:
        cured = fact.finding and not fact.absent and any(one.cured and one.tells(fact) for one in mended)
        found.append(fact.model_copy(update={"absent": True}) if cured else fact)
    return found


def on_neither_end(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; what was found between two ribs has no part: it is on neither of them."""
    return [fact if fact.absent and fact.item else _between(case, fact) for fact in facts]


def _between(case: Case, fact: Fact) -> Fact:
    range_of = any(place.scheme == fact.item and "-" in place.at for place in fact.place or ())
    if not fact.finding or not range_of:
        return fact
    own = (other for other in case.by_rules if other.finding == fact.finding and case.together(other, fact))
    return _without_part(fact) if any(other.item is None for other in own) else fact


def gone_from_where_it_was(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; what is no more there is so of the part on which it was seen: "there's no leak any more"."""
    found: list[Fact] = []
    for fact in facts:
        found.append(_gone_from(case, found, fact) if fact.absent and fact.item else fact)
    return found


def _gone_from(case: Case, before: Sequence[Fact], fact: Fact) -> Fact:
    start, _end = case.sentence(fact)
    own = case.own_pieces(fact)
    seen = [f for f in before if f.finding == fact.finding and f.item and not f.absent and f.words[0] < start]
    if any(p.kind == "thing" and (p.sense("part") or p.sense("short")) for p in own):
        return fact
    if not seen:
        earlier = case.since_sentence_before(fact)
        near = any(holds(earlier, p.start) and p.sense("part") == fact.item for p in case.pieces)
        known = any(p.low in _NO_MORE for p in own)
        return fact if near or not known else _without_part(fact).model_copy(update={"place": None})
    if any(other.item == fact.item for other in seen):
        return fact
    why = tuple(pair for pair in fact.inferred if pair[0] not in ("item", "side"))
    told = {"item": seen[-1].item, "side": seen[-1].side, "place": None}
    return fact.model_copy(update=told | {"inferred": (*why, ("item", "where it was seen"))})


def tears_in_cloth(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; cloth that is torn is broken, and not cracked besides: "a tear in the fabric"."""
    found: list[Fact] = []
    for fact in facts:
        if fact.finding == "crack" and fact.item in _CLOTH and _torn(case, fact):
            fact = fact.model_copy(update={"finding": "broken"})
            if any(f.finding == "broken" and f.item == fact.item and case.together(f, fact) for f in facts):
                continue
        found.append(fact)
    return found


def _torn(case: Case, fact: Fact) -> bool:
    """Tell whether the sentence of a fact speaks of a tear and of no crack."""
    words = {word for piece in case.own_pieces(fact) for word in piece.low.split()}
    return bool(words & _TORN) and not words & _CRACKED


def sound_where_none_is_named(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; where nothing was found, and no crack was spoken of or tested for, the part is sound."""
    words = {word for piece in case.pieces for word in piece.low.replace("-", " ").split()}
    if words & (_CRACKED | _CRACK_TESTS):
        return list(facts)
    found: list[Fact] = []
    for fact in facts:
        if fact.finding == "crack" and fact.absent:
            fact = fact.model_copy(update={"finding": "sound", "absent": None})
            if any(other.finding == "sound" and other.item == fact.item for other in facts):
                continue
        found.append(fact)
    return found


def _without_part(fact: Fact) -> Fact:
    told = {"item": None, "side": None, "inferred": (), "doubts": (*fact.doubts, NOT_NAMED)}
    return fact.model_copy(update=told)


def with_what_was_cured(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, with what the rules read as there and was forgotten, though its words say that it is gone."""
    mended = [one for one in _mended(case.pieces) if one.cured]
    told = {(fact.finding, case.sentence(fact)) for fact in facts}
    found = list(facts)
    for fact in case.by_rules:
        gone = any(one.finding == fact.finding and one.start < fact.words[1] <= one.end for one in mended)
        if gone and fact.item and (fact.finding, case.sentence(fact)) not in told:
            found.append(by_rules_only(fact.model_copy(update={"absent": True})))
    return found


def _mended(pieces: Sequence[Piece]) -> Iterator[_Mended]:
    """Yield each finding that is the subject of a passive: "the crack in the top cowling is stop drilled"."""
    for at, piece in enumerate(pieces):
        finding = piece.sense("finding-noun")
        if piece.kind != "finding" or not finding or not is_known(pieces, at):
            continue
        for step in range(at + 1, min(at + _AS_FAR, len(pieces))):
            if pieces[step].kind in ("mark", "finding") or pieces[step].low in ("and", "but", "that", "which"):
                break
            if pieces[step].kind == "aux":
                if pieces[step].low in BE | HAVE:
                    cured = _is_cured(pieces, step + 1) and not only_if(pieces, at)
                    yield _Mended(finding, piece.start, pieces[step].end, cured)
                break


def _is_cured(pieces: Sequence[Piece], at: int) -> bool:
    """Tell whether "cured" or "gone" comes next: not "not cured", "nearly gone", "to be fixed" or "being fixed"."""
    while at < len(pieces) and pieces[at].low in _BY_NOW:
        at += 1
    return at < len(pieces) and pieces[at].low in _CURED


def is_known(pieces: Sequence[Piece], at: int) -> bool:
    """Tell whether a finding is spoken of as one that is known: "the crack", "that small dent", "Dent in it"."""
    step = at - 1
    while step >= 0 and pieces[step].tag in ("JJ", "NN") and pieces[step].kind in ("word", "grade"):
        step -= 1
    return step < 0 or pieces[step].ends_sentence or pieces[step].low in _KNOWN
