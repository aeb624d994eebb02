"""Names of the team, heard as other words where somebody says who speaks: "Call speaking", "Parent here".

A name is read only before "here" or "speaking" where a sentence begins, and only one that sounds much like what was
heard: a guest who is not of the team keeps their own name.

Source: common practice, no source.
"""

from collections.abc import Iterator, Sequence

from pipeline.hearing.evidence import HeardText
from pipeline.hearing.heard_text import TextWord, name_words, starts_sentence
from pipeline.hearing.phones import sounds_like
from pipeline.reading.forms import word_set
from pipeline.values import Correction

_SPEAKS = ("here", "speaking")
_BEFORE_A_NAME = word_set("this is it hello hi okay ok right so and now well morning afternoon")  # "it": of "it's"
# "Over here", "look here", "we call here": said of places, whoever is called so.
_PLACES = word_set(
    "over down up in out right left just round along back look see there through under inside outside where is was "
    "are were and but so now still stay come came not bit that this what who nobody everybody everything all "
    "i you he she we they the an my our your"
)
_MOST_WORDS = 3
_SAME, _LIKE = 0.95, 0.6  # how alike names must sound where all was heard well, and where the recogniser doubts
_DOUBTED = 0.5
_APART = 0.05  # another person's name must be less like by so much
_LIKELY = 0.85


def introductions(heard: HeardText, team: Sequence[Sequence[str]]) -> Iterator[Correction]:
    """Find names of the team that were heard as other words where somebody says who speaks.

    Args:
        heard: what was heard, with how sure the recogniser was of it, and what a second look heard.
        team: of each person, what they may be called.

    Returns:
        Corrections at their places in the text; those of which the recogniser was too sure are suggestions.
    """
    called = {name_words(name) for names in team for name in names}
    for at, word in enumerate(heard.words):
        if word.plain not in _SPEAKS or not word.joined:
            continue
        spoken = _before(heard, at)
        plain = tuple(one.plain for one in spoken)
        if not 1 <= len(spoken) <= _MOST_WORDS or plain in called:
            continue
        if word.plain == "here" and not _PLACES.isdisjoint(plain):
            continue
        likeness, name = _nearest(" ".join(plain), team)
        if likeness < _LIKE:
            continue
        text = heard.text[spoken[0].start : spoken[-1].end]
        yield Correction(
            start=spoken[0].start,
            end=spoken[-1].end,
            heard=text,
            read=name,
            score=_LIKELY,
            why=f'"{text}" sounds like "{name}" of the team, and somebody says here who speaks',
            applied=likeness >= _SAME or _is_doubted(heard, spoken, name),
        )


def _before(heard: HeardText, at: int) -> Sequence[TextWord]:
    """Return the words from a sentence's beginning to one of its words, without "this is" before them."""
    first = at
    while first and heard.words[first].joined:
        first -= 1
    if not starts_sentence(heard.text, heard.words[first].start):
        return ()
    while first < at and heard.words[first].plain in _BEFORE_A_NAME:
        first += 1
    return heard.words[first:at]


def _nearest(spoken: str, team: Sequence[Sequence[str]]) -> tuple[float, str]:
    """Return how much the name of the team that sounds most like some words does, and it; 0 where two people's do."""
    best = sorted((max((sounds_like(spoken, name), name) for name in names) for names in team if names), reverse=True)
    if not best or (len(best) > 1 and best[1][0] > best[0][0] - _APART):
        return 0.0, ""
    return best[0]


def _is_doubted(heard: HeardText, spoken: Sequence[TextWord], name: str) -> bool:
    """Tell whether the recogniser was unsure of these words, or heard the name when it looked again."""
    pieces = range(spoken[0].token, spoken[-1].token + 1)
    if heard.others is not None and any(one is not None for one in (heard.others[piece] for piece in pieces)):
        again = " ".join(heard.others[piece] or heard.pieces[piece] for piece in pieces)
        if sounds_like(again, name) >= _SAME:
            return True
    return heard.probabilities is not None and min(heard.probabilities[piece] for piece in pieces) < _DOUBTED
