"""What a form of the review page does to the book: each is one act of the person who is checking."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from pipeline.errors import WrongCommand
from pipeline.history.acts import Change, refuse_if_changed_since
from pipeline.history.seen import Seen
from pipeline.records import EntryRecord
from pipeline.review.fact_form import fact_from, marked
from pipeline.review.open_book import OpenBook
from pipeline.review.views import Views, new_answer
from pipeline.writing.wording import fact_text

Fields = Sequence[tuple[str, str]]


@dataclass(frozen=True)
class Done:
    """What was done, in words, with what takes it back: (entry or rule, number in the history).

    ``next_one`` goes on to the next entry to check, ``at`` to the entry that it is about now.
    """

    text: str
    undo: tuple[tuple[str, int], ...] = ()
    next_one: bool = False
    at: str = ""


def do(what: str, book: OpenBook, views: Views, entry: EntryRecord, fields: Fields, who: str) -> Done:
    """Do what a form of an entry's page asks.

    Args:
        what: one of ``ACTS``.
        book: the open book.
        views: what the pages show of it now.
        entry: the entry as it stands.
        fields: the form's fields; "version" and "decision" tell what its page showed.
        who: who is checking.

    Raises:
        WrongCommand: the form is not one of ours, or what it says cannot be; ChangedSince, where that has changed.
        BookInUse, HistoryChanged: as the acts.
    """
    if what != "answer":
        refuse_if_changed_since(book.book, seen_in(entry.id, fields))
    return ACTS[what](book, views, entry, fields, who)


def _accept(book: OpenBook, views: Views, entry: EntryRecord, fields: Fields, who: str) -> Done:
    made = book.decide(seen_in(entry.id, fields), "accept", who)
    return Done(f"Accepted: {views.called(entry.id)}.", ((entry.id, made.n),), next_one=True)


def _reject(book: OpenBook, views: Views, entry: EntryRecord, fields: Fields, who: str) -> Done:
    made = book.decide(seen_in(entry.id, fields), "reject", who, why_in(fields))
    return Done("Rejected: it counts in no list.", ((entry.id, made.n),))


def _reject_recording(book: OpenBook, views: Views, entry: EntryRecord, fields: Fields, who: str) -> Done:
    """Reject every entry of a recording, each as its page showed it: of a copy nothing counts."""
    others = [seen_of(value) for key, value in fields if key == "other"]
    made = book.reject_together([seen_in(entry.id, fields), *others], who, why_in(fields))
    text = f"Rejected: {len(made)} entries, all of this recording. They count in no list."
    return Done(text, tuple((one.on, one.n) for one in made))


def _words(book: OpenBook, views: Views, entry: EntryRecord, fields: Fields, who: str) -> Done:
    told = dict(fields)
    read = " ".join(told.get("read", "").split())
    if not read:
        raise WrongCommand("Words cannot be empty. Where nothing was said, reject the entry.")
    change = Change(words={told.get("utterance", ""): read})
    (made,) = book.amend([(seen_in(entry.id, fields), change)], who, why_in(fields))
    text = "The words are put right. The facts stay as they are until you change them or have these words read again."
    return Done(text, ((entry.id, made.n),))


def _read_again(book: OpenBook, views: Views, entry: EntryRecord, fields: Fields, who: str) -> Done:
    again = book.read_again(entry)
    (made,) = book.amend([(seen_in(entry.id, fields), Change(facts=again.as_given()))], who, why_in(fields))
    return Done("The facts are those that are read in these words.", ((entry.id, made.n),))


def _fact(book: OpenBook, views: Views, entry: EntryRecord, fields: Fields, who: str) -> Done:
    number = _at(entry, fields)
    before = None if number is None else entry.facts[number]
    fact = fact_from(fields, book.vocabulary, before)
    facts = [marked(one) for one in entry.facts]
    facts = [*facts, fact] if number is None else [*facts[:number], fact, *facts[number + 1 :]]
    (made,) = book.amend([(seen_in(entry.id, fields), Change(facts=facts))], who, why_in(fields))
    return Done("A fact was added." if number is None else "The fact is put right.", ((entry.id, made.n),))


def _remove_fact(book: OpenBook, views: Views, entry: EntryRecord, fields: Fields, who: str) -> Done:
    number = _at(entry, fields)
    if number is None:
        raise WrongCommand("Say which fact.")
    facts = [marked(one) for at, one in enumerate(entry.facts) if at != number]
    (made,) = book.amend([(seen_in(entry.id, fields), Change(facts=facts))], who, why_in(fields))
    text = fact_text(entry.facts[number], book.vocabulary)
    return Done(f"Removed: {text}.", ((entry.id, made.n),))


def _photo(book: OpenBook, views: Views, entry: EntryRecord, fields: Fields, who: str) -> Done:
    """Take a photo out of its entry and, where another one is given, put it there in the same act."""
    told = dict(fields)
    photo = f"sha256:{told.get('photo', '')}"
    here = [one.media for one in entry.photos]
    if photo not in here:
        raise WrongCommand("That photo is not with this entry any more.")
    changes = [(seen_in(entry.id, fields), Change(photos=[one for one in here if one != photo]))]
    if told.get("to"):
        changes.append(_put(views, photo, told["to"]))
    made = book.amend(changes, who, why_in(fields))
    text = "The photo is moved." if told.get("to") else "The photo is taken out: it is below its day's entries."
    return Done(text, tuple((one.on, one.n) for one in made))


def _answer(book: OpenBook, views: Views, entry: EntryRecord, fields: Fields, who: str) -> Done:
    told = dict(fields)
    about = (one for one in views.records.cautions if entry.id in one.entries)
    caution = next((one for one in about if one.text == told.get("caution")), None)
    if caution is None:
        raise WrongCommand("That advice is not there any more.")
    made = book.answer(new_answer(caution, why_in(fields), who), whole_number(told.get("seen", "")))
    return Done("Answered. The advice stays in the logbook, with your answer beside it.", ((made.on, made.n),))


def _split(book: OpenBook, views: Views, entry: EntryRecord, fields: Fields, who: str) -> Done:
    utterance = dict(fields).get("utterance", "")
    made = book.split(seen_in(entry.id, fields), utterance, who, why_in(fields))
    return Done("Split. What follows is an entry of its own; facts went with their words.", ((entry.id, made.n),))


def _join(book: OpenBook, views: Views, entry: EntryRecord, fields: Fields, who: str) -> Done:
    other = seen_of(dict(fields).get("other", ""))
    made = book.join(seen_in(entry.id, fields), other, who, why_in(fields))
    return Done("Joined.", ((made.on, made.n),), at=made.on)


def _sign(book: OpenBook, views: Views, entry: EntryRecord, fields: Fields, who: str) -> Done:
    reason = dict(fields).get("for", "")
    made = book.sign(seen_in(entry.id, fields), who, reason)
    return Done(f"Your name stands under it, for “{reason}” and no more: it is no release.", ((entry.id, made.n),))


ACTS: Mapping[str, Callable[[OpenBook, Views, EntryRecord, Fields, str], Done]] = {
    "accept": _accept,
    "reject": _reject,
    "reject-recording": _reject_recording,
    "words": _words,
    "read-again": _read_again,
    "fact": _fact,
    "remove-fact": _remove_fact,
    "photo": _photo,
    "answer": _answer,
    "split": _split,
    "join": _join,
    "sign": _sign,
}


def place_photo(book: OpenBook, views: Views, fields: Fields, who: str) -> Done:
    """Put a photo that stands in no entry with one. Raises as ``do``."""
    told = dict(fields)
    photo = f"sha256:{told.get('photo', '')}"
    if not told.get("to"):
        raise WrongCommand("Choose the entry that the photo belongs to.")
    if any(link.media == photo for one in views.records.entries for link in one.photos):
        raise WrongCommand("That photo has been placed with an entry since you saw it. Nothing was done.")
    (made,) = book.amend([_put(views, photo, told["to"])], who, why_in(fields))
    return Done("The photo is placed.", ((made.on, made.n),))


def accept_all(book: OpenBook, fields: Fields, who: str) -> Done:
    """Accept entries without anything to check, each as it was seen; tell those that have changed since."""
    undo, missed = [], []
    for key, value in fields:
        if key != "entry":
            continue
        seen = seen_of(value)
        try:
            undo.append((seen.entry, book.decide(seen, "accept", who).n))
        except WrongCommand as fault:
            missed.append(str(fault))
    left = f" {len(missed)} had changed since you saw the list and are left for you to look at." if missed else ""
    return Done(f"{len(undo)} accepted.{left}", tuple(undo))


def place_in(fields: Fields) -> str:
    """Return what a form is about by the id that it has on its entry's page, "" where it is about the whole entry."""
    told = dict(fields)
    if "number" in told:
        return f"fact-{told['number'] or 'new'}"
    photo = told.get("photo", "")
    return told.get("at", "") or told.get("utterance", "") or (f"photo-{photo}" if photo else "")


