"""Findings that nobody has released: words that tell of one, and which of them the book lets out."""

import re
from collections.abc import Iterator, Sequence
from functools import lru_cache

from pipeline.lists.logged import OTHER_SIDE
from pipeline.records import FactRecord
from pipeline.settings import Released
from pipeline.writing.terms import NameLike, Terms, term

# Everyday words for damage; common practice, no source.
_WAYS = r"""
    crack(?:s|ed|ing)?(?! (?:the|it|off|open|on)\b)|hairlines?|fractur\w+|corro(?:d\w*|sion)|rust(?!ic)\w*
    pitt(?:ed|ing)|leak\w*|weep(?:s|ing)|seep\w*|worn(?! (?:hole|thread))|chaf(?:e|ed|ing)|perish(?:ed|ing)
    wear(?! (?:gloves|goggles|masks?|ear|a|an|your|our|the|safety|boots|overalls)\b)
    scor(?:ed|ing)|score (?:marks?|lines?)|seized?|seizing|seizure|broken(?! (?:down|into))|snapped|sheared|missing
    dents?|dented|ding(?:s|ed)?|buckl(?:ed|ing)|(?<!small )(?<!metal )(?<!a )bent|warped|twisted|distort\w*|elongat\w*
    ovality|egg-shaped|damag\w*|fatigued?|delaminat\w*|fray(?:ed|ing)|defect\w*|faulty|faults?(?<!off a fault)
    rot(?:s|ted|ten|ting)?|torn|ripped|burst|ruptur\w*|contaminat\w*|exfoliat\w*|scratch(?:es|ed)|goug(?:e|es|ed)
    wrinkl(?:ed|ing)|(?:has|have|is|are|was|were|it's|it is|a) split(?! pins?)|split (?:in|along|at|near|by) the
    (?:is|are|was|were|worked|come|came|gone|hanging|'s|found|felt|bit|very|too) loose
    (?:free|end|side|no|some|any|too much|a bit of) play|play in (?:the|its|it|one|both)|slop(?:py)?|backlash
    out of (?:true|round|shape|limits|tolerance|line)|(?:below|beyond|over|past|outside) (?:the )?(?:wear )?limits?
    stripped threads?|failed|failures?|beyond repair|scrap(?:ped)?|write[\s-]?off|bad (?:nick|way|shape|condition)
    needs? (?:replac\w+|repair\w*|attention|treat\w+|scrapping|weld\w+|patch\w*|re-?bush\w*)
    white powder|verdigris|oxidi[sz]\w*|brittle|gone (?:hard|soft|powdery|green|sticky|oval)
    looked at and (?:good|fine|ok)
    (?:is|are|was|were|'s|'re|all|completely|totally|well|a bit|pretty) shot(?! (?:of|from|with)\b)|shot to \w+
    tears? (?:like|in|at|along|through)|flat as|(?:gone|is|are|was|were|it's|'re) flat|holed|collapsed
    smashed|shattered|threadbare|clapped[\s-]?out|knackered|worse for wear|on (?:its|their) last legs
    fall(?:s|ing|en)? (?:apart|to bits)
    crazed|crazing|kink(?:s|ed)|blister(?:s|ed|ing)|flak(?:y|ed|ing)|peel(?:ed|ing) (?:off|away|paint)
    bulg(?:es|ed|ing)
    (?:is|are|was|were|it's|that's|badly) split\b(?! pins?)|split (?:open|right|clean|from end to end)
    through wear|mangled|crumpled|crumbl(?:y|ed|ing)|riddled|eaten (?:away|through)|wormholes?
    past (?:its|their) best
    wood-?worms?|worm(?:[\s-]holes?|y)|spongy|punky|mushy|decay\w*|de-?bond\w*|unstuck|unglued|sag(?:s|ged|ging)
    glue(?:'s|d)?(?: (?:line|joint))?(?: (?:has|have|had|all|just|been))* (?:let|failed|gone(?! off)|given up)
    (?:lifted|lifting|curling|curled)(?: up)? (?:at|along|from) the (?:tip|edge|end|corner|seam|nose)
    (?:push|put|stick|sink|pushed|stuck)(?: \w+){0,3} (?:bradawl|knife|spike|thumb|finger) (?:in|into|through)
    (?:sounds?|rings?|rang|how)(?: \w+)? (?:dull|hollow|dead)
"""
_TELLS = re.compile(rf"\b(?:{'|'.join(filter(None, map(str.strip, _WAYS.splitlines())))})\b", re.IGNORECASE)
_EVERYDAY = frozenset({"sound", "contamination"})  # "clean", "grease": told in other words where they matter
# Names of findings that are also names of work or of things: "a snap of that", "crack the bleed screw".
_ALSO_WORK = frozenset({
    "snap", "crack", "pit", "play", "tear", "rip", "score", "bend", "bow", "step", "shear", "slack", "jam", "hollow",
    "split", "break", "drip", "lash", "rock", "dish", "wave", "fret", "shake", "harden",
})  # fmt: skip
_VOCABULARIES = 4  # whose findings are kept as patterns, which take longer to make than a report to look through
_LEAST_OF_A_NAME = 7  # letters: "bow" and the like stand for other things too


