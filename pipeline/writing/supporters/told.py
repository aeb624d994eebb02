"""A sentence of the report with what is behind it: the entries, or the list, that its words come from."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from pipeline.writing.supporters.privacy import Gate
from pipeline.writing.supporters.steps import Step


@dataclass(frozen=True)
class Told:
    """A clause or sentence.

    ``behind`` are ids of entries, or "gloss: rudder", "reason: wing", "settings": never empty. ``other`` is the same
    thing said in another form, for where the first would begin like the sentence before it; "" for none.
    """

    text: str
    behind: tuple[str, ...]
    other: str = ""


def told(text: str, *steps: Step, other: str = "") -> Told:
    """Return a clause that steps are behind."""
    return Told(text, tuple(dict.fromkeys(one for step in steps for one in step.entries)), other)


def reason(text: str, of: str) -> Told:
    """Return a clause that is true of the trade in general, with the name of what it is the reason of."""
    return Told(text, (f"reason: {of}",))


def passed(gate: Gate, sentences: Iterable[Told], where: str) -> tuple[Told, ...]:
    """Return the sentences that may go out; the gate remembers the others."""
    return tuple(one for one in sentences if gate.text(one.text, where))


def words(sentences: Sequence[Told]) -> str:
    """Return sentences as running text."""
    return " ".join(one.text for one in sentences)