def seen_in(entry: str, fields: Fields) -> Seen:
    """Return what a form's page showed of its entry."""
    told = dict(fields)
    return Seen(entry, told.get("version", ""), whole_number(told.get("decision", "")), exactly=True)


def seen_of(text: str) -> Seen:
    """Return what a list showed of an entry, from "entry|version|number"; raises WrongCommand."""
    entry, _, left = text.partition("|")
    version, _, number = left.partition("|")
    return Seen(entry, version, whole_number(number), exactly=True)


def _put(views: Views, photo: str, to: str) -> tuple[Seen, Change]:
    seen = seen_of(to)
    target = views.entries.get(seen.entry)
    if target is None:
        raise WrongCommand("The entry that you chose is not there any more.")
    return seen, Change(photos=[*(one.media for one in target.photos), photo])


def why_in(fields: Fields) -> str:
    """Return the reason that a form gives; raises WrongCommand where it gives none."""
    why = " ".join(dict(fields).get("why", "").split())
    if not why:
        raise WrongCommand("This needs a reason, for whoever reads the logbook in ten years. Nothing was done.")
    return why


def _at(entry: EntryRecord, fields: Fields) -> int | None:
    """Return which fact a form is about, None for one that is added."""
    text = dict(fields).get("number", "")
    if not text:
        return None
    number = whole_number(text)
    if number >= len(entry.facts):
        raise WrongCommand("That fact is not there any more.")
    return number


def whole_number(text: str) -> int:
    """Return the number in a form's field; raises WrongCommand where it is none."""
    if not (text.isascii() and text.isdigit() and len(text) < 12):
        raise WrongCommand("That form is not one of this page's. Load the page again.")
    return int(text)
