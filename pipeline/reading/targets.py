"""What an act or a finding is about: its object or its subject, what holds it, on which side."""

from collections.abc import Sequence

from pipeline.reading.clauses import Clause
from pipeline.reading.constructions import HOLDS, INVERTED, UNDER, Said
from pipeline.reading.forms import singular, word_set
from pipeline.reading.phrases import Phrase
from pipeline.reading.pieces import DETERMINERS, Piece
from pipeline.reading.sayings import is_unaccusative
from pipeline.reading.talk import Talk, Target

# Work on these is work on what the fasteners hold; all other acts are done to the fasteners themselves.
ON_HOLDER = word_set("undo drill-out fit tighten lock held-by remove separate open")
_ITSELF = word_set("joint unit set fitting bottle plane panel cover mount mounting")
SPARS = word_set("front-spar rear-spar")
_HOLDING = word_set("of off from on at in round around through for to into along holding")
_OBJECT_PREPS = word_set("of on round around in through from off inside over to")
_PAIRED_ACTS = word_set("bag store")


def clause_side(pieces: Sequence[Piece], clause: Clause, phrases: Sequence[Phrase]) -> str:
    """Return the side that is said beside the nouns ("port side, took the lamp out"), or ""."""
    inside = {at for phrase in phrases for at in range(phrase.first, phrase.last)}
    found = ""
    for at in range(clause.first, clause.last):
        if pieces[at].kind == "side" and at not in inside:
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
    if item and talk.lexicon.part_kind.get(item) == "detail":
        item = _of_detail(talk, phrase, item)
    elif talk.main and phrase.short in _ITSELF and not item:
        item = talk.focus if phrase.prep else talk.main
    if phrase.fastener and not phrase.item:
        item = _as_item(talk, phrase)
    inferred: tuple[tuple[str, str], ...] = ()
    if phrase.short and item and not phrase.item:
        inferred = (("item", f"'{phrase.short}' taken as {talk.lexicon.vocabulary.preferred(item)}"),)
    if phrase.side:
        return Target(item, phrase.side, True, phrase.places, inferred, phrase)
    side, why = ("", ()) if explained else talk.carried_side(item)
    if item and item == talk.focus and not explained:
        side = talk.focus_side or side
    return Target(item, side, False, phrase.places, (*inferred, *why), phrase)


def _short_named(talk: Talk, phrase: Phrase) -> str:
    """Return the part that a short name stands for, or with an owner before it one of the owner's."""
    if not phrase.holder:
        return talk.settle(phrase.short)
    may_be = [part for part in talk.lexicon.shorts.get(phrase.short, ()) if part != "-"]
    own = [part for part in may_be if talk.lexicon.vocabulary.is_a(part, phrase.holder)]
    # "engine mount" is the engine's: a generator's mount is none, but its pipe may be any pipe.
    free = [part for part in may_be if part.split("-")[0] not in talk.lexicon.part_kind or part == phrase.short]
    return (own or free or [phrase.holder])[0]


def _of_detail(talk: Talk, phrase: Phrase, detail: str) -> str:
    """Return the part that a detail ("tyre", "lug") is recorded under."""
    part = talk.lexicon.vocabulary.part(detail)
    broader = part.broader if part is not None else ""
    named = talk.focus if phrase.prep or not talk.main else talk.main
    zones = {talk.lexicon.zone_and_side(item)[0] for item in (broader, named) if item}
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


def _stood_for(talk: Talk, phrase: Phrase, to_main: bool) -> Target:
    focus, focus_side = talk.focus, talk.focus_side
    if phrase.stands_for == "she":
        raised = [draft for draft in talk.drafts[-4:] if draft.act in ("support", "lift") and draft.status == "done"]
        why_she = (("item", "what was being held up"),)
        return Target(raised[-1].item, raised[-1].side, False, (), why_she, phrase) if raised else Target()
    if phrase.stands_for != "them" and (to_main or phrase.stands_for in ("one", "side", "other")):
        focus, focus_side = talk.returns_to_main()
    why = (("item", f"stands for the last part that fits: {talk.lexicon.vocabulary.preferred(focus)}"),)
    if phrase.stands_for == "such":
        recent = [item for item in talk.mentioned if talk.lexicon.part_kind.get(item) != "support-equipment"]
        item = recent[-1] if recent else focus
        return Target(item, "", False, (), why, phrase)
    if phrase.stands_for in ("one", "side", "other"):
        item = focus
        if (phrase.side or phrase.stands_for == "other") and item and not talk.lexicon.zone_and_side(item)[1]:
            item = talk.paired
        side = phrase.side or (talk.other_side() if phrase.stands_for == "other" else focus_side)
        return Target(item, side, bool(phrase.side) or phrase.stands_for == "other", (), why if item else (), phrase)
    if not focus and talk.mentioned:
        focus, focus_side = talk.mentioned[-1], ""
        why = (("item", f"stands for the last part named: {talk.lexicon.vocabulary.preferred(focus)}"),)
    if not focus:
        return Target("", "", False, (), (), phrase)
    return Target(focus, focus_side, False, (), why, phrase)


