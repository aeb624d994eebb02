"""Speech that leans on what was said before: "same again", "so is the starboard", left-out verbs."""

from collections.abc import Sequence
from copy import deepcopy

from pipeline.reading import put_off
from pipeline.reading.clauses import Clause
from pipeline.reading.forms import word_set
from pipeline.reading.moods import Moods
from pipeline.reading.nouns import PREPOSITIONS
from pipeline.reading.phrases import Phrase
from pipeline.reading.pieces import Piece
from pipeline.reading.slots import measures_in
from pipeline.reading.standing import of_phrase
from pipeline.reading.talk import Draft, Talk, Target

_BEFORE_NOT = word_set("but , and though although only")
_SAME_WORK = word_set("thing job treatment drill way story again procedure routine deal business work process")


def says_same(moods: Moods, pieces: Sequence[Piece], clause: Clause) -> bool:
    """Tell whether a clause says that the same was done again; "in the same bay" and "the same crack" do not."""
    if not moods.means(clause, "same"):
        return False
    for at in range(clause.first + 1, clause.last):
        if pieces[at].low == "same" and pieces[at - 1].low == "the":
            led = at - 1 > clause.first and pieces[at - 2].low in PREPOSITIONS
            follows = pieces[at + 1] if at + 1 < clause.last else None
            noun = follows is not None and (
                follows.kind in ("thing", "place", "finding")
                or (follows.tag in ("NN", "NNS") and follows.kind == "word")
            )
            return not (led or (noun and follows is not None and follows.low not in _SAME_WORK))
    return True


def repeat(
    talk: Talk,
    moods: Moods,
    pieces: Sequence[Piece],
    clause: Clause,
    phrases: Sequence[Phrase],
    said_side: str,
    latent: list[Draft],
) -> list[Draft]:
    """Return the facts that a clause repeats from before, with the part, the side or the status changed."""
    number = moods.number_of(clause)
    if says_same(moods, pieces, clause):
        found = _same(talk, pieces, clause, phrases, said_side)
    elif moods.means(clause, "so"):
        found = _copy(talk, phrases, "done", said_side)
    elif put_off.for_later(talk, moods, pieces, clause, phrases):
        found = _copy(talk, put_off.meant(pieces, clause, phrases, said_side), "planned", said_side)
        found = _first_act(talk, found)
    elif put_off.to_go(pieces, clause):
        found = _rest(talk, pieces, clause)
    elif put_off.follows(pieces, clause, phrases):
        one = [Phrase(clause.first, clause.last, stands_for="side", side=phrases[0].side or said_side)]
        found = _first_act(talk, _copy(talk, one if phrases[0].fastener else phrases[:1], "planned", said_side))
    elif _too(pieces, clause, phrases):
        found = _copy(talk, phrases[:1], talk.drafts[-1].status, said_side) if talk.drafts else []
    elif _side_with_size(pieces, clause, phrases):
        found = _other_size(talk, pieces, clause, said_side)
    else:
        found = _left_out(talk, moods, pieces, clause, phrases, said_side, latent)
        found = found or _done_for(talk, moods, pieces, clause, phrases, said_side)
    for draft in found:
        draft.clause, draft.sentence = number, clause.sentence
        draft.words = (pieces[clause.first].start, pieces[clause.last - 1].end)
    return found


def _first_act(talk: Talk, found: list[Draft]) -> list[Draft]:
    """Return the copies with the first of the acts on that part, where several were told ("refitted and locked")."""
    last = talk.drafts[-1] if talk.drafts else None
    for draft in reversed(talk.drafts):
        if last is None or (draft.item, draft.side, draft.status) != (last.item, last.side, last.status):
            break
        for copy in found[:1]:
            copy.act = draft.act or copy.act
    return found[:1]


