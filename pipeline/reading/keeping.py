"""Where parts are kept, and the slots that a clause fills."""

from collections.abc import Sequence

from pipeline.reading import slots
from pipeline.reading.clauses import Clause
from pipeline.reading.forms import word_set
from pipeline.reading.governing import MEANT, NONE
from pipeline.reading.lexicon import HEAVY
from pipeline.reading.lists import with_others
from pipeline.reading.mending import PUTS_RIGHT
from pipeline.reading.note import Note, replace_side
from pipeline.reading.phrases import Phrase
from pipeline.reading.recounts import carry_counts, fill_lone
from pipeline.reading.standing import of_phrase
from pipeline.reading.tagging import fill_tags
from pipeline.reading.talk import Draft, Target
from pipeline.reading.targets import ANY_NOUN

_BESIDE_IT = word_set("i er um tell a make that it")  # words that may stand beside a store that is said again


class Keeping(Note):
    """Reads stowage, counts, places, measures and tags."""

    def _fill(
        self, clause: Clause, phrases: Sequence[Phrase], new: list[Draft], acted: bool, said_side: str, repeated: bool
    ) -> None:
        talk = self.talk
        slots.fill_counts(talk, self.pieces, clause, phrases, new)
        acts = [draft for draft in new if draft.act]
        undone = [p for p in phrases if p.fastener and p.plural and p.counted not in ("hole", "hinge")]
        if undone and any(draft.act in ("undo", "drill-out") and not draft.of for draft in acts):
            talk.fasteners = undone[-1].counted
        if acts:
            carry_counts(talk, self.pieces, clause, phrases, acts)
        fill_lone(talk, self.pieces, clause, phrases)
        self._stow(clause, phrases, new, acted, said_side)
        new = [draft for draft in talk.drafts if draft.clause == self.number]
        slots.fill_places(talk, self.pieces, clause, phrases, new)
        if not repeated:
            slots.fill_measures(
                talk, self.pieces, clause, [draft for draft in new if draft.act not in ("bag", "tag")]
            )
        fill_tags(talk, self.pieces, clause, phrases, new)
        tag, said_in = talk.pending_tag
        if tag and new and not any(draft.tag for draft in new) and said_in >= clause.sentence - 1:
            new[0].tag, talk.pending_tag = tag, ("", -1)

    def _stow(self, clause: Clause, phrases: Sequence[Phrase], new: list[Draft], acted: bool, said_side: str) -> None:
        talk = self.talk
        stowage = slots.stowage_in(self.pieces, clause)
        if not stowage:
            return
        if not new and self._stowage_put_right(clause, stowage):
            return
        keeping = [draft for draft in new if slots.takes_stowage(draft)]
        if keeping:
            for draft, own in zip(keeping, self._each_kept(clause, keeping, stowage), strict=True):
                draft.stowage = own
            extra = [p for p in phrases if p.prep == "with" and p.named and p.kind != "support-equipment"]
            for phrase in extra if keeping[-1].act in ("bag", "store") else []:
                self._kept(clause, of_phrase(talk, phrase), keeping[-1].status, keeping[-1].act, stowage, said_side)
            return
        mood = self._stow_mood(clause)
        if mood in (NONE, MEANT, "explained", "not-done"):
            return
        if not new and self._stow_listed(clause, phrases, mood, said_side):
            return
        subject = self._stow_subjects(clause, phrases, new)
        nothing = not subject and not new
        if nothing and (self._unknown_subject(clause) or (not phrases and self._gone_to(clause))):
            return
        last = talk.drafts[-1] if talk.drafts else None
        act = slots.keeping_act(self.lexicon, stowage)
        recent = [d for d in talk.drafts if d.act == act and not d.stowage and d.sentence >= clause.sentence - 1]
        if recent and not new and (not subject or all(p.stands_for for p in subject)):
            for draft in recent:
                draft.stowage = dict(stowage)
            return
        targets = [self._kept_target(p) for p in subject] or [self._undone_just_now(stowage) or self._focus()]
        if all(p.stands_for == "them" for p in subject) and subject and last and not new:
            fasteners = self._counted_last(last, stowage)
            why = (("item", "the fasteners just named"),)
            targets = [Target(fasteners, talk.focus_side, False, (), why)] if fasteners else self._several(targets)
        self._keep_all(
            clause, targets, mood, stowage, said_side, in_turn=bool(subject) and subject[-1].prep == "with"
        )
        self._count_kept(subject)

    def _count_kept(self, subject: Sequence[Phrase]) -> None:
        """Count what is kept by a bare number: "nine screws are back in, and three are left in bag three"."""
        kept = self.talk.drafts[-1] if self.talk.drafts else None
        if len(subject) == 1 and subject[0].bare and kept is not None and kept.item in self.lexicon.fasteners:
            kept.count, kept.of = subject[0].count, kept.item

    def _gone_to(self, clause: Clause) -> bool:
        """Tell whether somebody only went there ("I made a trip to the parts store")."""
        inside = self.pieces[clause.first : clause.last]
        at = next((step for step, piece in enumerate(inside) if piece.kind == "stow"), 0)
        before = [piece.low for piece in inside[max(0, at - 2) : at]]
        return "to" in before and any(piece.low in ("i", "we", "he", "she", "they") for piece in inside[:at])

    def _stowage_put_right(self, clause: Clause, stowage: dict[str, str]) -> bool:
        """Put right or fill in where the last part is kept: "No, shelf four", "on the pallet, pallet seven"."""
        last = self.talk.drafts[-1] if self.talk.drafts else None
        inside = [piece for piece in self.pieces[clause.first : clause.last] if piece.kind != "mark"]
        plain = all(piece.kind == "stow" or piece.low in PUTS_RIGHT | _BESIDE_IT for piece in inside)
        if last is None or not slots.takes_stowage(last) or not plain or last.sentence < clause.sentence - 1:
            return False
        right = any(piece.low in PUTS_RIGHT for piece in inside)
        if not right and set(stowage) & set(last.stowage):
            return False
        last.stowage = {**last.stowage, **stowage}
        return True

    def _keep_all(
        self, clause: Clause, targets: Sequence[Target], mood: str, stowage: dict[str, str], said_side: str,
        in_turn: bool,
    ) -> None:  # fmt: skip
        """Add the facts; ``in_turn``: "the door's in rack 8 with its seal in bag 19" has a place for each."""
        stows = [piece for piece in self.pieces[clause.first : clause.last] if piece.kind == "stow"]
        for number, target in enumerate(targets):
            own = dict([stows[number].stow]) if in_turn and len(targets) == len(stows) else stowage
            twice = any((t.item, t.side) == (target.item, target.side) for t in targets[:number])
            if target.item and not twice:
                self._kept(clause, target, mood, slots.keeping_act(self.lexicon, own), own, said_side)

    def _stow_listed(self, clause: Clause, phrases: Sequence[Phrase], mood: str, said_side: str) -> bool:
        """Add what is kept where where it is said as a list or place first; tell whether there was any."""
        segments = self._stow_segments(clause, phrases)
        beside = {p.side for p in phrases if p.side and not p.fastener}
        if len(segments) == 1 and len(beside) == 1 and not said_side:
            said_side = beside.pop()
            self.talk.set_side(said_side, self.talk.focus)
        before = len(self.talk.drafts)
        for kept, own in segments:
            targets = [self._kept_target(p) for p in kept]
            if said_side:
                targets = [t if t.side_said else replace_side(t, said_side) for t in targets]
            self._keep_all(clause, targets, mood, own, said_side, in_turn=False)
        return len(self.talk.drafts) > before

    def _stow_segments(self, clause: Clause, phrases: Sequence[Phrase]) -> list[tuple[list[Phrase], dict[str, str]]]:
        """Return what is kept where in a list ("bag 3, the nuts, bag 4, the bolts"); empty where it is no list."""
        groups: list[tuple[int, int, dict[str, str]]] = []
        named = [p for p in phrases if p.named and not p.prep and not p.person and p.kind != "support-equipment"]
        for at in range(clause.first, clause.last):
            if self.pieces[at].kind != "stow":
                continue
            key, name = self.pieces[at].stow
            if groups and key not in groups[-1][2] and not any(groups[-1][1] <= p.first < at for p in named):
                groups[-1] = (groups[-1][0], at + 1, {**groups[-1][2], key: name})
            else:
                groups.append((at, at + 1, {key: name}))
        if not groups or not named or any(p.stands_for in ("it", "them") for p in phrases):
            return []
        leading = named[0].first > groups[0][0]
        if not leading and len(groups) == 1:
            return []
        found = []
        for number, (first, last, own) in enumerate(groups):
            start = last if leading else (groups[number - 1][1] if number else clause.first)
            end = (groups[number + 1][0] if number + 1 < len(groups) else clause.last) if leading else first
            inside = [p for p in named if start <= p.first < end]
            if not inside:
                return []
            found.append((with_others(self.pieces, inside[0], inside, mixed=True), own))
        return found

    def _unknown_subject(self, clause: Clause) -> bool:
        """Tell whether something that the vocabulary does not know is kept there ("the shims are in bag 60")."""
        for at in range(clause.first, clause.last):
            piece = self.pieces[at]
            if piece.kind in ("aux", "verb"):
                before = self.pieces[at - 1] if at > clause.first else None
                noun = before is not None and before.kind in ("word", "thing") and before.tag.startswith("NN")
                return noun and before is not None and before.low not in ANY_NOUN
        return False

    def _each_kept(self, clause: Clause, keeping: Sequence[Draft], stowage: dict[str, str]) -> list[dict[str, str]]:
        """Return where each part is kept: one place for all, or in a list ("pins, bag 1, nuts, bag 2") its own."""
        stows = [piece for piece in self.pieces[clause.first : clause.last] if piece.kind == "stow"]
        after = [[s for s in stows if s.start >= draft.words[1]] for draft in keeping]
        own = [found[0] for found in after if found]
        if len(keeping) < 2 or len({piece.start for piece in own}) < len(keeping):
            return [dict(stowage) for _draft in keeping]
        return [dict([piece.stow]) for piece in own]

    def _kept_target(self, phrase: Phrase) -> Target:
        """Return what a phrase names as kept; "the rear spar ones" are the fasteners just named."""
        ones = phrase.stands_for == "fasteners" or (phrase.stands_for == "one" and phrase.plural and not phrase.side)
        if ones and self.talk.fasteners:
            why = (("item", "the fasteners just named"),)
            return Target(self.talk.fasteners, self.talk.focus_side, False, (), why, phrase)
        return of_phrase(self.talk, phrase, to_main=phrase.stands_for == "it")

    def _several(self, targets: list[Target]) -> list[Target]:
        """Return what "they" are; nothing where only one part was spoken of, for they are something else then."""
        found = self._them(targets)
        one = len(found) == 1 and found[0].side != "both" and found[0].item not in self.talk.plurals
        return [] if one and found[0].item not in self.lexicon.fasteners else found

    def _undone_just_now(self, stowage: dict[str, str]) -> Target | None:
        """Return the fasteners just undone, for "Undid the four bolts of the fin. Bag 12.": no fin is bagged."""
        last = self.talk.drafts[-1] if self.talk.drafts else None
        near = last is not None and last.sentence >= self.clauses[self.number].sentence - 1
        if last is None or not near or "bag" not in stowage or last.item in self.lexicon.fasteners:
            return None
        large = self.lexicon.part_kind.get(last.item) in HEAVY
        if last.of not in self.lexicon.fasteners or not (last.act in ("undo", "drill-out") or large):
            return None
        return Target(last.of, last.side, False, (), (("item", "the fasteners just named"),))

    def _counted_last(self, last: Draft, stowage: dict[str, str]) -> str:
        """Return the fasteners that "they" are: the last ones told of, unless several parts were named."""
        if last.item in self.lexicon.fasteners:
            return last.item
        if self.talk.loose_in >= self.clauses[self.number].sentence - 1:
            return self.talk.fasteners
        if last.of not in self.lexicon.fasteners:
            return ""
        small = last.act in ("undo", "drill-out") or last.item not in self.talk.plurals
        return last.of if small or {"bag", "box"} & set(stowage) else ""

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
            if (not p.person and p.kind not in ("support-equipment", "detail") and p.first < at) or p.prep == "with"
        ]
        beside = [p for p in usable if p.prep == "with" and p.named and p.first < at]
        if beside and (new or not any(p.named and not p.prep for p in usable)):
            return beside
        last = usable[-1] if usable else None
        if last is not None and last.fastener and not last.prep and any(d.of == last.counted for d in new):
            apart = all(piece.kind == "mark" for piece in self.pieces[last.last : at])
            large = self.lexicon.part_kind.get(new[-1].item) in HEAVY
            if apart and large and self.pieces[at].stow[0] == "bag":
                return [last]
        if any(draft.act for draft in new):
            acted = {draft.item for draft in new}
            return [p for p in usable if p.item in acted and not p.prep][:1]
        main = [p for p in usable if not p.prep and p.first < at]
        extra = [p for p in usable if p.prep == "with" and p.named]
        subjects = [p for p in main if p.named or p.stands_for]
        if not subjects:
            return []
        nearest = subjects[-1]
        return [*with_others(self.pieces, nearest, subjects, mixed=True), *extra]

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
        phrase = target.phrase
        if phrase is not None and phrase.count is not None and phrase.named and not phrase.implied:
            draft.count, draft.of, draft.about = phrase.count, phrase.counted or target.item, phrase.about
        self.talk.drafts.append(draft)
        if target.item in self.lexicon.fasteners:
            self.talk.fasteners = target.item
        else:
            self.talk.attend(Target(target.item, side, target.side_said))
