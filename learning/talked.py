"""Makes talk: ``python -m learning.talked NOTES.jsonl [SEED]``.

Who writes marked notes names a part and tells the work on it in one breath. People at a bench name it, talk of
something else, and say "off she comes" three sentences later; one asks and another answers. Such talk is made here
from the vocabulary: a few jobs one after the other, each on a part that is named once, with chatter between.
"""

import json
import random
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any, NamedTuple

from learning.plain import NOT_TAKEN, SIDES
from learning.ready import places_told
from pipeline.book import shipped_vocabulary
from pipeline.english import in_words
from pipeline.reading.vocabulary import Vocabulary, load_vocabulary
from pipeline.trade.entries import Part

TALKS = 900
SIDED = 0.5  # how often a part that comes in pairs is named with its side
BARE = 0.25  # how often the talk has no full stops and capitals

OPENINGS = (
    "Right, {x} next.",
    "So, {x}.",
    "Now {x}.",
    "{X} then.",
    "What about {x}?",
    "How's {x} coming on?",
    "On to {x}.",
    "{X}, are you ready?",
    "Let's have a go at {x}.",
    "We're at {x} now.",
    "Who's on {x}?",
    "That leaves {x}.",
    "Next thing is {x}.",
    "Okay, {x}, this is the one I was dreading.",
    "Come and hold the torch, I'm on {x}.",
    "{X}, for the record.",
    "Me and Col are at {x}.",
    "Well, {x}, here we go.",
    "And {x}?",
    "Let me tell you about {x}.",
)
CHATTER = (
    "Mind your head.",
    "Pass me that rag, will you?",
    "Is there any tea left?",
    "I had the bus this morning.",
    "He's off to Spain on Tuesday.",
    "Hold the light still.",
    "You're in my way.",
    "Whose coat is this?",
    "Cold, that.",
    "My knees aren't what they were.",
    "No, the other spanner.",
    "Half inch. No, the long one.",
    "Thank you.",
    "She's got a new dog, did she say?",
    "Right.",
    "Okay.",
    "Where was I?",
    "Easy now.",
    "Steady.",
    "A bit more.",
    "And again.",
    "I can't see from here.",
    "What did he say?",
    "Never mind him.",
    "It's twenty past three already.",
    "That's what my wife says.",
    "You could fry an egg on that heater.",
    "Turn the radio down.",
    "Watch your fingers.",
    "Is it recording?",
    "The kettle's on.",
    "Lovely.",
    "That's better.",
    "Good lad.",
    "Somebody's left a sandwich here.",
    "I was up half the night.",
    "Don't laugh.",
    "Aye.",
    "Go on.",
    "Wait a minute.",
    "Just a second.",
    "Ready? Go.",
    "He used to do this for a living, you know.",
    "I thought you'd got the pliers.",
    "They've moved the bins again.",
    "It's only the cat.",
    "There's a draught from that door.",
    "I'm all ears.",
    "It's a two man job, is this.",
    "You should have seen it before.",
    "That was loud.",
    "Don't drop it.",
    "Three, two, one.",
    "If it rains we go home.",
)

