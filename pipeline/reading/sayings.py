"""Where a clause says that something is done: the verb with its particles, or a state that tells of it."""

from collections.abc import Sequence
from dataclasses import replace

from pipeline.reading.clauses import Clause
from pipeline.reading.constructions import (
    HOLDS,
    Said,
    drained_out,
    fasteners_hold,
    inverted,
    left,
    refuses,
    stands_on,
    still_on,
    there_are,
    under,
)
from pipeline.reading.forms import ING, PARTICIPLE, singular, word_set
from pipeline.reading.lexicon import Lexicon, Saying
from pipeline.reading.no_work import UNACCUSATIVE, no_work
from pipeline.reading.phrases import Phrase
from pipeline.reading.pieces import BE, DETERMINERS, Piece
from pipeline.reading.put_on import is_put_on, is_with
from pipeline.reading.ranges import other_end
from pipeline.reading.supports import off_its_support, off_support

_SKIPPED = DETERMINERS | word_set("good quick proper very really another right all back first")
_HAVE = word_set("have has had having")
_FASTENS = word_set("rivet bolt screw glue clip bond")
_PULLS = word_set("pull draw drop yank")
_DO = word_set("did done do")
_HOISTS = word_set("lift hoist raise crane")


def find_said(lexicon: Lexicon, pieces: Sequence[Piece], clause: Clause, phrases: Sequence[Phrase]) -> list[Said]:
    """Return the acts that a clause says, in order: verbs first, and a state where no verb says one."""
    found: list[Said] = []
    held_up = under(pieces, clause, phrases)
    if held_up:
        return [held_up]
    turned = drained_out(pieces, clause) or inverted(pieces, clause)
    if turned:
        return [turned]
    there = there_are(pieces, clause, phrases)
    if there:
        return [there]
    standing = stands_on(pieces, clause, phrases)
    if standing:
        return [standing]
    freed = off_its_support(lexicon, pieces, clause, phrases)
    if freed:
        return [freed]
    stays = left(pieces, clause, phrases) or refuses(pieces, clause) or still_on(pieces, clause)
    if stays:
        return [stays]
    busy = clause.first
    for at in range(clause.first, clause.last):
        if at < busy:
            continue
        said = _said_at(lexicon, pieces, clause, phrases, at)
        if said and found and said.saying is not None and said.saying.verb == HOLDS:
            continue
        if said:
            found.append(said)
            busy = at + 1
    before = _before_verbs(clause, found)
    state = _put_on(lexicon, pieces, before) or _state(lexicon, pieces, before, phrases)
    if state and (not found or _told_first(pieces, state, found[0])):
        found.insert(0, state)
    return found


def _before_verbs(clause: Clause, found: Sequence[Said]) -> Clause:
    return replace(clause, last=found[0].at) if found else clause


def _told_first(pieces: Sequence[Piece], state: Said, said: Said) -> bool:
    """Tell whether a state is told before a verb and apart from it ("off and degreased", "is off, cleaned and")."""
    lows = [piece.low for piece in pieces[state.last : said.at]]
    return bool(lows) and lows[0] in ("and", ",") and all(low in ("and", ",", "then", "now") for low in lows)


def _verb_at(piece: Piece) -> str:
    if piece.kind in ("verb", "finding") and piece.verb:
        return piece.verb
    if piece.kind == "aux":
        if piece.low in _HAVE:
            return "have"
        if piece.low in _DO:
            return "do"
        if piece.low == "been":
            return "be"
    return ""


