"""Each row of a list made into its value, or refused with its file and line."""

import math
import re
from collections.abc import Callable, Iterable, Mapping
from typing import Any, get_args

from pipeline.reading.fact import Scheme, Stowage
from pipeline.reading.forms import word_set
from pipeline.reading.sheets import Row
from pipeline.trade.entries import (
    Act,
    Chapter,
    Cue,
    Finding,
    HoldRule,
    Joint,
    OrderRule,
    Outline,
    Part,
    PartSet,
    Rule,
    Short,
    Spelling,
    StationPoint,
    Taught,
    Verb,
    Words,
    Zone,
)
from pipeline.trade.lists import Rows, needed, one_of, split, whole_number, yes

KINDS = word_set(
    "structure control-surface controls undercarriage hydraulic pneumatic fuel powerplant electrical instruments "
    "radio armament furnishing oxygen safety support-equipment fastener material detail"
)
AIRCRAFT = "aircraft"
_RULE_KINDS: Mapping[str, frozenset[str]] = {
    "held-up": frozenset({"work", "part", "missing"}),
    "set-down": frozenset({"work", "part"}),
    "strong-place": frozenset({"part", "place"}),
    "services": frozenset({"work", "part", "missing"}),
    "before": frozenset({"work", "part"}),
    "after": frozenset({"work", "part"}),
    "hazard": frozenset(),
    "raised": frozenset({"work", "part"}),
    "off": frozenset(),
}
"""The kinds of rule, each with what its text may name in braces."""
_CUE_MEANINGS = word_set(
    "if may perhaps nearly meant-to planned needs plan-time explained history not not-any nobody unable still yet "
    "same same-as so done-to asking day failed supposed under-way"
)
_STOWAGE = tuple(Stowage.model_fields)
_SCHEMES = get_args(Scheme)
_MM_PER_INCH = 25.4
HELD_STEPS = ("fit", "close", "connect", "secure", "refill")
"""Steps of putting together that a hold point can stand at."""


def _part(row: Row, rows: Rows) -> Part:
    cells = row.cells
    chapter = cells["chapter"]
    if chapter and chapter not in rows["chapters"]:
        raise row.wrong(
            f"'{chapter}' is not a system chapter of chapters.csv; give its two figures (27 is flight controls) "
            f"or nothing"
        )
    own_set = rows["sets"].get(cells["notation"])
    counted = whole_number(own_set, "number") if own_set and own_set.cells["of"] == AIRCRAFT else None
    return Part(
        notation=cells["notation"],
        preferred=needed(row, "preferred"),
        alternatives=tuple(dict.fromkeys((*split(cells["alternatives"]), *_taught_names(cells["notation"], rows)))),
        kind=one_of(row, "kind", KINDS),
        gloss=cells["gloss"],
        broader=cells["broader"],
        zone=one_of(row, "zone", (*rows["zones"], "any"), may_be_empty=True) or "any",
        chapter=chapter,
        symmetrical=yes(row, "symmetrical"),
        per_aircraft=counted or whole_number(row, "set"),
        safe_by_pins=one_of(row, "pins", ("safe",), may_be_empty=True) == "safe",
    )


def _act(row: Row, rows: Rows) -> Act:
    return Act(
        notation=row.cells["notation"],
        preferred=needed(row, "preferred"),
        sayings=split(needed(row, "alternatives")),
        states=split(row.cells["states"]),
        on_fasteners=one_of(row, "on_fasteners", rows["acts"], may_be_empty=True),
        gloss=row.cells["gloss"],
    )


def _finding(row: Row, _rows: Rows) -> Finding:
    nouns, adjectives, verbs = (split(row.cells[c]) for c in ("nouns", "adjectives", "verbs"))
    if not (nouns or adjectives or verbs):
        raise row.wrong("has no words; fill in 'nouns', 'adjectives' or 'verbs'")
    return Finding(
        notation=row.cells["notation"],
        preferred=needed(row, "preferred"),
        nouns=nouns,
        adjectives=adjectives,
        verbs=verbs,
        good=yes(row, "good"),
        gloss=row.cells["gloss"],
    )


def _words_from(*allowed: str) -> Callable[[Row, Rows], Words]:
    def words(row: Row, _rows: Rows) -> Words:
        if allowed:
            one_of(row, "notation", allowed)
        extra = {k: v for k, v in row.cells.items() if k not in ("notation", "words")}
        return Words(notation=row.cells["notation"], words=split(needed(row, "words")), extra=extra)

    return words


def _verb(row: Row, _rows: Rows) -> Verb:
    past, participle = split(needed(row, "past")), split(needed(row, "participle"))
    return Verb(verb=row.cells["verb"], past=past, participle=participle)


def _short(row: Row, rows: Rows) -> Short:
    needed(row, "may_be")
    return Short(name=row.cells["name"].lower(), may_be=_known(row, "may_be", (*rows["parts"], "-"), "parts.csv"))


