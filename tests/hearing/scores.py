"""What was heard and read, compared with what was said: words, trade terms, repairs and doubts, in counts."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

import jiwer

from pipeline.hearing.heard_text import plurals
from pipeline.reading.forms import word_set
from tests.hearing.plain_words import PlainWord, joined_alike, plain, plain_words

LONGEST_TERM = 5
# A run of so many words lost, or invented, is counted for itself.
LONG_RUN = 3
FLAGGED_SHARE = 0.1
CHANCE_EDGES = (0.0, 0.05, 0.15, 0.3, 0.6, 1.0)
# Words on which the record hangs, besides numbers.
KEY_WORDS = word_set(
    "port starboard left right both frame frames station stations rib ribs stringer bay bag bags tag tags rack shelf "
    "box pallet stand room p inner outer inboard outboard upper lower top bottom front rear forward aft"
)
Terms = frozenset[tuple[str, ...]]


@dataclass(frozen=True)
class ReadWord:
    """A word as read, with its chance of being wrong (0 to 1), and whether it is marked unsure."""

    text: str
    chance_wrong: float
    marked: bool


@dataclass(frozen=True)
class Repair:
    """An applied correction: ``heard[start:end]`` of the whole recording was read as ``read``."""

    start: int
    end: int
    read: str


@dataclass
class Score:
    """Counts of one recording or of many, and for each word read (chance of being wrong, marked, is wrong)."""

    counts: Counter[str] = field(default_factory=Counter)
    doubts: list[tuple[float, bool, bool]] = field(default_factory=list)

    def add(self, other: "Score") -> None:
        self.counts += other.counts
        self.doubts += other.doubts


class Comparison:
    """Two texts, word by word: what of ``said`` stands where in ``heard``, and the other way round."""

    def __init__(self, said: str, heard: str) -> None:
        first, second = plain_words(said), plain_words(heard)
        self.heard = joined_alike([word.text for word in first], second)
        self.said = joined_alike([word.text for word in second], first)
        said_text, heard_text = (" ".join(word.text for word in words) for words in (self.said, self.heard))
        # jiwer takes no empty reference.
        if self.said:
            self._chunks = jiwer.process_words(said_text, heard_text).alignments[0]
        else:
            self._chunks = [jiwer.AlignmentChunk("insert", 0, 0, 0, len(self.heard))] if self.heard else []

    @property
    def errors(self) -> int:
        return sum(
            max(chunk.ref_end_idx - chunk.ref_start_idx, chunk.hyp_end_idx - chunk.hyp_start_idx)
            for chunk in self._chunks
            if chunk.type != "equal"
        )

    @property
    def long_runs_lost(self) -> int:
        runs = (self.said[one.ref_start_idx : one.ref_end_idx] for one in self._chunks if one.type == "delete")
        return sum(len({word.token for word in run}) >= LONG_RUN for run in runs)

    @property
    def long_runs_invented(self) -> int:
        runs = (self.heard[one.hyp_start_idx : one.hyp_end_idx] for one in self._chunks if one.type == "insert")
        return sum(len({word.token for word in run}) >= LONG_RUN for run in runs)

    def wrong(self) -> list[tuple[PlainWord, str]]:
        """List each heard word that is wrong, with the said word in whose place it stands ("" for none)."""
        out = []
        for chunk in self._chunks:
            for nth in range(chunk.hyp_end_idx - chunk.hyp_start_idx if chunk.type != "equal" else 0):
                there = self.said[chunk.ref_start_idx + nth].text if chunk.type == "substitute" else ""
                out.append((self.heard[chunk.hyp_start_idx + nth], there))
        return out

    def is_right(self, heard: str, start: int, end: int) -> bool:
        """Tell whether all words at ``heard[start:end]`` are right, but for a plural."""
        tokens = range(len(heard[:start].split(" ")) - 1, len(heard[:end].split(" ")))
        return not any(
            word.token in tokens and _squeezed([word.text]) != _squeezed([there]) for word, there in self.wrong()
        )

    def has_name(self, start: int, end: int, name: str) -> bool:
        """Tell whether the name that was said here was also heard here."""
        return _holds(self.heard_in_place_of(start, end), name)

    def heard_in_place_of(self, start: int, end: int) -> list[PlainWord]:
        """Give what was heard between the words that were said before ``start`` and from ``end`` on."""
        pairs = self._pairs()
        low = max((heard for said, heard in pairs if said < start), default=-1) + 1
        high = min((heard for said, heard in pairs if said >= end), default=len(self.heard))
        return self.heard[low:high]

    def said_in_place_of(self, start: int, end: int) -> list[PlainWord]:
        pairs = self._pairs()
        low = max((said for said, heard in pairs if heard < start), default=-1) + 1
        high = min((said for said, heard in pairs if heard >= end), default=len(self.said))
        return self.said[low:high]

    def _pairs(self) -> list[tuple[int, int]]:
        return [
            (chunk.ref_start_idx + nth, chunk.hyp_start_idx + nth)
            for chunk in self._chunks
            if chunk.type in ("equal", "substitute")
            for nth in range(chunk.ref_end_idx - chunk.ref_start_idx)
        ]


def score(said: str, heard: str, words: Sequence[ReadWord], repairs: Iterable[Repair], terms: Terms) -> Score:
    """Compare one recording.

    Args:
        said: what was said.
        heard: all words as heard, parted by single spaces.
        words: all words as read.
        repairs: what was corrected between the two.
        terms: as ``terms_of`` gives them.
    """
    read = " ".join(word.text for word in words)
    before, after = Comparison(said, heard), Comparison(said, read)
    out = Score()
    out.counts += Counter(
        {
            "words": len(after.said),
            "heard errors": before.errors,
            "read errors": after.errors,
            "strict errors": strict_errors(said, read),
            "strict words": len(plain(said)),
            "runs lost": after.long_runs_lost,
            "runs invented": after.long_runs_invented,
        }
    )
    out.counts += _terms(before, terms, "heard") + _terms(after, terms, "read")
    out.counts += Counter(f"repairs {effect(said, heard, one)}" for one in repairs)
    _add_doubts(out, after, words)
    return out


def terms_of(names: Iterable[str]) -> Terms:
    """Make the names that are looked for: as they are, in the plural, and written as one word."""
    once = {tuple(plain(name)) for name in names} - {()}
    forms = once | {plurals(words) for words in once}
    return frozenset(forms | {("".join(words),) for words in forms})


def terms_in(words: Sequence[PlainWord], terms: Terms) -> list[tuple[int, int, str]]:
    """Find names, the longest first: (start, end, name without spaces or plural)."""
    texts, found, at = [word.text for word in words], [], 0
    while at < len(texts):
        count = next((n for n in range(LONGEST_TERM, 0, -1) if tuple(texts[at : at + n]) in terms), 0)
        if count:
            found.append((at, at + count, _squeezed(texts[at : at + count])))
        at += count or 1
    return found


def effect(said: str, heard: str, repair: Repair) -> str:
    """Tell what a repair did, a plural for a singular being let pass.

    "good": wrong words became right. "bad": wrong words became other wrong ones. "false": right words became wrong,
    or there are more errors than before. "same": right words stayed right.
    """
    repaired = heard[: repair.start] + repair.read + heard[repair.end :]
    before, after = Comparison(said, heard), Comparison(said, repaired)
    was_right = before.is_right(heard, repair.start, repair.end)
    is_right = after.is_right(repaired, repair.start, repair.start + len(repair.read))
    if after.errors > before.errors or (was_right and not is_right):
        return "false"
    if was_right:
        return "same"
    return "good" if is_right else "bad"


def strict_errors(said: str, read: str) -> int:
    """Count errors where a word written as two is two errors."""
    if not plain(said):
        return len(plain(read))
    out = jiwer.process_words(" ".join(plain(said)), " ".join(plain(read)))
    return int(out.substitutions + out.deletions + out.insertions)


@dataclass(frozen=True)
class Flagging:
    """Of ``wrong`` wrong words, how many are among the ``flagged``, and how many could be at most."""

    words: int
    wrong: int
    flagged: int
    found: int

    @property
    def recall(self) -> float:
        return self.found / max(1, self.wrong)

    @property
    def precision(self) -> float:
        return self.found / max(1, self.flagged)

    @property
    def share_of_most(self) -> float:
        return self.found / max(1, min(self.flagged, self.wrong))


def most_doubtful(doubts: Sequence[tuple[float, bool, bool]]) -> Flagging:
    """Flag the tenth of all words with the highest chance of being wrong."""
    budget = round(FLAGGED_SHARE * len(doubts))
    # The sort is stable: of words with the same chance, those that were said first are flagged.
    flagged = sorted(doubts, key=lambda doubt: -doubt[0])[:budget]
    return Flagging(len(doubts), sum(d[2] for d in doubts), budget, sum(d[2] for d in flagged))


def marked(doubts: Sequence[tuple[float, bool, bool]]) -> Flagging:
    flagged = [doubt for doubt in doubts if doubt[1]]
    return Flagging(len(doubts), sum(d[2] for d in doubts), len(flagged), sum(d[2] for d in flagged))


def brier(doubts: Sequence[tuple[float, bool, bool]]) -> float:
    return sum((chance - wrong) ** 2 for chance, _, wrong in doubts) / max(1, len(doubts))


def reliability(doubts: Sequence[tuple[float, bool, bool]]) -> list[tuple[float, float, int, float, float]]:
    """For each range of chances (from, to): how many words, the mean chance, and the share that is wrong."""
    rows = []
    for low, high in pairwise(CHANCE_EDGES):
        inside = [doubt for doubt in doubts if low <= doubt[0] < high or doubt[0] == high == 1]
        count = max(1, len(inside))
        rows.append((low, high, len(inside), sum(d[0] for d in inside) / count, sum(d[2] for d in inside) / count))
    return rows


def _terms(comparison: Comparison, terms: Terms, name: str) -> Counter[str]:
    wanted, claimed = terms_in(comparison.said, terms), terms_in(comparison.heard, terms)
    return Counter(
        {
            f"{name} terms": len(wanted),
            f"{name} terms found": sum(comparison.has_name(start, end, key) for start, end, key in wanted),
            f"{name} terms claimed": len(claimed),
            f"{name} terms right": sum(
                _holds(comparison.said_in_place_of(start, end), key) for start, end, key in claimed
            ),
        }
    )


def _holds(words: Sequence[PlainWord], key: str) -> bool:
    texts = [word.text for word in words]
    runs = (texts[at:end] for at in range(len(texts)) for end in range(at + 1, len(texts) + 1))
    return any(_squeezed(run) == key for run in runs)


def _squeezed(words: Sequence[str]) -> str:
    return "".join(words).removesuffix("'s").removesuffix("s")


def _add_doubts(out: Score, comparison: Comparison, words: Sequence[ReadWord]) -> None:
    """Count doubts word by word; a word is wrong where one of its figures or parts is."""
    wrong = comparison.wrong()
    wrong_tokens = {word.token for word, _ in wrong}
    key_tokens = {word.token for word, there in wrong if _is_key(word.text) or _is_key(there)}
    out.doubts += [(word.chance_wrong, word.marked, at in wrong_tokens) for at, word in enumerate(words)]
    out.counts["key words wrong"] += len(key_tokens)
    out.counts["key words wrong and marked"] += sum(words[at].marked for at in key_tokens)


def _is_key(text: str) -> bool:
    return text.isdigit() or text in KEY_WORDS
