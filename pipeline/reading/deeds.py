"""What was done, is planned, is explained or was not done: facts with an act."""

from collections.abc import Sequence
from dataclasses import replace

from pipeline.reading import slots
from pipeline.reading.clauses import Clause
from pipeline.reading.constructions import DUE, INVERTED, Said, due, run_out
from pipeline.reading.fluids import HELD_IN, fluid_of, may_hold
from pipeline.reading.forms import word_set
from pipeline.reading.governing import MEANT, NONE, Mood
from pipeline.reading.holders import holder_of
from pipeline.reading.note import Note
from pipeline.reading.phrases import Phrase, find_phrases
from pipeline.reading.pieces import DETERMINERS
from pipeline.reading.standing import clause_side, of_phrase
from pipeline.reading.talk import Draft, Target
from pipeline.reading.targets import ON_HOLDER, find_targets, own_object

_TO_ALL = word_set("bag tag store clean photograph blank treat prime paint")
_WHOLE_THINGS = word_set("support lift lower")


class Deeds(Note):
    """Reads acts."""

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
            if mood.status == "not-done":
                drafts = [draft for draft in drafts if not self._denied_already(draft)]
            if self._repeated_already(clause, drafts) or self._supported_already(clause, drafts):
                continue
            if not self._held_by_more(clause, drafts):
                self.talk.drafts.extend(drafts)

    def _only_named(self, clause: Clause, phrases: Sequence[Phrase]) -> list[Said]:
        """Return work that is named without a verb: "six gallons out of the tank", "clamps next"."""
        out = run_out(self.pieces, clause, phrases)
        if out is not None:
            return [out]
        ahead = self.moods.means(clause, "plan-time", "day") or any(
            piece.low in ("next", "tomorrow") for piece in self.pieces[clause.first : clause.last]
        )
        put_off = due(self.pieces, clause, phrases) if ahead and self.talk.drafts else None
        return [put_off] if put_off is not None else []

    def _denied_already(self, new: Draft) -> bool:
        """Tell whether the same was said not to be done before in the note."""
        sentence = self.clauses[self.number].sentence
        return any(
            (old.status, old.item, old.side) == ("not-done", new.item, new.side)
            and (old.act == new.act or (old.act == "undo" and new.act == "remove" and old.sentence == sentence))
            for old in self.talk.drafts
        )

    def _repeated_already(self, clause: Clause, drafts: Sequence[Draft]) -> bool:
        """Tell whether the same was said in the same breath ("it's out, it's out", "washed it and flushed it")."""
        last = self.talk.drafts[-1] if self.talk.drafts else None
        if len(drafts) != 1 or last is None or last.sentence != clause.sentence:
            return False
        new = drafts[0]
        more = any(
            piece.kind in ("place", "number", "measure", "stow", "tag")
            for piece in self.pieces[clause.first : clause.last]
        )
        alike = (new.status, new.act, new.item, new.side) == (last.status, last.act, last.item, last.side)
        return alike and not more and new.count is None

    def _supported_already(self, clause: Clause, drafts: Sequence[Draft]) -> bool:
        """Tell whether it was said a sentence ago: "the trestle's under it, and it's strapped down"."""
        if len(drafts) != 1 or drafts[0].act != "support":
            return False
        new = drafts[0]
        return any(
            old.act == "support"
            and (old.item, old.side, old.status) == (new.item, new.side, new.status)
            and not any(piece.kind == "place" for piece in self.pieces[clause.first : clause.last])
            for old in self.talk.drafts
            if old.sentence >= clause.sentence - 1
        )

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
        if said.saying is not None and said.saying.verb == DUE:
            return Mood("planned", "put off")
        if said.act == "held-by":
            mood = self.moods.of_verb(clause, said.at)
            built = mood.status != NONE or mood.why == "tells what it does"
            return Mood("explained", "how it is built") if built else mood
        turned = said.saying is not None and said.saying.verb == INVERTED and not said.state
        mood = self.moods.of_verb(clause, said.last - 1 if turned else said.at)
        if said.kept:
            told_how = mood.status == "explained" and (mood.why == "will" or self.moods.explaining)
            stays = said.saying is not None and self.pieces[said.at].kind == "word" and mood.why != "conditional"
            left = (mood.status in ("done", "explained") or stays) and not told_how
            return Mood("not-done", "left in place") if left else Mood(NONE, "left in place later")
        return mood

    def _act(
        self, clause: Clause, phrases: Sequence[Phrase], said: Said, mood: Mood,
        until: int, since: int, said_side: str,
    ) -> list[Draft]:  # fmt: skip
        targets = find_targets(self.talk, self.pieces, clause, phrases, said, until, since)
        if not targets and said.act == "drain" and fluid_of(self.pieces, said.at):
            return self._drained(clause, phrases, said, mood, said_side)
        if targets is None:
            return []
        targets = targets or self._shared_object(clause, phrases, said)
        if self._idle(clause, said, bool(targets)):
            return []
        explained = mood.status == "explained"
        seen_last = bool(self.talk.drafts) and self.talk.drafts[-1].status == "seen"
        if not targets and clause.opener == "which" and seen_last and said.act == "remove":
            return []  # "a dent which I can't get out"
        if not targets:
            fastener = next((p for p in phrases if p.fastener and said.at < p.first < until), None)
            held = said.act == "held-by" or (fastener and said.act in ON_HOLDER)
            subject = next((p for p in phrases if p.first < said.at and not (p.fastener or p.person or p.prep)), None)
            target = (
                self._target(subject, said, explained) if held and subject else self._focus(clause, said, explained)
            )
            target = self._fasteners_told(clause, said) or target
            found: list[tuple[Target, str, Phrase | None]] = [(target, said.act, None)]
        else:
            found = []
            for phrase in targets:
                found += self._on(clause, phrases, said, phrase, since, until, explained)
                if phrase.side and phrase.side != "both" and phrase is not targets[-1]:
                    self.talk.set_side(phrase.side, found[-1][0].item if found else "")
        keys = [(target.item, target.side, act) for target, act, _phrase in found]
        found = [pair for number, pair in enumerate(found) if keys.index(keys[number]) == number]
        found = [pair for pair in found if pair[0].item or (pair[2] and pair[2].fastener)]
        return [
            self._draft(clause, phrases, said, mood, target, act, phrase, said_side) for target, act, phrase in found
        ]

    def _drained(
        self, clause: Clause, phrases: Sequence[Phrase], said: Said, mood: Mood, said_side: str
    ) -> list[Draft]:
        """Return what the draining of a fluid says of the part that holds it: "the fuel was drained"."""
        fluid = fluid_of(self.pieces, said.at)
        target = self._focus(clause, said, mood.status == "explained")
        if not target.item or not may_hold(self.lexicon, target.item, fluid):
            target = Target(HELD_IN[fluid], "", False, (), (("item", f"what holds {fluid}"),))
        if self.lexicon.vocabulary.part(target.item) is None:
            return []
        return [self._draft(clause, phrases, said, mood, target, said.act, None, said_side)]

    def _fasteners_told(self, clause: Clause, said: Said) -> Target | None:
        """Return the fasteners that were undone in the same breath: "eight bolts out, bagged and tagged"."""
        last = self.talk.drafts[-1] if self.talk.drafts else None
        if last is None or said.act not in ("bag", "tag", "measure") or last.sentence != clause.sentence:
            return None
        if last.act == said.act or last.of not in self.lexicon.fasteners:
            return None
        small = last.act in ("undo", "drill-out") or last.item in self.lexicon.fasteners
        return Target(last.of, last.side, False, (), (("item", "the fasteners just named"),)) if small else None

    def _idle(self, clause: Clause, said: Said, has_object: bool) -> bool:
        """Tell whether a verb without an object is no work on a part ("wouldn't move", "got three litres out")."""
        following = self.pieces[said.at + 1 : clause.last]
        if said.act in ("move", "make") and not said.state and not has_object:
            return True
        lows = {piece.low for piece in self.pieces[clause.first : clause.last]}
        alone = said.at + 1 >= clause.last or (
            self.pieces[said.at + 1].kind != "thing"
            and self.pieces[said.at + 1].low not in DETERMINERS | {"it", "them"}
        )
        if (
            said.act == "move"
            and alone
            and not lows & {"i", "we", "they", "was", "were", "been", "be"}
            and self.pieces[said.at - 1].low in ("it", "n't", "not", "they", "'s")
        ):
            return True
        if said.act == "remove" and self.pieces[said.at - 1].kind == "measure":
            return True  # "five gallons came out"
        measure = next((at for at, piece in enumerate(following) if piece.kind in ("measure", "mark")), 99)
        if measure < 99 and following[measure].kind == "mark":
            measure = 99
        return said.act == "remove" and measure <= 2 and not said.state

    def _on(
        self, clause: Clause, phrases: Sequence[Phrase], said: Said, phrase: Phrase,
        since: int, until: int, explained: bool,
    ) -> list[tuple[Target, str, Phrase | None]]:  # fmt: skip
        """Return what is done to one phrase: to the part, to what the fasteners hold, to the fasteners."""
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
        if phrase.counted == "hole" and said.act == "blank":
            return [(holder_of(talk, self.pieces, phrases, phrase, since, until), said.act, phrase)]
        if self._stands_for_fasteners(said, phrase):
            if as_fasteners in ON_HOLDER:
                return [(holder_of(talk, self.pieces, [], phrase, since, until), as_fasteners, phrase)]
            why = (("item", "the fasteners just named"),)
            return [(Target(talk.fasteners, talk.focus_side, False, (), why, phrase), said.act, phrase)]
        if said.act == "make" and phrase.stands_for == "one":
            item = talk.fasteners or talk.focus
            side = "" if talk.fasteners else talk.focus_side
            return [
                (Target(item, side, False, (), (("item", "another of what was named"),), phrase), said.act, phrase)
            ]
        if phrase.stands_for == "them" and said.act in _TO_ALL:
            return [(target, said.act, phrase) for target in self._them([of_phrase(talk, phrase)])]
        target = self._target(phrase, said, explained)
        last = talk.drafts[-1] if talk.drafts else None
        if phrase.stands_for == "it" and said.state and not said.kept and last and last.finding == "seized":
            target = Target(last.item, last.side, False, (), (("item", "what had been stuck"),), phrase)
        if phrase.stands_for == "it" and said.act in _WHOLE_THINGS and target.item in talk.plurals:
            target = self._whole(phrase) or target
        return [(target, said.act, phrase)]

    def _whole(self, phrase: Phrase) -> Target | None:
        """Return the single thing last named: "it" is not the plates that were named since."""
        for item in reversed(self.talk.mentioned):
            solid = self.lexicon.part_kind.get(item) != "support-equipment" and not item.endswith(("-line", "-cable"))
            if solid and item not in self.talk.plurals:
                side, why = self.talk.carried_side(item)
                return Target(item, side, False, (), why, phrase)
        return None

    def _stands_for_fasteners(self, said: Said, phrase: Phrase) -> bool:
        """Tell whether "them", "those two" or "the front ones" are the fasteners named before."""
        if not self.talk.fasteners:
            return False
        lately = self.talk.loose_in == self.clauses[self.number].sentence
        if phrase.stands_for == "it" and lately and said.act in ("bag", "store", "tag", "measure", "clean"):
            return True  # "found the missing bolt and put it in bag 4"
        ones = phrase.stands_for == "one" and phrase.plural
        if phrase.stands_for == "fasteners" or (
            ones and (not phrase.side or self.talk.focus not in self.talk.plurals)
        ):
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
            own_noun = self.pieces[said.at + 1].low in DETERMINERS
            if not bare or own_noun or following.sentence != clause.sentence:
                return []
            ahead = find_phrases(self.lexicon, self.pieces, following.first, following.last)
            side = clause_side(self.pieces, following, ahead)
            ahead = [replace(p, side=p.side or side) for p in ahead if p.prep in ("", "of") and p.named]
            listed = any(piece.low == ":" for piece in self.pieces[at : following.last])
            if ahead:
                return ahead if listed else ahead[:1]
        return []

    def _draft(
        self, clause: Clause, phrases: Sequence[Phrase], said: Said, mood: Mood, target: Target, act: str,
        phrase: Phrase | None, said_side: str,
    ) -> Draft:  # fmt: skip
        talk = self.talk
        side, inferred, explicit = self._side_of(phrases, target, phrase, said_side, mood.status == "explained")
        part = self.lexicon.vocabulary.part(target.item)
        several = phrase is not None and phrase.plural and phrase.first > said.at and phrase.item == target.item
        if several and not explicit and part is not None and part.per_aircraft == 2:
            side, inferred = "", []  # "the brake units" are not those of one side
        elif not side and phrase is not None and phrase.item and mood.status != "explained":
            side, why = talk.carried_side(target.item)
            inferred += why
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
        on_fasteners = phrase is not None and self._of_fasteners(phrase) and act in ON_HOLDER
        if on_fasteners or act in ("undo", "drill-out", "held-by"):
            same = target.item == talk.focus
            talk.held, talk.held_side = target.item, side or (talk.focus_side if same else "")
        keep = talk.fasteners
        carried = "" if side == "both" and said_side == "both" else side
        if mood.status == "explained" and target.item == talk.focus:
            carried = carried or talk.focus_side
        talk.attend(
            Target(target.item, carried, explicit),
            minor=self._minor(act, target.item, mood),
            held_up=act == "support",
        )
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
        if act == "support" or (act == "open" and item == "access-panel"):
            return True
        return act in ("connect", "blank") or (
            act in ("disconnect", "undo")
            and (own or lines in ("hydraulic", "fuel", "electrical", "pneumatic", "controls", "instruments", "radio"))
        )

    def _count(self, clause: Clause, draft: Draft, phrase: Phrase, target: Target) -> None:
        of = ""
        if phrase.count is not None and not phrase.person:
            if phrase.counted:
                of = phrase.counted
            elif phrase.stands_for in ("them", "fasteners") and target.item:
                of = self.talk.fasteners or target.item
            elif target.item and not phrase.located and phrase.named:
                of = target.item
        if phrase.fastener:
            draft.of = phrase.counted
        if of and not (phrase.implied and draft.status not in ("done", "not-done")):
            draft.count, draft.of, draft.about = phrase.count, of, phrase.about
            if draft.count is not None and slots.each_side(self.pieces, clause, phrase):
                draft.count *= 2
        elif phrase.stands_for == "them" and draft.act == "drill-out" and self.fastener_count[0]:
            draft.count, draft.of = self.fastener_count