def _spelling(row: Row, _rows: Rows) -> Spelling:
    return Spelling(said=needed(row, "said").lower(), means=needed(row, "means"))


def _cue(row: Row, _rows: Rows) -> Cue:
    return Cue(cue=row.cells["cue"].lower(), means=one_of(row, "means", _CUE_MEANINGS))


def _station(row: Row, _rows: Rows) -> StationPoint:
    given = [(column, row.cells[column]) for column in ("inches", "mm") if row.cells[column]]
    if len(given) != 1:
        raise row.wrong("give the distance either in the column 'inches' or in the column 'mm'")
    ((column, cell),) = given
    try:
        distance = float(cell)
    except ValueError:
        raise row.wrong(f"'{cell}' in the column '{column}' is not a number") from None
    return StationPoint(
        scheme=one_of(row, "scheme", _SCHEMES),
        at=needed(row, "at"),
        inches=distance / _MM_PER_INCH if column == "mm" else distance,
        measured_from=one_of(row, "from", ("datum", "centre-line"), may_be_empty=True) or "datum",
        strong=yes(row, "strong"),
        note=row.cells["note"],
    )


def _outline(row: Row, rows: Rows) -> Outline:
    kind = one_of(row, "kind", ("area", "hidden", "line"), may_be_empty=True) or "area"
    given = [(column, row.cells[column]) for column in ("inches", "mm") if row.cells[column]]
    if len(given) != 1:
        raise row.wrong("give the points either in the column 'inches' or in the column 'mm'")
    ((column, cell),) = given
    points = tuple(_point(row, column, text) for text in cell.split("|"))
    least = 2 if kind == "line" else 3
    if len(dict.fromkeys(points)) < least:
        raise row.wrong(f"an outline of the kind '{kind}' needs at least {least} points that differ; add some")
    return Outline(
        shape=row.cells["shape"],
        view=one_of(row, "view", ("side", "plan")),
        kind=kind,
        part=next(iter(_known(row, "part", rows["parts"], "parts.csv")), ""),
        zone=one_of(row, "zone", [zone for zone in rows["zones"] if zone != "any"]),
        symmetry=one_of(row, "symmetry", ("pair", "halves"), may_be_empty=True),
        points=points,
        line=row.line,
    )


def _point(row: Row, column: str, text: str) -> tuple[float, float]:
    """Return a point in inches; raise where it is not two numbers."""
    try:
        aft, across = (float(number) for number in text.split())
    except ValueError:
        aft = across = math.nan
    if not (math.isfinite(aft) and math.isfinite(across)):
        raise row.wrong(f"'{text.strip()}' in the column '{column}' is not a point: two numbers with a space between")
    by = _MM_PER_INCH if column == "mm" else 1.0
    return aft / by, across / by


def _joint(row: Row, rows: Rows) -> Joint:
    parts = rows["parts"]
    fasteners = [notation for notation, part in parts.items() if part.cells["kind"] == "fastener"]
    fasteners += [notation for notation, words in rows["counted"].items() if words.cells["fastener"] == "yes"]
    (part,) = _known(row, "part", parts, "parts.csv")
    return Joint(
        part=part,
        joins=_known(row, "joins", parts, "parts.csv"),
        fasteners=_known(row, "fasteners", fasteners, "counted.csv, and no fastener of parts.csv"),
        count=whole_number(row, "count"),
        about=yes(row, "about"),
        services=_known(row, "services", parts, "parts.csv"),
        held_up=_known(row, "held_up", parts, "parts.csv"),
    )


def _set(row: Row, rows: Rows) -> PartSet:
    needed(row, "of")
    (part,), (of,) = (
        _known(row, "part", rows["parts"], "parts.csv"),
        _known(row, "of", (*rows["parts"], AIRCRAFT), "parts.csv"),
    )
    return PartSet(part=part, number=whole_number(row, "number"), of=of)


def _order(row: Row, rows: Rows) -> OrderRule:
    of_a_joint = ("services", "section", "hung", "joint")
    return OrderRule(
        rule=row.cells["rule"],
        act=one_of(row, "act", rows["acts"]),
        part=_one_known(row, "part", rows, of_a_joint),
        before_act=one_of(row, "before_act", rows["acts"]),
        before_part=_one_known(row, "before_part", rows, of_a_joint),
        why=needed(row, "why"),
        source=needed(row, "source"),
    )