# What was said; the words that tell it stand in brackets. "{n}" is a number, "{of}" what is counted, "{at}" a store.
REMOVED = (
    "[Off she comes].",
    "[She's off].",
    "[It's off].",
    "It's moving! [It's off]!",
    "And [off it came].",
    "[That's it off].",
    "And [out it comes].",
    "[It's out].",
    "[There, off].",
    "It [came away] in the end.",
    "[Out].",
    "[Is it off? It is].",
    "Have you [got it off? I have].",
    "So [that's out].",
    "We've [had it off] since dinner.",
    "I [took it off] yesterday.",
    "[Off, at last].",
    "After some bad words [it came].",
    "[Came off] as good as gold.",
    "[Lifted it clear], the two of us.",
)
STILL_ON = (
    "That's [still on].",
    "No, [it stays] where it is.",
    "[Not off yet].",
    "Is it off? [No, not yet].",
    "It [wouldn't come].",
    "[I've left it].",
    "It [won't shift], so that's that for today.",
    "We [didn't take it off] after all.",
)
TO_COME_OFF = (
    "That [comes off next week].",
    "It still [has to come off].",
    "It'll [have to come out].",
    "That's for Saturday, [it's to come off].",
    "We'll [have it off tomorrow].",
)
UNDONE = (
    "{N} {of}, [all out].",
    "{N} {of} [undone].",
    "That's the [{of} out], {n} of them.",
    "That's the [lot out], {n} {of}.",
    "There were {n} {of} in it and [they're out].",
    "{N} {of}. They're [all undone].",
    "Are the {of} out? [They are, all] {n}.",
    "I've had the {n} [{of} out] of it.",
)
FITTED = (
    "It's [back on].",
    "[She's on].",
    "[That's it in].",
    "[It's on], and it stays on.",
    "[Back in its place].",
    "[Is it on? It is].",
    "[In it goes].",
    "It [slid home] like butter.",
    "[Offered it up] and it went straight on.",
    "So [it's in again].",
)
FIXED = (
    "{N} [{of} in].",
    "All {n} [{of} are in].",
    "That's {n} [{of} back in].",
)
TORQUED = (
    "[All torqued].",
    "[Torqued? Yes], all of them.",
    "I've [nipped them up].",
    "[They're tight].",
)
NOT_TORQUED = (
    "[Not torqued] yet.",
    "[Torqued? No], finger tight.",
    "They're [not tightened], mind.",
)
LOCKED = (
    "[Wire locked].",
    "Are they [wired? They are].",
    "[And locked].",
    "[Locked, all] of them.",
)
NOT_LOCKED = (
    "[Not wire locked] yet.",
    "There's [no locking wire on] them yet.",
    "So are they locked or [not? They're not].",
)
KEPT = (
    "It's [on {at}].",
    "[{At}], out of the way.",
    "Put it [on {at}], I said, and he has.",
    "It lives [on {at}] now.",
    "Where did it go? [{At}].",
)
BAGGED = (
    "The {of} are [in {at}].",
    "{Of} [in {at}].",
    "[{At}] for the {of}.",
    "I've [put the {of} in] {at}.",
    "And the {of}? [{At}].",
)
SEEN = (
    ("crack", "It's [cracked]."),
    ("crack", "There's [a crack] in it, look."),
    ("corrosion", "There's [corrosion] on it."),
    ("corrosion", "It's gone [rusty] underneath."),
    ("wear", "It's [worn]."),
    ("wear", "You can feel [the wear] with your nail."),
    ("dent", "It's got [a dent] in it."),
    ("leak", "It [weeps] a bit, mind."),
    ("loose", "It's [loose]."),
    ("distortion", "It's [bent]."),
    ("seized", "It's [seized] solid."),
    ("scoring", "It's [scored]."),
    ("perished", "It's [perished]."),
    ("play", "There's [play in it]."),
    ("broken", "It's [broken]."),
    ("sound", "[Nothing wrong] with it."),
    ("sound", "It's [as good as] the day it was made."),
    ("sound", "It's [all right], is that."),
)
NOT_SEEN = (
    ("crack", "[No cracks]."),
    ("corrosion", "[No corrosion] on it, none at all."),
    ("play", "[No play]."),
    ("leak", "Does it leak? [It doesn't]."),
    ("crack", "Any cracks? [Not one]."),
)
WORK = (
    ("done", "clean", "I've given it [a clean]."),
    ("done", "clean", "That's [cleaned]."),
    ("planned", "clean", "It [wants a clean]."),
    ("done", "inspect", "I [went over it] with the glass."),
    ("planned", "inspect", "That wants [looking at]."),
    ("planned", "inspect", "Ruth's [to look at it] before it's closed."),
    ("not-done", "inspect", "Nobody's [looked at it]."),
    ("done", "prime", "It's [primed]."),
    ("planned", "paint", "It needs a [coat of paint]."),
    ("done", "paint", "[Painted it], two coats."),
    ("done", "repair", "It's [been welded]."),
    ("planned", "repair", "That's [to be mended]."),
    ("done", "test", "I [tested it]."),
    ("not-done", "test", "Tested? [Not yet]."),
    ("done", "photograph", "I've got [a picture of it]."),
    ("done", "support", "There's [a trestle under] it."),
    ("done", "support", "We've [got the weight] of it."),
    ("explained", "remove", "The way you [take it off] is from the front."),
)
IDLE = (
    "We haven't decided.",
    "It might come off, it might not.",
    "Somebody had it off years ago.",
    "Shall we take it off?",
    "If it comes off, it comes off.",
)
MOST_COUNTED = 16
COUNTED = {
    "bolt": "bolts",
    "nut": "nuts",
    "screw": "screws",
    "pin": "pins",
    "clip": "clips",
    "clamp": "clamps",
    "split-pin": "split pins",
}


