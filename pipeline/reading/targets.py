"""What an act or a finding is about: its object or its subject, what holds it, on which side."""

from collections.abc import Sequence

from pipeline.reading.clauses import Clause
from pipeline.reading.constructions import HOLDS, INVERTED, UNDER, Said
from pipeline.reading.forms import singular, word_set
from pipeline.reading.lists import listed_after, opens_list, with_others
from pipeline.reading.phrases import Phrase
from pipeline.reading.pieces import DETERMINERS, Piece
from pipeline.reading.sayings import is_unaccusative
from pipeline.reading.talk import Talk

# Work on these is work on what the fasteners hold; all other acts are done to the fasteners themselves.
ON_HOLDER = word_set("undo drill-out fit tighten lock held-by remove separate open")
_OBJECT_PREPS = word_set("of on round around in through from off inside over to")


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
    listed = listed_after(pieces, said, [phrase for phrase in usable if phrase.first > said.at])
    if listed and (
        (said.at + 1 < len(pieces) and pieces[said.at + 1].low == ":") or opens_list(pieces, clause, said)
    ):
        return listed
    if construction == INVERTED:
        return with_others(pieces, after[0], after) if after else []
    if construction == UNDER:
        under = ("under", "beneath", "underneath")
        return [phrase for phrase in usable if phrase.first >= said.at and phrase.prep in under][:1]
    if construction == HOLDS:
        return [p for p in usable if p.first > said.at and (p.item or p.short or p.stands_for)][:1]
    if pieces[said.at].low == "fitting" and not pieces[said.at].tag.startswith("VB"):
        return None  # "at the back fitting"
    if _foreign_subject(talk, pieces, clause, said, before):
        return None
    if said.act == "inspect" and construction == "go" and not after and not _person_moves(pieces, clause, said):
        return None  # "it went round a treat"
    if is_unaccusative(said) and _person_moves(pieces, clause, said):
        return None
    if said.state or is_unaccusative(said) or _passive(pieces, clause, said):
        tools = [p for p in phrases if p not in usable and not p.person and not p.prep and p.first < said.at]
        if tools and not before:
            return None
        subjects = _subjects(pieces, said, usable, before, after)
        return [*subjects, *_trailing(pieces, clause, said, after)] if subjects and said.state else subjects
    return _objects(pieces, said, before, after)


def _person_moves(pieces: Sequence[Piece], clause: Clause, said: Said) -> bool:
    """Tell whether somebody went somewhere ("so I came out backwards"): no work on a part."""
    if pieces[said.at].verb == "drop":
        return False
    step = said.at - 1
    while step >= clause.first and (pieces[step].kind == "aux" or pieces[step].tag == "RB"):
        step -= 1
    return step >= clause.first and pieces[step].low in ("i", "we", "he", "you")


def _may_be_acted_on(talk: Talk, phrase: Phrase, said: Said) -> bool:
    if phrase.person or (phrase.kind == "material" and phrase.item in ("primer", "sealant")):
        return False
    tool = phrase.kind == "support-equipment" or _tool(talk, phrase)
    return not tool or said.act in ("move", "tag", "repair", "inspect", "paint")


def _subjects(
    pieces: Sequence[Piece], said: Said, usable: Sequence[Phrase], before: Sequence[Phrase], after: Sequence[Phrase]
) -> list[Phrase] | None:
    """Return the subject of a state or a passive."""
    subjects = [phrase for phrase in before if not phrase.prep]
    subjects = subjects or [phrase for phrase in before if phrase.prep != "near"]
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
    if own_object(pieces, said):
        return None if said.act in ("move", "fit", "open", "store", "remove", "measure") else []
    direct = _direct(pieces, said, after)
    if direct and direct[0].beyond and said.act in _WHOLE:
        return None
    added = bool(direct) and direct[0].first > said.at + 1 and pieces[direct[0].first - 1].low == "and"
    if direct and not _far(pieces, said, direct[0]) and not added:
        return with_others(pieces, direct[0], after)
    fronted = [
        phrase
        for phrase in before
        if (not phrase.prep or (phrase.prep == "of" and pieces[phrase.first - 2].low in _WHOLE_OF))
        and not (phrase.stands_for in ("it", "them") and _pronoun_subject(pieces, phrase, said))
    ]
    if fronted:
        return [*with_others(pieces, fronted[-1], fronted), *(direct[:1] if added else [])]
    if direct and added:
        return with_others(pieces, direct[0], after)
    if said.act == "drain":
        return [p for p in after if p.prep in ("of", "from") and (p.named or p.stands_for)][:1]
    headed = [
        p for p in before if p.named and pieces[p.last].low in (":", ",") and p.prep in ("on", "of", "for", "to")
    ]
    reached = [p for p in after if p.prep in _OBJECT_PREPS and p.named] or headed[:1]
    if not reached and said.saying is not None and said.saying.verb == "have" and said.act == "remove":
        return None  # "Thursday I had off"
    if not reached or said.act in ("lower", "move", "lift", "test"):
        return []
    return reached[:1] if said.act in _ON_SURFACE or reached[0].prep == "of" else []


