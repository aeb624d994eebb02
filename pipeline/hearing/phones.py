"""How English words sound, near enough to tell which words are mistaken for each other.

The rules are this project's own, written from knowledge of English spelling ("from memory"); they need no word
list. They are coarse on purpose. A word and what a recogniser makes of it go through the same rules, so a consistent
slip costs little, while a dictionary would know neither the trade's words nor the words that were never words.
"""

import re
from collections.abc import Sequence
from functools import lru_cache

# A phone is a consonant: B D F H J K L M N P R S T V W Z, C "chin", G "gun" or "gin", X "shin"; or a vowel: i
# "bead" or "bid", e "bed", a "bad" or "card", o "pot" or "port", u "put" or "pool", 8 the weak vowel of "about",
# "bird" and "butter", A "bay", I "buy", O "go", W "cow" (after a consonant), Y "boy".
VOWELS = "ieaou8AIOWY"
PHONES = "BCDFGHJKLMNPRSTVWXZ" + VOWELS

# pattern>phones: the first pattern that fits where the reading stands is taken. ^ and $ are the word's ends.
_RULES = r"""
# silent letters at the beginning, and odd beginnings
^kn>N ^gn>N ^pn>N ^ps>S ^wr>R ^wh(?=o)>H ^x>Z ^rh>R ^sch>SK ^one$>W8N ^two$>Tu ^eight>AT ^aer>eR ^air>eR
^bowl>BOL ^are$>a ^a$>8 ^the$>D8 ^of$>8V ^to$>Tu ^y(?=[aeiou])>J
# ends
mb$>M mbs$>MZ mn$>M ght>T gue$>G que$>K tch>C (?<=[aeiouy])geons?$>G8N tion>S8N ssion>S8N sion>Z8N cian>S8N
cious>S8S tious>S8S ture>C8 sure>Z8 age$>iG ages$>iGZ (?<=[bcdfgkpstz])le$>8L (?<=[bcdfgkpstz])les$>8LZ
(?<=[bcdfgkpstz])led$>8LD (?<=[td])ed$>iD (?<=[pkfsxc])ed$>T (?<=[ptkc]h)ed$>T (?<=[a-z][a-z])ed$>D
(?<=[sxz])es$>iZ (?<=[sc]h)es$>iZ (?<=[cg])es$>iZ (?<=[ptkf])s$>S ss>S (?<=[a-z])s$>Z
(?<=[aeiou])s(?=[aeiou])>Z
# consonants of two letters and more
sch>SK ch(?=r)>K ch>C sh>X ph>F th>T ck>K cc(?=[eiy])>KS sc(?=[eiy])>S dge?(?=[^aou]|$)>G (?<=a)ugh(?=t)>
gh(?=[aeiou])>G (?<=ou)gh> gh> ng(?=[aou]|l|r)>NG ng$>N ngs$>NZ qu>KW wh>W x>KS lk$>K (?<=a)l(?=[km])>
st(?=en|le)>S bb>B cc>K dd>D ff>F gg>G kk>K ll>L mm>M nn>N pp>P rr>R tt>T zz>Z
# vowels of two letters and more
eigh>A aigh>A igh>I augh>o ough>o oar>o oor>o our>o eau>O ayer>e air>e are$>e ear(?=[nlt])>8 eer>i ear>i
ier>i ere$>i ire>I8 ure>u ai>A ay>A au>o aw>o al(?=[lt])>oL ea(?=[d])>e ea>i ee>i ei>i ey$>i ey>A eu>u ew>u
ie>i oa>O oe>O oi>Y oy>Y oo>u ou>W ow$>O ows$>OZ ow>W ui>u ue>u uy>I ia>i8 io>i8 eo>iO
# a vowel with r
er>8 ir>8 ur>8 ar>a or$>8 ors$>8Z or>o re$>8
# the silent e that makes the vowel before it long
a(?=[bcdfgklmnpstvz]e(s|d)?$)>A i(?=[bcdfgklmnpstvz]e(s|d)?$)>I o(?=[bcdfgklmnpstvz]e(s|d)?$)>O
u(?=[bcdfgklmnpstvz]e(s|d)?$)>u a(?=[bcdfgklmnpstvz]ing$)>A i(?=[bcdfgklmnpstvz]ing$)>I a(?=ble)>A
i(?=nd$)>I i(?=ld$)>I o(?=ld|lt|st$)>O (?<=[a-z])e$> ^e(?=l[aeiou])>e
(?<=[bcdfghjklmnpqrstvwxz])e(?=ly$|ment)>
# single letters
y$>i ys$>iZ y(?=[aeou])>J y>i ^a(?=[bcdfglmnprst][aeiou])>8 a$>8 a>a e>e i$>i i>i o$>O o>o u$>u u>8
c(?=[eiy])>S c>K g(?=[eiy])>G g>G b>B d>D f>F h>H j>G k>K l>L m>M n>N p>P q>K r(?=[aeiouy])>R r> s>S t>T v>V
w>W z>Z
"""
_COMPILED = tuple(
    (re.compile(pattern), sounds)
    for line in _RULES.splitlines()
    if not line.startswith("#")
    for pattern, sounds in (rule.split(">") for rule in line.split())
)

