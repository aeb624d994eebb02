"""What may not go out to supporters: the gate that every sentence, caption and picture of the plan passes.

Nothing is reworded here. A sentence that holds something that must stay inside is left out whole and is listed, with
the reason, for the editor alone. What the reasons are is in ``withheld``; ``public_files`` looks at the end again.
"""

from collections.abc import Iterable, Sequence

from pipeline.records import FactRecord, Records
from pipeline.settings import Released, Settings
from pipeline.writing.supporters.withheld import FINDING, Watch, Withheld
from pipeline.writing.supporters.withheld_findings import ReleasedFindings
from pipeline.writing.terms import Terms

__all__ = ["TELLS_OF_FINDINGS", "Gate", "Withheld", "inner_keys", "keep_fact"]

# Work that tells of a fault that was found, or of its outcome.
TELLS_OF_FINDINGS = frozenset({"inspect", "measure", "test", "treat", "repair", "strip-finish"})


# Of which the work itself is told, and only what came of it is not.
_LOOKED_AT = frozenset({"inspect", "measure", "test"})


class Gate:
    """Lets text through or keeps it back, and remembers what was kept."""

    def __init__(
        self,
        settings: Settings,
        ordinary: frozenset[str] = frozenset(),
        terms: Terms | None = None,
        records: Records | None = None,
    ) -> None:
        """Take names without consent, places and words to withhold from the book's settings.

        Args:
            settings: the book's settings.
            ordinary: words of the trade, in small letters: a name that is one counts with its capital only.
            terms: the vocabulary, whose words are nobody's names.
            records: what was said, against which quotations are held, and names of files and devices.
        """
        self._watch = Watch(settings, terms, records, ordinary)
        self._kept: list[Withheld] = []

    @property
    def withheld(self) -> tuple[Withheld, ...]:
        """What was kept back so far, each thing once, in the order met."""
        return tuple(dict.fromkeys(self._kept))

    @property
    def leans_on_the_book(self) -> bool:
        """Whether anything was kept back so far for a name of a file or a device, or for a caution of the book."""
        return self._watch.leans_on_the_book

    def text(self, text: str, where: str) -> str:
        """Return the text as it is, or "" where it holds anything that may not go out."""
        reasons = self.reasons(text)
        self._kept.extend(Withheld(text, why, where) for why in reasons)
        return "" if reasons else text

    def texts(self, texts: Iterable[str], where: str) -> tuple[str, ...]:
        """Return those of the texts that may go out."""
        return tuple(one for text in texts if (one := self.text(text, where)))

    def keep_back(self, what: str, why: str, where: str) -> None:
        """List something that the plan left out by itself."""
        self._kept.append(Withheld(what, why, where))

    def reasons(self, text: str) -> tuple[str, ...]:
        """Return why a text may not go out; empty where it may."""
        return self._watch.reasons(text)

    def names_somebody(self, text: str) -> tuple[str, ...]:
        """Return which names, places and words of the book's settings a text of any kind holds, and no more."""
        return self._watch.names_somebody(text)

    def look_ahead(self, texts: Iterable[str]) -> None:
        """Read many texts at once, of which the reasons are asked soon."""
        self._watch.look_ahead(texts)


def keep_fact(fact: FactRecord, released: Sequence[Released] = ()) -> str:
    """Return why a whole fact may not be told, "" where it may.

    Args:
        fact: the fact.
        released: the findings that somebody let out, as the book's settings list them.
    """
    if fact.status == "seen":
        return "" if ReleasedFindings(released, None).holds(fact) else FINDING
    if fact.act in TELLS_OF_FINDINGS:
        return "work that tells of a finding that has not been released"
    return ""


def tells_of_mending(fact: FactRecord) -> bool:
    """Tell whether a fact tells of work that there would be none of without a finding."""
    return fact.act in TELLS_OF_FINDINGS - _LOOKED_AT


def inner_keys(fact: FactRecord) -> tuple[str, ...]:
    """Return the keys of a fact that are never told, by name: its tag number and its storage place."""
    named = (("tag number", fact.tag is not None), ("storage place", fact.stowage is not None))
    return tuple(name for name, there in named if there)
