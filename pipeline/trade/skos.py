"""The vocabulary as SKOS in Turtle, for archives and other programs.

Source: W3C, SKOS Reference (Recommendation, 18 August 2009), and RDF 1.1 Turtle (Recommendation, 25 February 2014).
"""

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from pipeline.reading.vocabulary import Vocabulary
from pipeline.trade.entries import Act, Finding, Part

# A tag URI (RFC 4151) under a name that RFC 2606 keeps from ever being a real domain: it names, and leads nowhere.
NAMESPACE = "tag:saidseen.invalid,2026:"
LANGUAGE = "en-GB"
_ESCAPES = str.maketrans({"\\": "\\\\", '"': '\\"', "\n": "\\n", "\r": "\\r", "\t": "\\t"})


class _Concept(NamedTuple):
    """One concept: labels in the order of preference, and what else is said of it."""

    list: str
    notation: str
    preferred: str
    others: tuple[str, ...]
    hidden: tuple[str, ...] = ()
    definition: str = ""
    broader: str = ""
    notes: tuple[str, ...] = ()


def to_turtle(vocabulary: Vocabulary, title: str) -> str:
    """Write the parts, acts and findings of a vocabulary as SKOS concept schemes.

    Args:
        vocabulary: the vocabulary; each of the three lists becomes a scheme.
        title: what it is called, in plain text.

    Returns:
        Turtle, the same for the same vocabulary. A label stands once for a concept, and in one role only (SKOS S13);
        a concept has one preferred label (S14). A short name that several parts share is a hidden label of each.
    """
    schemes = {
        "part": [_of_part(vocabulary, part) for part in vocabulary.parts],
        "act": [_of_act(act) for act in vocabulary.acts],
        "finding": [_of_finding(finding) for finding in vocabulary.findings],
    }
    lines = [
        "@prefix skos: <http://www.w3.org/2004/02/skos/core#> .",
        "@prefix dct: <http://purl.org/dc/terms/> .",
        f"@prefix scheme: <{NAMESPACE}scheme/> .",
        *(f"@prefix {name}: <{NAMESPACE}{name}/> ." for name in schemes),
    ]
    for name, concepts in schemes.items():
        lines += ["", *_scheme(name, f"{title}: {name}s", concepts)]
        for concept in concepts:
            lines += ["", *_concept(concept)]
    return "\n".join(lines) + "\n"


def _scheme(name: str, title: str, concepts: Sequence[_Concept]) -> Iterator[str]:
    tops = ", ".join(f"{name}:{concept.notation}" for concept in concepts if not concept.broader)
    yield f"scheme:{name} a skos:ConceptScheme ;"
    yield f"    dct:title {_text(title)}{' ;' if tops else ' .'}"
    if tops:
        yield f"    skos:hasTopConcept {tops} ."


def _concept(concept: _Concept) -> Iterator[str]:
    others = _without(concept.others, [concept.preferred])
    hidden = _without(concept.hidden, [concept.preferred, *others])
    said = [
        f"skos:inScheme scheme:{concept.list}",
        f'skos:notation "{concept.notation}"',
        f"skos:prefLabel {_text(concept.preferred)}",
    ]
    said += [f"skos:altLabel {', '.join(map(_text, others))}"] if others else []
    said += [f"skos:hiddenLabel {', '.join(map(_text, hidden))}"] if hidden else []
    said += [f"skos:definition {_text(concept.definition)}"] if concept.definition else []
    said += [f"skos:note {_text(note)}" for note in concept.notes]
    above = f"skos:broader {concept.list}:{concept.broader}"
    said.append(above if concept.broader else f"skos:topConceptOf scheme:{concept.list}")
    yield f"{concept.list}:{concept.notation} a skos:Concept ;"
    for number, statement in enumerate(said, start=1):
        yield f"    {statement}{' .' if number == len(said) else ' ;'}"


def _of_part(vocabulary: Vocabulary, part: Part) -> _Concept:
    titles = {chapter.chapter: chapter.title for chapter in vocabulary.chapters}
    zones = {zone.notation: zone.preferred for zone in vocabulary.zones}
    notes = [f"System chapter {part.chapter}: {titles.get(part.chapter, '')}".rstrip(": ")] if part.chapter else []
    notes.append(f"Zone: {zones.get(part.zone, part.zone)}")
    shared = tuple(short.name for short in vocabulary.shorts if part.notation in short.may_be)
    return _Concept(
        "part", part.notation, part.preferred, part.alternatives, shared, part.gloss, part.broader, tuple(notes)
    )


def _of_act(act: Act) -> _Concept:
    sayings = [" ".join(word for word in saying.partition("<")[0].split() if word != "~") for saying in act.sayings]
    return _Concept("act", act.notation, act.preferred, tuple(sayings), definition=act.gloss)


def _of_finding(finding: Finding) -> _Concept:
    words = [
        " ".join(name.replace("~", " ").split()) for name in (*finding.nouns, *finding.adjectives, *finding.verbs)
    ]
    return _Concept("finding", finding.notation, finding.preferred, tuple(words), definition=finding.gloss)


def _without(labels: Iterable[str], taken: Sequence[str]) -> list[str]:
    return [label for label in dict.fromkeys(labels) if label and label not in taken]


def _text(text: str) -> str:
    return f'"{text.translate(_ESCAPES)}"@{LANGUAGE}'
