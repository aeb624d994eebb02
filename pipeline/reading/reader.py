"""Reads facts from what was said: clause by clause, with what the note has spoken of so far."""

from abc import ABC, abstractmethod
from bisect import bisect_right
from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from pipeline.reading import mending, repeats, slots
from pipeline.reading.clauses import Clause, find_clauses
from pipeline.reading.clefts import without_clefts
from pipeline.reading.cutting import Cutter
from pipeline.reading.deeds import Deeds
from pipeline.reading.fact import Fact
from pipeline.reading.keeping import Keeping
from pipeline.reading.lexicon import Lexicon
from pipeline.reading.parse import tag_words
from pipeline.reading.phrases import Phrase, find_phrases
from pipeline.reading.pieces import Piece
from pipeline.reading.sayings import find_said
from pipeline.reading.sights import Sights
from pipeline.reading.spelling import CommonSpelling
from pipeline.reading.standing import clause_side
from pipeline.reading.supports import let_down
from pipeline.reading.taken_back import Meant, as_meant
from pipeline.reading.talk import facts_of
from pipeline.reading.unlisted import Unlisted, find_unlisted
from pipeline.reading.vocabulary import Vocabulary

_ROUNDS = 7  # times that one thing may be put right, and some more


class NoteRead(NamedTuple):
    """What was read in one note: its facts in the order said, and nouns treated as parts that no list has."""

    facts: tuple[Fact, ...]
    unlisted: tuple[Unlisted, ...]


class ReadByRule(NamedTuple):
    """What the rules read in one note, as it was meant.

    ``pieces`` are those of its text as it was meant, and ``not_done`` the stretches of characters (from, to) that
    tell of no work done now: denied, still to come, supposed, asked, others'. ``supposed`` are those of them in which
    a part only might come ("it should come off easily"), ``let_down`` those in which a part leaves what held it up.
    ``ends`` are the characters after each sentence. ``before`` are what was made of the text as said before
    ``meant``, one of the other: it in the common spelling, and with what was put right once. ``talked_of`` is the
    part with its side that the talk is of as each clause begins, after the clause's first character.
    """

    note: NoteRead
    pieces: tuple[Piece, ...]
    not_done: tuple[tuple[int, int], ...]
    supposed: tuple[tuple[int, int], ...]
    let_down: tuple[tuple[int, int], ...]
    meant: Meant
    ends: tuple[int, ...]
    before: tuple[Meant, ...]
    talked_of: tuple[tuple[int, str, str], ...]

    def it(self, character: int) -> tuple[str, str]:
        """Return the part that "it" stands for in the clause that a character is in, with its side, "" for none."""
        number = bisect_right(self.talked_of, (character, "\uffff")) - 1
        return self.talked_of[number][1:] if number >= 0 else ("", "")

    def sentence(self, character: int) -> tuple[int, int]:
        """Return the first character of the sentence that a character is in, and one after its last."""
        number = bisect_right(self.ends, character)
        start = self.ends[number - 1] if number else 0
        if number < len(self.ends):
            return start, self.ends[number]
        last = self.pieces[-1].end if self.pieces else 0
        return start, max(last, character + 1)

    def told(self, facts: Iterable[Fact]) -> NoteRead:
        """Return facts that were read in the text as it was meant as what is read in the text as said."""
        unlisted, told = list(self.note.unlisted), list(facts)
        for made in (self.meant, *reversed(self.before)):
            told = [made.told(fact) for fact in told]
            spans = [made.as_said(one.start, one.end) for one in unlisted]
            unlisted = [u._replace(start=start, end=end) for u, (start, end) in zip(unlisted, spans, strict=True)]
        return NoteRead(tuple(told), tuple(unlisted))


