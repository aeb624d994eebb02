"""The rest of a fact: where, how many, how big, where it is kept, which tag."""

from collections.abc import Sequence

from pipeline.reading.clauses import Clause
from pipeline.reading.fact import Measure, Place
from pipeline.reading.forms import word_set
from pipeline.reading.lexicon import Lexicon
from pipeline.reading.phrases import Phrase
from pipeline.reading.pieces import Piece
from pipeline.reading.sizes import sizes
from pipeline.reading.talk import Draft, Talk

NOT_IN_PLACE = word_set("bag tag store")
_BE_EMPTY = word_set("is 's are was now all")
_COUNTING = word_set(
    "remove undo held-by fit separate tighten drill-out lock open measure make clean inspect disconnect blank "
    "treat prime paint repair strip-finish photograph"
)
_NOT_CARRIED = word_set("lift lower support move")
_TELLS_SIZE = word_set(
    "weigh measure come go make read run call get take be have lie stand see show give hold yield fill leave find"
)
_ROUGHLY = word_set("roughly approximately about approx ish thereabouts")
_BESIDE_IT = word_set("behind under beneath underneath inside below beside")
_EXCEPT = word_set("except bar apart excepting save barring")
_KEEPING = word_set("bag store lower move lift")


def fill_places(
    talk: Talk, pieces: Sequence[Piece], clause: Clause, phrases: Sequence[Phrase], drafts: Sequence[Draft]
) -> None:
    """Give each fact of the clause the places that were said, or the one that carries on with its part."""
    said: list[Place] = []
    excepted = _excepted(pieces, clause)
    for at in range(clause.first, clause.last):
        if pieces[at].kind == "place" or (pieces[at].kind == "thing" and pieces[at].places):
            said.extend(pieces[at].places)
    if not drafts:
        last = talk.drafts[-1] if talk.drafts else None
        bare = all(phrase.located for phrase in phrases if phrase.named)
        if (
            said
            and bare
            and last is not None
            and last.sentence == clause.sentence
            and not last.places
            and last.act not in NOT_IN_PLACE
        ):
            last.places.extend(said)
            talk.places, talk.place_item = list(said), last.item
        return
    there = any(
        pieces[at].low in ("there", "here") and at > clause.first + 1 and pieces[at - 1].kind != "mark"
        for at in range(clause.first, clause.last)
        if at + 1 >= clause.last or pieces[at + 1].kind != "aux"
    )
    there = there or any(phrase.stands_for == "it" and phrase.prep in _BESIDE_IT for phrase in phrases)
    for draft in drafts:
        if draft.act in NOT_IN_PLACE:
            continue
        held_up = draft.act in _NOT_CARRIED
        named = [
            place
            for place in said
            if not (draft.finding in talk.lexicon.good and place in excepted)
            and not (draft.item in ("front-spar", "rear-spar", "longeron") and _is_item(phrases, draft, place))
        ]
        if named:
            draft.places.extend(place for place in named if place not in draft.places)
        elif (
            not draft.places
            and not held_up
            and talk.places
            and (
                draft.item == talk.place_item
                or there
                or _at_heading(talk, draft)
                or draft.item in {place.scheme for place in talk.places}
            )
            and draft.status != "explained"
            and not _on_other_side(talk, draft)
        ):
            draft.places.extend(talk.places)
            draft.inferred.append(("place", "carried on from what was said before"))
        if draft.places and not held_up:
            talk.place_heads = talk.place_heads and draft.places == talk.places
            talk.places, talk.place_item = excepted or list(draft.places), draft.item


def _excepted(pieces: Sequence[Piece], clause: Clause) -> list[Place]:
    """Return the places after "except", "apart from" or "bar": what is good is not good there."""
    lows = [piece.low for piece in pieces[clause.first : clause.last]]
    first = next((n for n, low in enumerate(lows) if low in _EXCEPT), len(lows))
    return [place for piece in pieces[clause.first + first : clause.last] for place in piece.places]


def _at_heading(talk: Talk, draft: Draft) -> bool:
    """Tell whether a fact is of what a heading with a place spoke of ("bracket, bay 4. Two rivets sheared")."""
    if not talk.place_heads or not talk.place_item or draft.status == "planned":
        return False
    if talk.place_told and draft.status != "seen":
        return False  # a sentence of its own only says where something is found
    lexicon = talk.lexicon
    if draft.item in lexicon.fasteners or lexicon.part_kind.get(draft.item) == "material":
        return True
    zones = {lexicon.zone_and_side(draft.item)[0], lexicon.zone_and_side(talk.place_item)[0]} - {"any"}
    return len(zones) < 2