# What one phone put for another costs, from 0 to 1; any other pair costs 1. Voiced and unvoiced partners, sounds made
# in the same place, and near vowels are mistaken for each other most (common knowledge of phonetics, no source).
_NEAR: dict[frozenset[str], float] = {
    frozenset(pair): cost
    for cost, pairs in (
        (0.25, "PB TD KG FV SZ XZ CG CX 8a 8e 8i 8o 8u ie IA Oo uO"),
        (0.4, "MN XS ea ao oW Au eA OW YI ou 8O 8A 8I TF DV aA aI WL"),
        (0.6, "TK PK PT BD GK BV PF ND LR WV TC DG HF TS DZ XG NL MB"),
    )
    for pair in pairs.split()
}
_VOWEL_FOR_VOWEL = 0.7
# Leaving a phone out: a weak vowel, an h or a final consonant are easily lost.
_LOST: dict[str, float] = {
    "8": 0.4,
    "H": 0.5,
    "i": 0.7,
    "J": 0.5,
    "R": 0.7,
    "L": 0.7,
    "T": 0.7,
    "D": 0.7,
    "S": 0.7,
    "Z": 0.6,
}


@lru_cache(maxsize=65_536)
def phones(words: str) -> tuple[str, ...]:
    """Give the phones of a word, or of several words said without a pause.

    Args:
        words: English words, by letters; whatever is not a letter parts words.

    Returns:
        One letter per phone, as listed at the top of this module. Two equal phones running together are one.
    """
    said = "".join(_of_word(word) for word in re.findall(r"[a-z]+", words.lower().replace("'", "")))
    return tuple(phone for at, phone in enumerate(said) if at == 0 or said[at - 1] != phone)


@lru_cache(maxsize=65_536)
def _of_word(word: str) -> str:
    said, at = [], 0
    while at < len(word):
        for pattern, sounds in _COMPILED:
            found = pattern.match(word, at)
            if found and found.end() > at:
                said.append(sounds)
                at = found.end()
                break
        else:
            at += 1
    return "".join(said)


def sounds_like(a: str, b: str) -> float:
    """Say how alike two words or phrases sound, from 0 (not at all) to 1 (the same).

    Args:
        a: English words.
        b: English words.
    """
    return phones_alike(phones(a), phones(b))


@lru_cache(maxsize=262_144)
def phones_alike(a: Sequence[str], b: Sequence[str]) -> float:
    """Say how alike two runs of phones are, from 0 to 1: one less the cheapest way from one to the other.

    Args:
        a: phones as ``phones`` gives them.
        b: phones likewise.
    """
    if not a or not b:
        return 0.0
    before = [0.0]
    for phone in b:
        before.append(before[-1] + _LOST.get(phone, 1.0))
    for phone_a in a:
        row = [before[0] + _LOST.get(phone_a, 1.0)]
        for at, phone_b in enumerate(b):
            row.append(
                min(
                    before[at] + _COSTS[phone_a, phone_b],
                    before[at + 1] + _LOST.get(phone_a, 1.0),
                    row[at] + _LOST.get(phone_b, 1.0),
                )
            )
        before = row
    return max(0.0, 1.0 - before[-1] / max(len(a), len(b)))


def coarsely(run: str) -> str:
    """Give a run of phones with the voiced consonants made voiceless and all vowels made one."""
    return _REPEATED.sub(r"\1", run.translate(_COARSE))


def consonants(run: str) -> str:
    """Give a run of phones without its vowels, voiced consonants made voiceless: what is heard best in noise."""
    return run.translate(_SKELETON)


def _cost(a: str, b: str) -> float:
    if a == b:
        return 0.0
    near = _NEAR.get(frozenset((a, b)))
    if near is not None:
        return near
    return _VOWEL_FOR_VOWEL if a in VOWELS and b in VOWELS else 1.0


_COSTS = {(a, b): _cost(a, b) for a in PHONES for b in PHONES}
_SKELETON = str.maketrans("BDGVZ", "PTKFS", VOWELS)
_COARSE = str.maketrans("BDGVZCXM" + VOWELS, "PTKFSKSN" + "a" * len(VOWELS))
_REPEATED = re.compile(r"(.)\1+")
