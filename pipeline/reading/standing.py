"""What a phrase names or stands for: a part with its side, by what the talk has spoken of."""

from collections.abc import Sequence

from pipeline.reading.clauses import Clause
from pipeline.reading.forms import word_set
from pipeline.reading.phrases import Phrase
from pipeline.reading.pieces import Piece
from pipeline.reading.talk import Talk, Target

WHEREABOUTS = word_set("fuselage rear-fuselage centre-fuselage front-fuselage nacelle wheel-bay")
CONSUMED = word_set("sealant primer dope thinner casein-glue")  # never what "it" is, where a part was talked of
_FRAMED = word_set("canopy windscreen window seat gun-turret")
_ITSELF = word_set("joint unit set fitting bottle plane panel cover mount mounting")


def clause_side(pieces: Sequence[Piece], clause: Clause, phrases: Sequence[Phrase]) -> str:
    """Return the side that is said beside the nouns ("port side, took the lamp out"), or ""."""
    inside = {at for phrase in phrases for at in range(phrase.first, phrase.last)}
    found = ""
    for at in range(clause.first, clause.last):
        if pieces[at].kind == "side" and at not in inside and pieces[at].low not in ("a side", "each side", "aside"):
            side = pieces[at].sense("sides")
            if found and found != side:
                return "both"
            found = side
    return found


def of_phrase(talk: Talk, phrase: Phrase, explained: bool = False, to_main: bool = False) -> Target:
    """Return the part that a phrase names or stands for, with the side that was said or carries on."""
    if phrase.stands_for:
        return _stood_for(talk, phrase, to_main)
    item = phrase.item or (_short_named(talk, phrase) if phrase.short else "")
    if item == "frame" and not phrase.places and not phrase.plural:
        item = next(
            (part for part in (talk.focus, talk.main, *reversed(talk.mentioned[-4:])) if _framed(talk, part)), item
        )
    if item and talk.lexicon.part_kind.get(item) == "detail":
        item = _of_detail(talk, phrase, item)
    elif talk.main and phrase.short in _ITSELF and not item:
        item = talk.focus if phrase.prep else talk.main
    if phrase.fastener and not phrase.item:
        item = _as_item(talk, phrase)
    inferred: tuple[tuple[str, str], ...] = ()
    if phrase.short and item and not phrase.item:
        inferred = (("item", talk.taken_as(phrase.short, item)),)
    if phrase.side:
        return Target(item, phrase.side, True, phrase.places, inferred, phrase)
    side, why = ("", ()) if explained else talk.carried_side(item)
    if item and item == talk.focus and not explained:
        side = talk.focus_side or side
    return Target(item, side, False, phrase.places, (*inferred, *why), phrase)


def _framed(talk: Talk, part: str) -> bool:
    """Tell whether a part has a frame of its own, which is recorded under it ("the rudder's frame")."""
    return talk.lexicon.part_kind.get(part) == "control-surface" or part in _FRAMED


def _short_named(talk: Talk, phrase: Phrase) -> str:
    """Return the part that a short name stands for, or with an owner before it one of the owner's."""
    if not phrase.holder:
        return talk.settle(phrase.short)
    may_be = [part for part in talk.lexicon.shorts.get(phrase.short, ()) if part != "-"]
    own = [part for part in may_be if talk.lexicon.vocabulary.is_a(part, phrase.holder)]
    # "engine mount" is the engine's: a generator's mount is none, but its pipe may be any pipe.
    zones = ("any", talk.lexicon.zone_and_side(phrase.holder)[0])
    free = [
        part
        for part in may_be
        if part == phrase.short
        or (part.split("-")[0] not in talk.lexicon.part_kind and talk.lexicon.zone_and_side(part)[0] in zones)
    ]
    return (own or free or [phrase.holder])[0]