def find_targets(
    talk: Talk, pieces: Sequence[Piece], clause: Clause, phrases: Sequence[Phrase], said: Said, until: int, since: int
) -> list[Phrase] | None:
    """Return the phrases that an act is done to, among those between pieces ``since`` and ``until``.

    Returns:
        [] where none is named, None where it is done to something that is no part ("straps tightened").
    """
    usable = [phrase for phrase in phrases if _may_be_acted_on(talk, phrase, said)]
    after = [phrase for phrase in usable if said.at < phrase.first < until]
    before = [phrase for phrase in usable if since <= phrase.first < said.at]
    construction = said.saying.verb if said.saying else ""
    if construction == INVERTED:
        return with_others(pieces, after[0], after) if after else []
    if construction == UNDER:
        under = ("under", "beneath", "underneath")
        return [phrase for phrase in usable if phrase.first >= said.at and phrase.prep in under][:1]
    if construction == HOLDS:
        return [p for p in usable if p.first > said.at and (p.item or p.short or p.stands_for)][:1]
    if _foreign_subject(talk, pieces, clause, said, before):
        return None
    if said.state or is_unaccusative(said) or _passive(pieces, clause, said):
        tools = [p for p in phrases if p not in usable and not p.person and not p.prep and p.first < said.at]
        if tools and not before:
            return None
        return _subjects(pieces, said, usable, before, after)
    return _objects(pieces, said, before, after)


def _may_be_acted_on(talk: Talk, phrase: Phrase, said: Said) -> bool:
    if phrase.person or (phrase.kind == "material" and phrase.item in ("primer", "sealant")):
        return False
    tool = phrase.kind == "support-equipment" or _tool(talk, phrase)
    return not tool or said.act in ("move", "tag", "repair", "inspect", "paint")


def _subjects(
    pieces: Sequence[Piece], said: Said, usable: Sequence[Phrase], before: Sequence[Phrase], after: Sequence[Phrase]
) -> list[Phrase] | None:
    """Return the subject of a state or a passive."""
    subjects = [phrase for phrase in before if not phrase.prep] or list(before)
    own = [p for p in usable if said.state and p.first <= said.at < p.last and not p.prep]
    if own:
        return with_others(pieces, own[0], [*subjects, *own])
    if subjects and subjects[0].beyond and said.act in _WHOLE and subjects[0].last < said.at:
        return None
    if subjects and _singular_verb(pieces, subjects[-1], said):
        return subjects[-1:] if _heading(pieces, subjects) or subjects[-1].named else subjects[:1]
    if subjects:
        return with_others(pieces, subjects[-1] if _heading(pieces, subjects) else subjects[0], subjects)
    if after and not after[0].prep and not said.state:
        return with_others(pieces, after[0], after)
    return []


def _objects(
    pieces: Sequence[Piece], said: Said, before: Sequence[Phrase], after: Sequence[Phrase]
) -> list[Phrase] | None:
    """Return the object of an active verb: after it, before it where it was said first, or after a preposition."""
    if said.at > 1 and any(piece.low == "paint" and piece.kind == "word" for piece in pieces[said.at - 2 : said.at]):
        return None
    if own_object(pieces, said):
        return None if said.act in ("move", "fit", "open", "store", "remove") else []
    listed = _listed(pieces, said, after)
    if listed:
        return listed
    direct = _direct(pieces, said, after)
    if direct and direct[0].beyond and said.act in _WHOLE:
        return None
    if direct and not _far(pieces, said, direct[0]):
        return with_others(pieces, direct[0], after)
    fronted = [
        phrase
        for phrase in before
        if (not phrase.prep or (phrase.prep == "of" and pieces[phrase.first - 2].low in _WHOLE_OF))
        and not (phrase.stands_for in ("it", "them") and _pronoun_subject(pieces, phrase, said))
    ]
    if fronted:
        return with_others(pieces, fronted[-1], fronted)
    if said.act == "drain":
        return [p for p in after if p.prep in ("of", "from") and (p.named or p.stands_for)][:1]
    headed = [
        p for p in before if p.named and pieces[p.last].low in (":", ",") and p.prep in ("on", "of", "for", "to")
    ]
    reached = [p for p in after if p.prep in _OBJECT_PREPS and p.named] or headed[:1]
    if not reached or said.act in ("lower", "move", "lift", "test"):
        return []
    return reached[:1] if said.act in _ON_SURFACE or reached[0].prep == "of" else []