def _rest(talk: Talk, pieces: Sequence[Piece], clause: Clause) -> list[Draft]:
    """Return the work told last as planned, for as many as are left."""
    last = talk.drafts[-1] if talk.drafts else None
    if last is None or last.status != "done" or last.sentence < clause.sentence - 1:
        return []
    copy = _copied(last)
    number = next(piece.number for piece in pieces[clause.first : clause.last] if piece.kind == "number")
    copy.status, copy.places = "planned", []
    copy.count = int(number) if number is not None and copy.of else None
    copy.about = any(piece.low == "about" for piece in pieces[clause.first : clause.last])
    return [copy]


def _too(pieces: Sequence[Piece], clause: Clause, phrases: Sequence[Phrase]) -> bool:
    """Tell whether a clause only adds a part to what was told: "Spinner as well.", "and the fin too"."""
    kinds = {piece.kind for piece in pieces[clause.first : clause.last]}
    if len(phrases) != 1 or phrases[0].prep or not phrases[0].named or kinds & {"verb", "aux", "finding", "stow"}:
        return False
    tail = [piece.low for piece in pieces[phrases[0].last : clause.last] if piece.kind != "mark"]
    return tail in (["as", "well"], ["too"], ["also"], ["likewise"], ["and", "all"])


def _side_with_size(pieces: Sequence[Piece], clause: Clause, phrases: Sequence[Phrase]) -> bool:
    """Tell whether a clause has nothing but a side and a size: "Starboard, an inch and five eighths"."""
    kinds = {piece.kind for piece in pieces[clause.first : clause.last]}
    return {"side", "measure"} <= kinds and not kinds & {"verb", "thing", "finding", "stow"} and len(phrases) < 2


def _other_size(talk: Talk, pieces: Sequence[Piece], clause: Clause, side: str) -> list[Draft]:
    """Return the fact before once more for this side, with its own size; a first side goes to that fact itself."""
    last = talk.drafts[-1] if talk.drafts else None
    if last is None or last.sentence < clause.sentence - 1 or not side or side in ("both", last.side):
        return []
    if not last.side:
        last.side = side if talk.lexicon.zone_and_side(last.item)[1] and not last.measures else ""
        last.sentence = clause.sentence
        return []
    copy = _copied(last)
    copy.side, copy.measures = side, measures_in(pieces, clause)
    return [copy]


def _same(
    talk: Talk, pieces: Sequence[Piece], clause: Clause, phrases: Sequence[Phrase], said_side: str
) -> list[Draft]:
    lows = [piece.low for piece in pieces[clause.first : clause.last]]
    other = "other" in lows
    side = said_side or next((p.side for p in phrases if p.side), "") or (talk.other_side() if other else "")
    last = talk.last("done", "planned", "seen")
    if last is None:
        return []
    places = [place for phrase in phrases for place in phrase.places]
    places += [place for piece in pieces[clause.first : clause.last] for place in piece.places if place not in places]
    if places and not side:
        copy = _copied(last)
        copy.places = places
        return [copy]
    if side:
        return _batch(talk, side)
    named = [phrase for phrase in phrases if phrase.item or phrase.short]
    if named:
        copy = _copied(last)
        target = of_phrase(talk, named[0])
        copy.item, copy.side = target.item, target.side
        talk.attend(target)
        return [copy]
    return []


def _batch(talk: Talk, side: str) -> list[Draft]:
    """Return what was done on the other side, for this side."""
    batch: list[Draft] = []
    before = talk.drafts[-1].side if talk.drafts else ""
    for draft in reversed(talk.drafts):
        if draft.side == side or draft.side != before:
            break
        if draft.status != "explained":
            batch.append(draft)
    found = []
    for draft in reversed(batch):
        copy = _copied(draft)
        copy.side = side
        found.append(copy)
    if found:
        talk.focus_side = side
        talk.set_side(side, found[-1].item)
    return found


def _copied(draft: Draft) -> Draft:
    copy = deepcopy(draft)
    copy.tag, copy.stowage, copy.measures = "", {}, []
    copy.rule = f"repeated: {draft.rule}"
    copy.inferred = [("act", "repeated from what was said before")]
    return copy


