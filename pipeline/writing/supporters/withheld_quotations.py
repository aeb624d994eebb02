"""Quotations: each word for word out of what was said, with no word in doubt, by somebody who agreed to be named."""

import re
from collections.abc import Iterable

from pipeline.records import UtteranceRecord
from pipeline.writing.supporters.withheld_text import plain

QUOTED = re.compile(
    r"[\u201c\u201e\u00ab]([^\u201d\u00bb]+)[\u201d\u00bb]|\"([^\"]+)\""
    r"|(?<!\w)\u2018((?:[^\u2019]|\u2019(?=\w))+)\u2019(?!\w)|(?<!\w)'((?:[^']|'(?=\w))+)'(?!\w)"
)
_LEAST_WORDS = 3  # fewer words in quotation marks are a term, not somebody's sentence
_SAYS = r"(?:says?|said|reckons|explains|explained|recalls|remembers|told us|tells us|adds|added|puts it)"
# "@" stands for the name: "says Alex", "Alex, our rigger, says", or the name behind a dash at the end
_SAID_BY = rf"\b{_SAYS},? (?:our \w+,? )?@(?!\w)|(?<!\w)@(?:,[^.,]*,)? {_SAYS}\b|[-\"\u201d] ?@(?:,[^.]*)?\.?$"
_WORD = re.compile(r"\S+")


class Quotations:
    """Holds what was said, to check quotations against.

    Args:
        utterances: everything that was said.
        agreed: full names and other names of people who agreed to be named.
        all_agreed: whether everybody in the team did.
        let_out: words that somebody who may say so has let out, whoever said them.
    """

    def __init__(
        self,
        utterances: Iterable[UtteranceRecord],
        agreed: Iterable[str],
        *,
        all_agreed: bool,
        let_out: Iterable[str] = (),
    ) -> None:
        """Take what was said, each utterance with the words in doubt marked."""
        self._said = [(plain(one.read), tuple(_unsure(one))) for one in utterances]
        self._agreed = [plain(name) for name in agreed if name.strip()]
        self._all_agreed = all_agreed
        self._let_out = frozenset(plain(one).rstrip(" ,") for one in let_out)

    def fault_of(self, text: str, around: str) -> str:
        """Return why the quotations in a text may not go out, "" where there is none or they may.

        Args:
            text: a sentence.
            around: the paragraph that it stands in, which names the speaker.
        """
        for quoted in quotations(text):
            if why := self._fault(quoted):
                return why
            if plain(quoted).rstrip(" ,") not in self._let_out and (why := self._speaker(around)):
                return why
        return ""

    def _fault(self, quoted: str) -> str:
        wanted = plain(quoted).rstrip(" ,")
        found = False
        for said, unsure in self._said:
            at = said.find(wanted)
            while at >= 0:
                whole = not (said[at - 1 : at].isalnum() or said[at + len(wanted) :][:1].isalnum())
                if whole:
                    found = True
                    if not any(start < at + len(wanted) and end > at for start, end in unsure):
                        return ""
                at = said.find(wanted, at + 1)
        return "a quotation with a word in doubt" if found else "a quotation that is not word for word what was said"

    def _speaker(self, around: str) -> str:
        said_by = plain(around)
        if self._all_agreed or any(re.search(_SAID_BY.replace("@", re.escape(one)), said_by) for one in self._agreed):
            return ""
        return "a quotation whose speaker is not named, or has not agreed to be"


def quotations(text: str) -> tuple[str, ...]:
    """Return what stands in quotation marks in a text, where it is long enough to be somebody's words."""
    found = (next(one for one in match.groups() if one) for match in QUOTED.finditer(text))
    return tuple(one for one in found if len(_WORD.findall(one)) >= _LEAST_WORDS)


def _unsure(one: UtteranceRecord) -> Iterable[tuple[int, int]]:
    """Yield (from, to) of each word in doubt, in the plain letters of what was read."""
    for span in one.unsure:
        yield len(plain(one.read[: span.start] + "|")) - 1, len(plain(one.read[: span.end]))