def _singular_verb(pieces: Sequence[Piece], subject: Phrase, said: Said) -> bool:
    """Tell whether "and the cable's connected" has its last noun alone for a subject."""
    joined = subject.first > 0 and pieces[subject.first - 1].low == "and"
    after = pieces[subject.last] if subject.last < len(pieces) else None
    return joined and after is not None and after.kind == "aux" and after.low in ("is", "'s", "was", "has")


def _direct(pieces: Sequence[Piece], said: Said, after: Sequence[Phrase]) -> list[Phrase]:
    """Return the phrases after a verb that can be its object, words of the saying itself left out."""
    if said.act == "held-by":
        return []
    tail = said.saying.tail if said.saying is not None else ()
    particle = tail[-1] if "~" in tail else ""
    direct = []
    for phrase in after:
        own_word = phrase.last <= said.last and singular(pieces[phrase.last - 1].low.split()[-1]) in tail
        led = not phrase.prep or (phrase.prep == particle and phrase.first <= said.last + 1)
        reached = tail and said.last - 1 > said.at and phrase.prep in _LED and phrase.first <= said.last + 1
        if (led and not own_word) or reached:
            direct.append(phrase)
    return direct


_LED = word_set("at over round on of all")
_WHOLE_OF = word_set("last rest lot most")
_ON_SURFACE = word_set("inspect photograph prime paint support measure treat strip-finish")
_WHOLE = word_set("remove fit store lift move separate")
_ANY_NOUN = word_set(
    "lot rest end ends connection connections inside outside surface top bottom thing whole weight half paint edge "
    "face bore morning today afternoon week side ones skinning section front back unit assembly system"
)


def _foreign_subject(
    talk: Talk, pieces: Sequence[Piece], clause: Clause, said: Said, before: Sequence[Phrase]
) -> bool:
    """Tell whether the subject of a passive is a noun that is no part of the vocabulary."""
    if not (said.state or "participle" in pieces[said.at].forms) or before:
        return False
    step = said.at - 1
    while step >= clause.first and (
        pieces[step].kind == "aux" or pieces[step].tag == "RB" or pieces[step].low in ("all", "both", "to", "got")
    ):
        step -= 1
    if step < clause.first or said.at - step > 6:
        return False
    piece = pieces[step]
    chain = {p.low for p in pieces[step + 1 : said.at]}
    if chain & {"have", "has", "had", "'ve"} and not chain & {"been", "be"}:
        return False
    noun = piece.kind == "word" and piece.tag in ("NN", "NNS") and piece.low not in _ANY_NOUN
    return noun and (step == clause.first or pieces[step - 1].kind != "verb")


def _tool(talk: Talk, phrase: Phrase) -> bool:
    """Tell whether a short name stands for lifting gear here."""
    return (
        bool(phrase.short)
        and not phrase.item
        and talk.lexicon.part_kind.get(talk.settle(phrase.short)) == "support-equipment"
    )


def own_object(pieces: Sequence[Piece], said: Said) -> bool:
    """Tell whether the verb has an object that is no part ("carry the load")."""
    following = pieces[said.at + 1 : said.at + 3]
    return (
        len(following) == 2
        and following[0].low in DETERMINERS
        and following[1].kind == "word"
        and (
            following[1].tag == "NN"
            and following[1].low not in _ANY_NOUN
            and not (said.saying and following[1].low in said.saying.tail)
            and not (
                said.at + 3 < len(pieces) and (pieces[said.at + 3].low == "of" or pieces[said.at + 3].kind == "thing")
            )
        )
    )


def _heading(pieces: Sequence[Piece], subjects: Sequence[Phrase]) -> bool:
    """Tell whether the first noun is only a heading before the real subject ("Port wing, aileron's off")."""
    if len(subjects) < 2:
        return False
    between = pieces[subjects[-2].last : subjects[-1].first]
    return (
        any(piece.kind == "mark" for piece in between)
        and not any(piece.low == "and" for piece in between)
        and (subjects[-1].named or subjects[-1].stands_for in ("one", "side"))
    )


def _far(pieces: Sequence[Piece], said: Said, phrase: Phrase) -> bool:
    """Tell whether a comma stands between a verb and what would be its object ("got it off, four screws")."""
    between = pieces[said.at + 1 : phrase.first]
    return any(piece.kind == "mark" for piece in between) and phrase.fastener


def _pronoun_subject(pieces: Sequence[Piece], phrase: Phrase, said: Said) -> bool:
    """Tell whether "they" is who did it and not what it was done to."""
    return pieces[phrase.first].low == "they" and not any(
        piece.low in ("be", "are", "were", "been", "'re") for piece in pieces[phrase.last : said.at]
    )


