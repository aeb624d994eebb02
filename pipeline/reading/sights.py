"""What was seen: facts with a finding."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from pipeline.reading import slots
from pipeline.reading.afterthoughts import absent_drafts, late_grade, looked_for, none_found, verdict
from pipeline.reading.clauses import Clause
from pipeline.reading.conditions import Seen, find_seen
from pipeline.reading.constructions import Said
from pipeline.reading.forms import word_set
from pipeline.reading.lacking import find_lacking
from pipeline.reading.note import Note
from pipeline.reading.phrases import Phrase, find_phrases
from pipeline.reading.standing import of_phrase
from pipeline.reading.talk import Draft, Target

_FINDING_PREPS = word_set("on in at to round around of off through along inside under behind between across")
_WHICH = word_set("which who that")
_HAS = word_set("has have had got 's")
_WHERE = word_set("underneath below behind inside above beneath")
_OF_THE_THING_ITSELF = word_set("missing loose")
_REASONS = word_set("because cos since as")
_OF_FASTENERS = word_set("broken seized missing loose corrosion wear distortion")


class Sights(Note):
    """Reads findings."""

    def _add_seen(self, clause: Clause, phrases: Sequence[Phrase], acts: Sequence[Said], said_side: str) -> None:
        if self.moods.means(clause, "if", "nearly") or clause.opener in ("if", "unless", "till", "until"):
            return
        if self.moods.near_if(clause) and self.moods.means(clause, "may", "planned"):
            return
        found = find_seen(self.lexicon, self.pieces, clause, phrases, [said.at for said in acts])
        for seen in found:
            if self._doubtful(clause, seen):
                continue
            target = self._shared(clause, phrases, seen) or self._seen_on(clause, phrases, seen)
            target = self._of_rubber(seen, target)
            if not target.item and (seen.finding != "crack" or seen.absent or seen.form != "noun"):
                continue
            self._seen(clause, seen, target, said_side, phrases)
        if not any(draft.clause == self.number and draft.finding for draft in self.talk.drafts[-3:]):
            self._add_verdict(clause, phrases)
        if not found and not acts:
            self._add_lacking(clause, phrases, said_side)
            late_grade(self.talk, self.pieces, clause, phrases)
            self._add_none_found(clause, phrases)
        wanted = looked_for(self.pieces, clause)
        if found:
            self.wanted = ([], -9)
        elif wanted:
            self.wanted = (wanted, clause.sentence)

    def _add_verdict(self, clause: Clause, phrases: Sequence[Phrase]) -> None:
        """Add what a look or a test came to, told without a subject ("dye-penned, sound", "dry as a bone")."""
        last = self.talk.last()
        if last is None or last.sentence < clause.sentence - 3 or not self.lexicon.vocabulary.part(last.item):
            return
        told = verdict(self.lexicon, self.pieces, clause, phrases, last, self.talk.drafts)
        if told:
            finding, absent, at = told
            why = (("item", "the part that was looked at"),)
            seen = Seen(finding, at, "verdict", absent, "", False)
            self._seen(clause, seen, Target(last.item, last.side, bool(last.side), (), why), last.side, phrases)

    def _add_none_found(self, clause: Clause, phrases: Sequence[Phrase]) -> None:
        wanted, sentence = self.wanted
        last = self.talk.last()
        if not wanted or sentence < clause.sentence - 1:
            return
        if (
            last is None or last.act != "inspect"
        ) and sentence == clause.sentence:  # "I looked for cracks and found none"
            item, side = self.talk.returns_to_main()
            last = Draft("done", act="inspect", item=item, side=side)
        if last is None or last.act != "inspect" or not last.item:
            return
        if last.status == "done" and none_found(self.pieces, clause, phrases):
            span = (self.pieces[clause.first].start, self.pieces[clause.last - 1].end)
            self.talk.drafts += absent_drafts(wanted, last, clause, self.number, span)
            self.wanted = ([], -9)

    def _add_lacking(self, clause: Clause, phrases: Sequence[Phrase], said_side: str) -> None:
        """Add what is said not to be there: "no split pin in it"."""
        if self.moods.explaining or self.moods.means(clause, "may", "perhaps", "meant-to", "planned", "needs"):
            return
        for phrase in find_lacking(self.lexicon, self.pieces, clause, phrases):
            target = of_phrase(self.talk, phrase)
            if not target.item:
                continue
            counted = next((p for p in phrases if p.count and p.first < phrase.first and not p.implied), None)
            seen = Seen("missing", phrase.last - 1, "noun", False, "", False)
            self._seen(clause, seen, replace(target, phrase=replace(phrase, count=None)), said_side, phrases)
            if counted is not None and self.talk.drafts and self.talk.drafts[-1].finding == "missing":
                self.talk.drafts[-1].count, self.talk.drafts[-1].of = counted.count, target.item

    def _shared(self, clause: Clause, phrases: Sequence[Phrase], seen: Seen) -> Target | None:
        """Return the part that is only named after the last of several findings: "no dents, no cracks on the fin"."""
        if seen.form != "noun" or any(p.named or p.stands_for for p in phrases):
            return None
        inside = self.pieces[clause.first : clause.last]
        if any(piece.kind in ("verb", "aux") for piece in inside):
            return None
        for later in self.clauses[self.number + 1 :]:
            pieces = self.pieces[later.first : later.last]
            plain = not any(piece.kind in ("verb", "aux", "measure") for piece in pieces)
            if later.sentence != clause.sentence or not plain or not any(piece.kind == "finding" for piece in pieces):
                return None
            reached = find_phrases(self.lexicon, self.pieces, later.first, later.last)
            on = [p for p in reached if p.named and p.prep in _FINDING_PREPS and not p.located]
            if on:
                return self._seen_target(on[0], seen) if not reached[0].named or reached[0] is on[0] else None
        return None

    def _doubtful(self, clause: Clause, seen: Seen) -> bool:
        lows = [piece.low for piece in self.pieces[clause.first : seen.at]]
        if self.moods.means(clause, "may", "perhaps", "meant-to", upto=seen.at):
            return True
        following = self.clauses[self.number + 1] if self.number + 1 < len(self.clauses) else clause
        short = following.last - following.first <= 4 and following.sentence == clause.sentence
        if short and self.moods.means(following, "perhaps"):
            return True  # "it's cracked, I think"
        if "thought" in lows and {"was", "were"} & set(lows):
            return True
        if {"will", "'ll"} & set(lows) or ("you" in lows[-4:] and "see" not in lows):
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
            has = [p for p in usable if p.last <= own.first and not p.prep and (p.item or p.short)]
            return self._seen_target(has[0] if has and own.kind == "detail" else own, seen)
        before = [p for p in usable if p.last <= seen.at and (p.kind != "detail" or not p.prep)]
        after = [p for p in usable if p.first > seen.at and p.kind != "detail"]
        subjects = self._subjects(before)
        if seen.form == "noun":
            return self._seen_of_noun(seen, subjects, before, after)
        lacking = [p for p in after if p.named and not p.prep and p.first <= seen.at + 3]
        if seen.finding == "missing" and lacking and subjects and self.pieces[seen.at + 1].kind != "mark":
            return self._seen_target(lacking[0], seen)
        lately = self._since_comma(clause, seen.at)
        near = [p for p in subjects if p.first >= lately]
        if near and (near[0].counted == "hole" or near[0].kind == "detail"):
            around = [p for p in usable if near[0].last <= p.first < seen.at and p.prep in ("in", "of", "on")]
            around = [p for p in around if p.item or p.short]
            if around and of_phrase(self.talk, around[0]).item:
                return of_phrase(self.talk, around[0])
        behind = [p for p in after if p.named and not p.prep and self.pieces[p.first - 1].low == ","]
        numbered = [p for p in near if p.bare and p.last == seen.at]
        if numbered or near:
            return self._seen_target((numbered or near)[0], seen)
        unknown = any(
            (piece.tag.startswith("NN") and piece.kind in ("word", "verb")) or piece.sense("part")
            for piece in self.pieces[lately : seen.at]
        )
        if unknown and seen.finding in _OF_THE_THING_ITSELF:
            return Target()  # "two of the rollers are missing" does not say that the canopy is
        reached = [p for p in before if p.prep in ("on", "of", "in") and p.named and p.first >= lately]
        reached += [p for p in after if p.prep in ("off", "on", "in", "from", "of") and p.named]
        if reached and (unknown or not self.talk.focus):
            return self._seen_target(reached[0], seen)
        if subjects:
            return self._seen_target(subjects[0], seen)
        return self._seen_target(behind[0], seen) if behind else self._unsaid(clause, seen)

    def _subjects(self, before: Sequence[Phrase]) -> list[Phrase]:
        """Return what can be the subject; "behind the seat" is none where a part was named without a preposition."""
        subjects = [p for p in before if not p.prep or (p.prep in _WHERE and self.pieces[p.last].kind == "aux")]
        first = next((p for p in subjects if not p.prep), None)
        if first is not None:
            subjects = [p for p in subjects if not p.prep or p.first < first.first]
        if len(subjects) > 1 and subjects[0].named and not subjects[0].located:
            subjects = [p for p in subjects if not self._only_where(p)]
        return subjects

    def _unsaid(self, clause: Clause, seen: Seen) -> Target:
        """Return what a finding is on where nothing is named: the fasteners just told of, or the part talked of."""
        if seen.finding == "paint-loss" and self.talk.headed:
            item, side = self.talk.returns_to_main()
            return Target(item, side, False, (), (("item", "the part that the note is headed by"),))
        return self._fasteners_just_told(clause) or self._focus()

    def _of_rubber(self, seen: Seen, target: Target) -> Target:
        """Return the gasket just named where "it" has perished: only what is of rubber does."""
        if seen.finding != "perished" or not self.talk.mentioned or self.talk.mentioned[-1] != "gasket":
            return target
        if target.item == "gasket" or (target.phrase is not None and not target.phrase.stands_for):
            return target
        return Target("gasket", target.side, False, (), (("item", "the rubber just named"),), target.phrase)

    def _only_where(self, phrase: Phrase) -> bool:
        """Tell whether a numbered frame or rib between marks only says where on the part named before it."""
        before = self.pieces[phrase.first - 1] if phrase.first else None
        after = self.pieces[phrase.last] if phrase.last < len(self.pieces) else None
        between = before is not None and before.low == "," and (after is None or after.kind == "mark")
        return phrase.located and between

    def _fasteners_just_told(self, clause: Clause) -> Target | None:
        """Return the fasteners that the fact before is about, for "Miked its bolts. Worn three thou."."""
        last = self.talk.drafts[-1] if self.talk.drafts else None
        near = last is not None and last.sentence >= clause.sentence - 2
        if last is None or not near or last.item not in self.lexicon.fasteners or last.act in slots.NOT_IN_PLACE:
            return None
        return Target(last.item, last.side, False, (), (("item", "the fasteners just named"),))

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
            p for p in after if p.prep in _FINDING_PREPS and (p.named or p.stands_for) and p.first <= seen.at + 8
        ]
        own = self.pieces[seen.at].low.rsplit(" ", 1)[-1]
        if own in ("with", "on", "in", "to", "about", "through") and after and after[0].first <= seen.at + 3:
            return self._seen_target(after[0], seen)
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
        if not self.talk.headed and self._in_here():
            lately = self.talk.headed_in >= self.clauses[self.number].sentence - 1
            return self._focus() if lately else Target()
        last = self.talk.drafts[-1] if self.talk.drafts else None
        if (
            last is not None
            and last.item in self.lexicon.fasteners
            and last.act not in slots.NOT_IN_PLACE
            and last.sentence == self.clauses[self.number].sentence
        ):
            return Target(last.item, last.side, False, (), (("item", "the fasteners just named"),))
        return self._focus()

    def _in_here(self) -> bool:
        """Tell whether the clause only says "in here": in what was never named, or not as a part."""
        clause = self.clauses[self.number]
        lows = [piece.low for piece in self.pieces[clause.first : clause.last]]
        return any(pair in (("in", "here"), ("in", "there")) for pair in pairwise(lows))

    def _seen_target(self, phrase: Phrase, seen: Seen) -> Target:
        last = self.talk.drafts[-1] if self.talk.drafts else None
        undone = last is not None and last.act in ("undo", "drill-out") and last.of in (self.talk.fasteners, "")
        if (
            (
                phrase.stands_for in ("them", "fasteners")
                or (phrase.stands_for == "one" and not phrase.side and undone)
            )
            and (phrase.count is not None or undone)
            and self.talk.fasteners
            and seen.finding in _OF_FASTENERS
        ):
            return Target(
                self.talk.fasteners, self.talk.focus_side, False, (), (("item", "the fasteners just named"),), phrase
            )
        if phrase.counted == "hole" or (
            phrase.counted == "hinge" and not phrase.item and not self.talk.settle("hinge")
        ):
            named = self._owner_before(phrase)
            if named is not None and not phrase.holder:
                return named
            holder = phrase.holder or self.heading or self.talk.returns_to_main()[0]
            side = phrase.side or (self.heading_side if holder == self.heading else "")
            return Target(
                holder,
                side or self.talk.focus_side,
                bool(side),
                (),
                (("item", "the part being talked of"),),
                phrase,
            )
        target = of_phrase(self.talk, phrase)
        return target if target.item else self._focus()

    def _owner_before(self, hole: Phrase) -> Target | None:
        """Return the part last named before a hole in the same clause ("the hatch has three oval holes")."""
        clause = self.clauses[self.number]
        before = find_phrases(self.lexicon, self.pieces, clause.first, hole.first)
        named = [p for p in before if (p.item or p.short) and not p.fastener and not p.prep and not p.located]
        has = any(piece.low in _HAS for piece in self.pieces[named[-1].last : hole.first]) if named else False
        target = of_phrase(self.talk, named[-1]) if has else None
        return replace(target, phrase=hole) if target is not None and target.item else None

    def _seen(self, clause: Clause, seen: Seen, target: Target, said_side: str, phrases: Sequence[Phrase]) -> None:
        talk = self.talk
        phrase = target.phrase
        side, inferred, explicit = self._side_of(phrases, target, phrase, said_side, False)
        subject = next((p for p in phrases if p.side and p.stands_for in ("one", "side") and not p.prep), None)
        if subject is not None and not explicit and subject is not phrase and subject.first < seen.at:
            side, explicit = subject.side, True
        if not side:
            owner = next((p for p in phrases if p.side and p.item and not p.prep and p.first < seen.at), None)
            if owner is not None and phrase is not None and phrase.prep and owner.last <= phrase.first:
                talk.set_side(owner.side, owner.item)
            side, more = talk.carried_side(target.item)
            inferred += list(more)
        if self._told_already(clause, seen, target, side):
            return
        start = min(
            self.pieces[seen.at].start, self.pieces[phrase.first].start if phrase else self.pieces[seen.at].start
        )
        end = max(self.pieces[seen.at].end, self.pieces[phrase.last - 1].end if phrase else 0)
        draft = Draft(
            "seen", finding=seen.finding, item=target.item, side=side, absent=seen.absent,
            grade="" if seen.absent else seen.grade,
            words=(start, end), rule=f"seen: {seen.form}", inferred=inferred,
            clause=self.number, sentence=clause.sentence,
        )  # fmt: skip
        if (
            phrase
            and phrase.count is not None
            and not phrase.implied
            and not (phrase.bare and seen.form == "noun" and phrase.last == seen.at)  # "three cracks" counts no part
            and (phrase.counted or phrase.named or phrase.stands_for)
        ):
            stood_for = talk.fasteners if phrase.stands_for and talk.fasteners == target.item else target.item
            draft.count, draft.of, draft.about = phrase.count, phrase.counted or stood_for, phrase.about
            if draft.of in self.lexicon.fasteners:
                self.fastener_count = (draft.count, draft.of)
                talk.fasteners = draft.of
        last = talk.drafts[-1] if talk.drafts else None
        numbers = clause.opener in _WHICH or any(
            piece.kind == "number" for piece in self.pieces[clause.first : seen.at]
        )
        if (
            phrase is None
            and not numbers
            and last is not None
            and last.item == draft.item
            and draft.item in self.lexicon.fasteners
        ):
            draft.count, draft.of, draft.about = last.count, last.of, last.about
        if not draft.item:
            draft.inferred.append(("item", "not settled: a crack of what, was not said"))
        talk.drafts.append(draft)
        of_it = (
            seen.before
            and phrase is not None
            and any(p.stands_for == "it" and p.last <= phrase.first for p in phrases)
        )
        minor = of_it or self._small(target.item) or clause.opener in _REASONS
        talk.attend(Target(target.item, side, explicit), minor=minor)

    def _told_already(self, clause: Clause, seen: Seen, target: Target, side: str) -> bool:
        """Tell whether the finding only repeats the one before; a degree said now is added to that one."""
        last = self.talk.last("seen")
        if last is None or last.finding != seen.finding or last.absent != seen.absent:
            return False
        phrase = target.phrase
        if phrase and phrase.stands_for and not phrase.side and last.sentence == clause.sentence:
            last.grade = last.grade or seen.grade
            return True
        if phrase is None and last is self.talk.drafts[-1] and last.sentence >= clause.sentence - 2:
            last.grade = last.grade or seen.grade
            return True  # "missing, I'm going to say missing"
        if last.item != target.item or last.side != side or last.sentence < clause.sentence - 1:
            return False
        if phrase and phrase.places and last.places and set(phrase.places) != set(last.places):
            return False
        last.grade = last.grade or seen.grade
        return True

    def _small(self, item: str) -> bool:
        """Tell whether a finding on a part leaves the talk with the part that it belongs to."""
        part = self.lexicon.vocabulary.part(item)
        if self.talk.headed and self.talk.main and item != self.talk.main:
            return True
        return part is not None and (part.kind in ("material", "fastener") or part.notation == "bush")
