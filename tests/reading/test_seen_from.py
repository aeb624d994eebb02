from typing import Any

import pytest

from pipeline.reading.vocabulary import Part, Vocabulary


def _changed(vocabulary: Vocabulary, **lists: Any) -> Vocabulary:
    return Vocabulary(**{name: getattr(vocabulary, name) for name in Vocabulary.model_fields} | lists)


def _with(vocabulary: Vocabulary, part: Part) -> Vocabulary:
    others = tuple(other for other in vocabulary.parts if other.notation != part.notation)
    return _changed(vocabulary, parts=(*others, part))


TEXT = "Both gizmo plates are off, and the jack's on rack 3."


def test_new_part_that_is_spoken_of_calls_for_a_new_reading(vocabulary: Vocabulary) -> None:
    more = _with(vocabulary, Part(notation="gizmo-plate", preferred="gizmo plate", kind="structure"))
    assert more.seen_from(TEXT) != vocabulary.seen_from(TEXT)


def test_new_part_that_is_not_spoken_of_calls_for_none(vocabulary: Vocabulary) -> None:
    more = _with(vocabulary, Part(notation="widget-rod", preferred="widget rod", kind="structure"))
    assert more.fingerprint != vocabulary.fingerprint
    assert more.seen_from(TEXT) == vocabulary.seen_from(TEXT)


@pytest.mark.parametrize(
    ("last", "text", "anew"),
    [
        ("chain", "The chains are off.", True),  # few parts are called so: it may be any of them
        ("plate", "The plates are off.", False),  # many are: none of them without another word of its name
        ("chain", "The channel's clear.", False),
    ],
)
def test_new_part_of_whose_name_the_last_word_is_said_calls_for_a_new_reading_where_it_may_be_meant(
    vocabulary: Vocabulary, last: str, text: str, anew: bool
) -> None:
    more = _with(vocabulary, Part(notation=f"widget-{last}", preferred=f"widget {last}", kind="structure"))
    assert (more.seen_from(text) != vocabulary.seen_from(text)) is anew


@pytest.mark.parametrize("short", ["jack", "pipe", "panel"])
def test_change_of_what_a_short_name_may_stand_for_calls_for_a_new_reading(
    vocabulary: Vocabulary, short: str
) -> None:
    may_be = next(one.may_be for one in vocabulary.shorts if one.name == short)
    part = next(part for part in vocabulary.parts if part.notation in may_be)
    changed = _with(vocabulary, part.model_copy(update={"symmetrical": not part.symmetrical}))
    text = f"The {short}'s out."
    assert changed.seen_from(text) != vocabulary.seen_from(text)


def test_change_of_what_a_part_belongs_to_calls_for_a_new_reading(vocabulary: Vocabulary) -> None:
    part = next(part for part in vocabulary.parts if part.broader and vocabulary.part(part.broader))
    above = vocabulary.part(part.broader)
    assert above is not None
    changed = _with(vocabulary, above.model_copy(update={"zone": "wing" if above.zone != "wing" else "tail"}))
    text = f"The {part.preferred} is off."
    assert changed.seen_from(text) != vocabulary.seen_from(text)


def test_change_of_another_list_calls_for_a_new_reading(vocabulary: Vocabulary) -> None:
    changed = _changed(vocabulary, cues=vocabulary.cues[1:])
    assert changed.seen_from(TEXT) != vocabulary.seen_from(TEXT)
