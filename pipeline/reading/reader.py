"""Reads facts from what was said: clause by clause, with what the note has spoken of so far."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from pipeline.reading import repeats, slots
from pipeline.reading.clauses import Clause, find_clauses
from pipeline.reading.conditions import Seen, find_seen
from pipeline.reading.fact import Fact
from pipeline.reading.lexicon import Lexicon
from pipeline.reading.moods import MEANT, NONE, Mood, Moods
from pipeline.reading.parse import Token, tag_words
from pipeline.reading.phrases import Phrase, find_phrases
from pipeline.reading.pieces import DETERMINERS, Cutter, Piece
from pipeline.reading.sayings import Said, find_said
from pipeline.reading.talk import Draft, Talk, Target, facts_of
from pipeline.reading.targets import (
    ON_HOLDER,
    clause_side,
    find_targets,
    holder_of,
    of_phrase,
    own_object,
    with_others,
)
from pipeline.reading.vocabulary import Vocabulary

_SIDE_PREPS = frozenset("of off from on in at for to with".split())
_FINDING_PREPS = frozenset(
    "on in at to round around of off from through along inside under behind between across".split()
)
_ON_MAIN = frozenset("remove lift lower move support store bag separate test paint fit".split())
_OF_FASTENERS = frozenset("broken seized missing loose corrosion wear distortion".split())


class Reader:
    """Reads notes by one vocabulary. Loading takes about a second; it is done when the first note is read."""

    def __init__(self, vocabulary: Vocabulary) -> None:
        self._lexicon = Lexicon(vocabulary)
        self._cutter = Cutter(self._lexicon)

    def read(self, text: str, pauses: Sequence[int] = ()) -> tuple[Fact, ...]:
        """Return the facts of one note in the order said.

        Args:
            text: what was said.
            pauses: positions of the characters before which the speaker paused.
        """
        return self._read(text, next(iter(tag_words([text]))), pauses)

    def read_many(self, texts: Iterable[str]) -> Iterator[tuple[Fact, ...]]:
        """Yield the facts of each note in order; faster than one by one."""
        notes = list(texts)
        for text, tokens in zip(notes, tag_words(notes), strict=True):
            yield self._read(text, tokens, ())

    def _read(self, text: str, tokens: Sequence[Token], pauses: Sequence[int]) -> tuple[Fact, ...]:
        pieces = repeats.corrected(self._cutter.cut(text, tokens, pauses))
        clauses = find_clauses(self._lexicon, pieces)
        note = _Note(self._lexicon, pieces, clauses)
        for number in range(len(clauses)):
            note.read_clause(number)
        return facts_of([draft for draft in note.talk.drafts if draft.item or draft.of])


class _Note:
    """One note while it is read."""

    def __init__(self, lexicon: Lexicon, pieces: Sequence[Piece], clauses: Sequence[Clause]) -> None:
        self.lexicon, self.pieces, self.clauses = lexicon, pieces, clauses
        self.talk = Talk(lexicon)
        self.moods = Moods(lexicon, pieces, clauses)
        self.latent: list[Draft] = []
        self.fastener_count: tuple[int | None, str] = (None, "")
        self.number = 0
        self.heading = ""

    def read_clause(self, number: int) -> None:
        """Read one clause and add its facts."""
        self.number = number
        clause = self.clauses[number]
        talk = self.talk
        phrases = find_phrases(self.lexicon, self.pieces, clause.first, clause.last)
        self.moods.start(clause)
        for phrase in phrases:
            if not (phrase.located and phrase.prep):
                talk.mention(phrase.item)
            if phrase.fastener and phrase.holder:
                talk.held, talk.held_side = phrase.holder, phrase.side
        if self.moods.barred(clause):
            self._attend_only(clause, phrases)
            return
        if repeats.corrects_part(talk, self.pieces, clause, phrases):
            return
        said_side = clause_side(self.pieces, clause, phrases)
        if slots.both_sides(self.pieces, clause) or slots.each_side(self.pieces, clause):
            said_side = "both"
        self.heading = next((p.item for p in phrases if p.item and not p.prep and not p.fastener), "")
        first_named = next((p.item for p in phrases if p.item and not p.fastener), "")
        if said_side and said_side != "both":
            talk.set_side(said_side, first_named or talk.focus)
        self._opening(phrases)
        before = len(talk.drafts)
        repeated = repeats.repeat(talk, self.moods, self.pieces, clause, phrases, said_side, self.latent)
        talk.drafts.extend(repeated)
        acts: list[Said] = []
        if not repeated:
            acts = find_said(self.lexicon, self.pieces, clause, phrases)
            self._add_acts(clause, phrases, acts, said_side)
        self._add_seen(clause, phrases, acts, said_side)
        new = talk.drafts[before:]
        self._fill(clause, phrases, new, bool(acts), said_side, repeated=bool(repeated))
        if len(talk.drafts) == before:
            self._heading(phrases, said_side)
        if len(talk.drafts) == before:
            loose = [p for p in phrases if p.fastener and not p.prep and p.counted not in ("hole", "hinge")]
            talk.fasteners = loose[0].counted if loose else talk.fasteners
        for phrase in phrases:
            if phrase.located and phrase.prep:
                continue
            talk.mention(phrase.item or (talk.settle(phrase.short) if phrase.short else ""))

    def _attend_only(self, clause: Clause, phrases: Sequence[Phrase]) -> None:
        for phrase in phrases:
            if (phrase.item or phrase.short) and not phrase.fastener:
                side = clause_side(self.pieces, clause, phrases) or next((p.side for p in phrases if p.side), "")
                places = [place for piece in self.pieces[clause.first : clause.last] for place in piece.places]
                if places:
                    self.talk.places, self.talk.place_item = places, phrase.item
                self.talk.attend(replace_side(of_phrase(self.talk, phrase), side))
                return

    def _opening(self, phrases: Sequence[Phrase]) -> None:
        """Attend to a part that is named before a comma or colon and taken up by "it" in the same clause."""
        first = next((p for p in phrases if p.named), None)
        if first is None or first.prep or first.fastener or first.last >= len(self.pieces) or first is not phrases[0]:
            return
        if (
            self.pieces[first.last].kind == "mark"
            and self.pieces[first.last].low in (",", ":", "-")
            and len(phrases) > 1
        ):
            if self.pieces[first.last].low == ":" or any(p.stands_for for p in phrases[1:]):
                self.talk.attend(of_phrase(self.talk, first))

    def _heading(self, phrases: Sequence[Phrase], said_side: str) -> None:
        named = [p for p in phrases if (p.item or p.short) and not p.fastener]
        if not named:
            side = next((p.side for p in phrases if p.side), "")
            if side:
                self.talk.focus_side = side if self.talk.focus else ""
                self.talk.set_side(side, self.talk.focus)
            return
        first = next((p for p in named if not p.prep), named[0])
        target = of_phrase(self.talk, first)
        side = first.side or said_side or next((p.side for p in named if p.side), "")
        if side:
            target = replace_side(target, side)
        self.talk.attend(target, minor=self.moods.explaining)
        if not self.moods.explaining:
            self.talk.headed = first is phrases[0] and not first.prep
        places = [place for p in phrases for place in p.places]
        places += [
            place
            for p in self.pieces[phrases[0].first : phrases[-1].last]
            for place in p.places
            if place not in places
        ]
        places = [place for place in places if place not in first.places or first.located]
        if places:
            self.talk.places, self.talk.place_item = places, target.item

    # --- acts -----------------------------------------------------------------------------------------------------

    def _add_acts(self, clause: Clause, phrases: Sequence[Phrase], acts: Sequence[Said], said_side: str) -> None:
        for place, said in enumerate(acts):
            until = acts[place + 1].at if place + 1 < len(acts) else clause.last
            since = acts[place - 1].last if place else clause.first
            mood = self._mood(clause, said)
            drafts = self._act(clause, phrases, said, mood, until, since, said_side)
            if mood.status in (NONE, MEANT):
                self.latent = drafts or self.latent
                for draft in drafts:
                    if draft.item and draft.item not in self.lexicon.fasteners and mood.why != "the goal":
                        self.talk.attend(Target(draft.item, draft.side))
                if mood.why == "the goal" and drafts:
                    self.talk.attend(Target(drafts[0].item, drafts[0].side))
                continue
            if not self._held_by_more(clause, drafts):
                self.talk.drafts.extend(drafts)

    def _held_by_more(self, clause: Clause, drafts: Sequence[Draft]) -> bool:
        """Add "and by four more" to what was said to hold the same part; True where that was done."""
        last = self.talk.drafts[-1] if self.talk.drafts else None
        if len(drafts) != 1 or last is None or drafts[0].act != "held-by" or last.act != "held-by":
            return False
        if drafts[0].item != last.item or last.count is None or last.sentence < clause.sentence - 1:
            return False
        for piece, after in zip(
            self.pieces[clause.first :], self.pieces[clause.first + 1 : clause.last], strict=False
        ):
            if piece.kind == "number" and piece.number is not None and after.low in ("more", "others"):
                last.inferred.append(("count", f"{last.count} and {piece.number} more"))
                last.count += int(piece.number)
                return True
        return False

    def _mood(self, clause: Clause, said: Said) -> Mood:
        if said.state:
            mood = self.moods.of_state(clause, said.at, said.state_at)
            if said.kept and mood.status == "done":
                return Mood("not-done", "still in place")
            return mood
        if said.act == "held-by":
            mood = self.moods.of_verb(clause, said.at)
            return Mood("explained", "how it is built") if mood.status != NONE else mood
        mood = self.moods.of_verb(clause, said.at)
        if said.kept and mood.status == "done":
            return Mood("not-done", "left in place")
        return mood

    def _act(
        self, clause: Clause, phrases: Sequence[Phrase], said: Said, mood: Mood, until: int, since: int, said_side: str
    ) -> list[Draft]:  # fmt: skip
        targets = find_targets(self.talk, self.pieces, clause, phrases, said, until, since)
        if targets is None:
            return []
        targets = targets or self._shared_object(clause, phrases, said)
        if self._idle(clause, said, bool(targets)):
            return []
        explained = mood.status == "explained"
        if not targets:
            fastener = next((p for p in phrases if p.fastener and said.at < p.first < until), None)
            held = said.act == "held-by" or (fastener and said.act in ON_HOLDER)
            subject = next((p for p in phrases if p.first < said.at and not (p.fastener or p.person or p.prep)), None)
            target = (
                self._target(subject, said, explained) if held and subject else self._focus(clause, said, explained)
            )
            found: list[tuple[Target, str, Phrase | None]] = [(target, said.act, None)]
        else:
            found = [
                pair
                for phrase in targets
                for pair in self._on(clause, phrases, said, phrase, since, until, explained)
            ]
        keys = [(target.item, target.side, act) for target, act, _phrase in found]
        found = [pair for number, pair in enumerate(found) if keys.index(keys[number]) == number]
        return [
            self._draft(clause, phrases, said, mood, target, act, phrase, said_side)
            for target, act, phrase in found
            if target.item or (phrase and phrase.fastener)
        ]

    def _idle(self, clause: Clause, said: Said, has_object: bool) -> bool:
        """Tell whether a verb without an object is no work on a part ("wouldn't move", "got three litres out")."""
        following = self.pieces[said.at + 1 : clause.last]
        if said.act in ("move", "make") and not said.state and not has_object:
            return True
        lows = {piece.low for piece in self.pieces[clause.first : clause.last]}
        alone = (
            said.at + 1 >= clause.last
            or self.pieces[said.at + 1].kind != "thing"
            and self.pieces[said.at + 1].low not in DETERMINERS | {"it", "them"}
        )
        if (
            said.act == "move"
            and alone
            and not lows & {"i", "we", "they", "was", "were", "been", "be"}
            and self.pieces[said.at - 1].low in ("it", "n't", "they")
        ):
            return True
        measure = next((at for at, piece in enumerate(following) if piece.kind == "measure"), 99)
        return said.act == "remove" and measure <= 2 and not said.state

    def _on(
        self, clause: Clause, phrases: Sequence[Phrase], said: Said, phrase: Phrase, since: int, until: int, explained: bool
    ) -> list[tuple[Target, str, Phrase | None]]:  # fmt: skip
        """Return what is done to the thing of one phrase: to the part, to what the fasteners hold, to the fasteners."""
        talk = self.talk
        as_fasteners = self.lexicon.on_fasteners.get(said.act, said.act)
        if self._of_fasteners(phrase):
            if said.act == "fit" and phrase.counted in ("split-pin", "locking-wire"):
                as_fasteners = "lock"
            if as_fasteners in ON_HOLDER:
                return [(holder_of(talk, self.pieces, phrases, phrase, since, until), as_fasteners, phrase)]
            return [(of_phrase(talk, phrase, explained), said.act, phrase)]
        if phrase.kind == "detail" and said.act in ("remove", "fit", "store", "lift", "move"):
            return []
        if self._stands_for_fasteners(said, phrase):
            if as_fasteners in ON_HOLDER:
                return [(holder_of(talk, self.pieces, [], phrase, since, until), as_fasteners, phrase)]
            why = (("item", "the fasteners just named"),)
            return [(Target(talk.fasteners, talk.focus_side, False, (), why, phrase), said.act, phrase)]
        if said.act == "make" and phrase.stands_for == "one":
            item = talk.fasteners or talk.focus
            return [(Target(item, "", False, (), (("item", "another of what was named"),), phrase), said.act, phrase)]
        if phrase.stands_for == "them" and said.act in ("bag", "tag", "store", "clean", "photograph"):
            return [(target, said.act, phrase) for target in self._them([of_phrase(talk, phrase)])]
        return [(self._target(phrase, said, explained), said.act, phrase)]

    def _target(self, phrase: Phrase, said: Said, explained: bool) -> Target:
        to_main = explained or said.act in _ON_MAIN or said.state
        return of_phrase(self.talk, phrase, explained, to_main)

    def _focus(self, clause: Clause | None = None, said: Said | None = None, explained: bool = False) -> Target:
        talk = self.talk
        item, side = talk.focus, talk.focus_side
        if said is not None and (explained or said.act in _ON_MAIN) and not (clause and clause.opener == "and"):
            item, side = talk.returns_to_main()
        return Target(item, side, False, (), (("item", "the part being talked of"),) if item else ())

    def _of_fasteners(self, phrase: Phrase) -> bool:
        return phrase.fastener and not phrase.item and phrase.counted not in ("hinge", "hole")

    def _stands_for_fasteners(self, said: Said, phrase: Phrase) -> bool:
        """Tell whether "them", "those two" or "the front ones" are the fasteners named before."""
        if not self.talk.fasteners:
            return False
        if phrase.stands_for == "fasteners" or (phrase.stands_for == "one" and phrase.plural and not phrase.side):
            return True
        if phrase.stands_for != "them":
            return False
        if phrase.bare or (phrase.count is not None and said.act in ON_HOLDER):
            return True
        lasting = said.act in ("drill-out", "undo", "tighten", "lock") or said.state
        return lasting or said.act in ("bag", "store", "tag", "clean", "measure", "remove")

    def _shared_object(self, clause: Clause, phrases: Sequence[Phrase], said: Said) -> list[Phrase]:
        """Return the object of a later verb for a verb that has none ("removed, primed and painted the door")."""
        if own_object(self.pieces, said):
            return []
        own_words = said.saying is not None and any(len(word) > 4 for word in said.saying.tail)
        if any(p.first > said.at for p in phrases) or said.state or own_words:
            return []
        for following in self.clauses[self.number + 1 : self.number + 4]:
            at = following.first
            while at < following.last and (self.pieces[at].kind == "mark" or self.pieces[at].low in ("and", "then")):
                at += 1
            bare = at > following.first and at < following.last and self.pieces[at].kind == "verb"
            if not bare or following.sentence != clause.sentence:
                return []
            ahead = find_phrases(self.lexicon, self.pieces, following.first, following.last)
            ahead = [p for p in ahead if (not p.prep or p.prep == "of") and p.named]
            if ahead:
                return ahead[:1]
        return []

    def _draft(
        self, clause: Clause, phrases: Sequence[Phrase], said: Said, mood: Mood, target: Target, act: str,
        phrase: Phrase | None, said_side: str,
    ) -> Draft:  # fmt: skip
        talk = self.talk
        side, inferred, explicit = self._side_of(phrases, target, phrase, said_side, mood.status == "explained")
        starts = [self.pieces[said.at].start]
        if phrase and phrase.first >= clause.first:
            starts.append(self.pieces[phrase.first].start)
        last = max(said.last, phrase.last if phrase and phrase.last <= clause.last else 0, said.at + 1)
        draft = Draft(
            mood.status, act=act, item=target.item, side=side, words=(min(starts), self.pieces[last - 1].end),
            rule=f"{mood.why}: {said.act}", inferred=inferred, clause=self.number, sentence=clause.sentence,
        )  # fmt: skip
        if phrase is not None and act != "held-by":
            self._count(clause, draft, phrase, target)
        if phrase is not None and phrase.stands_for == "fasteners":
            draft.places.extend(phrase.places)
        if mood.status in (NONE, MEANT):
            return draft
        if act in ("undo", "drill-out", "held-by"):
            talk.held, talk.held_side = target.item, side
        keep = talk.fasteners
        carried = "" if side == "both" and said_side == "both" else side
        talk.attend(Target(target.item, carried, explicit), minor=self._minor(act, target.item, mood))
        if phrase and self._of_fasteners(phrase):
            talk.fasteners = phrase.counted
        elif act == "held-by":
            talk.fasteners = next((p.counted for p in phrases if p.fastener), keep)
        elif keep and act in ON_HOLDER:
            talk.fasteners = keep
        return draft

    def _minor(self, act: str, item: str, mood: Mood) -> bool:
        """Tell whether work on a part leaves the talk with the main one."""
        main = self.talk.main
        if not main or item == main:
            return False
        if mood.status == "explained":
            return True
        lines = self.lexicon.part_kind.get(item, "")
        own = self.lexicon.vocabulary.is_a(item, main)
        return (
            act == "connect"
            or act in ("disconnect", "blank", "undo")
            and (own or lines in ("hydraulic", "fuel", "electrical", "pneumatic", "controls", "instruments", "radio"))
        )

    def _side_of(
        self, phrases: Sequence[Phrase], target: Target, phrase: Phrase | None, said_side: str, explained: bool
    ) -> tuple[str, list[tuple[str, str]], bool]:
        """Return the side, what was inferred, and whether the side was said in the clause itself."""
        if target.side_said:
            return target.side, list(target.inferred), True
        others = [pair for pair in target.inferred if pair[0] != "side"]
        if said_side:
            return said_side, others, True
        for beside in phrases:
            if not beside.side or beside is phrase or beside.stands_for:
                continue
            if beside.prep in _SIDE_PREPS or self._apposed(beside):
                return beside.side, others, True
        return ("", others, False) if explained else (target.side, list(target.inferred), False)

    def _apposed(self, phrase: Phrase) -> bool:
        """Tell whether a phrase only says where, between commas: "nose rib, port leading edge"."""
        before = self.pieces[phrase.first - 1] if phrase.first else None
        after = self.pieces[phrase.last] if phrase.last < len(self.pieces) else None
        return before is not None and before.low == "," and (after is None or after.kind == "mark")

    def _count(self, clause: Clause, draft: Draft, phrase: Phrase, target: Target) -> None:
        of = ""
        if phrase.count is not None and not phrase.person:
            if phrase.counted:
                of = phrase.counted
            elif phrase.stands_for in ("them", "fasteners") and target.item:
                of = self.talk.fasteners or target.item
            elif target.item and not phrase.located and phrase.named:
                of = target.item
        if of and not draft.item:
            draft.of = of
        if of and not (phrase.implied and draft.status != "done"):
            draft.count, draft.of, draft.about = phrase.count, of, phrase.about
            if draft.count is not None and slots.each_side(self.pieces, clause, phrase):
                draft.count *= 2
        elif phrase.stands_for == "them" and draft.act == "drill-out" and self.fastener_count[0]:
            draft.count, draft.of = self.fastener_count

    # --- findings -------------------------------------------------------------------------------------------------

    def _add_seen(self, clause: Clause, phrases: Sequence[Phrase], acts: Sequence[Said], said_side: str) -> None:
        if self.moods.means(clause, "if", "nearly") or clause.opener in ("if", "unless", "till", "until"):
            return
        if self.moods.near_if(clause) and self.moods.means(clause, "may", "planned"):
            return
        for seen in find_seen(self.lexicon, self.pieces, clause, phrases, [said.at for said in acts]):
            if self._doubtful(clause, seen):
                continue
            target = self._seen_on(clause, phrases, seen)
            if not target.item:
                continue
            self._seen(clause, seen, target, said_side, phrases)

    def _doubtful(self, clause: Clause, seen: Seen) -> bool:
        lows = [piece.low for piece in self.pieces[clause.first : seen.at]]
        if self.moods.means(clause, "may", "perhaps", "meant-to", upto=seen.at):
            return True
        if "thought" in lows and {"was", "were"} & set(lows):
            return True
        if {"will", "'ll"} & set(lows) or "you" in lows[-4:] and "see" not in lows:
            return True
        return self.moods.explaining and "you" in lows

    def _seen_on(self, clause: Clause, phrases: Sequence[Phrase], seen: Seen) -> Target:
        usable = [
            p for p in phrases
            if not p.person and not (p.kind == "support-equipment" and p.prep)
            and not (p.kind == "material" and p.item in ("primer", "sealant"))
        ]  # fmt: skip
        own = next((p for p in usable if p.first <= seen.at < p.last), None)
        if seen.before and own:
            return self._seen_target(own, seen)
        before = [p for p in usable if p.last <= seen.at and p.kind != "detail"]
        after = [p for p in usable if p.first > seen.at and p.kind != "detail"]
        subjects = [p for p in before if not p.prep]
        if seen.form == "noun":
            return self._seen_of_noun(seen, subjects, before, after)
        lately = self._since_comma(clause, seen.at)
        near = [p for p in subjects if p.first >= lately]
        if near:
            return self._seen_target(near[0], seen)
        unknown = any(
            (piece.tag.startswith("NN") and piece.kind in ("word", "verb")) or piece.sense("part")
            for piece in self.pieces[lately : seen.at]
        )
        reached = [p for p in before if p.prep in ("on", "of", "in") and p.named and p.first >= lately]
        reached += [p for p in after if p.prep in ("off", "on", "in", "from", "of") and p.named]
        if reached and (unknown or not self.talk.focus):
            return self._seen_target(reached[0], seen)
        if subjects:
            return self._seen_target(subjects[0], seen)
        return self._focus()

    def _since_comma(self, clause: Clause, at: int) -> int:
        """Return the piece after the last comma before ``at`` that has words of a subject after it."""
        for step in range(at - 1, clause.first, -1):
            if self.pieces[step].kind == "mark" and any(
                piece.kind in ("thing", "side") or piece.tag.startswith(("NN", "PRP"))
                for piece in self.pieces[step + 1 : at]
            ):
                return step + 1
        return clause.first

    def _seen_of_noun(
        self, seen: Seen, subjects: Sequence[Phrase], before: Sequence[Phrase], after: Sequence[Phrase]
    ) -> Target:
        reached = [
            p for p in after if p.prep in _FINDING_PREPS and (p.named or p.stands_for) and p.first <= seen.at + 6
        ]
        near = [p for p in reached if not (p.located and p.prep in ("at", "by", "between", "from", "to"))]
        if near and near[0].stands_for and subjects:
            near = []
        if near and not (subjects and near[0].located):
            return self._seen_target(near[0], seen)
        if subjects:
            return self._seen_target(subjects[-1], seen)
        named = [p for p in before if p.named and not (p.located and p.prep in ("at", "by", "between"))]
        if named:
            return self._seen_target(named[0], seen)
        recent = bool(self.talk.drafts) and self.talk.drafts[-1].sentence == self.clauses[self.number].sentence
        if self.talk.headed and self.talk.main and not recent:
            return Target(*self.talk.returns_to_main(), False, (), (("item", "the part being talked of"),))
        return self._focus()

    def _seen_target(self, phrase: Phrase, seen: Seen) -> Target:
        if (
            phrase.stands_for in ("them", "fasteners")
            and phrase.count is not None
            and self.talk.fasteners
            and seen.finding in _OF_FASTENERS
        ):
            return Target(
                self.talk.fasteners, self.talk.focus_side, False, (), (("item", "the fasteners just named"),), phrase
            )
        if phrase.counted == "hole" or (
            phrase.counted == "hinge" and not phrase.item and not self.talk.settle("hinge")
        ):
            holder = phrase.holder or self.heading or self.talk.returns_to_main()[0]
            return Target(
                holder,
                phrase.side or self.talk.focus_side,
                bool(phrase.side),
                (),
                (("item", "the part being talked of"),),
                phrase,
            )
        if phrase.counted == "hinge" and phrase.count is not None and self.talk.focus:
            return Target(
                self.talk.focus, self.talk.focus_side, False, (), (("item", "the part being talked of"),), phrase
            )
        opens = phrase.first - self.clauses[self.number].first <= 1
        if opens and phrase.stands_for == "it" and self.pieces[phrase.first].low == "that" and self.number:
            earlier = self.clauses[self.number - 1]
            named = [
                p
                for p in find_phrases(self.lexicon, self.pieces, earlier.first, earlier.last)
                if p.last == phrase.first
            ]
            if named and named[0].named:
                return of_phrase(self.talk, named[0])
        target = of_phrase(self.talk, phrase)
        return target if target.item else self._focus()

    def _seen(self, clause: Clause, seen: Seen, target: Target, said_side: str, phrases: Sequence[Phrase]) -> None:
        talk = self.talk
        phrase = target.phrase
        side, inferred, explicit = self._side_of(phrases, target, phrase, said_side, False)
        subject = next((p for p in phrases if p.side and p.stands_for in ("one", "side") and not p.prep), None)
        if subject is not None and not explicit and subject is not phrase and subject.first < seen.at:
            side, explicit = subject.side, True
        if not side:
            side, more = talk.carried_side(target.item)
            inferred += list(more)
        last = talk.last("seen")
        if (
            last
            and phrase
            and phrase.stands_for
            and last.finding == seen.finding
            and last.sentence == clause.sentence
        ):
            if last.absent == seen.absent and not phrase.side:
                return
        if (
            last
            and last.finding == seen.finding
            and last.item == target.item
            and last.side == side
            and last.absent == seen.absent
        ):
            if last.sentence >= clause.sentence - 1:
                last.grade = last.grade or seen.grade
                return
        start = min(
            self.pieces[seen.at].start, self.pieces[phrase.first].start if phrase else self.pieces[seen.at].start
        )
        end = max(self.pieces[seen.at].end, self.pieces[phrase.last - 1].end if phrase else 0)
        draft = Draft(
            "seen", finding=seen.finding, item=target.item, side=side, absent=seen.absent, grade=seen.grade,
            words=(start, end), rule=f"seen: {seen.form}", inferred=inferred, clause=self.number, sentence=clause.sentence,
        )  # fmt: skip
        if (
            phrase
            and phrase.count is not None
            and not phrase.implied
            and (phrase.counted or phrase.named or phrase.stands_for)
        ):
            draft.count, draft.of = (
                phrase.count,
                phrase.counted
                or (self.talk.fasteners if phrase.stands_for and self.talk.fasteners == target.item else target.item),
            )
            draft.about = phrase.about
            if draft.of in self.lexicon.fasteners:
                self.fastener_count = (draft.count, draft.of)
                talk.fasteners = draft.of
        talk.drafts.append(draft)
        talk.attend(Target(target.item, side, explicit), minor=self._small(target.item))

    def _small(self, item: str) -> bool:
        """Tell whether a finding on a part leaves the talk with the part that it belongs to."""
        part = self.lexicon.vocabulary.part(item)
        if self.talk.headed and self.talk.main and item != self.talk.main:
            return True
        return part is not None and (part.kind in ("material", "fastener") or part.notation in ("bush", "spigot"))

    # --- slots ----------------------------------------------------------------------------------------------------

    def _fill(
        self, clause: Clause, phrases: Sequence[Phrase], new: list[Draft], acted: bool, said_side: str, repeated: bool
    ) -> None:
        talk = self.talk
        slots.fill_counts(talk, self.pieces, clause, phrases, new)
        self._stow(clause, phrases, new, acted, said_side)
        new = [draft for draft in talk.drafts if draft.clause == self.number]
        slots.fill_places(talk, self.pieces, clause, phrases, new)
        if not repeated:
            slots.fill_measures(
                talk, self.pieces, clause, [draft for draft in new if draft.act not in ("bag", "tag")]
            )
        slots.fill_tags(talk, self.pieces, clause, phrases, new)
        if talk.pending_tag and new and not any(draft.tag for draft in new):
            new[0].tag, talk.pending_tag = talk.pending_tag, ""

    def _stow(self, clause: Clause, phrases: Sequence[Phrase], new: list[Draft], acted: bool, said_side: str) -> None:
        talk = self.talk
        stowage = slots.stowage_in(self.pieces, clause)
        if not stowage:
            return
        keeping = [draft for draft in new if slots.takes_stowage(draft)]
        if keeping:
            for draft in keeping:
                draft.stowage = dict(stowage)
            extra = [p for p in phrases if p.prep == "with" and p.named and p.kind != "support-equipment"]
            for phrase in extra if keeping[-1].act in ("bag", "store") else []:
                self._kept(clause, of_phrase(talk, phrase), keeping[-1].status, keeping[-1].act, stowage, said_side)
            return
        mood = self._stow_mood(clause)
        if mood in (NONE, MEANT, "explained"):
            return
        subject = self._stow_subjects(clause, phrases, new)
        last = talk.drafts[-1] if talk.drafts else None
        recent = [
            d
            for d in talk.drafts
            if d.act in ("bag", "store") and not d.stowage and d.sentence >= clause.sentence - 1
        ]
        if recent and not new and (not subject or all(p.stands_for for p in subject)):
            for draft in recent:
                draft.stowage = dict(stowage)
            return
        act = slots.keeping_act(self.lexicon, stowage)
        targets = [of_phrase(talk, p) for p in subject] or [self._focus()]
        if all(p.stands_for == "them" for p in subject) and subject and last and not new:
            targets = self._them(targets)
        for target in targets:
            if target.item:
                self._kept(clause, target, mood, act, stowage, said_side)

    def _them(self, targets: list[Target]) -> list[Target]:
        """Return all parts of the last group of facts that were acted on together, for "they're on rack 1"."""
        group: list[Draft] = []
        for draft in reversed(self.talk.drafts):
            if group and (draft.act != group[0].act or draft.clause != group[0].clause):
                break
            group.append(draft)
        items = {draft.item: Target(draft.item, draft.side) for draft in reversed(group) if draft.item}
        return list(items.values()) if len(items) > 1 else targets

    def _stow_mood(self, clause: Clause) -> str:
        at = next((i for i in range(clause.first, clause.last) if self.pieces[i].kind == "stow"), clause.first)
        for step in range(at - 1, clause.first - 1, -1):
            if self.pieces[step].kind == "verb":
                return self.moods.of_verb(clause, step).status
            if self.pieces[step].kind == "aux":
                return self.moods.of_state(clause, step, at).status
        return "done" if not (self.moods.near_if(clause) or self.moods.explaining) else NONE

    def _stow_subjects(self, clause: Clause, phrases: Sequence[Phrase], new: Sequence[Draft]) -> list[Phrase]:
        at = next((i for i in range(clause.first, clause.last) if self.pieces[i].kind == "stow"), clause.first)
        usable = [
            p
            for p in phrases
            if not p.person and p.kind not in ("support-equipment", "detail") and p.first < at or p.prep == "with"
        ]
        if any(draft.act for draft in new):
            acted = {draft.item for draft in new}
            return [p for p in usable if p.item in acted and not p.prep][:1]
        main = [p for p in usable if not p.prep and p.first < at]
        extra = [p for p in usable if p.prep == "with" and p.named]
        subjects = [p for p in main if p.named or p.stands_for]
        if not subjects:
            return []
        nearest = subjects[-1]
        if nearest.fastener and self.pieces[nearest.last].kind == "mark" and subjects[0].item:
            nearest = subjects[0]
        return [*with_others(self.pieces, nearest, subjects), *extra]

    def _kept(
        self, clause: Clause, target: Target, status: str, act: str, stowage: dict[str, str], said_side: str
    ) -> None:
        if not target.item:
            return
        side = target.side or (said_side if not target.side_said else "")
        if target.item in self.lexicon.fasteners and not target.side_said and not self.talk.fasteners:
            side = ""
        at = [self.pieces[i] for i in range(clause.first, clause.last) if self.pieces[i].kind == "stow"]
        draft = Draft(
            status, act=act, item=target.item, side=side, words=(at[0].start, at[-1].end), rule="kept there",
            inferred=list(target.inferred), stowage=dict(stowage), clause=self.number, sentence=clause.sentence,
        )  # fmt: skip
        self.talk.drafts.append(draft)
        if target.item not in self.lexicon.fasteners:
            self.talk.attend(Target(target.item, side, target.side_said))


def replace_side(target: Target, side: str) -> Target:
    """Return the target with another side, said outright."""
    return replace(target, side=side, side_said=bool(side))
