"""The life of a part in plain English: what held it, its condition, where it is now, and what is to be asked."""

from collections import Counter
from collections.abc import Sequence

from pipeline.english import capital, day_text, listed
from pipeline.records import Held, PartEvent, PartOff, Question
from pipeline.writing.measures import measure_text
from pipeline.writing.terms import Terms, term
from pipeline.writing.wording import counted, finding_text, part_text, place_text, stowage_text

_MOST_APART = 3  # times that the same is said one after the other of what held a part


def part_name(part: PartOff, terms: Terms) -> str:
    """Return a part with its side and place: "port rudder"."""
    position, called = part.position, part.called
    return part_text(part.item, part.side, part.place, terms, article=False, position=position, called=called)


def held_text(held: Sequence[Held], terms: Terms) -> str:
    """Return what held a part: "6 bolts; 2 nuts (as explained)"; numbers of the vocabulary are marked as such."""
    told = Counter(_held(one, terms) for one in dict.fromkeys(held))
    return "; ".join(
        "; ".join([text] * times) if times <= _MOST_APART else f"{text} (told {times} times)"
        for text, times in told.items()
    )


def attached_text(part: PartOff, terms: Terms) -> str:
    """Return what a part was joined to; what is only usual is marked as such."""
    joined = listed([term(terms, one) for one in part.attached_to])
    return f"{joined} (usual, not told)" if joined and part.attached_by == "usual" else joined


def condition_text(life: Sequence[PartEvent]) -> str:
    """Return every condition that was seen on a part, each once, in the order told."""
    return "; ".join(dict.fromkeys(_condition(event) for event in life if event.what == "finding"))


def kept_text(part: PartOff) -> str:
    """Return where a part is kept, in the speaker's words where no list has the place; "" where nobody said."""
    return stowage_text(part.stowage) or (f"“{part.kept_in_words}”" if part.kept_in_words else "")


def where_text(part: PartOff) -> str:
    """Return where a part is, as a clause: "on rack 3 since 14 February 2026", "refitted on 1 March 2026"."""
    if part.state == "replaced" and part.replaced_on:
        kept = kept_text(part) or "nobody said where it is kept"
        since = f" since {day_text(part.stowed_on)}" if part.stowage and part.stowed_on else ""
        return f"replaced by another one on {day_text(part.replaced_on)}: {kept}{since}"
    if part.state == "refitted" and part.refitted_on:
        again = "refitted" if part.removed_on or part.questions else "fitted"  # a new one, or one that was made
        return f"on the aircraft: {again} on {day_text(part.refitted_on)}"
    kept = stowage_text(part.stowage)
    if kept:
        return f"{kept} since {day_text(part.stowed_on)}" if part.stowed_on else kept
    if part.kept_in_words:
        said = f" on {day_text(part.stowed_on)}" if part.stowed_on else ""
        return f"as it was said{said}: “{part.kept_in_words}”"
    if part.moved_on:
        return f"moved on {day_text(part.moved_on)}, nobody said where to"
    if part.state == "off" and part.removed_on:
        return f"came off on {day_text(part.removed_on)}, nobody said where it is kept"
    if part.state == "on":
        return "on the aircraft: it was said not to have been taken off"
    return "tagged, and nobody said where it is kept or when it came off"


def tag_text(part: PartOff) -> str:
    """Return a part's tag with those that it had before: "P-0143 (before: P-0142)", "" for none."""
    before = f"before: {listed(part.former_tags)}" if part.former_tags else ""
    return f"{part.tag} ({before})" if part.tag and before else part.tag or ""


def entries_of(part: PartOff) -> tuple[str, ...]:
    """Return the entries that tell of a part, in order, each once."""
    return tuple(dict.fromkeys(event.entry for event in part.life))


def question_text(question: Question, terms: Terms) -> str:
    """Return a question of the list of parts as one or two sentences; a kind without words of its own is named."""
    part = part_text(
        question.item, question.side, question.place, terms, position=question.position, called=question.called
    )
    days = [day_text(day) for day in question.days]
    first, last = (days[0], days[-1]) if days else ("a day that is not known",) * 2
    others = listed([part_text(item, side, None, terms) for item, side in question.others])
    left = question.numbers[0] if question.numbers else 0
    texts = {
        "some-still-off": f"Several came off on {first}. After what was said to be back on {last}, {left} "
        f"{'is' if left == 1 else 'are'} still off.",
        "not-stowed": f"It came off on {first}: nobody said where it is kept.",
        "moved-not-stowed": f"It was moved on {first}: nobody said where to.",
        "fast-while-off": f"It was tightened or locked on {last}, but nobody said that it is on again. Is it?",
        "not-removed": "It is stowed or tagged, but nobody said when it came off.",
        "removed-twice": f"It was said to come off on {first} and again on {last}, and nobody said that it was "
        "refitted between. Was one of them another part?",
        "not-removed-but-refitted": f"It was refitted on {first}, but nobody said that it came off.",
        "one-tag-two-parts": f"Tag {question.tag} was put on {part} and on {others}. Which of them carries it?",
        "tag-read-elsewhere": f"Tag {question.tag} was first told of {part}, and later of {others}. Which of them "
        "carries it?",
        "other-side-not-told": f"{capital(part)} is off. Both sides were spoken of; nothing was said of {others}.",
    }
    return texts.get(question.kind, f"{capital(question.kind.replace('-', ' '))}: {part}.")


def _held(held: Held, terms: Terms) -> str:
    number = counted(held.count, held.of, terms, about=held.about) if held.count is not None else held.of
    at = [f"at the {term(terms, held.joint)}"] if held.joint else []
    where = [place_text(held.place)] if held.place else []
    how = {"undone": [], "explained": ["as explained"], "usual": ["usual, not told"]}[held.told]
    text = " ".join([number, *at])
    return ", ".join([text, *where]) + (f" ({how[0]})" if how else "")


def _condition(event: PartEvent) -> str:
    found = finding_text(str(event.finding), absent=event.absent, grade=event.grade, count=event.count)
    for end in (":", " in", " on", " from"):
        found = found.removesuffix(end)
    size = ", ".join(measure_text(one) for one in event.measure or ())
    return ", ".join(filter(None, (found, size)))