def _said_at(
    lexicon: Lexicon, pieces: Sequence[Piece], clause: Clause, phrases: Sequence[Phrase], at: int
) -> Said | None:
    piece = pieces[at]
    verb = _verb_at(piece)
    if not verb:
        return None
    if verb in ("hold", "secure", "retain", "attach") and fasteners_hold(pieces, phrases, at):
        return Said("held-by", at, at + 1, Saying("held-by", HOLDS, (), frozenset()))
    if piece.kind == "aux" and _only_helps(pieces, clause, at):
        return None
    if piece.kind == "finding" and not _acts_on(pieces, clause, phrases, at):
        return None
    if verb in ("need", "want") and any(piece.kind == "verb" for piece in pieces[at + 1 : clause.last]):
        return None
    if no_work(pieces, clause, at, verb) or _names_thing(pieces, clause, at):
        return None
    for saying in lexicon.sayings.get(verb, ()):
        last = _tail(pieces, clause, at, saying)
        if not last or _other_work(pieces, clause, at, saying, last):
            continue
        if pieces[last - 1].low in ("off", "out") and _stranded(pieces, clause, last):
            return None
        if _object_fits(lexicon, pieces, phrases, at, saying):
            freed = saying.act == "remove" and off_support(lexicon, pieces, last - 1)
            act = ("lift" if verb in _HOISTS else "lower") if freed else saying.act
            return Said(act, at, last, saying)
        if saying.tail[-1:] == ("safe",):
            return None  # a seat that is made safe is neither made nor drained
    return None


def _other_work(pieces: Sequence[Piece], clause: Clause, at: int, saying: Saying, last: int) -> bool:
    """Tell whether no look is taken where one seems to be, or something is put in a store and not on the aircraft."""
    if saying.act == "inspect":
        return _no_look(pieces, clause, at, last)
    stores = saying.act == "fit" and pieces[at].verb in ("put", "stick")
    return stores and any(piece.kind == "stow" for piece in pieces[at : clause.last])


def _no_look(pieces: Sequence[Piece], clause: Clause, at: int, last: int) -> bool:
    """Tell whether "goes round" or "what we're looking at" is no inspection."""
    if pieces[at].verb == "look":
        return any(pieces[step].low == "what" for step in range(clause.first, at))
    if pieces[at].verb != "go":
        return False
    subject = pieces[at - 1].low if at > clause.first else ""
    follows = pieces[last] if last < clause.last else None
    object_next = follows is not None and (
        follows.kind in ("thing", "side", "number") or follows.low in DETERMINERS | {"it", "them", "with", "all"}
    )
    return "s" in pieces[at].forms or subject == "it" or not object_next


def _names_thing(pieces: Sequence[Piece], clause: Clause, at: int) -> bool:
    """Tell whether a word in "-ing" is a noun here ("at the back fitting", "a casting")."""
    if ING not in pieces[at].forms or at == clause.first:
        return False
    step = at - 1
    if pieces[step].kind == "side" or (pieces[step].kind == "word" and pieces[step].low not in DETERMINERS):
        step -= 1
    follows = pieces[at + 1] if at + 1 < clause.last else None
    object_next = follows is not None and (follows.kind == "thing" or follows.low in DETERMINERS)
    return pieces[step].low in DETERMINERS - {"this", "that"} and not object_next


def _only_helps(pieces: Sequence[Piece], clause: Clause, at: int) -> bool:
    """Tell whether "have" or "do" only helps a verb after it ("have taken", "have to")."""
    near = pieces[at + 1 : min(at + 4, clause.last)]
    if near and near[0].low == "to":
        return True
    return any(
        piece.kind == "verb" or (piece.kind == "aux" and piece.low in ("had", "been", "done")) for piece in near
    )


def _stranded(pieces: Sequence[Piece], clause: Clause, at: int) -> bool:
    """Tell whether "of" stands alone at the end ("that's the bush it came out of"): only a part is pointed at."""
    if at >= clause.last or pieces[at].low not in ("of", "from"):
        return False
    return at + 1 >= clause.last or pieces[at + 1].kind == "mark"


def _acts_on(pieces: Sequence[Piece], clause: Clause, phrases: Sequence[Phrase], at: int) -> bool:
    """Tell whether a word that may be a condition ("split") is work here: somebody does it to something."""
    object_next = any(phrase.first <= at + 2 and phrase.first > at and not phrase.prep for phrase in phrases)
    by_us = any(pieces[step].low in ("we", "i", "they", "you") for step in range(max(clause.first, at - 4), at))
    nobody_named = all(pieces[step].kind in ("aux", "mark", "word") for step in range(clause.first, at))
    heads = at == clause.first and at + 1 < clause.last and pieces[at + 1].low in DETERMINERS
    led = heads or (at > clause.first and pieces[at - 1].low in ("n't", "not", "to", "'ll", "have", "'ve"))
    return heads or (object_next and (by_us or (nobody_named and led)))


