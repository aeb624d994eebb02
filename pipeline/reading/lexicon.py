"""The vocabulary made ready for looking up in running text."""

from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from pipeline.reading.forms import singular, verb_forms, word_set, words_of
from pipeline.reading.vocabulary import Vocabulary

HEAVY = word_set("powerplant structure control-surface undercarriage")
"""Kinds of parts that stand about in a hangar when they are off, or go back into their place."""

_OTHER_VERBS = word_set(
    "look find see say think know tell ask leave stay keep need want try manage weigh show go get have do "
    "come be put stick pop sit lie park live stand end mean reckon call work use start finish help give "
    "wrap hit touch carry cost weep hear turn break stop seem grease read notice spot feel shine ring "
    "sell wait order happen shear snap wear re-cover fill drive"
)


class Sense(NamedTuple):
    """What a name can stand for: ``kind`` is the list's name (finding words: "finding-noun", "finding-adjective")."""

    kind: str
    notation: str


class Saying(NamedTuple):
    """How an act is said: its verb, then the words after it ("~" leaves room), and what its object must be."""

    act: str
    verb: str
    tail: tuple[str, ...]
    objects: frozenset[str]


class _Trie:
    def __init__(self) -> None:
        self.after: dict[str, _Trie] = {}
        self.here: list[Sense] = []

    def add(self, words: Sequence[str], sense: Sense) -> None:
        node = self
        for word in words:
            node = node.after.setdefault(word, _Trie())
        if sense not in node.here:
            node.here.append(sense)

    def longest(self, words: Sequence[str], at: int, end: int | None = None) -> tuple[int, list[Sense]]:
        """Return how many words from ``at`` make the longest name, and its senses (0 and [] where there is none).

        Where ``end`` is given, no word from there on counts.
        """
        node, length, senses, step = self, 0, list[Sense](), at
        end = len(words) if end is None else end
        while step < end and words[step] in node.after:
            node = node.after[words[step]]
            step += 1
            if node.here:
                length, senses = step - at, node.here
        return length, senses


class Lexicon:
    """Names, verbs, sayings, states and cues of one vocabulary."""

    def __init__(self, vocabulary: Vocabulary) -> None:
        self.vocabulary = vocabulary
        self.names = _Trie()
        self.verbs: dict[str, tuple[str, frozenset[str]]] = {}
        self.long_verbs = _Trie()
        self.states = _Trie()
        self.cues = _Trie()
        self.shorts = {short.name: short.may_be for short in vocabulary.shorts}
        self.part_kind = {part.notation: part.kind for part in vocabulary.parts}
        self.fasteners = {w.notation for w in vocabulary.counted if w.extra.get("fastener") == "yes"} | {
            part.notation for part in vocabulary.parts if part.kind == "fastener"
        }
        self.on_fasteners = {act.notation: act.on_fasteners or act.notation for act in vocabulary.acts}
        self.named_stores = {one.notation for one in vocabulary.storage if one.extra.get("named") == "yes"}
        self.good = {finding.notation for finding in vocabulary.findings if finding.good}
        self.finding_verbs: dict[str, str] = {}
        self.gapped_findings: list[tuple[tuple[str, ...], str]] = []
        self.sayings: dict[str, list[Saying]] = {}
        self._irregular = {verb.verb: verb for verb in vocabulary.verbs}
        self._add_names()
        self._add_findings()
        self._add_sayings()
        for cue in vocabulary.cues:
            self.cues.add(words_of(cue.cue), Sense(cue.means, cue.cue))

    def likeliest(self, short: str) -> str:
        """Return the part that a short name stands for if nothing else tells, "" where it may be none."""
        return next((part for part in self.shorts.get(short, ()) if part != "-"), "")

    def _name(self, names: Iterable[str], sense: Sense) -> None:
        for name in names:
            self.names.add(tuple(singular(word) for word in words_of(name)), sense)

    def _add_names(self) -> None:
        vocabulary = self.vocabulary
        for part in vocabulary.parts:
            own = [name for name in (part.preferred, *part.alternatives) if name not in self.shorts]
            self._name(own, Sense("part", part.notation))
        for short in vocabulary.shorts:
            self._name([short.name], Sense("short", short.name))
        for kind in ("counted", "grades", "units", "storage", "places", "sides"):
            for entry in getattr(vocabulary, kind):
                self._name(entry.words, Sense(kind, entry.notation))

    def _add_findings(self) -> None:
        for finding in self.vocabulary.findings:
            for name in (*finding.nouns, *finding.adjectives):
                if "~" in name:
                    self.gapped_findings.append((words_of(name), finding.notation))
            self._name([n for n in finding.nouns if "~" not in n], Sense("finding-noun", finding.notation))
            self._name([n for n in finding.adjectives if "~" not in n], Sense("finding-adjective", finding.notation))
            for verb in finding.verbs:
                self._add_verb(verb)
                self.finding_verbs[verb] = finding.notation

    def _add_verb(self, verb: str) -> None:
        parts = words_of(verb)
        for form, kinds in verb_forms(parts[-1], self._irregular).items():
            words = (*parts[:-1], form)
            key = " ".join(words)
            known = self.verbs.get(key)
            self.verbs[key] = (verb, kinds | known[1]) if known and known[0] == verb else known or (verb, kinds)
            self.long_verbs.add(words, Sense("verb", key))

    def _add_sayings(self) -> None:
        for act in self.vocabulary.acts:
            for text in act.sayings:
                saying = text
                objects: frozenset[str] = frozenset()
                if saying.endswith(">"):
                    saying, _, inside = saying[:-1].partition("<")
                    objects = frozenset(inside.split())
                verb, *tail = saying.split()
                words = [word for part in tail for word in ([part] if part == "~" else words_of(part))]
                entry = Saying(act.notation, verb, tuple(singular(word) for word in words), objects)
                self.sayings.setdefault(verb, []).append(entry)
                self._add_verb(verb)
            for state in act.states:
                self.states.add(words_of(state), Sense("state", act.notation))
        for entries in self.sayings.values():
            entries.sort(key=lambda saying: (-sum(word != "~" for word in saying.tail), not saying.objects))
        for verb in sorted(_OTHER_VERBS):
            self._add_verb(verb)

    def zone_and_side(self, notation: str) -> tuple[str, bool]:
        """Return the zone of a part, and whether there is a port and a starboard one (unknown part: any, yes)."""
        part = self.vocabulary.part(notation)
        return (part.zone, part.symmetrical) if part else ("any", True)

    def storage(self) -> Mapping[str, Mapping[str, str]]:
        """Return the other columns of the storage list by notation."""
        return {entry.notation: entry.extra for entry in self.vocabulary.storage}