def _of_detail(talk: Talk, phrase: Phrase, detail: str) -> str:
    """Return the part that a detail ("tyre", "lug") is recorded under."""
    part = talk.lexicon.vocabulary.part(detail)
    broader = part.broader if part is not None else ""
    named = talk.focus if phrase.prep or not talk.main else talk.main
    zones = {talk.lexicon.zone_and_side(item)[0] for item in (broader, named) if item}
    own = f"{named.rsplit('-', 1)[-1]}-{detail}"
    if named and talk.lexicon.vocabulary.part(own) is not None:
        return own  # the web of the front spar is a spar web
    elsewhere = named and len(zones) > 1 and "any" not in zones and broader not in talk.mentioned
    if not broader or elsewhere:
        return named or detail
    return talk.settle(broader) if broader in talk.lexicon.shorts else broader


def _as_item(talk: Talk, phrase: Phrase) -> str:
    if phrase.counted in ("hole", "person"):
        return ""
    if phrase.counted == "hinge":
        return talk.settle("hinge")
    return phrase.counted


def _just_told(talk: Talk, phrase: Phrase) -> Target | None:
    """Return the small things that "nine" or "those" are: as many bolts as before, or the gaskets just seen."""
    last = talk.drafts[-1] if talk.drafts else None
    if phrase.bare and phrase.count:
        told = next((d for d in reversed(talk.drafts[-2:]) if d.count == phrase.count), None)
        if told is not None and told.of == told.item and told.of in talk.lexicon.fasteners:
            return Target(told.of, told.side, False, (), (("item", "as many were counted before"),), phrase)
    seen = last is not None and last.finding and last.item in talk.plurals
    if phrase.stands_for == "them" and last is not None and seen:
        if talk.lexicon.part_kind.get(last.item) != "material":
            return None
        return Target(last.item, last.side, False, (), (("item", "what was just seen"),), phrase)
    return None


def _stood_for(talk: Talk, phrase: Phrase, to_main: bool) -> Target:
    focus, focus_side = talk.focus, talk.focus_side
    just_told = _just_told(talk, phrase)
    if just_told is not None:
        return just_told
    if phrase.stands_for == "she":
        raised = [draft for draft in talk.drafts[-4:] if draft.act in ("support", "lift") and draft.status == "done"]
        why_she = (("item", "what was being held up"),)
        return Target(raised[-1].item, raised[-1].side, False, (), why_she, phrase) if raised else Target()
    if phrase.stands_for != "them" and (to_main or phrase.stands_for in ("one", "side", "other")):
        focus, focus_side = talk.returns_to_main()
    why = (("item", f"stands for the last part that fits: {talk.lexicon.vocabulary.preferred(focus)}"),)
    if phrase.stands_for == "such":
        recent = [item for item in talk.mentioned if talk.lexicon.part_kind.get(item) != "support-equipment"]
        recent = [item for item in recent if item not in WHEREABOUTS] or recent
        item = recent[-1] if recent else focus
        return Target(item, "", False, (), why, phrase)
    if phrase.stands_for in ("one", "side", "other"):
        item = focus or (talk.mentioned[-1] if talk.mentioned else "")
        if (phrase.side or phrase.stands_for == "other") and item and not talk.lexicon.zone_and_side(item)[1]:
            item = talk.paired
        side = phrase.side or (talk.other_side() if phrase.stands_for == "other" else focus_side)
        return Target(item, side, bool(phrase.side) or phrase.stands_for == "other", (), why if item else (), phrase)
    named = [item for item in talk.mentioned if item not in CONSUMED]
    if not focus and named:
        focus, focus_side = named[-1], ""
        why = (("item", f"stands for the last part named: {talk.lexicon.vocabulary.preferred(focus)}"),)
    if not focus:
        return Target("", "", False, (), (), phrase)
    if not focus_side and talk.side_item == focus and talk.side != "both":
        focus_side = talk.side
    if phrase.side and talk.lexicon.zone_and_side(focus)[1] and focus not in talk.lexicon.fasteners:
        return Target(focus, phrase.side, True, (), why, phrase)
    return Target(focus, focus_side, False, (), why, phrase)
