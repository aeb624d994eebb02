"""Makes plain notes: ``python -m learning.plain NOTES.jsonl [SEED]``.

People who write notes for teaching write what is hard. What is simple ("the port flap is off") must be read too, of
any part and in the middle of anything, so it is made here from the vocabulary: one to four plain sentences a note.
"""

import json
import random
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from pipeline.book import shipped_vocabulary
from pipeline.reading.vocabulary import Vocabulary, load_vocabulary
from pipeline.trade.entries import Part

NOTES = 700
SIDES = {"port": "port", "starboard": "starboard", "left": "port", "right": "starboard"}
NOT_TAKEN = {"fastener", "material", "lifting", "detail"}  # kinds of which plain sentences would sound odd
SIDED = 0.6  # how often a part that comes in pairs is told with its side

# What is said of a part {x}: status, act or finding, the words that tell it. "-" tells nothing.
SAYINGS = (
    ("done", "remove", "{x} is off", "off"),
    ("done", "remove", "{x}'s off", "off"),
    ("done", "remove", "{x} is off now", "off"),
    ("done", "remove", "{x} came off this morning", "came off"),
    ("done", "remove", "we took {x} off", "took"),
    ("done", "remove", "I've taken {x} off", "taken"),
    ("done", "remove", "{x} is out", "out"),
    ("done", "remove", "got {x} off in the end", "got"),
    ("done", "remove", "we've removed {x}", "removed"),
    ("done", "remove", "{x} has come off", "come off"),
    ("not-done", "remove", "{x} is still on", "still on"),
    ("not-done", "remove", "{x} isn't off yet", "isn't off"),
    ("not-done", "remove", "we haven't taken {x} off", "taken"),
    ("not-done", "remove", "{x} is not off", "not off"),
    ("planned", "remove", "{x} comes off next week", "comes off"),
    ("planned", "remove", "{x} is next to come off", "come off"),
    ("planned", "remove", "tomorrow we'll take {x} off", "take"),
    ("planned", "remove", "{x} still has to come off", "come off"),
    ("done", "fit", "{x} is back on", "back on"),
    ("done", "fit", "we've refitted {x}", "refitted"),
    ("done", "fit", "{x} has gone back on", "gone back on"),
    ("planned", "fit", "{x} goes back on on Sunday", "goes back on"),
    ("done", "inspect", "we had a look at {x}", "look at"),
    ("done", "inspect", "I've checked {x}", "checked"),
    ("planned", "inspect", "{x} wants looking at", "looking at"),
    ("not-done", "inspect", "we haven't looked at {x} yet", "looked at"),
    ("done", "clean", "cleaned {x}", "cleaned"),
    ("done", "paint", "{x} has been painted", "painted"),
    ("done", "prime", "{x} is primed", "primed"),
    ("planned", "paint", "{x} needs painting", "painting"),
    ("done", "disconnect", "{x} is disconnected", "disconnected"),
    ("done", "disconnect", "disconnected {x}", "disconnected"),
    ("not-done", "disconnect", "{x} isn't disconnected yet", "isn't disconnected"),
    ("done", "photograph", "took a photo of {x}", "took a photo"),
    ("done", "lift", "we lifted {x} clear", "lifted"),
    ("done", "repair", "we've repaired {x}", "repaired"),
    ("planned", "repair", "{x} needs mending", "mending"),
    ("seen", "crack", "{x} is cracked", "cracked"),
    ("seen", "crack", "there's a crack in {x}", "crack"),
    ("seen", "corrosion", "{x} is corroded", "corroded"),
    ("seen", "corrosion", "there's corrosion on {x}", "corrosion"),
    ("seen", "dent", "{x} has a dent in it", "dent"),
    ("seen", "loose", "{x} is loose", "loose"),
    ("seen", "seized", "{x} is seized", "seized"),
    ("seen", "worn", "{x} is worn", "worn"),
    ("seen", "sound", "{x} is fine", "fine"),
    ("seen", "sound", "{x} is sound", "sound"),
    ("absent", "crack", "no cracks in {x}", "no cracks"),
    ("absent", "corrosion", "there's no corrosion on {x}", "no corrosion"),
    ("seen", "missing", "{x} is missing", "missing"),
    ("seen", "leak", "{x} is leaking", "leaking"),
    ("-", "-", "{x} is in the way", ""),
    ("-", "-", "mind {x}", ""),
    ("-", "-", "{x} is a lovely thing", ""),
    ("-", "-", "I was telling them about {x}", ""),
    ("-", "-", "you can just see {x} from here", ""),
)
ASIDES = ("it's five to two", "right", "cold in here today", "there we are", "okay", "so", "tea's up", "that's that")


def sentence(chance: random.Random, part: Part, sided: bool) -> tuple[str, list[dict[str, Any]]]:
    """Return a plain sentence about a part, and its fact, if it tells one."""
    name = chance.choice((part.preferred, part.preferred, *part.alternatives))
    said = chance.choice(tuple(SIDES)) if sided else ""
    status, told, pattern, words = chance.choice(SAYINGS)
    text = pattern.format(x=" ".join(filter(None, (chance.choice(("the", "the", "")), said, name))))
    if status == "-":
        return text, []
    act = {"act": told, "status": status} if status not in ("seen", "absent") else {"status": "seen"}
    finding = {"finding": "wear" if told == "worn" else told} if "act" not in act else {}
    absent = {"absent": True} if status == "absent" else {}
    side = {"side": SIDES[said]} if said else {}
    return text, [{**act, **finding, **absent, "item": part.notation, **side, "told": words}]


def note(chance: random.Random, number: int, parts: Sequence[Part]) -> dict[str, Any]:
    """Return a note of one to four plain sentences, some with an aside before them."""
    texts: list[str] = []
    facts: list[dict[str, Any]] = []
    all_sided = False  # once a side was told, what comes in pairs is told with one: else it would carry on
    for _ in range(chance.choice((1, 1, 1, 2, 3, 4))):
        if chance.random() < 0.2:
            texts.append(chance.choice(ASIDES))
        part = chance.choice(parts)
        sided = part.symmetrical and (all_sided or chance.random() < SIDED)
        all_sided = all_sided or sided
        text, own = sentence(chance, part, sided)
        texts.append(text)
        facts += own
    joined = ". ".join(text[:1].upper() + text[1:] for text in texts) + "."
    return {"id": f"plain-{number:03}", "text": joined, "facts": [_as_said(fact, joined) for fact in facts]}


def _as_said(fact: dict[str, Any], text: str) -> dict[str, Any]:
    """Return the fact with the words that tell it as they stand in the text, which may begin with them."""
    told = fact["told"]
    return fact if told in text else {**fact, "told": told[:1].upper() + told[1:]}


def plain_notes(vocabulary: Vocabulary, seed: int) -> list[dict[str, Any]]:
    """Return plain notes, the same each time for the same seed."""
    chance = random.Random(seed)
    parts = [part for part in vocabulary.parts if part.kind not in NOT_TAKEN]
    return [note(chance, number, parts) for number in range(NOTES)]


if __name__ == "__main__":
    if len(sys.argv) not in (2, 3):
        sys.exit(__doc__)
    notes = plain_notes(load_vocabulary(shipped_vocabulary()), int(sys.argv[2]) if len(sys.argv) == 3 else 5)
    Path(sys.argv[1]).write_text(
        "".join(json.dumps(one, ensure_ascii=False) + "\n" for one in notes), encoding="utf-8"
    )