class Saying(NamedTuple):
    """What somebody says, and the fact that it tells, if it tells one."""

    text: str
    fact: dict[str, Any] | None = None


class Job:
    """Talk of one part.

    Args:
        chance: draws what is said.
        part: what it is of.
    """

    def __init__(self, chance: random.Random, part: Part) -> None:
        """Draw the part's name, its side, and what holds it."""
        self.chance, side = chance, ""
        if part.symmetrical and chance.random() < SIDED:
            side = chance.choice(tuple(SIDES))
        self.said = " ".join(filter(None, ("the", side, chance.choice((part.preferred, *part.alternatives)))))
        self.item = {"item": part.notation, **({"side": SIDES[side]} if side else {})}
        self.count, self.of = chance.randrange(2, MOST_COUNTED + 1), chance.choice(tuple(COUNTED))

    def sayings(self) -> Iterator[Saying]:
        """Yield what is said, in order: the name, and then no name any more."""
        chance = self.chance
        yield Saying(_with_name(chance.choice(OPENINGS), self.said))
        yield from self._chatter()
        for kind in chance.choice(
            (self._stripped, self._stripped, self._rebuilt, self._rebuilt, self._looked_at, self._left)
        )():
            yield kind
            yield from self._chatter()

    def _chatter(self) -> Iterator[Saying]:
        for _ in range(self.chance.choice((0, 0, 0, 1, 1, 2))):
            yield Saying(self.chance.choice(CHATTER))

    def _stripped(self) -> Iterator[Saying]:
        undone = self.chance.random() < 0.6
        off = not undone or self.chance.random() < 0.8
        if undone:
            yield self._of_fasteners("undo", UNDONE)
        if off:
            yield self._told("done", "remove", REMOVED)
        if self.chance.random() < 0.4:
            yield self._seen()
        keeping = [*((self._kept(),) if off else ()), *((self._bagged(),) if undone else ())]
        yield from self.chance.sample(keeping, self.chance.randrange(len(keeping) + 1))

    def _rebuilt(self) -> Iterator[Saying]:
        yield self._told("done", "fit", FITTED)
        if self.chance.random() < 0.6:
            yield self._of_fasteners("fit", FIXED)
            told = {"count": self.count, "of": self.of}
            if self.chance.random() < 0.7:
                yield self._either("tighten", TORQUED, NOT_TORQUED, **told)
            if self.chance.random() < 0.5:
                yield self._either("lock", LOCKED, NOT_LOCKED, **told)
        if self.chance.random() < 0.3:
            yield self._worked()

    def _looked_at(self) -> Iterator[Saying]:
        yield self._seen()
        if self.chance.random() < 0.6:
            yield self._worked()

    def _left(self) -> Iterator[Saying]:
        yield self.chance.choice(
            (
                self._told("not-done", "remove", STILL_ON),
                self._told("planned", "remove", TO_COME_OFF),
                Saying(self.chance.choice(IDLE)),
            )
        )

    def _told(self, status: str, act: str, ways: Sequence[str], **more: Any) -> Saying:
        return _saying(self.chance.choice(ways), {"status": status, "act": act, **self.item, **more})

    def _either(self, act: str, done: Sequence[str], not_done: Sequence[str], **more: Any) -> Saying:
        if self.chance.random() < 0.3:
            return self._told("not-done", act, not_done, **more)
        return self._told("done", act, done, **more)

    def _of_fasteners(self, act: str, ways: Sequence[str]) -> Saying:
        words = {"n": in_words(self.count), "of": COUNTED[self.of]}
        return _filled(self._told("done", act, ways, count=self.count, of=self.of), words)

    def _kept(self) -> Saying:
        store, at = self.chance.choice(("rack", "shelf", "pallet")), str(self.chance.randrange(1, 30))
        return _filled(self._told("done", "store", KEPT, stowage={store: at}), {"at": f"{store} {at}"})

    def _bagged(self) -> Saying:
        at = str(self.chance.randrange(1, 120))
        kept = self._told("done", "bag", BAGGED, stowage={"bag": at})
        fact = {**(kept.fact or {}), "item": self.of}
        return _filled(Saying(kept.text, fact), {"at": f"bag {at}", "of": COUNTED[self.of]})

    def _seen(self) -> Saying:
        absent = self.chance.random() < 0.25
        finding, text = self.chance.choice(NOT_SEEN if absent else SEEN)
        seen = {"status": "seen", "finding": finding, **({"absent": True} if absent else {})}
        return _saying(text, {**seen, **self.item})

    def _worked(self) -> Saying:
        status, act, text = self.chance.choice(WORK)
        return _saying(text, {"status": status, "act": act, **self.item})