def _on_other_side(talk: Talk, draft: Draft) -> bool:
    """Tell whether the place that carries on was told of the other side."""
    told = next((d for d in reversed(talk.drafts) if d is not draft and d.places == talk.places), None)
    stands = any(key == "item" for key, _why in draft.inferred)  # "its twin on the port side"
    return told is not None and not stands and {told.side, draft.side} == {"port", "starboard"}


def _is_item(phrases: Sequence[Phrase], draft: Draft, place: Place) -> bool:
    return any(place in phrase.places and phrase.item == draft.item for phrase in phrases)


def fill_counts(
    talk: Talk, pieces: Sequence[Piece], clause: Clause, phrases: Sequence[Phrase], drafts: Sequence[Draft]
) -> None:
    """Give counts that stand apart ("lamp out, four screws", "three of us") to the act before them."""
    acts = [draft for draft in drafts if draft.act]
    if not acts:
        late_counts(talk, pieces, clause, phrases)
        return
    for phrase in phrases:
        if phrase.count is not None and not _told_by_article(phrase, acts[-1]):
            _give_count(pieces, clause, phrases, phrase, acts, drafts)
    if acts[-1].count and _roughly_at_end(pieces, clause):
        acts[-1].about = True


def _told_by_article(phrase: Phrase, draft: Draft) -> bool:
    """Tell whether a count of one is only told by "the", where that is not enough."""
    if not phrase.implied or draft.act == "held-by":
        return False
    return phrase.person or draft.status not in ("done", "not-done") or draft.act not in ("undo", "drill-out")


def _give_count(
    pieces: Sequence[Piece],
    clause: Clause,
    phrases: Sequence[Phrase],
    phrase: Phrase,
    acts: Sequence[Draft],
    drafts: Sequence[Draft],
) -> None:
    last = acts[-1]
    if phrase.stands_for == "them" and pieces[phrase.first - 1].low == "of":
        counted = [other for other in phrases if other.fastener and other.last <= phrase.first]
        if last.count is None and (last.item or counted) and not phrase.bare:
            last.count, last.of = phrase.count, counted[-1].counted if counted else last.item
        return
    if not phrase.counted:
        return
    if phrase.person:
        if last.count is None:
            last.count, last.of, last.about = phrase.count, "person", phrase.about
        return
    if pieces[phrase.first - 1].low == "so" and last.of == phrase.counted:
        last.count, last.about = phrase.count, phrase.about
    if any(draft.of == phrase.counted or draft.item == phrase.counted for draft in drafts):
        return
    times = 2 if each_side(pieces, clause, phrase) else 1
    told = [draft for draft in acts if draft.words[1] <= pieces[phrase.first].start]
    inside_list = bool(told) and len(told) < len(acts) and {draft.act for draft in acts} == {last.act}
    for draft in told[-1:] if inside_list else acts:
        if draft.count is None and draft.act in _COUNTING and phrase.prep not in ("under", "behind"):
            draft.count, draft.of, draft.about = (phrase.count or 0) * times, phrase.counted, phrase.about


def _roughly_at_end(pieces: Sequence[Piece], clause: Clause) -> bool:
    """Tell whether a clause ends with a word that makes its number only about right ("ninety rivets, roughly")."""
    lows = [piece.low for piece in pieces[clause.first : clause.last] if piece.low not in (".", ",")]
    return lows[-1:] != [] and (lows[-1] in _ROUGHLY or lows[-2:] in (["or", "so"], ["or", "thereabouts"]))


