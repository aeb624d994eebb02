"""What speaks for and against reading a name where something else was heard, and the chance that it is right.

Each piece of evidence is a number with a name. A weighted sum of them, through the logistic function, is the chance.
The weights are in ``repair_weights`` and are fitted on words that were heard wrong; what is not known (no word
probabilities, no second look) counts neither way, apart from a weight of its own.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import log
from statistics import fmean

from rapidfuzz.distance import Indel

from pipeline.hearing import weighing
from pipeline.hearing.heard_text import TextWord
from pipeline.hearing.phones import consonants, phones, phones_alike
from pipeline.hearing.repair_weights import WEIGHTS
from pipeline.reading.forms import word_set

NUMBERS = word_set(
    "one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen "
    "eighteen nineteen twenty thirty forty fifty sixty seventy eighty ninety hundred thousand"
)
SMALL_WORDS = word_set(
    "a an the and or but of to in on at for from with by is was are were be it its it's that this there we i you he "
    "they so as if then up off out"
)
_SEVERAL = (NUMBERS - {"one"}) | word_set("both several few some all many more other these those")
_DETERMINERS = word_set(
    "the a an this that its our your their his her my each every another one port starboard left right front rear "
    "top bottom upper lower inner outer main"
)
_SIDES = word_set("port starboard left right left-hand right-hand hand")
_EACH = {("each",), ("apiece",), ("a", "side"), ("per", "side"), ("each", "side"), ("either", "side")}
_STATES = {(word,) for word in ("is", "are", "was", "were", "has", "have", "came", "comes")}
_HOLDERS = word_set("by with on")
_JOINERS = word_set("by with and nor or of")
NEAR_WORDS, BESIDE_WORDS = 10, 2
# A known word counts as the trade's by how far it is from everyday English (zipf scale).
EVERYDAY_ZIPF, MOST_TRADE = 5.0, 3.0
RARE_ZIPF = 3.2
POOR = 0.7  # mean probability of a text's words


@dataclass(frozen=True)
class SoundedName:
    """A name that may be read: as text, in plain words, as its phones, and how common its rarest word is.

    ``is_counted`` is True for the plural of a name of things that are counted more than others.
    """

    text: str
    words: tuple[str, ...]
    sound: str
    zipf: float
    is_plural: bool
    is_counted: bool


@dataclass(frozen=True)
class HeardText:
    """A heard text with what is known about it.

    ``known`` are the known names in it as (first word, word after the last, how much it tells of the trade).
    ``probabilities`` and ``others`` have one for each space-separated piece, or are None.
    """

    text: str
    words: tuple[TextWord, ...]
    pieces: tuple[str, ...]
    known: tuple[tuple[int, int, float], ...]
    probabilities: Sequence[float] | None
    others: Sequence[str | None] | None

    @property
    def is_poor(self) -> bool:
        """Whether most of it was hard to hear: what was heard is then often too far from what was said."""
        return bool(self.probabilities) and fmean(self.probabilities or ()) < POOR


@dataclass(frozen=True)
class Window:
    """Words ``start`` to ``end`` (exclusive) of a heard text."""

    heard: HeardText
    start: int
    end: int
    plain: tuple[str, ...]
    sound: str

    @property
    def words(self) -> tuple[TextWord, ...]:
        """Its words."""
        return self.heard.words[self.start : self.end]


def evidence(window: Window, name: SoundedName, zipf: Callable[[str], float]) -> dict[str, float]:
    """Gather the evidence for reading a name in a window.

    Args:
        window: what was heard.
        name: what may be read.
        zipf: how common a word is in everyday English.

    Returns:
        Numbers by the names that ``WEIGHTS`` has, most of them from 0 to 1.
    """
    changed = [word for word in window.plain if word not in name.words] or list(window.plain)
    commonness = [zipf(word) for word in changed]
    rarest = min(commonness)
    heard = window.heard
    return {
        "always": 1.0,
        **_likeness(window, name),
        "unknown word": float(rarest == 0.0),
        "rarity": max(0.0, RARE_ZIPF + 1 - rarest) / 4,
        "commonness": max(0.0, rarest - RARE_ZIPF) / 4,
        "everyday word": max(0.0, rarest - EVERYDAY_ZIPF + 0.7),
        "surprise": min(20.0, sum(7.5 - one for one in commonness)) / 10,
        "words heard": len(window.plain) - 1.0,
        "words named": len(name.words) - 1.0,
        "words changed": float(len(changed) - 1),
        "heard a plural": float(window.plain[-1].endswith("s")),
        "heard a plural where one is": float(window.plain[-1].endswith("s") and not name.words[-1].endswith("s")),
        "kept": (len(window.plain) - len(changed)) / len(window.plain) if changed else 1.0,
        "name is everyday": max(0.0, name.zipf - RARE_ZIPF) / 3,
        "small word first": float(window.plain[0] in SMALL_WORDS),
        "small word last": float(window.plain[-1] in SMALL_WORDS),
        "capital": float(_is_capital(window)),
        **_neighbours(window, name),
        **_recogniser(heard, window),
        **_other_look(heard, window, name),
    }


def chance(found: Mapping[str, float], weights: Mapping[str, float] = WEIGHTS) -> float:
    """Give the chance, from 0 to 1, that a repair with this evidence is right."""
    return weighing.chance(found, weights)


def reasons(window: Window, name: SoundedName, found: Mapping[str, float], zipf: Callable[[str], float]) -> list[str]:
    """Say in words what speaks for a repair."""
    said = [f'sounds like "{name.text}" ({found["sound"]:.0%})']
    rarest = min([word for word in window.plain if word not in name.words] or window.plain, key=zipf)
    if zipf(rarest) <= RARE_ZIPF:
        said.append(f'"{rarest}" is {"rare" if zipf(rarest) else "unknown"} in everyday English')
    near = _nearest_known(window)
    if near:
        said.append(f'near "{near}"')
    if found["count before a plural"]:
        said.append(f'counted things come after "{window.heard.words[window.start - 1].plain}"')
    if found["other look is the name"]:
        said.append("the second look heard this name")
    elif found["other look differs"]:
        said.append("the two looks differ here")
    if found["doubt"] > 0:
        lowest = min((window.heard.probabilities or [1.0])[word.token] for word in window.words)
        said.append(f"the recogniser itself was only {lowest:.0%} sure")
    if window.heard.is_poor:
        said.append("most of this was hard to hear")
    return said


def _likeness(window: Window, name: SoundedName) -> dict[str, float]:
    sound = phones_alike(window.sound, name.sound)
    return {
        "sound": sound,
        "sound near the same": max(0.0, sound - 0.8) * 5,
        "misfit": (1 - sound) * max(len(window.sound), len(name.sound)) / 4,
        "consonants": Indel.normalized_similarity(consonants(window.sound), consonants(name.sound)),
        "first sound": float(window.sound[:1] == name.sound[:1]),
        "last sound": float(window.sound[-1:] == name.sound[-1:]),
        "spelling": Indel.normalized_similarity("".join(window.plain), "".join(name.words)),
        "length": log(len(name.sound) / 4),
    }


def _neighbours(window: Window, name: SoundedName) -> dict[str, float]:
    near = beside = 0.0
    for _, weight, away in _known_near(window):
        near += weight
        beside += weight * (away <= BESIDE_WORDS)
    before, after = _word_before(window), _words_after(window)
    count = before in _SEVERAL or (before.isdigit() and before != "1")
    return {
        "trade near": min(near, 3 * MOST_TRADE) / 9,
        "trade beside": min(beside, MOST_TRADE) / 3,
        "no trade near": float(near < 1),
        "count before a plural": float(count and name.is_plural),
        "count before what is counted": float(count and name.is_counted),
        "count before a singular": float(count and not name.is_plural),
        "article before": float(before in _DETERMINERS),
        "side before": float(before in _SIDES),
        "held by before": float(name.is_plural and _is_held_by(window)),
        "each after": float(name.is_plural and not _EACH.isdisjoint((after[:1], after))),
        "state after": float(after[:1] in _STATES),
        "joiner before": float(before in _JOINERS),
    }


def trade_weight(words: Sequence[TextWord], zipf: Callable[[str], float]) -> float:
    """Say how much a known name tells of the trade, from 0 to ``MOST_TRADE``: by its rarest word."""
    return min(MOST_TRADE, max(0.0, EVERYDAY_ZIPF - min(zipf(word.plain) for word in words)))


def _known_near(window: Window) -> Iterator[tuple[int, float, int]]:
    """Give the number and the weight of each known name near a window, and how many words off it is."""
    for at, (first, after, weight) in enumerate(window.heard.known):
        if first >= window.end or after <= window.start:
            away = window.start - after + 1 if after <= window.start else first - window.end + 1
            if away <= NEAR_WORDS:
                yield at, weight, away


def _nearest_known(window: Window) -> str:
    near = [(away, at) for at, weight, away in _known_near(window) if weight > 0]
    if not near:
        return ""
    first, after, _ = window.heard.known[min(near)[1]]
    return " ".join(word.plain for word in window.heard.words[first:after])


def _word_before(window: Window) -> str:
    first = window.words[0]
    return window.heard.words[window.start - 1].plain if window.start and first.joined else ""


def _words_after(window: Window) -> tuple[str, ...]:
    """Give the two words after it, as far as they are said in one go with it."""
    words = window.heard.words[window.end : window.end + 2]
    joined = [word.joined for word in words]
    return tuple(word.plain for at, word in enumerate(words) if all(joined[: at + 1]))


def _is_held_by(window: Window) -> bool:
    """Whether it stands where things that hold are counted: "by eight …"."""
    words = window.heard.words[max(0, window.start - 2) : window.start]
    if len(words) < 2 or not window.words[0].joined or not words[1].joined:
        return False
    return words[0].plain in _HOLDERS and (words[1].plain in _SEVERAL or words[1].is_number)


def _is_capital(window: Window) -> bool:
    """Whether it starts with a capital in the middle of a sentence, as proper names do."""
    return window.start > 0 and window.words[0].joined and window.heard.text[window.words[0].start].isupper()


def _recogniser(heard: HeardText, window: Window) -> dict[str, float]:
    if not heard.probabilities:
        return {"no probabilities": 1.0, "doubt": 0.0, "trust": 0.0}
    lowest = min(heard.probabilities[word.token] for word in window.words)
    return {
        "no probabilities": 0.0,
        "doubt": max(0.0, 0.7 - lowest) / 0.7,
        "trust": max(0.0, lowest - 0.7) / 0.3,
    }


def _other_look(heard: HeardText, window: Window, name: SoundedName) -> dict[str, float]:
    unknown = {
        "no other look": 1.0,
        "other look differs": 0.0,
        "other look nearer": 0.0,
        "other look is the name": 0.0,
    }
    if heard.others is None:
        return unknown
    tokens = range(window.words[0].token, window.words[-1].token + 1)
    found = [heard.others[token] for token in tokens]
    if all(one is None for one in found):
        return {**unknown, "no other look": 0.0}
    other = " ".join(
        heard.pieces[token] if one is None else one for token, one in zip(tokens, found, strict=True)
    ).strip()
    squeezed = "".join(letter for letter in other.lower() if letter.isalpha())
    nearer = phones_alike("".join(phones(other)), name.sound) - phones_alike(window.sound, name.sound)
    return {
        "no other look": 0.0,
        "other look differs": 1.0,
        "other look nearer": nearer if other else 0.0,
        "other look is the name": float("".join(name.words).removesuffix("s") in squeezed),
    }