def _object_fits(
    lexicon: Lexicon, pieces: Sequence[Piece], phrases: Sequence[Phrase], at: int, saying: Saying
) -> bool:
    if not saying.objects:
        return True
    piece = pieces[at]
    after = [phrase for phrase in phrases if phrase.last > at and not phrase.prep and phrase.first > at]
    target = after[0] if after and after[0].first <= at + 4 else None
    if target is not None and any(step.kind == "mark" for step in pieces[at + 1 : target.first]):
        target = None
    named = target is not None and target.named and target.kind != "support-equipment"
    passive = [p for p in phrases if p.last <= at and not p.prep and (p.named or p.stands_for == "such")]
    told = _is_done_to(pieces, at) and any(p.last <= at and not p.prep and not p.person for p in phrases)
    if "named" in saying.objects and target is None and ((PARTICIPLE in piece.forms and passive) or told):
        return True
    if saying.objects & {"named", "part"}:
        if saying.act == "make" and target is not None and target.stands_for in ("one", "such"):
            return True
        if "part" in saying.objects:
            return bool(target and named and not target.fastener)
        return (
            named
            or (
                (
                    saying.act in ("test", "measure")
                    or saying.verb in _PULLS
                    or (saying.act == "fit" and saying.verb == "put")
                )
                and target is not None
                and target.stands_for in ("it", "them")
                and target.first == at + 1
            )
            or (saying.verb in _PULLS and target is None and _said_first(pieces, phrases, at))
        )
    if "fastener" in saying.objects:
        return bool(
            (target and target.fastener)
            or any(phrase.fastener or phrase.counted == "hinge" for phrase in phrases)
            or (target and target.stands_for)
        )
    if "joint" in saying.objects:
        return bool(target and (target.item.endswith("-joint") or target.short == "joint"))
    candidates = [phrase for phrase in phrases if phrase.item]
    near = target if target and target.item else (candidates[0] if candidates else None)
    return bool(near and lexicon.part_kind.get(near.item) in saying.objects)


def _said_first(pieces: Sequence[Piece], phrases: Sequence[Phrase], at: int) -> bool:
    """Tell whether the object of a verb without one stands before its subject ("the right one I haven't pulled")."""
    step = at - 1
    while step >= 0 and (pieces[step].kind == "aux" or pieces[step].tag == "RB"):
        step -= 1
    if step < 0 or pieces[step].low not in ("i", "we"):
        return False
    return any(p.last == step and (p.named or p.stands_for in ("one", "side", "other")) for p in phrases)


def _is_done_to(pieces: Sequence[Piece], at: int) -> bool:
    """Tell whether a verb tells what is done to its subject: "has been weighed", "is still to weigh"."""
    lows = [piece.low for piece in pieces[max(0, at - 5) : at]]
    if lows[-1:] == ["to"]:
        return bool(set(lows) & BE) and "going" not in lows
    return PARTICIPLE in pieces[at].forms and bool(set(lows[-3:]) & BE)


def _words_from(pieces: Sequence[Piece], first: int, last: int) -> list[tuple[str, int]]:
    words = []
    for at in range(first, last):
        for word in pieces[at].low.replace("-", " ").split():
            words.append((singular(word), at))
    return words


def _tail(pieces: Sequence[Piece], clause: Clause, at: int, saying: Saying) -> int:
    """Return the piece after the saying's last word, or 0 where the words do not follow."""
    words = _words_from(pieces, at + 1, clause.last)
    step, end, gap = 0, at + 1, False
    for part in saying.tail:
        if part == "~":
            gap = True
            continue
        found = -1
        for place in range(step, len(words)):
            word, home = words[place]
            if word == part and not (
                pieces[home].kind == "stow" and part not in ("rack", "shelf", "box", "bag", "pallet")
            ):
                found = place
                break
            if not gap and word not in _SKIPPED and pieces[home].tag != "RB":
                return 0
            if pieces[home].kind == "verb" and home > at and not _passes(pieces, home):
                return 0
            if place - step > 12:
                return 0
        if found < 0:
            return 0
        step, end = found + 1, words[found][1] + 1
    if (
        saying.tail
        and saying.tail[-1] in ("off", "out", "down", "up", "in", "on", "away", "back")
        and (len(saying.tail) == 1 or saying.tail[-2] == "~")
        and not _particle(pieces, at, end, clause)
        and not (saying.act == "fit" and saying.verb == "put" and _into_part(pieces, end, clause))
    ):
        return 0
    return end


