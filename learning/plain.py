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

NOTES = 1000
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
    ("done", "remove", "{x} came away easily enough", "came away"),
    ("done", "remove", "we've had {x} off", "had"),
    ("done", "remove", "{x} has been taken out", "taken out"),
    ("done", "remove", "whipped {x} off", "whipped"),
    ("done", "remove", "{x} finally came out", "came out"),
    ("done", "remove", "I pulled {x} this afternoon", "pulled"),
    ("done", "remove", "that's {x} off and out of the way", "off"),
    ("done", "remove", "{x} lifted off", "lifted off"),
    ("done", "remove", "dropped {x} out", "dropped"),
    ("not-done", "remove", "{x} won't budge", "won't budge"),
    ("not-done", "remove", "couldn't get {x} off", "couldn't get"),
    ("not-done", "remove", "{x} stays where it is", "stays"),
    ("not-done", "remove", "we left {x} alone", "left"),
    ("planned", "remove", "{x} has to come out", "come out"),
    ("planned", "remove", "{x} still wants taking off", "taking off"),
    ("planned", "remove", "next job is getting {x} off", "getting"),
    ("-", "-", "if {x} comes off we'll see", ""),
    ("-", "-", "did anyone take {x} off", ""),
    ("-", "-", "{x} might have to come off", ""),
    ("-", "-", "somebody had {x} off years ago", ""),
    ("done", "undo", "{x} has had its bolts out", "bolts out"),
    ("done", "undo", "the bolts are out of {x}", "bolts are out"),
    ("done", "undo", "we've undone {x}", "undone"),
    ("done", "undo", "{x} is unbolted", "unbolted"),
    ("done", "undo", "slackened {x} off", "slackened"),
    ("not-done", "undo", "the bolts won't come out of {x}", "won't come out"),
    ("planned", "undo", "{x} has to be unbolted first thing tomorrow", "unbolted"),
    ("done", "tighten", "nipped {x} up", "nipped"),
    ("done", "tighten", "{x} is tightened up", "tightened"),
    ("done", "tighten", "{x} has been torqued", "torqued"),
    ("planned", "tighten", "{x} wants tightening", "tightening"),
    ("done", "lock", "{x} is wire-locked", "wire-locked"),
    ("not-done", "lock", "{x} isn't wire-locked yet", "isn't wire-locked"),
    ("done", "drill-out", "drilled the rivets out of {x}", "drilled"),
    ("done", "separate", "{x} has parted at last", "parted"),
    ("done", "support", "{x} is propped up", "propped"),
    ("done", "support", "we've got {x} on a trestle", "on a trestle"),
    ("done", "support", "took the weight of {x}", "took the weight"),
    ("done", "lift", "hoisted {x} up", "hoisted"),
    ("done", "lower", "let {x} down gently", "let"),
    ("done", "lower", "{x} has been lowered", "lowered"),
    ("done", "move", "wheeled {x} across the hangar", "wheeled"),
    ("done", "move", "{x} has been carried to the workshop", "carried"),
    ("done", "drain", "drained {x}", "drained"),
    ("planned", "drain", "{x} needs draining", "draining"),
    ("done", "open", "opened up {x}", "opened"),
    ("done", "inspect", "gave {x} a good look over", "look over"),
    ("done", "inspect", "went over {x} with a torch", "went over"),
    ("done", "inspect", "{x} has been crack-tested", "crack-tested"),
    ("planned", "inspect", "must look at {x} next time", "look at"),
    ("planned", "inspect", "{x} has yet to be inspected", "inspected"),
    ("done", "measure", "measured {x}", "measured"),
    ("done", "measure", "miked up {x}", "miked up"),
    ("done", "clean", "gave {x} a clean", "a clean"),
    ("done", "clean", "{x} has had a wash", "a wash"),
    ("done", "clean", "scrubbed {x}", "scrubbed"),
    ("planned", "clean", "{x} could do with a clean, that's for next week", "a clean"),
    ("done", "strip-finish", "{x} is stripped to bare metal", "stripped"),
    ("done", "strip-finish", "rubbed {x} down", "rubbed"),
    ("done", "treat", "treated {x}", "treated"),
    ("done", "treat", "gave {x} a coat of inhibitor", "coat of inhibitor"),
    ("done", "prime", "gave {x} a squirt of primer", "squirt of primer"),
    ("done", "prime", "{x} got a lick of primer", "lick of primer"),
    ("planned", "prime", "{x} wants priming", "priming"),
    ("done", "paint", "{x} has a coat of paint on it now", "coat of paint"),
    ("done", "paint", "put the top coat on {x}", "top coat"),
    ("done", "repair", "patched {x}", "patched"),
    ("done", "repair", "welded {x}", "welded"),
    ("planned", "repair", "{x} will have to be repaired", "repaired"),
    ("done", "make", "made a new one for {x}", "made"),
    ("done", "fit", "put {x} back", "put"),
    ("done", "fit", "offered up {x}", "offered up"),
    ("done", "fit", "{x} is in again", "in again"),
    ("not-done", "fit", "{x} isn't back on yet", "isn't back on"),
    ("done", "connect", "coupled {x} up", "coupled"),
    ("done", "connect", "{x} is connected again", "connected"),
    ("done", "disconnect", "{x} has been uncoupled", "uncoupled"),
    ("planned", "disconnect", "{x} still has to be disconnected", "disconnected"),
    ("done", "test", "tested {x}", "tested"),
    ("planned", "test", "{x} needs testing", "testing"),
    ("done", "blank", "blanked {x}", "blanked"),
    ("done", "blank", "taped over {x}", "taped over"),
    ("done", "bag", "bagged {x}", "bagged"),
    ("done", "tag", "put a label on {x}", "a label"),
    ("not-done", "tag", "{x} hasn't been tagged", "hasn't been tagged"),
    ("done", "store", "{x} is in the store", "in the store"),
    ("done", "store", "put {x} away", "put"),
    ("done", "photograph", "took some pictures of {x}", "pictures"),
    ("done", "photograph", "photographed {x}", "photographed"),
    ("seen", "crack", "found a crack in {x}", "crack"),
    ("seen", "corrosion", "{x} is rusty", "rusty"),
    ("seen", "corrosion", "bit of rust on {x}", "rust"),
    ("seen", "play", "there's some play in {x}", "play"),
    ("absent", "play", "no play in {x}", "no play"),
    ("seen", "leak", "{x} is weeping", "weeping"),
    ("absent", "leak", "{x} isn't leaking", "isn't leaking"),
    ("seen", "distortion", "{x} is bent", "bent"),
    ("seen", "chafing", "{x} has chafed", "chafed"),
    ("seen", "perished", "{x} has perished", "perished"),
    ("seen", "broken", "{x} is broken", "broken"),
    ("seen", "contamination", "{x} is full of muck", "muck"),
    ("seen", "paint-loss", "the paint's flaking off {x}", "flaking"),
    ("seen", "sound", "nothing wrong with {x}", "nothing wrong"),
    ("seen", "sound", "{x} is in good nick", "in good nick"),
    ("seen", "sound", "{x} looks as good as new", "good as new"),
    ("seen", "seized", "{x} won't turn", "won't turn"),
    ("seen", "loose", "{x} rattles", "rattles"),
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