def _copy(talk: Talk, phrases: Sequence[Phrase], status: str, said_side: str, of_state: bool = False) -> list[Draft]:
    """Return the fact before for another part; ``of_state``: the one that "is" tells of ("they're off, it isn't")."""
    passed = {"held-by", "store", "bag"} if of_state else {"held-by"}
    last = next((draft for draft in reversed(talk.drafts) if draft.act not in passed), None)
    if of_state and last is None:
        last = talk.drafts[-1] if talk.drafts else None
    subject = [phrase for phrase in phrases if not phrase.person and not phrase.fastener]
    if last is None or not subject:
        return []
    if status == "not-done" and last.finding in talk.lexicon.good:
        return []  # "four's sound, five isn't" does not say what is wrong with it
    found = []
    for draft in _cluster(talk, last):
        for phrase in subject[:1]:
            target = of_phrase(talk, phrase)
            copy = _copied(draft)
            copy.status, copy.count, copy.of, copy.places = status if draft.act else "seen", None, "", []
            copy.absent = copy.absent or (status == "not-done" and bool(copy.finding))
            copy.item = target.item or copy.item
            copy.side = target.side or said_side
            found.append(copy)
    if found:
        talk.attend(Target(found[-1].item, found[-1].side, bool(found[-1].side)))
    return found


def _cluster(talk: Talk, last: Draft) -> list[Draft]:
    """Return the acts that were told together with the last one on the same part ("primed and painted it")."""
    cluster = [last]
    for draft in reversed(talk.drafts[: talk.drafts.index(last)]):
        pairs = {draft.act, last.act} <= {"prime", "paint", "treat", "clean"}
        if not (
            draft.act
            and pairs
            and draft.item == last.item
            and draft.side == last.side
            and draft.status == last.status
        ):
            break
        cluster.append(draft)
    return cluster[::-1]


_PRO_VERBS = word_set("do touch start")


def _done_for(
    talk: Talk, moods: Moods, pieces: Sequence[Piece], clause: Clause, phrases: Sequence[Phrase], said_side: str
) -> list[Draft]:
    """Read "do" and "touch" for the act before: "we'll do the port one", "the port one hasn't been touched"."""
    verbs = [at for at in range(clause.first, clause.last) if pieces[at].kind == "verb"]
    if not verbs:
        verbs = [at for at in range(clause.first, clause.last) if pieces[at].low in ("do", "did")][-1:]
        if any(piece.low == "have" for piece in pieces[clause.first : clause.last]):
            return []
    objects = [
        p
        for p in phrases
        if not (p.person or p.prep or p.fastener) and (p.named or p.stands_for in ("side", "one", "other"))
    ]
    if len(verbs) == 1 and not objects:
        return _done_later(talk, moods, pieces, clause, phrases, verbs[0])
    if (
        len(verbs) != 1
        or not objects
        or any(piece.kind in ("finding", "stow") for piece in pieces[clause.first : clause.last])
    ):
        return []
    piece = pieces[verbs[0]]
    if piece.verb not in _PRO_VERBS and piece.low not in ("do", "did"):
        return []
    last = talk.last("done", "planned", "not-done", "explained")
    stands = bool(objects[0].stands_for)
    denied = any(piece.low in ("n't", "not", "never") for piece in pieces[clause.first : clause.last])
    untouched = piece.verb == "touch" and denied
    if last is None or not (stands or untouched or (piece.verb != "touch" and last.status != "explained")):
        return []
    status = moods.of_verb(clause, verbs[0]).status
    status = "not-done" if denied and status == "done" else status
    if status not in ("done", "planned", "not-done"):
        return []
    return _copy(talk, objects[:1], status, said_side)


def _done_later(
    talk: Talk, moods: Moods, pieces: Sequence[Piece], clause: Clause, phrases: Sequence[Phrase], at: int
) -> list[Draft]:
    """Read "we'll do it on Monday" for what was said not to be done."""
    last = talk.drafts[-1] if talk.drafts else None
    follows = pieces[at + 1].low if at + 1 < clause.last else ""
    if last is None or last.status != "not-done" or last.sentence < clause.sentence - 1:
        return []
    if pieces[at].low != "do" or follows not in ("it", "that", "them") or any(p.named for p in phrases):
        return []
    if moods.of_verb(clause, at).status != "planned":
        return []
    copy = _copied(last)
    copy.status = "planned"
    return [copy]


