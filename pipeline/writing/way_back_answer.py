"""What stands between now and a part going back on: the answer to one question, in a few plain lines."""

import difflib
from collections.abc import Sequence

from pipeline.english import listed
from pipeline.errors import WrongCommand
from pipeline.lists.logged import same_side
from pipeline.lists.way_back import before
from pipeline.reading.fact import Side
from pipeline.reading.positions import position_told, same_position
from pipeline.records import WayBack, WayBackStep
from pipeline.writing.terms import Terms
from pipeline.writing.way_back_words import AUTHORISED, done_text, hold_text, notes_of, step_text
from pipeline.writing.wording import part_text

_SIDES: dict[str, Side] = {"port": "port", "left": "port", "starboard": "starboard", "right": "starboard"}
_MOST_NEAR = 5


def way_back_answer(way: WayBack, terms: Terms, item: str, side: Side | None) -> list[str]:
    """Return what must be done before a part goes back on, or why nothing stands in its way.

    Args:
        way: the way back of the book.
        terms: the vocabulary.
        item: any name of a part, or its notation; "port" or "starboard" may stand before it.
        side: which one is asked for, None for any.

    Raises:
        WrongCommand: nothing in the vocabulary has that name; near names are told.
    """
    words = item.lower().rstrip("?!. ").split()
    words = words[1:] if words[:1] == ["the"] else words
    if words and words[0] in _SIDES and len(words) > 1:
        side, words = side or _SIDES[words[0]], words[1:]
    position = position_told(" ".join(words), side)
    parts, called = _parts_called(terms, " ".join(words), position)
    steps = [step for step in way.steps if step.item in parts and same_side(step.side, side)]
    steps = [step for step in steps if not position or step.position == position]
    steps = [step for step in steps if step.called == called] or steps
    wanted = [step for step in steps if step.act in ("fit", "close")] or steps
    if not wanted:
        what = " or ".join(part_text(part, side, None, terms, position=position) for part in parts)
        return [f"Nobody said that {what} came off: nothing stands in the way, as far as the book knows."]
    lines: list[str] = []
    for step in wanted:
        lines += _answer(way, terms, step)
    return lines


def side_called(word: str) -> Side | None:
    """Return the side that a word names, None for no word.

    Raises:
        WrongCommand: it names no side.
    """
    if not word:
        return None
    if word.lower() not in _SIDES:
        raise WrongCommand(f"--side {word} is no side. Say port or starboard.")
    return _SIDES[word.lower()]


def _parts_called(terms: Terms, name: str, position: str) -> tuple[list[str], str]:
    """Return the parts that a name may stand for, and that name: "outer engine" is "engine" where no part has it."""
    names = {one.text.lower(): one for one in terms.names() if terms.part(one.notation) is not None}
    if position and name not in names:
        name = next((name[at:] for at in range(len(name)) if name[at:] in names and name[at - 1 : at] == " "), name)
    found = {one.notation for one in terms.names() if one.text.lower() == name and terms.part(one.notation)}
    notation = name.replace(" ", "-")
    if terms.part(notation) is not None:
        found.add(notation)
    if found:
        return sorted(found), name
    near = difflib.get_close_matches(name, sorted(names), n=_MOST_NEAR, cutoff=0.6)
    hint = f"Near names: {listed(near)}." if near else "No name is near it."
    raise WrongCommand(f"No part is called '{name}'. {hint} A new name: saidseen vocab add BOOK NAME")


def _answer(way: WayBack, terms: Terms, step: WayBackStep) -> list[str]:
    what = step_text(step, terms)
    after = [*_not_yet_fast(way, terms, step), *_not_yet_connected(way, terms, step)]
    if step.done_on is not None:
        return [f"{what}: it is on already. {done_text(step)}.", *after]
    first = before(way, [step.id])
    steps = {one.id: one for one in way.steps}
    if not first:
        lines = [f"{what}: nothing stands in the way, as far as the book knows."]
    else:
        lines = [f"Before you {what[:1].lower()}{what[1:]}:"]
    for one in first:
        lines.append(f"  {_step_line(steps[one], terms)}" if one in steps else _hold_line(way, terms, one))
    return [*lines, f"Then: {_step_line(step, terms)}", *after]


def _not_yet_fast(way: WayBack, terms: Terms, step: WayBackStep) -> list[str]:
    """Return what holds the part and is not tightened and locked yet."""
    fast = [edge for edge in way.edges if not edge.left_out and any(one.kind == "joint" for one in edge.reasons)]
    edges = {edge.after for edge in fast if edge.before == step.id}
    return [
        f"After it: {_step_line(one, terms)}"
        for one in way.steps
        if one.id in edges and one.act == "secure" and one.done_on is None
    ]


def _not_yet_connected(way: WayBack, terms: Terms, step: WayBackStep) -> list[str]:
    """Return the services that are connected again once the part is on; and those of which nobody can say that.

    These were disconnected on the day on which it came off, on its side or on none that was told.
    """
    follows = {edge.after for edge in way.edges if edge.before == step.id and not edge.left_out}
    follows |= {edge.after for edge in way.edges if edge.before in follows and not edge.left_out}
    lines = []
    for one in way.steps if step.act == "fit" else ():
        alike = same_side(one.side, step.side) and same_position((one.side, one.position), (step.side, step.position))
        if one.act != "connect" or one.done_on is not None or not alike:
            continue
        if one.id in follows:
            lines.append(f"After it: {_step_line(one, terms)}")
        elif one.undone_on == step.undone_on and not one.joint:
            lines.append(f"Disconnected on the same day, and nobody said for what: {_step_line(one, terms)}")
    return lines


def _step_line(step: WayBackStep, terms: Terms) -> str:
    return " ".join((f"{step_text(step, terms)}.", *notes_of(step, terms)))


def _hold_line(way: WayBack, terms: Terms, id_: str) -> str:
    hold = next(one for one in way.hold_points if one.id == id_)
    return f"  HOLD POINT  {hold_text(hold, terms)}. {AUTHORISED}"


def answer_text(lines: Sequence[str]) -> str:
    """Return the lines with what the answer is worth below them."""
    return "\n".join((*lines, "Worked out from what was said: check it against the aircraft's manuals."))