def _into_part(pieces: Sequence[Piece], at: int, clause: Clause) -> bool:
    """Tell whether "put it in" goes on with a part that it is put into."""
    near = pieces[at : min(at + 4, clause.last)]
    return any(piece.kind == "thing" and piece.sense("part") for piece in near) and not any(
        piece.kind == "stow" for piece in near
    )


def _passes(pieces: Sequence[Piece], at: int) -> bool:
    return pieces[at].low in ("left", "torn", "worn")


def _particle(pieces: Sequence[Piece], at: int, end: int, clause: Clause) -> bool:
    """Tell whether the word before ``end`` goes with the verb and does not begin a place ("on rack 2")."""
    low = pieces[end - 1].low
    if low in ("off", "out", "away", "up", "down", "back") or end >= clause.last:
        return True
    follows = pieces[end]
    return (
        follows.kind in ("mark", "aux")
        or follows.low
        in (
            "and",
            "with",
            "for",
            "again",
            "now",
            "today",
            "yesterday",
            "first",
            "this",
            "next",
            "by",
            "until",
            "at",
            "to",
            "once",
            "when",
            "tomorrow",
        )
        or (low == "on" and end - 2 == at and follows.kind in ("thing",))
        or (low in ("on", "in") and end - 2 == at and pieces[at].verb in _FASTENS and follows.low in DETERMINERS)
    )


def _put_on(lexicon: Lexicon, pieces: Sequence[Piece], clause: Clause) -> Said | None:
    """Read "rudder on" where no verb stands before it."""
    for at in range(clause.first + 1, clause.last):
        if pieces[at - 1].kind in ("verb", "aux", "finding") or is_with(pieces, at):
            return None
        if is_put_on(lexicon, pieces, at):
            return Said("fit", at - 1, at + 1, None, True, at)
    return None


def _state(lexicon: Lexicon, pieces: Sequence[Piece], clause: Clause, phrases: Sequence[Phrase]) -> Said | None:
    lows = [piece.low for piece in pieces]
    for at in range(clause.first, clause.last):
        if _circumstance(pieces, clause, at):
            continue
        length, senses = lexicon.states.longest(lows, at, clause.last)
        still = (
            lows[at] in ("in", "on")
            and "still" in lows[max(clause.first, at - 3) : at]
            and (_ends(pieces, clause, at + 1) or lows[at + 1 : at + 2] == ["there"])
        )
        if still and (any(phrase.last <= at for phrase in phrases) or "what" in lows[clause.first : at]):
            return Said("remove", at, at + 1, None, True, at, kept=True)
        if not length or not _ends(pieces, clause, at + length) or _tells_no_state(pieces, lows, at, length):
            continue
        step = at - 1
        while step >= clause.first and (pieces[step].tag == "RB" or lows[step] in _BEFORE_STATE):
            step -= 1
        if step < clause.first:
            continue
        listed = lows[at + length : at + length + 1] == [":"]  # "the whole tail's off: fin, rudder, elevators"
        subject = listed or any(phrase.last <= step + 1 for phrase in phrases)
        if lows[step] in ("was", "were") and lows[at] == "on":
            continue  # "the radio was on"
        once = lows[step] in BE and clause.opener in ("once", "when")
        loose_have = lows[step] in ("has", "have") and lows[at] not in ("off", "out")
        auxiliary = pieces[step].kind == "aux" and lows[step] in BE | {"be", "has", "have"}
        if auxiliary and (subject or once) and not loose_have:
            return Said(senses[0].notation, step, at + length, None, True, at)
        apart = pieces[step].kind == "mark" and any(
            (p.named or p.stands_for in ("one", "side")) and (p.last == step or p.first <= clause.first + 2)
            for p in phrases
        )
        silent = not any(piece.kind in ("verb", "aux") for piece in pieces[clause.first : at])
        listed_work = (
            pieces[step].kind == "mark" and not phrases and step > clause.first and _only_done(pieces, clause)
        )
        apart = apart or listed_work
        silent = silent or listed_work
        if apart and silent and lows[at] in ("off", "out"):
            return Said(senses[0].notation, at, at + length, None, True, at)
        thing = pieces[step].kind in ("thing", "side") or lows[step] == "one"
        not_yet = (
            lows[at] in ("on", "in") and {"not", "n't"} & set(lows[step + 1 : at]) and at + length >= clause.last
        )
        pointed = lows[step] == "one" and at + 1 < clause.last and pieces[at + 1].kind not in ("mark", "word")
        pointed = pointed or (lows[step] == "one" and lows[at + 1 : at + 2] in (["the"], ["of"], ["our"]))
        if (
            thing
            and not pointed
            and (lows[at] in ("off", "out", "away", "apart", "undone", "back") or not_yet)
            and not _verbs_before(pieces, clause, step)
        ):
            return Said(senses[0].notation, step, at + length, None, True, at)
    return None