class ReadsNotes(ABC):
    """The ways in that the reader by rules and the one that people get have in common."""

    @abstractmethod
    def read_notes(self, notes: Iterable[tuple[str, Sequence[int]]]) -> Iterator[NoteRead]:
        """Yield what is read in each note (text, pauses), in order; faster than one by one."""

    def read_many(self, texts: Iterable[str]) -> Iterator[NoteRead]:
        """Yield what is read in each text, without pauses."""
        return self.read_notes((text, ()) for text in texts)

    def read_note(self, text: str, pauses: Sequence[int] = ()) -> NoteRead:
        """Return everything that is read in one note.

        Args:
            text: what was said.
            pauses: positions of the characters before which the speaker paused.
        """
        return next(self.read_notes([(text, pauses)]))

    def read(self, text: str, pauses: Sequence[int] = ()) -> tuple[Fact, ...]:
        """Return the facts of one note in the order said; the arguments are those of ``read_note``."""
        return self.read_note(text, pauses).facts


class Reader(ReadsNotes):
    """Reads notes by rules and one vocabulary. Loading takes about a second, when the first note is read."""

    def __init__(self, vocabulary: Vocabulary) -> None:
        self.vocabulary = vocabulary
        self.lexicon = Lexicon(vocabulary)
        self._cutter = Cutter(self.lexicon)
        self._spelling = CommonSpelling(vocabulary.spellings)

    def read_notes(self, notes: Iterable[tuple[str, Sequence[int]]]) -> Iterator[NoteRead]:
        """Yield what is read in each note (text, pauses), in order; faster than one by one."""
        return (one.told(one.note.facts) for one in self.read_by_rule(list(notes)))

    def read_by_rule(self, notes: Sequence[tuple[str, Sequence[int]]], as_said: bool = False) -> Iterator[ReadByRule]:
        """Yield what is read in each note (text, pauses), in order; faster than one by one.

        Args:
            notes: each a text with the positions of the characters before which the speaker paused.
            as_said: leave dialect and what the speaker took back as it was said: for those who have marks in that
                text.
        """
        spelt = [Meant(text, tuple(pauses)) if as_said else self._spelling.of(text, pauses) for text, pauses in notes]
        for one, tokens in zip(spelt, tag_words([one.text for one in spelt]), strict=True):
            cut, made = self._cutter.cut(one.text, tokens, one.pauses), [one]
            while not as_said and len(made) < _ROUNDS:
                meant = as_meant(self.lexicon, made[-1].text, made[-1].pauses, cut)
                if not (meant.edits or meant.mended):
                    meant = without_clefts(made[-1].text, made[-1].pauses, cut)
                if not (meant.edits or meant.mended) or (len(made) > 1 and not meant.edits):
                    break
                made.append(meant)
                (tokens,) = tag_words([meant.text])
                cut = self._cutter.cut(meant.text, tokens, meant.pauses)
            yield self._read(made, cut)

    def _read(self, made: Sequence[Meant], cut: Sequence[Piece]) -> ReadByRule:
        pieces = mending.corrected(cut)
        clauses = find_clauses(self.lexicon, pieces)
        note = _Note(self.lexicon, pieces, clauses)
        not_done, supposed, talked_of = [], [], []
        for number, clause in enumerate(clauses):
            talked_of.append((pieces[clause.first].start, note.talk.focus, note.talk.focus_side))
            note.read_clause(number)
            moods = note.moods
            span = (pieces[clause.first].start, pieces[clause.last - 1].end)
            if moods.supposes(clause):
                supposed.append(span)
            only_named = moods.only_supposes(clause) or moods.answers_otherwise(clause)
            if moods.barred(clause) or moods.tells_no_work_done() or only_named:
                not_done.append(span)
        facts = facts_of([draft for draft in note.talk.drafts if draft.item or draft.of or draft.finding])
        read = NoteRead(facts, find_unlisted(self.lexicon, cut))
        let = tuple(let_down(self.lexicon, pieces))
        ends = tuple(piece.end for piece in cut if piece.ends_sentence)
        return ReadByRule(
            read,
            tuple(cut),
            tuple(not_done),
            tuple(supposed),
            let,
            made[-1],
            ends,
            tuple(made[:-1]),
            tuple(talked_of),
        )


