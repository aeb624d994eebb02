"""Whose a tag is that was read out: of what was tagged, of the part named with it, of the part being talked of."""

from collections.abc import Sequence

from pipeline.reading.clauses import Clause
from pipeline.reading.forms import word_set
from pipeline.reading.phrases import Phrase
from pipeline.reading.pieces import Piece
from pipeline.reading.standing import of_phrase
from pipeline.reading.talk import Draft, Talk, Target

_TAGS = word_set("tag tags label labels tagged labelled")


def _listed_tags(
    talk: Talk, pieces: Sequence[Piece], clause: Clause, phrases: Sequence[Phrase], tags: Sequence[tuple[int, str]]
) -> list[Draft]:
    """Return the facts of a list after "tagged three": "compass, P-0517, pitot head, P-0518"."""
    found = []
    for at, tag in tags:
        before = [p for p in phrases if p.last <= at and (p.item or p.short) and not p.prep]
        target = of_phrase(talk, before[-1]) if before else None
        if target is None or not target.item:
            return []
        found.append(
            Draft(
                "done", act="tag", item=target.item, side=target.side, tag=tag, rule="listed after tagging",
                words=(pieces[before[-1].first].start, pieces[at].end), clause=clause.first,
                sentence=clause.sentence, inferred=list(target.inferred),
            )
        )  # fmt: skip
    return found


def _tag_owner(talk: Talk, pieces: Sequence[Piece], phrases: Sequence[Phrase], at: int) -> Target:
    """Return the part that a tag is said to be of ("the axle tag is D-0101", "the tag on the fin")."""
    named = [p for p in phrases if (p.item or p.short) and not p.fastener and p.last <= at]
    for phrase in named[-1:]:
        after = pieces[phrase.last].low
        led = [piece.low for piece in pieces[max(0, phrase.first - 2) : phrase.first]]
        said = after in _TAGS or (phrase.prep in ("on", "of", "for") and bool(_TAGS & set(led)))
        apposed = after == "," and phrase.last + 1 == at and not phrase.prep
        if said or (apposed and at + 1 < len(pieces) and pieces[at + 1].low == ","):
            return of_phrase(talk, phrase)
    return Target()


def _give_tag(
    talk: Talk, pieces: Sequence[Piece], clause: Clause, drafts: Sequence[Draft], owner: Target, at: int, tag: str
) -> None:
    """Give a tag to the first fact of its part, or tell it by itself where there is none."""
    told = [d for d in (*talk.drafts, *drafts) if d.item == owner.item and owner.side in ("", d.side)]
    free = [d for d in told if not d.tag and d.status in ("done", "seen")]
    if free and free[0] is told[0]:
        free[0].tag = tag
        return
    piece = pieces[at]
    talk.drafts.append(
        Draft(
            "done", act="tag", item=owner.item, side=owner.side, words=(piece.start, piece.end), tag=tag,
            rule="tag read out", clause=clause.first, sentence=clause.sentence, inferred=list(owner.inferred),
        )
    )  # fmt: skip


def fill_tags(
    talk: Talk, pieces: Sequence[Piece], clause: Clause, phrases: Sequence[Phrase], drafts: Sequence[Draft]
) -> None:
    """Give tags that were read out to the acts of tagging, else to the clause's fact, else to the part's last one."""
    tags = [(at, pieces[at].digits) for at in range(clause.first, clause.last) if pieces[at].kind == "tag"]
    verbs = [piece.verb for piece in pieces[clause.first : clause.last] if piece.kind == "verb"]
    if set(verbs) & {"tag", "label", "tag up", "label up"} and not any(draft.act == "tag" for draft in drafts):
        talk.tagging_in = clause.sentence
    if not tags:
        return
    if not drafts and talk.tagging_in >= clause.sentence - 1 and not verbs:
        listed = _listed_tags(talk, pieces, clause, phrases, tags)
        talk.drafts.extend(listed)
        if listed:
            talk.tagging_in = clause.sentence
            return
    tagging = [draft for draft in drafts if draft.act == "tag"]
    if not drafts:
        tagging = [d for d in talk.drafts if d.act == "tag" and not d.tag and d.sentence >= clause.sentence - 1]
    for draft, (_at, tag) in zip(tagging, tags, strict=False):
        draft.tag = tag
    if tagging:
        return
    owner = _tag_owner(talk, pieces, phrases, tags[0][0])
    if owner.item:
        _give_tag(talk, pieces, clause, drafts, owner, *tags[0])
        return
    if drafts:
        drafts[0].tag = drafts[0].tag or tags[0][1]
        return
    _tag_what_is_talked_of(talk, pieces, clause, tags)


def _tag_what_is_talked_of(
    talk: Talk, pieces: Sequence[Piece], clause: Clause, tags: Sequence[tuple[int, str]]
) -> None:
    """Give tags of which no part is said to the part being talked of: its first fact, else one of their own."""
    own = [d for d in talk.drafts if d.item == talk.focus and d.side == talk.focus_side and d.status != "explained"]
    if not own and talk.focus and any(piece.low in _TAGS for piece in pieces[clause.first : tags[0][0]]):
        _give_tag(talk, pieces, clause, (), Target(talk.focus, talk.focus_side), *tags[0])
    elif not own:
        talk.pending_tag = (tags[0][1], clause.sentence)
    elif not own[0].tag:
        own[0].tag = tags[0][1]
        for at, tag in tags[1:2] if own[0].side == "both" else ():  # "they're D-0102 and D-0103"
            _give_tag(talk, pieces, clause, (), Target(own[0].item, own[0].side), at, tag)
    else:
        piece = pieces[tags[0][0]]
        talk.drafts.append(
            Draft(
                "done", act="tag", item=own[0].item, side=own[0].side, words=(piece.start, piece.end),
                rule="another tag read out", clause=own[0].clause, sentence=clause.sentence, tag=tags[0][1],
                inferred=[("item", "the part being talked of")],
            )
        )  # fmt: skip
