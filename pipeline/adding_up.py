"""What the facts of a book's entries add up to: the lists, and what sets off the rules."""

from collections.abc import Callable, Iterable, Sequence

from pipeline.bench import Bench
from pipeline.lists.bags import Told, all_told, bags_emptied, put_together, taken_out
from pipeline.lists.cautions import Cause, causes
from pipeline.lists.controls_called import with_controls_called
from pipeline.lists.disconnections import disconnections
from pipeline.lists.fasteners import fasteners
from pipeline.lists.finding_photos import words_told_in
from pipeline.lists.findings import findings
from pipeline.lists.freed import with_freed_ends
from pipeline.lists.holding_up import holding_up
from pipeline.lists.logged import LoggedFact, as_it_went, sentence_of
from pipeline.lists.not_fast import without_not_fast
from pipeline.lists.parts_off import parts_off
from pipeline.lists.positions import with_positions
from pipeline.lists.robbed import where_they_were_fitted
from pipeline.lists.slipped_sides import without_slipped_sides
from pipeline.lists.to_do import to_do
from pipeline.lists.way_back import way_back
from pipeline.reading.tags import as_label
from pipeline.records import EntryRecord, Lists, MediaRecord, UtteranceRecord
from pipeline.values import Value


class AddedUp(Value):
    """What the facts add up to: the lists, and what sets off the rules.

    The photos of a finding stand here as the words that they stand with. So nothing in it changes with a photo.
    """

    lists: Lists
    causes: tuple[Cause, ...]


Once = Callable[[str, Callable[[], AddedUp]], AddedUp]
"""Gives what was added up from the same before, by its fingerprint; else adds up, and keeps that."""


def labels_told_otherwise(entries: Iterable[EntryRecord], media: Iterable[MediaRecord]) -> tuple[str, ...]:
    """Return the labels that photos show whose numbers people told with more or fewer zeros, in order.

    Where two labels differ in their zeros alone, neither stands for what was told.
    """
    told = _by_number(fact.tag for entry in entries for fact in entry.facts if fact.tag)
    seen = _by_number(label for one in media for label in one.labels)
    only = {number: labels for number, labels in seen.items() if len(labels) == 1}
    return tuple(
        sorted(label for number, labels in only.items() if told.get(number, labels) != labels for label in labels)
    )


def _by_number(tags: Iterable[str]) -> dict[str, set[str]]:
    """Return tags by their number as labels with four figures have it."""
    found: dict[str, set[str]] = {}
    for tag in tags:
        found.setdefault(as_label(tag), set()).add(tag)
    return found


def added_up(
    entries: Iterable[EntryRecord],
    utterances: Iterable[UtteranceRecord],
    bench: Bench,
    labels: Sequence[str] = (),
) -> AddedUp:
    """Add up all entries of a book.

    Args:
        entries: as they stand; those that a person has rejected count for nothing.
        utterances: what was said in them.
        bench: for the settings and the vocabulary.
        labels: those told otherwise: a tag is written as its label is.
    """
    entries, utterances = tuple(entries), tuple(utterances)
    logged = without_slipped_sides(_logged(entries, utterances, bench, labels), bench.vocabulary)
    logged = without_not_fast(logged, bench.vocabulary)
    zone = bench.settings.zone
    said = [(one, at.astimezone(zone), words) for one, at, words in all_told(entries, utterances)]
    lists = _lists(logged, said, bench)
    return AddedUp(lists=lists, causes=causes(logged, lists.holding_up, bench.vocabulary))


def _logged(
    entries: Sequence[EntryRecord], utterances: Iterable[UtteranceRecord], bench: Bench, labels: Sequence[str]
) -> tuple[LoggedFact, ...]:
    """Return the facts that count in the lists, in the order of the work: of every entry that no person rejected."""
    read = {one.id: one.read for one in utterances}
    text = {one.id: " ".join(read.get(said, "") for said in one.utterances) for one in entries}
    told = [
        LoggedFact(
            at=entry.at.astimezone(bench.settings.zone),
            entry=entry.id,
            fact=fact,
            said=fact.said,
            photos=words_told_in(entry.id, fact.utterances),  # see ``AddedUp``
            around=sentence_of(" ".join(read.get(one, "") for one in fact.utterances), fact.said),
        )
        for entry in entries
        if entry.review != "rejected"
        for fact in entry.facts
    ]
    tagged = with_controls_called(_with_one_tag_each(told, labels), bench.vocabulary, text)
    return as_it_went(with_positions(tagged, text))


def _with_one_tag_each(facts: Iterable[LoggedFact], labels: Sequence[str]) -> list[LoggedFact]:
    """Return the facts with each tag as its label has it, where it was told with more and with fewer zeros.

    ``labels`` are as photos show them; where no photo does, a label has four figures.
    """
    facts, seen = tuple(facts), {as_label(label): label for label in labels}
    forms = _by_number(one.fact.tag for one in facts if one.fact.tag)
    other = {
        tag: seen.get(label, label)
        for label, tags in forms.items()
        if len(tags) > 1 or label in seen
        for tag in tags - {seen.get(label, label)}
    }
    return [one.told_as(tag=other[one.fact.tag]) if one.fact.tag in other else one for one in facts]


def _lists(logged: Sequence[LoggedFact], said: Sequence[Told], bench: Bench) -> Lists:
    freed = with_freed_ends(logged, bench.vocabulary)
    off = parts_off(freed, bench.vocabulary)
    logged, freed = (where_they_were_fitted(one, bench.vocabulary) for one in (logged, freed))
    parted = disconnections(freed, bench.vocabulary)
    held = holding_up(logged, bench.vocabulary)
    return Lists(
        parts_off=off,
        fasteners=fasteners(logged, bench.vocabulary, bags_emptied(said), taken_out(said), put_together(said)),
        disconnections=parted,
        findings=findings(logged, bench.vocabulary),
        way_back=way_back(freed, bench.vocabulary, off, parted, held),
        to_do=to_do(logged, bench.vocabulary),
        holding_up=held,
    )