def _trailing(pieces: Sequence[Piece], clause: Clause, said: Said, after: Sequence[Phrase]) -> list[Phrase]:
    """Return the subjects that are added behind: "the radio's out, and the aerial", "... off, then the fillet"."""
    joints = [at for at in range(said.last, clause.last) if pieces[at].low in ("and", "then", "plus")]
    found: list[Phrase] = []
    for phrase in after:
        tail = [piece.low for piece in pieces[phrase.last : phrase.last + 2]]
        too = tail in (["as", "well"], ["and", "all"]) or tail[:1] in (["too"], ["also"])
        joined = (phrase.first - 1 in joints or too) and not phrase.prep and (phrase.item or phrase.short)
        ends = too or phrase.last >= clause.last or pieces[phrase.last].kind == "mark"
        verbs = any(piece.kind in ("verb", "aux", "finding", "stow") for piece in pieces[said.last : phrase.first])
        if joined and ends and not verbs:
            found.append(phrase)
    return found


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
        if phrase.located and pieces[phrase.first - 1].kind == "mark" and phrase.first > said.at + 1:
            continue  # "the trestle I've moved aft, frame twelve"
        part = phrase.item and phrase.kind in ("powerplant", "structure", "control-surface", "undercarriage")
        own_word = not part and phrase.last <= said.last and singular(pieces[phrase.last - 1].low.split()[-1]) in tail
        led = not phrase.prep or (phrase.prep == particle and phrase.first <= said.last + 1)
        reached = tail and said.last - 1 > said.at and phrase.prep in _LED and phrase.first <= said.last + 1
        if (led and not own_word) or reached:
            direct.append(phrase)
    return direct


_LED = word_set("at over round on of all")
_WHOLE_OF = word_set("last rest lot most")
_ON_SURFACE = word_set("inspect photograph prime paint support measure treat strip-finish")
_WHOLE = word_set("remove fit store lift move separate")
ANY_NOUN = word_set(
    "lot rest end ends connection connections inside outside surface top bottom thing whole weight half paint edge "
    "face bore morning today afternoon week side ones skinning section front back unit assembly system"
)


def _foreign_subject(
    talk: Talk, pieces: Sequence[Piece], clause: Clause, said: Said, before: Sequence[Phrase]
) -> bool:
    """Tell whether the subject of a passive is a noun that is no part of the vocabulary."""
    if not (said.state or pieces[said.at].forms & {"participle", "ing"}) or before:
        return False
    follows = pieces[said.at + 1] if said.at + 1 < clause.last else None
    if not said.state and follows is not None and follows.low in ("it", "them", "the", "both", "that", "those"):
        return False  # "nobody's lifted it out": the noun is who does it
    step = said.at - 1
    while step >= clause.first and (
        pieces[step].kind == "aux"
        or pieces[step].tag == "RB"
        or pieces[step].verb in ("need", "want")
        or pieces[step].low in ("all", "both", "to", "got")
    ):
        step -= 1
    if step < clause.first or said.at - step > 6:
        return False
    piece = pieces[step]
    chain = {p.low for p in pieces[step + 1 : said.at]}
    if chain & {"have", "has", "had", "'ve"} and not chain & {"been", "be"}:
        return False
    finding = piece.sense("finding-noun") if piece.kind == "finding" else ""
    if finding:  # "that crack needs welding" is work on the part that it was seen on
        return not any(draft.finding == finding for draft in talk.drafts)
    noun = piece.kind == "word" and piece.tag in ("NN", "NNS") and piece.low not in ANY_NOUN
    return noun and (step == clause.first or pieces[step - 1].kind != "verb")


def _tool(talk: Talk, phrase: Phrase) -> bool:
    """Tell whether a short name stands for lifting gear here."""
    return (
        bool(phrase.short)
        and not phrase.item
        and talk.lexicon.part_kind.get(talk.settle(phrase.short)) == "support-equipment"
    )


_QUANTITIES = word_set(
    "gap clearance diameter length depth thickness bore travel width height wear distance size tension pressure "
    "resistance voltage droop angle play float wall stretch torque ovality"
)


def own_object(pieces: Sequence[Piece], said: Said) -> bool:
    """Tell whether the verb has an object that is no part ("carry the load")."""
    following = pieces[said.at + 1 : said.at + 3]
    if said.act == "measure" and len(following) == 2 and following[1].low in _QUANTITIES:
        return False  # "measured the gap at the root of the aileron"
    if following and following[0].low in ("how", "what", "whether", "why"):
        return True
    return (
        len(following) == 2
        and following[0].low in DETERMINERS
        and following[1].kind in ("word", "verb")
        and (
            following[1].tag == "NN"
            and following[1].low not in ANY_NOUN
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
    if not between and subjects[-1].named and pieces[subjects[-1].first].low in DETERMINERS:
        return True  # "number one engine the starter's off"
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
    if piece.kind == "aux" or piece.verb == "get" or ("participle" not in piece.forms and "ing" not in piece.forms):
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
