"""A note while it is read: its clauses, what it has spoken of, and what its headings and pronouns stand for."""

from collections.abc import Sequence
from dataclasses import replace

from pipeline.reading.clauses import Clause
from pipeline.reading.constructions import Said
from pipeline.reading.forms import word_set
from pipeline.reading.lexicon import Lexicon
from pipeline.reading.moods import Moods
from pipeline.reading.phrases import Phrase
from pipeline.reading.pieces import Piece
from pipeline.reading.standing import WHEREABOUTS, clause_side, of_phrase
from pipeline.reading.talk import SPARS, Draft, Talk, Target

_SIDE_PREPS = word_set("of off from on in at for to with under behind inside below")
_ON_MAIN = word_set("remove lift lower move support store bag separate test paint fit")


class Note:
    """The state of one note, and what every part of the reader asks of it."""

    def __init__(self, lexicon: Lexicon, pieces: Sequence[Piece], clauses: Sequence[Clause]) -> None:
        self.lexicon, self.pieces, self.clauses = lexicon, pieces, clauses
        self.talk = Talk(lexicon)
        self.moods = Moods(lexicon, pieces, clauses)
        self.latent: list[Draft] = []
        self.fastener_count: tuple[int | None, str] = (None, "")
        self.number = 0
        self.heading = self.heading_side = ""
        self.wanted: tuple[list[str], int] = ([], -9)

    def _attend_only(self, clause: Clause, phrases: Sequence[Phrase]) -> None:
        for phrase in phrases:
            if (phrase.item or phrase.short) and not phrase.fastener and not (phrase.located and phrase.prep):
                side = clause_side(self.pieces, clause, phrases) or next((p.side for p in phrases if p.side), "")
                places = [place for piece in self.pieces[clause.first : clause.last] for place in piece.places]
                if places:
                    self.talk.places, self.talk.place_item = places, phrase.item
                self.talk.attend(replace_side(of_phrase(self.talk, phrase), side))
                return

    def _opening(self, phrases: Sequence[Phrase]) -> None:
        """Attend to a part that is named before a comma or colon and taken up by "it" in the same clause."""
        ahead = phrases[0] if phrases else None
        sided = ahead is not None and ahead.stands_for in ("one", "side") and bool(ahead.side)
        if ahead and sided and len(phrases) > 1 and self.pieces[ahead.last].low == ":":  # "left one: hinges undone"
            self.talk.attend(of_phrase(self.talk, ahead))
            return
        first = next((p for p in phrases if p.named), None)
        if first is None or first.prep or first.fastener or first.last >= len(self.pieces) or first is not phrases[0]:
            return
        if not self.talk.focus and any(p.stands_for == "it" for p in phrases[1:]):
            self.talk.attend(of_phrase(self.talk, first))
            return
        later = [p for p in phrases[1:] if p.stands_for in ("it", "them") and not p.prep]
        if later and any(piece.low == "," for piece in self.pieces[first.last : later[0].first]):
            self.talk.attend(of_phrase(self.talk, first))
            return
        mark = self.pieces[first.last]
        taken_up = mark.low == ":" or any(p.stands_for for p in phrases[1:])
        if mark.kind == "mark" and mark.low in (",", ":", "-") and len(phrases) > 1 and taken_up:
            self.talk.attend(of_phrase(self.talk, first))

    def _heading(self, phrases: Sequence[Phrase], said_side: str) -> None:
        clause = self.clauses[self.number]
        verbless = not any(piece.kind == "verb" for piece in self.pieces[clause.first : clause.last])
        aside = ("at", "by", "between", "near") if any(p.stands_for for p in phrases) else ()
        only_where = [p for p in phrases if p.located and (p.prep in aside or (verbless and p.prep))]
        named = [p for p in phrases if (p.item or p.short) and not p.fastener and p not in only_where]
        if not named:
            side = said_side or next((p.side for p in phrases if p.side), "")
            if side:
                self._side_told_late(side)
                self.talk.focus_side = side if self.talk.focus else ""
                if self.talk.main == self.talk.focus and not self.talk.main_side and side != "both":
                    self.talk.main_side = self.talk.focus_side
                self.talk.set_side(side, self.talk.focus)
            return
        if self._only_whereabouts(clause, phrases):
            return
        if self._only_a_place(clause, phrases):
            self.talk.places, self.talk.place_item = list(phrases[0].places), self.talk.main
            self.talk.place_heads = True
            return
        first = next((p for p in named if not p.prep), named[0])
        for later in named[named.index(first) + 1 :]:  # "starboard engine, oil cooler"
            apposed = not (later.prep or later.located) and self.pieces[later.first - 1].low == ","
            below = self.lexicon.vocabulary.is_a(self._item_of(later), self._item_of(first))
            fitting = self._item_of(later) in ("joint-fitting", "wing-joint") and later.last == clause.last
            below = below or fitting  # "Lower wing, the root fitting."
            first = replace(later, side=later.side or first.side) if apposed and below else first
        target = of_phrase(self.talk, first)
        on_side = (p.side for p in phrases if p.stands_for == "side" and p.prep == "on" and not first.side)
        side = first.side or said_side or next((p.side for p in named if p.side), "") or next(on_side, "")
        if side:
            target = replace_side(target, side)
        if self._spar_of_joint(target.item) and first.places:
            self.talk.places, self.talk.place_item = list(first.places), self.talk.held
            self.talk.attend(Target(self.talk.held, self.talk.held_side))
            return
        self.talk.attend(target, minor=self.moods.explaining)
        self.talk.headed_in = self.clauses[self.number].sentence
        if not self.moods.explaining:
            self.talk.headed = named[0] is phrases[0] and not named[0].prep
        places = [place for p in phrases for place in p.places]
        places += [
            place
            for p in self.pieces[self.clauses[self.number].first : self.clauses[self.number].last]
            for place in p.places
            if place not in places
        ]
        places = [place for place in places if place not in first.places or first.located]
        self.talk.places, self.talk.place_item = places, target.item
        clause = self.clauses[self.number]
        inside = self.pieces[clause.first : clause.last]
        said_of = any(piece.kind in ("verb", "aux") for piece in inside)
        self.talk.place_heads = bool(places) and clause.starts_sentence
        self.talk.place_told = said_of

    def _only_whereabouts(self, clause: Clause, phrases: Sequence[Phrase]) -> bool:
        """Give the side of "Terminal block's loose. Starboard nacelle." to what was told just before."""
        where = phrases[0]
        told = [d for d in self.talk.drafts if d.sentence == clause.sentence - 1 and not d.side]
        alone = len(phrases) == 1 and where.item in WHEREABOUTS and not where.prep and clause.starts_sentence
        if not (alone and where.side and told):
            return False
        for draft in told:
            draft.side = where.side
        self.talk.focus_side = self.talk.main_side = where.side
        self.talk.set_side(where.side, where.item)
        return True

    def _only_a_place(self, clause: Clause, phrases: Sequence[Phrase]) -> bool:
        """Tell whether a sentence is only a place after a heading: "Skin. Frame 26. Dent."."""
        alone = (
            len(phrases) == 1
            and phrases[0].located
            and phrases[0].last - phrases[0].first == clause.last - clause.first
        )
        lately = self.talk.headed and self.talk.headed_in == clause.sentence - 1
        return alone and lately and bool(self.talk.main)

    def _item_of(self, phrase: Phrase) -> str:
        return phrase.item or (self.talk.settle(phrase.short) if phrase.short else "")

    def _side_told_late(self, side: str) -> None:
        """Give the side of "starboard, middle one", or "three port, two starboard", to what was told without one."""
        clause = self.clauses[self.number]
        last = self.talk.drafts[-1] if self.talk.drafts else None
        numbers = [int(p.number) for p in self.pieces[clause.first : clause.last] if p.kind == "number" and p.number]
        if side == "both" and last is not None and last.count == sum(numbers) and len(numbers) == 2 and not last.side:
            last.side = side
        inside = [piece.low for piece in self.pieces[clause.first : clause.last]]
        if last is not None and "mean" in inside and side != "both" and last.sentence == clause.sentence:
            last.side = last.side or side  # "got six gallons out of it, port side I mean"
        lone = all(piece.kind in ("side", "mark") for piece in self.pieces[clause.first : clause.last])
        if last is not None and lone and last.finding and last.sentence == clause.sentence - 1:
            before = self.clauses[self.number - 1]
            if last.clause == self.number - 1 and before.last - before.first <= 3:
                last.side = last.side or side  # "Dent. Port side."
        if any(piece.low == "one" for piece in self.pieces[clause.first : clause.last]):
            for draft in self.talk.drafts:
                lately = draft.sentence == clause.sentence - 1
                if lately and not draft.side and self.lexicon.zone_and_side(draft.item)[1]:
                    draft.side = side

    def _spar_of_joint(self, item: str) -> bool:
        """Tell whether a spar that is named only says at which end of the joint the work goes on."""
        return item in SPARS and self.talk.held.endswith("-joint")

    def _target(self, phrase: Phrase, said: Said, explained: bool) -> Target:
        to_main = explained or said.act in _ON_MAIN or said.state
        target = of_phrase(self.talk, phrase, explained, to_main)
        if phrase.stands_for == "she" and said.act == "lower" and not target.item:
            return Target("fuselage", "", False, (), (("item", "the aircraft itself"),), phrase)
        return target

    def _focus(self, clause: Clause | None = None, said: Said | None = None, explained: bool = False) -> Target:
        talk = self.talk
        item, side = talk.focus, talk.focus_side
        joined = clause is not None and clause.opener == "and"
        if said is not None and (explained or (said.act in _ON_MAIN and not joined)):
            item, side = talk.returns_to_main()
        return Target(item, side, False, (), (("item", "the part being talked of"),) if item else ())

    def _of_fasteners(self, phrase: Phrase) -> bool:
        return phrase.fastener and not phrase.item and phrase.counted not in ("hinge", "hole")

    def _side_of(
        self, phrases: Sequence[Phrase], target: Target, phrase: Phrase | None, said_side: str, explained: bool
    ) -> tuple[str, list[tuple[str, str]], bool]:
        """Return the side, what was inferred, and whether the side was said in the clause itself."""
        if target.side_said:
            one = self._one_side(phrases, phrase, said_side) if target.side == "both" else ""
            return one or target.side, list(target.inferred), True
        others = [pair for pair in target.inferred if pair[0] != "side"]
        if said_side:
            return said_side, others, True
        again = next((p.side for p in phrases if phrase is not None and self._said_again(phrase, p)), "")
        lead = phrases[0] if phrases else None
        headed = lead is not None and lead is not phrase and lead.item in WHEREABOUTS and not lead.prep
        if lead is not None and headed and self.pieces[lead.last].low in (",", ":", "-"):
            again = again or lead.side  # "Starboard nacelle, the oil filter's out"
        if again:
            return again, others, True
        for beside in phrases:
            picked = beside.stands_for == "side" and phrase is not None and beside.first == phrase.last + 1
            on_one = beside.stands_for in ("one", "side") and beside.prep == "on" and not beside.plural
            if not beside.side or beside is phrase or (beside.stands_for and not (picked or on_one)):
                continue
            both = beside.side == "both" and self.pieces[beside.first].low == "both"
            if beside.prep in _SIDE_PREPS or (self._apposed(beside) and not both):
                return beside.side, others, True
        return ("", others, False) if explained else (target.side, list(target.inferred), False)

    def _said_again(self, phrase: Phrase, later: Phrase) -> bool:
        """Tell whether a part is named again with its side: "under the wing, the starboard wing"."""
        if not later.side or later.first < phrase.last or later.prep or phrase.side:
            return False
        if self.pieces[later.first - 1].low in ("and", "but", "or", "then", "not", "so"):
            return False
        between = self.pieces[phrase.last : later.first]
        if any(piece.kind in ("verb", "aux", "finding") for piece in between):
            return False
        return bool(phrase.item and later.item == phrase.item) or (later.stands_for == "one" and not later.plural)

    def _one_side(self, phrases: Sequence[Phrase], phrase: Phrase | None, said_side: str) -> str:
        """Return the side of "both hinges on the right wing", which are two on one side."""
        words = self.pieces[phrase.first : phrase.last] if phrase is not None else ()
        if not any(piece.low == "both" for piece in words):
            return ""
        sides = [p.side for p in phrases if p is not phrase and p.prep in ("on", "of", "from") and not p.stands_for]
        return next((side for side in (*sides, said_side) if side in ("port", "starboard")), "")

    def _apposed(self, phrase: Phrase) -> bool:
        """Tell whether a phrase only says where, between commas: "nose rib, port leading edge"."""
        before = self.pieces[phrase.first - 1] if phrase.first else None
        after = self.pieces[phrase.last] if phrase.last < len(self.pieces) else None
        return before is not None and before.low == "," and (after is None or after.kind == "mark")

    def _them(self, targets: list[Target]) -> list[Target]:
        """Return all parts of the last group of facts that were acted on together, for "they're on rack 1"."""
        group: list[Draft] = []
        for draft in reversed(self.talk.drafts):
            if group and (draft.act != group[0].act or draft.clause != group[0].clause):
                break
            group.append(draft)
        items = {draft.item: Target(draft.item, draft.side) for draft in reversed(group) if draft.item}
        return list(items.values()) if len(items) > 1 else targets


def replace_side(target: Target, side: str) -> Target:
    """Return the target with another side, said outright."""
    return replace(target, side=side, side_said=bool(side))