def _left_out(
    talk: Talk,
    moods: Moods,
    pieces: Sequence[Piece],
    clause: Clause,
    phrases: Sequence[Phrase],
    said_side: str,
    latent: list[Draft],
) -> list[Draft]:
    """Read a clause whose verb is left out: "but I didn't", "the starboard one we haven't", "but not the right"."""
    inside = pieces[clause.first : clause.last]
    lows = [piece.low for piece in inside]
    if not {"n't", "not"} & set(lows):
        return []
    if any(piece.verb == "do" for piece in inside) and {"it", "that", "them"} & set(lows) and latent:
        return _not_done(latent)
    sided = [phrase for phrase in phrases if phrase.named or phrase.stands_for in ("side", "one", "other")]
    if "done" in lows and sided and not any(piece.kind == "finding" for piece in inside):
        return _copy(talk, sided, "not-done", said_side)
    if any(piece.kind in ("verb", "finding", "stow") for piece in inside):
        return []
    auxiliary = [piece for piece in inside if piece.kind == "aux" and piece.low not in ("n't", "not")]
    ends = _after_not(inside)
    if not ends:
        return []
    subject = [
        phrase
        for phrase in phrases
        if not phrase.person and (phrase.named or phrase.stands_for in ("side", "one", "other"))
    ]
    if not subject and not auxiliary and said_side and pieces[clause.first].kind == "side":
        subject = [Phrase(clause.first, clause.first + 1, stands_for="side", side=said_side)]
    if auxiliary and not subject:
        didnt = auxiliary[-1].low in ("did", "have", "has", "'ve", "was", "were", "had", "been")
        if latent and didnt:
            return _not_done(latent)
        return []
    bare = bool(subject) and not subject[0].prep and pieces[subject[0].first - 1].low == "not"
    bare = bare and (subject[0].first - 1 <= clause.first or pieces[subject[0].first - 2].low in _BEFORE_NOT)
    number = moods.number_of(clause)
    told = moods.clauses[number - 1] if number else clause
    cleft = [piece.low for piece in pieces[told.first : told.last] if piece.kind != "mark"][:3]
    if bare and not auxiliary and "'s" in cleft and {"it", "that"} & set(cleft):
        return []  # "it's my back that's gone, not the wheel"
    if bare and len(subject) > 1 and subject[1].first <= subject[0].last + 1:
        return []  # "the, not the bearing, the axle"
    words = [piece for piece in inside if piece.kind != "mark"]
    bare = bare or (bool(subject) and not subject[0].prep and words[-1].low == "not")  # "the rudder, not"
    if not subject or not (auxiliary or bare or subject[0].stands_for in ("side", "one", "other")):
        return []
    state = bool(auxiliary) and auxiliary[-1].low in ("is", "are", "'s", "'re")
    return _copy(talk, subject, "not-done", said_side, of_state=state)


def _not_done(latent: list[Draft]) -> list[Draft]:
    """Return what was only meant as not done."""
    found = []
    for draft in latent:
        copy = _copied(draft)
        copy.status, copy.rule = "not-done", f"did not: {draft.act}"
        found.append(copy)
    latent.clear()
    return found


def _after_not(inside: Sequence[Piece]) -> bool:
    """Tell whether nothing but a subject or small words follow "not"."""
    at = max(i for i, piece in enumerate(inside) if piece.low in ("n't", "not"))
    rest = [piece for piece in inside[at + 1 :] if piece.kind != "mark"]
    return all(
        piece.kind in ("side", "thing")
        or piece.low
        in (
            "the",
            "yet",
            "been",
            "one",
            "just",
            "other",
            "though",
            "so",
            "either",
            "now",
            "as",
            "it",
            "of",
            "course",
            "sorry",
            "and",
            "we",
            "i",
        )
        for piece in rest
    )