def _hold(row: Row, rows: Rows) -> HoldRule:
    steps, kinds = split(needed(row, "after")), split(row.cells["kinds"])
    for word, column, allowed in [(s, "after", HELD_STEPS) for s in steps] + [(k, "kinds", KINDS) for k in kinds]:
        if word not in allowed:
            raise row.wrong(f"'{word}' in the column '{column}' is not one of {', '.join(sorted(allowed))}")
    return HoldRule(
        hold=row.cells["hold"],
        name=needed(row, "name"),
        after=steps,
        kinds=kinds,
        parts=_known(row, "parts", rows["parts"], "parts.csv"),
        place=one_of(row, "place", ("before", "after", "system")),
        why=needed(row, "why"),
        source=needed(row, "source"),
    )


def _chapter(row: Row, _rows: Rows) -> Chapter:
    chapter = row.cells["chapter"]
    if not (len(chapter) == 2 and chapter.isdecimal()):
        raise row.wrong(f"'{chapter}' is not a chapter number; give its two figures")
    return Chapter(chapter=chapter, title=needed(row, "title"))


def _zone(row: Row, _rows: Rows) -> Zone:
    return Zone(
        notation=row.cells["notation"],
        preferred=needed(row, "preferred"),
        major=split(row.cells["major"]),
        gloss=row.cells["gloss"],
    )


def _one_known(row: Row, column: str, rows: Rows, or_one_of: tuple[str, ...]) -> str:
    """Return a cell that must be a part's notation or one of a few words; raise where it is neither."""
    if row.cells[column] in or_one_of:
        return row.cells[column]
    needed(row, column)
    (part,) = _known(row, column, rows["parts"], f"parts.csv, and none of {', '.join(or_one_of)}")
    return part


def _rule(row: Row, rows: Rows) -> Rule:
    kind = one_of(row, "kind", _RULE_KINDS)
    acts, parts = rows["acts"], rows["parts"]
    if kind != "off":
        for column in ("text", "reason", "source"):
            needed(row, column)
    if kind not in ("off", "strong-place", "hazard"):
        needed(row, "acts")
    if kind == "hazard" and not any(row.cells[column] for column in ("acts", "findings", "words")):
        raise row.wrong("has nothing that sets it off; fill in 'acts', 'findings' or 'words'")
    for name in re.findall(r"{(.*?)}|[{}]", row.cells["text"]):
        if name not in _RULE_KINDS[kind]:
            may = ", ".join(f"{{{one}}}" for one in sorted(_RULE_KINDS[kind])) or "nothing"
            raise row.wrong(f"'{{{name}}}' in the column 'text' cannot be filled in; a rule '{kind}' may name {may}")
    return Rule(
        notation=row.cells["notation"],
        kind=kind,
        acts=_known(row, "acts", acts, "acts.csv"),
        items=_known(row, "items", parts, "parts.csv"),
        kinds=_known(row, "kinds", KINDS, "list of kinds of part"),
        findings=_known(row, "findings", rows["findings"], "findings.csv"),
        words=split(row.cells["words"]),
        answers=_known(row, "answers", acts, "acts.csv"),
        by=_known(row, "by", parts, "parts.csv"),
        text=row.cells["text"],
        reason=row.cells["reason"],
        source=row.cells["source"],
    )


def _taught(row: Row, rows: Rows) -> Taught:
    part = row.cells["part"]
    if part and part not in rows["parts"]:
        raise row.wrong(f"'{part}' is in no parts.csv; give the notation of a part, or nothing")
    heard, means = (" ".join(needed(row, column).split()) for column in ("heard", "means"))
    return Taught(heard=heard.lower(), means=means, part=part)


def _taught_names(part: str, rows: Rows) -> Iterable[str]:
    """Return the names that people taught for a part."""
    return (
        " ".join(row.cells["means"].lower().split()) for row in rows["taught"].values() if row.cells["part"] == part
    )


def _known(row: Row, column: str, allowed: Iterable[str], where: str) -> tuple[str, ...]:
    """Return the notations that a cell lists; raise where one is in no list."""
    listed = split(row.cells[column])
    for notation in listed:
        if notation not in allowed:
            raise row.wrong(
                f"'{notation}' in the column '{column}' is in no {where}; add it there or take it out here"
            )
    return listed


ENTRIES: Mapping[str, Callable[[Row, Rows], Any]] = {
    "parts": _part,
    "acts": _act,
    "findings": _finding,
    "grades": _words_from("light", "moderate", "heavy"),
    "counted": _words_from(),
    "storage": _words_from(*_STOWAGE),
    "units": _words_from(),
    "places": _words_from(*_SCHEMES),
    "sides": _words_from("port", "starboard", "both"),
    "verbs": _verb,
    "shorts": _short,
    "cues": _cue,
    "spellings": _spelling,
    "stations": _station,
    "outline": _outline,
    "joints": _joint,
    "sets": _set,
    "order": _order,
    "holds": _hold,
    "taught": _taught,
    "chapters": _chapter,
    "zones": _zone,
    "rules": _rule,
}
"""For each list, what makes its rows into values; each raises WrongCommand for a row that is wrong in itself."""
