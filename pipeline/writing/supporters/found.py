"""What was found and has been let out: the finding in plain words, and what was done about it since."""

from collections.abc import Iterable, Sequence

from pipeline.english import in_words, month, plural, sentence
from pipeline.records import EntryRecord, FactRecord, FindingLine
from pipeline.settings import Released
from pipeline.writing.supporters.plain_names import plain_name
from pipeline.writing.supporters.steps import part_named, sides_of
from pipeline.writing.supporters.told import Told
from pipeline.writing.supporters.withheld_findings import ReleasedFindings
from pipeline.writing.terms import Terms

# How each finding of the vocabulary is told of a part; common practice, no source.
_FOUND = {
    "corrosion": "corrosion on {}", "crack": "a crack in {}", "dent": "a dent in {}", "wear": "{} worn",
    "play": "play in {}", "leak": "a leak at {}", "missing": "{} missing", "loose": "{} loose",
    "distortion": "{} bent", "scoring": "scratches on {}", "chafing": "{} chafed", "perished": "{} perished",
    "elongated-hole": "a hole worn oval in {}", "broken": "{} broken", "seized": "{} stuck fast",
    "contamination": "dirt in {}", "paint-loss": "paint gone from {}",
}  # fmt: skip
_SINCE = {"repair": "repaired it", "treat": "treated it", "make": "made a new one"}
_SINCE_MANY = {"repair": "repaired them", "treat": "treated them", "make": "made new ones"}
_MENDED = {"repair": "repaired", "treat": "treated", "make": "made anew"}
_GOOD = "sound"


def finding_text(fact: FactRecord, terms: Terms) -> str:
    """Return a finding on a part as a supporter hears it: "a crack in the port engine mount", "two ribs broken"."""
    name = part_named(str(fact.item), sides_of(fact.side), terms)
    if _number(fact) > 1:
        name = f"{in_words(_number(fact))} {plural(plain_name(terms, str(fact.item)))}"
    return _FOUND.get(str(fact.finding), f"{plain_name(terms, str(fact.finding))} on {{}}").format(name)


def is_told(fact: FactRecord, released: ReleasedFindings) -> bool:
    """Tell whether a fact is a finding that supporters are told: let out, and something that was amiss."""
    return fact.status == "seen" and not fact.absent and fact.finding not in (None, _GOOD) and released.holds(fact)


def found(entries: Sequence[EntryRecord], released: Iterable[Released], terms: Terms) -> list[Told]:
    """Return the findings of a period that were let out, each once, as clauses in the order of the work.

    Args:
        entries: those of the period, in order.
        released: what somebody let out.
        terms: the vocabulary.
    """
    let_out = ReleasedFindings(tuple(released), terms)
    told: dict[str, Told] = {}
    for at, entry in enumerate(entries):
        for fact in entry.facts:
            if is_told(fact, let_out):
                since, where = _since(fact, entries[at:])
                text = f"we found {finding_text(fact, terms)}{since}"
                told.setdefault(text, Told(sentence(text), tuple(dict.fromkeys((entry.id, *where)))))
    return list(told.values())


def mended(
    entries: Sequence[EntryRecord],
    lines: Iterable[FindingLine],
    released: Iterable[Released],
    terms: Terms,
    told: Iterable[Told],
) -> list[Told]:
    """Return what was done in a period about findings that were told before and let out, each once.

    Args:
        entries: those of the period, in order.
        lines: every finding of the book.
        released: what somebody let out.
        terms: the vocabulary.
        told: what ``found`` tells of the period.
    """
    let_out = ReleasedFindings(tuple(released), terms)
    own = {one.id: one for one in entries}
    before = {one for each in told for one in each.behind}
    made: dict[str, Told] = {}
    for line in lines:
        seen = FactRecord(
            status="seen",
            finding=line.finding,
            item=line.item,
            side=line.side,
            said="",
            utterances=(),
            confidence=1.0,
        )
        if line.absent or not line.item or not is_told(seen, let_out):
            continue
        for move in line.done:
            entry = own.get(move.entry)
            facts = () if entry is None or move.entry in before or move.on <= line.on else entry.facts
            if move.what in _MENDED and any((one.act, one.item) == (move.what, line.item) for one in facts):
                text = f"we have {_MENDED[move.what]} what we found in {month(line.on)}: {finding_text(seen, terms)}"
                made.setdefault(text, Told(sentence(text), (move.entry,)))
    return list(made.values())


def _since(fact: FactRecord, entries: Sequence[EntryRecord]) -> tuple[str, tuple[str, ...]]:
    """Return what was done about a finding since, as the end of a sentence, and the entries that tell of it."""
    for entry in entries:
        for one in entry.facts:
            same = one.item == fact.item and (not fact.side or not one.side or one.side == fact.side)
            if same and one.status == "done" and one.act in _SINCE:
                done = (_SINCE_MANY if _number(fact) > 1 else _SINCE)[one.act]
                return f", and have {done}", (entry.id,)
    return "", ()


def _number(fact: FactRecord) -> int:
    """Return how many of the part the finding is on, as far as somebody said."""
    return fact.count if fact.count and fact.of == fact.item else 1