def late_counts(talk: Talk, pieces: Sequence[Piece], clause: Clause, phrases: Sequence[Phrase]) -> None:
    """Give a number that is told after the act ("that's fourteen nuts", "which took five of us", "so six bolts")."""
    last = next((draft for draft in reversed(talk.drafts) if draft.act), None)
    if last is None or last.sentence < clause.sentence - 1:
        return
    first = pieces[clause.first].low
    for phrase in phrases:
        if phrase.count is None or not phrase.counted or phrase.prep or phrase.implied:
            continue
        rest = [piece.kind for piece in pieces[phrase.last : clause.last]]
        if "stow" in rest and "mark" not in rest[: rest.index("stow")]:
            continue  # "both pins are in bag 22" counts what is in the bag
        total = (
            clause.opener == "so"
            or first in ("that", "so")
            or any(
                piece.low in ("so", "that", "altogether", "total") for piece in pieces[clause.first : phrase.first]
            )
        )
        in_all = [piece.low for piece in pieces[phrase.last : phrase.last + 2]] in (["in", "all"], ["all", "told"])
        wanted = phrase.person or (
            last.act in _COUNTING
            and (in_all or not any(piece.kind in ("verb", "finding") for piece in pieces[clause.first : clause.last]))
        )
        if wanted and (last.count is None or (total and last.of == phrase.counted)):
            last.count, last.of, last.about = phrase.count, phrase.counted, phrase.about


def both_sides(pieces: Sequence[Piece], clause: Clause) -> bool:
    """Tell whether a total is broken down by side: "four port and four starboard"."""
    sides = set()
    for at in range(clause.first + 1, clause.last):
        if pieces[at].kind == "side" and pieces[at - 1].kind == "number":
            sides.add(pieces[at].sense("sides"))
    return {"port", "starboard"} <= sides


def each_side(pieces: Sequence[Piece], clause: Clause, phrase: Phrase | None = None) -> bool:
    """Tell whether a number (that of ``phrase``, where one is given) is said for each side: "two nuts each side"."""
    return any(
        pieces[at].kind == "side"
        and pieces[at].low in ("each side", "either side", "a side", "per side", "aside")
        and (phrase is None or 0 <= at - phrase.last <= 1)
        and (pieces[at].low != "aside" or pieces[at - 1].kind in ("number", "thing"))
        for at in range(clause.first, clause.last)
    )


def measures_in(pieces: Sequence[Piece], clause: Clause) -> list[Measure]:
    """Return the measures of a clause; "15 mm across and 4 deep" gives two."""
    return [measure for _, measures in sizes(pieces, clause.first, clause.last) for measure in measures]


def fill_measures(talk: Talk, pieces: Sequence[Piece], clause: Clause, drafts: Sequence[Draft]) -> None:
    """Give the clause's measures to its last fact before them; a clause without facts adds to the fact before."""
    measures = measures_in(pieces, clause)
    if not measures:
        return
    if drafts:
        at = next(i for i in range(clause.first, clause.last) if pieces[i].kind in ("measure", "number"))
        earlier = [draft for draft in drafts if draft.words[0] <= pieces[at].start]
        target = earlier[-1] if earlier else drafts[0]
        timed = target.act in ("test", "drain")
        target.measures.extend(one for one in measures if timed or one.unit not in ("h", "min"))
        return
    last = talk.drafts[-1] if talk.drafts else None
    if last is None or last.sentence < clause.sentence - 1 or (last.measures and last.sentence != clause.sentence):
        return
    if any(
        pieces[at].kind == "verb" and pieces[at].verb not in _TELLS_SIZE for at in range(clause.first, clause.last)
    ):
        return
    idle = any(measure.unit in ("degC", "h", "min") for measure in measures) and last.act not in ("test", "drain")
    if not idle:
        last.measures.extend(measure for measure in measures if measure not in last.measures)


def emptied(pieces: Sequence[Piece], at: int) -> bool:
    """Tell whether a store is only said to be empty: "bag three is empty now"."""
    after = [piece.low for piece in pieces[at + 1 : at + 4]]
    return "empty" in after and all(low in _BE_EMPTY for low in after[: after.index("empty")])


def stowage_in(pieces: Sequence[Piece], clause: Clause) -> dict[str, str]:
    """Return where the clause says that something is kept."""
    found: dict[str, str] = {}
    for at in range(clause.first, clause.last):
        not_there = at > clause.first and pieces[at - 1].low in ("not", "from")
        if pieces[at].kind == "stow" and not (not_there or emptied(pieces, at)):
            key, name = pieces[at].stow
            found.setdefault(key, name)
    return found


def keeping_act(lexicon: Lexicon, stowage: dict[str, str]) -> str:
    """Return the act of putting something there: bag or store."""
    acts = [lexicon.storage()[key].get("act", "store") for key in stowage if key in lexicon.storage()]
    return "bag" if (acts and all(act == "bag" for act in acts)) or "bag" in stowage else "store"


def takes_stowage(draft: Draft) -> bool:
    """Tell whether a fact itself says that something was put somewhere."""
    return draft.act in _KEEPING
