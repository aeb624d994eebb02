"""What was fitted, told by where it is now: "the engine's gone into number three", "grommet's in the firewall"."""

from collections.abc import Iterator, Sequence

from pipeline.reading.clauses import only_if
from pipeline.reading.fact import Fact
from pipeline.reading.forms import word_set
from pipeline.reading.laws.case import Case, by_law
from pipeline.reading.learnt.deciding import by_rules_only
from pipeline.reading.lexicon import HEAVY
from pipeline.reading.pieces import DETERMINERS, HAVE, Piece
from pipeline.reading.spans import holds, overlap

_KEEPS = ("store", "bag", "move")
_SHORTEST = 4  # pieces: "has gone into nacelle"
_REACH = 9  # pieces from a part to what it is in
_LEAST = 2  # pieces: "in it"
_SMALL = ("grommet", "gasket", "bush", "shim", "bearing")
_TO_COME = word_set("to need needs needed want wants wanted jobs job list plan next tomorrow will 'll owed")


def with_what_went_into_its_place(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts with what "has gone into number three", or into a part of the aircraft: it was fitted."""
    found = list(facts)
    for part, where in _gone_into(case):
        words = (part.start, where.end)
        item = part.sense("part")
        same = [f for f in found if f.item == item and f.act in ("fit", *_KEEPS) and overlap(f.words, words)]
        if not same and not any(holds(stretch, part.start) for stretch in case.rules.not_done):
            found = [f for f in found if not (f.act == "remove" and f.item == item and overlap(f.words, words))]
            found.append(by_rules_only(by_law("state: fit", status="done", act="fit", item=item, words=words)))
    return found


def _gone_into(case: Case) -> Iterator[tuple[Piece, Piece]]:
    """Yield each heavy part that has "gone into" a numbered place or a part of the airframe, with what names that."""
    pieces = case.pieces
    for at, part in enumerate(pieces[:-4]):
        if case.lexicon.part_kind.get(part.sense("part")) not in HEAVY or only_if(pieces, at):
            continue
        after = [piece for piece in pieces[at + 1 : at + 9] if piece.low != "back"]
        if (
            len(after) < _SHORTEST
            or after[0].low not in HAVE
            or after[1].low != "gone"
            or after[2].low not in ("in", "into")
        ):
            continue
        where = [piece for piece in after[3:] if piece.kind != "side" and piece.low not in DETERMINERS]
        numbered = len(where) > 1 and where[0].low == "number" and where[1].whole is not None
        if numbered and (len(where) < 3 or where[2].kind != "thing"):
            yield part, where[1]
        elif where and case.lexicon.part_kind.get(where[0].sense("part")) == "structure":
            yield part, where[0]


def with_small_parts_in_place(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts with what is shortly told as in its place: "grommet's in the firewall", "new bush in it"."""
    found = list(facts)
    for part, where in _in_place(case):
        words, item = (part.start, where.end), part.sense("part")
        same = [f for f in found if f.item == item and case.rules.sentence(part.start) == case.sentence(f)]
        told = any(f.act == "fit" or f.status != "done" for f in same)
        if not told and not any(holds(stretch, part.start) for stretch in case.rules.not_done):
            found = [f for f in found if not (f in same and f.act == "store")]
            found.append(by_rules_only(by_law("state: fit", status="done", act="fit", item=item, words=words)))
    return found


def _in_place(case: Case) -> Iterator[tuple[Piece, Piece]]:
    """Yield each part with which a sentence opens and the part that it is in, with nothing after that."""
    pieces = case.pieces
    for at in range(len(pieces) - 3):
        if at and not pieces[at - 1].ends_sentence:
            continue
        new = pieces[at].low in ("new", "fresh")
        part, after = pieces[at + new], pieces[at + new + 1 : at + new + _REACH]
        is_there = after[0].low in ("'s", "is", "are")
        where = _where(case, after[is_there:])
        known = part.sense("part") and (part.sense("part") in _SMALL if is_there and not new else new)
        to_come = _TO_COME & {piece.low for piece in _sentence_before(pieces, at)}
        if known and where is not None and not to_come:
            yield part, where


def _where(case: Case, after: Sequence[Piece]) -> Piece | None:
    """Return the part of the aircraft that some pieces end on: "in the firewall", "on the tail wheel, torqued"."""
    ends = next((n for n, piece in enumerate(after) if piece.kind == "mark"), len(after))
    if ends < _LEAST or after[0].low not in ("in", "on") or (ends < len(after) and after[ends].low == "?"):
        return None
    plain = all(piece.kind in ("word", "side") for piece in after[: ends - 1])
    last = after[ends - 1]
    item = last.sense("part") or case.lexicon.likeliest(last.sense("short"))
    kind = case.lexicon.part_kind.get(item, "support-equipment")
    return last if plain and kind != "support-equipment" else None


def _sentence_before(pieces: Sequence[Piece], at: int) -> Sequence[Piece]:
    """Return the pieces of the sentence before the one that begins at a piece."""
    first = next((n for n in range(at - 2, -1, -1) if pieces[n].ends_sentence), -1)
    return pieces[first + 1 : at]
