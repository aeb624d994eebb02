"""Who of the team is meant by a name that somebody gives."""

from collections.abc import Sequence

from pipeline.errors import WrongCommand
from pipeline.mistyped import nobody_called
from pipeline.settings import Person


def ways_called(person: Person) -> tuple[str, ...]:
    """Return what a person may be called: the whole name, the first one, and nicknames, each once."""
    return tuple(dict.fromkeys(filter(None, (person.name, *person.name.split()[:1], *person.also))))


def person_named(people: Sequence[Person], name: str) -> Person:
    """Return the person whose whole name this is, as the history has it; raises WrongCommand for nobody's."""
    for person in people:
        if person.name == name:
            return person
    raise WrongCommand(nobody_called(name, (one.name for one in people)))


def person_called(people: Sequence[Person], given: str) -> Person:
    """Return who is called this: by the whole name, else by a nickname or the first name, in any letters.

    Args:
        people: the team, as the book's settings list it.
        given: what somebody typed.

    Raises:
        WrongCommand: it is nobody's name, or that of several.
    """
    wanted = given.strip().casefold()
    whole = [one for one in people if one.name.casefold() == wanted]
    called = whole or [one for one in people if wanted in map(str.casefold, ways_called(one))]
    if len(called) > 1:
        raise WrongCommand(f"'{given}' may be {' or '.join(one.name for one in called)}: give the whole name.")
    return called[0] if called else person_named(people, given)