class _Note(Deeds, Sights, Keeping):
    """One note while it is read."""

    def read_clause(self, number: int) -> None:
        """Read one clause and add its facts."""
        self.number = number
        clause = self.clauses[number]
        talk = self.talk
        phrases = find_phrases(self.lexicon, self.pieces, clause.first, clause.last)
        self.moods.start(clause)
        self._mention(phrases)
        answered_no = self.moods.answered_no(clause)
        if self.moods.barred(clause) and not answered_no:
            self._attend_only(clause, phrases)
            return
        if mending.corrects_part(talk, self.pieces, clause, phrases):
            return
        said_side = self._said_side(clause, phrases)
        self._opening(phrases)
        before = len(talk.drafts)
        if repeats.says_same(self.moods, self.pieces, clause):
            slots.late_counts(talk, self.pieces, clause, phrases)
        repeated = repeats.repeat(talk, self.moods, self.pieces, clause, phrases, said_side, self.latent)
        talk.drafts.extend(repeated)
        acts = [] if repeated else find_said(self.lexicon, self.pieces, clause, phrases)
        if not (acts or repeated):
            acts = self._only_named(clause, phrases)
        self._add_acts(clause, phrases, acts, said_side)
        if not answered_no:
            self._add_seen(clause, phrases, acts, said_side)
        self._fill(clause, phrases, talk.drafts[before:], bool(acts), said_side, repeated=bool(repeated))
        if len(talk.drafts) == before:
            self._heading(phrases, said_side)
            loose = [p for p in phrases if p.fastener and not p.prep and p.counted not in ("hole", "hinge")]
            if loose:
                talk.fasteners, talk.loose_in = loose[0].counted, clause.sentence
        self._mention(phrases, settled=True)

    def _said_side(self, clause: Clause, phrases: Sequence[Phrase]) -> str:
        """Return the side that is said beside the nouns, and make it the current one."""
        side = clause_side(self.pieces, clause, phrases)
        if slots.both_sides(self.pieces, clause) or (slots.each_side(self.pieces, clause) and not side):
            side = "both"
        named = [p for p in phrases if p.item and not p.fastener]
        self.heading, self.heading_side = "", ""
        for phrase in (p for p in phrases if (p.item or p.short) and not (p.fastener or p.prep or p.stands_for)):
            item = phrase.item or self.talk.settle(phrase.short)
            if not self.heading or self.lexicon.vocabulary.is_a(item, self.heading):
                self.heading, self.heading_side = item, phrase.side or self.heading_side
        if side and side != "both":
            self._of_all(clause, side)
            self.talk.set_side(side, named[0].item if named else self.talk.focus)
        return side

    def _of_all(self, clause: Clause, side: str) -> None:
        """Give the side of "wheel off, brake off, all on the right side" to all that was told in the sentence."""
        lows = [piece.low for piece in self.pieces[clause.first : clause.last]]
        if not any(lows[at] == "all" and lows[at + 1] in ("on", "off", "from") for at in range(len(lows) - 1)):
            return
        for draft in self.talk.drafts:
            if draft.sentence == clause.sentence and not draft.side and self.lexicon.zone_and_side(draft.item)[1]:
                draft.side = side

    def _mention(self, phrases: Sequence[Phrase], settled: bool = False) -> None:
        """Note the parts that are named, the short names only once it is ``settled`` what they stand for."""
        for phrase in phrases:
            if not (phrase.located and phrase.prep):
                short = settled and bool(phrase.short) and not phrase.item
                self.talk.mention(phrase.holder)
                self.talk.mention(self.talk.settle(phrase.short) if short else phrase.item)
            if phrase.item:
                several = phrase.plural or phrase.side == "both"
                (self.talk.plurals.add if several else self.talk.plurals.discard)(phrase.item)
            if phrase.fastener and phrase.holder and (phrase.side or phrase.holder != self.talk.held):
                self.talk.held, self.talk.held_side = phrase.holder, phrase.side