def _passive(pieces: Sequence[Piece], clause: Clause, said: Said) -> bool:
    piece = pieces[said.at]
    if piece.kind == "aux" or ("participle" not in piece.forms and "ing" not in piece.forms):
        return False
    if "base" in piece.forms and pieces[said.at - 1].low in (
        "to",
        "'ll",
        "will",
        "we",
        "i",
        "you",
        "they",
        "and",
        "then",
    ):
        return False
    lows = [p.low for p in pieces[max(clause.first, said.at - 6) : said.at] if not (p.tag == "RB" and p.low != "n't")]
    if "ing" in piece.forms:
        return any(low in ("needs", "need", "wants", "want", "needing") for low in lows)
    recent = lows[-4:]
    if any(low in ("we", "i", "they", "he", "she") for low in recent) and not set(recent) & {
        "be",
        "been",
        "was",
        "were",
    }:
        return False
    return bool(set(recent) & {"be", "been", "is", "are", "was", "were", "'s", "'re", "being", "get", "got", "gets"})


_JOINING = word_set("and , plus then both the all or so off out away down")
_TOO = (["too"], ["next"], ["after", "it"], ["as", "well"], ["with", "it"], ["after", "that"])


def with_others(pieces: Sequence[Piece], first: Phrase, among: Sequence[Phrase], mixed: bool = False) -> list[Phrase]:
    """Return a phrase with those that are joined to it by "and" or commas ("cowlings, spinner and propeller")."""
    found = [first]
    for forward in (True, False):
        edge, run, joined = first, list[Phrase](), False
        for phrase in among if forward else reversed(among):
            if (phrase.first < edge.last) if forward else (phrase.last > edge.first):
                continue
            between = pieces[edge.last : phrase.first] if forward else pieces[phrase.last : edge.first]
            lows = [piece.low for piece in between]
            tail = [piece.low for piece in pieces[phrase.last : phrase.last + 2]]
            after_it = forward and "and" in lows and (tail in _TOO or tail[:1] in _TOO)
            close = bool(lows) and all(piece.low in _JOINING or piece.kind == "tag" for piece in between)
            like = (
                phrase.item
                or phrase.short
                or phrase.stands_for == "side"
                or (phrase.fastener and (first.fastener or mixed))
            )
            if phrase.fastener and not first.fastener and not mixed and phrase.count is not None:
                edge = phrase
                continue
            if not like or not (close or after_it):
                break
            run.append(phrase)
            if "and" in lows or "then" in lows:
                joined = True
                found += [other for other in run if other not in found]
            edge = phrase
        if joined and run and not forward:
            found += [other for other in run if other not in found]
    return sorted(found, key=lambda phrase: phrase.first)


def _listed(pieces: Sequence[Piece], said: Said, after: Sequence[Phrase]) -> list[Phrase]:
    """Return the parts of a list that a heading verb opens ("Removed: spinner, cowlings, oil cooler")."""
    if not after or said.at + 1 >= len(pieces) or pieces[said.at + 1].low != ":":
        return []
    found = [after[0]]
    for phrase in after[1:]:
        between = pieces[found[-1].last : phrase.first]
        if not all(piece.low in (",", "and") or piece.kind in ("side", "number") for piece in between):
            break
        if phrase.item or phrase.short:
            found.append(phrase)
    return found


def holder_of(
    talk: Talk, pieces: Sequence[Piece], phrases: Sequence[Phrase], fasteners: Phrase, since: int, until: int
) -> Target:
    """Return the part that fasteners hold: named before them, after "of" or "off", or the one being talked of."""
    held = [p for p in phrases if p.first >= fasteners.last and (p.item or p.short)]
    if held and any(piece.verb == "hold" for piece in pieces[fasteners.last : held[0].first]):
        return of_phrase(talk, held[0])
    target = _named_holder(talk, fasteners) or _holder_after(talk, phrases, fasteners, until)
    if target is not None:
        return target
    at_spar = next((p for p in phrases if p.places and p.item in SPARS and p.last <= fasteners.first), None)
    if at_spar is not None and talk.held.endswith("-joint"):
        why = (("item", "what these fasteners hold"),)
        return Target(talk.held, talk.held_side or talk.focus_side, False, at_spar.places, why, fasteners)
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


def _holder_after(talk: Talk, phrases: Sequence[Phrase], fasteners: Phrase, until: int) -> Target | None:
    """Return the part in "bolts off the engine mount"; "at the rear spar" is a place while a part is talked of."""
    for phrase in phrases:
        if not fasteners.last <= phrase.first < until or phrase.prep not in _HOLDING or phrase.person:
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