def _saying(text: str, fact: dict[str, Any]) -> Saying:
    """Return a saying without the brackets round the words that tell its fact."""
    before, _, rest = text.partition("[")
    told, _, after = rest.partition("]")
    return Saying(before + told + after, {**fact, "told": told})


def _with_name(opening: str, name: str) -> str:
    return opening.format(x=name, X=name[:1].upper() + name[1:])


def _filled(saying: Saying, words: dict[str, str]) -> Saying:
    """Return a saying with its words put in, with a capital where the place has one."""
    all_words = words | {key.capitalize(): word[:1].upper() + word[1:] for key, word in words.items()}
    fact = saying.fact and {**saying.fact, "told": saying.fact["told"].format(**all_words)}
    return Saying(saying.text.format(**all_words), fact)


def talk(chance: random.Random, number: int, parts: Sequence[Part]) -> dict[str, Any]:
    """Return talk of two to five parts one after the other, in which the words that tell each fact can be found."""
    while True:
        said = list(_said(chance, parts))
        if chance.random() < BARE:
            said = [
                Saying(_bare(one.text), one.fact and {**one.fact, "told": _bare(one.fact["told"])}) for one in said
            ]
        facts, told, text = [], [], ""
        for one in said:
            text += " " if text else ""
            if one.fact:
                first = len(text) + one.text.index(one.fact["told"])
                told.append((first, first + len(one.fact["told"])))
                facts.append(one.fact)
            text += one.text
        if places_told(text, facts) == told:
            return {"id": f"talked-{number:03}", "text": text, "facts": facts}


def _said(chance: random.Random, parts: Sequence[Part]) -> Iterator[Saying]:
    sided = False  # once a side was told it would carry on: what comes after has one too
    for part in chance.sample(parts, chance.choice((2, 3, 3, 4, 5))):
        job = Job(chance, part)
        if "side" in job.item or not sided:
            yield from job.sayings()
        sided = sided or "side" in job.item


def _bare(text: str) -> str:
    return "".join(letter for letter in text if letter not in ",.?!").lower()


def talks(vocabulary: Vocabulary, seed: int) -> list[dict[str, Any]]:
    """Return talks, the same each time for the same seed."""
    chance = random.Random(seed)
    parts = [part for part in vocabulary.parts if part.kind not in NOT_TAKEN]
    return [talk(chance, number, parts) for number in range(TALKS)]


if __name__ == "__main__":
    if len(sys.argv) not in (2, 3):
        sys.exit(__doc__)
    made = talks(load_vocabulary(shipped_vocabulary()), int(sys.argv[2]) if len(sys.argv) == 3 else 11)
    Path(sys.argv[1]).write_text(
        "".join(json.dumps(one, ensure_ascii=False) + "\n" for one in made), encoding="utf-8"
    )
