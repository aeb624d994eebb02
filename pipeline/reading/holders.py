"""What fasteners hold: work on them is work on that part."""

from collections.abc import Sequence

from pipeline.reading.forms import word_set
from pipeline.reading.phrases import Phrase
from pipeline.reading.pieces import Piece
from pipeline.reading.standing import of_phrase
from pipeline.reading.talk import Talk, Target

_HOLDING = word_set("of off from on at in round around through for to into along holding")


_HOLDS = word_set("hold secure retain attach fasten fix")


def holder_of(
    talk: Talk, pieces: Sequence[Piece], phrases: Sequence[Phrase], fasteners: Phrase, since: int, until: int
) -> Target:
    """Return the part that fasteners hold: named before them, after "of" or "off", or the one being talked of."""
    target = _named_holder(talk, fasteners) or _holder_after(talk, pieces, phrases, fasteners, until)
    if target is not None:
        return target
    for phrase in reversed(phrases):
        ahead = since <= phrase.first < fasteners.first and not phrase.prep
        if ahead and (phrase.item or phrase.short) and not phrase.fastener:
            target = of_phrase(talk, phrase)
            if target.item:
                return target
    told_of = fasteners.stands_for or fasteners.count is None or (fasteners.implied and fasteners.plural)
    if told_of and talk.held and not fasteners.prep:
        side = fasteners.side or talk.held_side
        return Target(talk.held, side, bool(fasteners.side), (), (("item", "what these fasteners hold"),), fasteners)
    if talk.focus:
        focus, focus_side = talk.returns_to_main()
        side = fasteners.side or focus_side
        return Target(focus, side, bool(fasteners.side), (), (("item", "the part being talked of"),), fasteners)
    return Target("", fasteners.side, bool(fasteners.side), (), (), fasteners)


def _named_holder(talk: Talk, fasteners: Phrase) -> Target | None:
    """Return the part in "wing joint bolts" or "hinge bolts", None where none is named so."""
    item = fasteners.holder or (talk.settle(fasteners.holder_short) if fasteners.holder_short else "")
    if item:
        return _sided(talk, Target(item, fasteners.side, bool(fasteners.side), fasteners.places, (), fasteners))
    return _own_hinge(talk, fasteners) if fasteners.holder_short == "hinge" else None


def _own_hinge(talk: Talk, phrase: Phrase) -> Target | None:
    """Return the hinge of the part being talked of, None where the vocabulary has none."""
    hinge = f"{talk.focus}-hinge"
    if talk.lexicon.part_kind.get(hinge, "detail") == "detail":
        return None
    return Target(hinge, talk.focus_side, False, (), (("item", "the hinge of the part being talked of"),), phrase)


def _holder_after(
    talk: Talk, pieces: Sequence[Piece], phrases: Sequence[Phrase], fasteners: Phrase, until: int
) -> Target | None:
    """Return the part in "bolts off the engine mount"; "at the rear spar" is a place while a part is talked of."""
    for phrase in phrases:
        held = fasteners.last < phrase.first and pieces[phrase.first - 1].verb in _HOLDS
        if not fasteners.last <= phrase.first < (phrase.last if held else until) or phrase.person:
            continue
        if phrase.prep not in _HOLDING and not held:
            continue
        if phrase.kind == "support-equipment" or (phrase.fastener and phrase.counted != "hinge"):
            continue
        on_spar = phrase.places and talk.focus not in ("front-spar", "rear-spar")
        if talk.focus and (phrase.located or on_spar):
            continue
        hinge = phrase.counted == "hinge" and not phrase.item
        target = _own_hinge(talk, phrase) if hinge else of_phrase(talk, phrase)
        if target is not None and target.item:
            return target
    return None


def _sided(talk: Talk, target: Target) -> Target:
    if target.side or not target.item:
        return target
    side, why = talk.carried_side(target.item)
    if target.item == talk.focus:
        side = talk.focus_side or side
    return Target(target.item, side, False, target.places, (*target.inferred, *why), target.phrase)