def _tells_no_state(pieces: Sequence[Piece], lows: Sequence[str], at: int, length: int) -> bool:
    """Tell whether "off" or "out" is no state: "off the ground", "further out", "from the root out to rib three"."""
    end = other_end(lows, at)
    reaches = 0 < end < len(pieces) and pieces[end].kind in ("place", "number", "measure")
    return reaches or _off_the_ground(lows, at + length) or lows[at - 1] in ("far", "further", "later")


def _only_done(pieces: Sequence[Piece], clause: Clause) -> bool:
    """Tell whether a clause is a list of what was done ("Emptied, out, on pallet 9")."""
    verbs = [piece for piece in pieces[clause.first : clause.last] if piece.kind in ("verb", "aux")]
    return bool(verbs) and all(PARTICIPLE in piece.forms for piece in verbs)


def _circumstance(pieces: Sequence[Piece], clause: Clause, at: int) -> bool:
    """Tell whether a state is told as known: "with both legs out", "with the tyres still on"."""
    for step in range(at - 1, clause.first - 1, -1):
        if pieces[step].kind in ("verb", "aux", "mark"):
            return False
        if pieces[step].low == "with":
            return True
    return False


def _verbs_before(pieces: Sequence[Piece], clause: Clause, at: int) -> bool:
    """Tell whether a verb stands before, "I want it off" left out."""
    return any(
        pieces[step].kind == "verb" and pieces[step].verb not in ("want", "need") for step in range(clause.first, at)
    )


def _ends(pieces: Sequence[Piece], clause: Clause, at: int) -> bool:
    """Tell whether a state is complete at ``at`` and not the start of "on rack 2" or "out of true"."""
    if at >= clause.last or pieces[at].kind == "mark":
        return True
    low, before = pieces[at].low, pieces[at - 1].low
    if before in ("off", "out", "away") and low == "of":
        return at + 1 < clause.last and pieces[at + 1].low not in _OUT_OF
    if before not in ("on", "in"):
        return not (before in ("off", "out") and low in ("a", "an"))
    back = at - 2 >= clause.first and pieces[at - 2].low == "back"
    too = low == "too" or (low == "as" and at + 1 < clause.last and pieces[at + 1].low == "well")
    return back or too or low in _AFTER_STATE


def _off_the_ground(lows: Sequence[str], at: int) -> bool:
    """Tell whether "off" only says that something hangs or stands clear ("off the floor", "off load")."""
    return any(low in _GROUND for low in lows[at : at + 2])


_OUT_OF = word_set(
    "true shape round order action use stock reach sight date tolerance limits limit line alignment luck time bounds "
    "hand here adjustment balance square track pitch daylight money paint primer gas puff breath thinners "
    "sorts commission"
)
_GROUND = word_set("floor ground deck load concrete")
_BEFORE_STATE = word_set("all back both n't not now already still well nearly almost easy straight")
_AFTER_STATE = word_set("and but yet now again already so with because finger for once")


def is_unaccusative(said: Said) -> bool:
    """Tell whether the part is the subject although the verb is active ("it came off")."""
    return said.saying is not None and said.saying.verb in UNACCUSATIVE and said.act != "inspect"