def words_of_findings(text: str) -> tuple[str, ...]:
    """Return the words of a plain text that tell of a condition, in small letters."""
    return tuple(found[0].lower() for found in _TELLS.finditer(text))


class FindingWords:
    """Knows every word that may tell of a finding, also where it says nothing by itself: for what a picture may show.

    Args:
        terms: the vocabulary, whose findings count by all their names; None for everyday words alone.
    """

    def __init__(self, terms: Terms | None) -> None:
        """Gather the names of findings."""
        self._named = _by_any_name(terms)

    def in_text(self, text: str) -> bool:
        """Tell whether a text may tell of a finding."""
        return bool(words_of_findings(text)) or (self._named is not None and self._named.search(text) is not None)


class ReleasedFindings:
    """Tells which findings a person has let out.

    Args:
        released: as the book's settings list them.
        terms: the vocabulary.
    """

    def __init__(self, released: Sequence[Released], terms: Terms | None) -> None:
        """Work out the words by which released findings are known."""
        self._released = tuple(released)
        self._by_name = _by_name(terms)
        self._ways = [(one, _named(one.item, terms), _named(one.finding, terms)) for one in released]

    def told_in(self, text: str) -> tuple[str, ...]:
        """Return the words of a plain text that tell of a condition, by everyday words and by the vocabulary's."""
        names = () if self._by_name is None else self._by_name.finditer(text)
        return (*words_of_findings(text), *(found[0].lower() for found in names))

    def lets_out(self, text: str, told: Sequence[str]) -> bool:
        """Tell whether all conditions told of in a plain text have been released for the part that it names."""
        low = text.lower()
        return all(any(self._covers(one, low, words) for one in self._ways) for words in told)

    def holds(self, fact: FactRecord) -> bool:
        """Tell whether a fact's finding has been released."""
        return any(
            one.item == fact.item and one.finding in ("", fact.finding) and one.side in ("", fact.side)
            for one in self._released
        )

    def mends(self, fact: FactRecord) -> bool:
        """Tell whether work that mends may be told: a finding of its part has been released."""
        sides = (fact.side, "both")
        return any(
            one.item == fact.item and (not one.side or not fact.side or one.side in sides) for one in self._released
        )

    def _covers(self, way: tuple[Released, frozenset[str], frozenset[str]], text: str, told: str) -> bool:
        one, items, findings = way
        if not any(re.search(rf"\b{re.escape(name)}(?:e?s)?\b", text) for name in items):
            return False
        other = OTHER_SIDE.get(one.side or None)
        if other and re.search(rf"\b{other}\b", text) and not re.search(rf"\b{one.side}\b", text):
            return False
        return not one.finding or any(
            told.startswith(name) or name.startswith(told) or told.endswith(f" {name}") for name in findings
        )


def _named(notation: str, terms: Terms | None) -> frozenset[str]:
    if not notation:
        return frozenset()
    own = {notation.replace("-", " ").lower()}
    if terms is not None:
        own.add(term(terms, notation).lower())
        names = [(one.text.lower(), one.notation) for one in terms.names()]
        mine = {text for text, of in names if of == notation and len(text) > 2}
        # "bracket" may stand for a hinge, and is another part all the same: it names neither
        own |= mine - {text for text, of in names if text in mine and of != notation}
    return frozenset(own)


def _findings_of(terms: Terms | None) -> Iterator[NameLike]:
    for one in () if terms is None else terms.names():
        if getattr(one, "list", "") == "findings" and one.notation not in _EVERYDAY:
            yield one


@lru_cache(maxsize=_VOCABULARIES)
def _by_any_name(terms: Terms | None) -> re.Pattern[str] | None:
    seen = {one.text.lower() for one in _findings_of(terms)} - _ALSO_WORK
    longest = sorted((one for one in seen if len(one) > 2), key=lambda one: (-len(one), one))
    forms = "|".join(map(re.escape, longest))
    return re.compile(rf"\b(?:{forms})\b", re.IGNORECASE) if longest else None


@lru_cache(maxsize=_VOCABULARIES)
def _by_name(terms: Terms | None) -> re.Pattern[str] | None:
    """Match what the vocabulary has for conditions: long names anywhere, short ones where a part is said to be so."""
    if terms is None:
        return None
    seen = {one.text.lower() for one in _findings_of(terms)}
    names = sorted(seen, key=lambda one: (-len(one), one))
    long = "|".join(re.escape(one) for one in names if " " in one and len(one) > _LEAST_OF_A_NAME)
    short = "|".join(re.escape(one) for one in names if " " not in one)
    if not long or not short:
        return None
    return re.compile(
        rf"\b(?:{long})\b|(?:\b(?:is|are|was|were)|'s|'re) (?:(?:all|a bit|very|quite) )?(?:{short})\b", re.IGNORECASE
    )
