"""The thanks: by name for those who agreed to be named; the others in a way that points to nobody."""

from collections import Counter
from collections.abc import Sequence

from pipeline.english import in_words, listed, plural
from pipeline.settings import Person

_PEOPLE_END_IN = (
    "er", "or", "ist", "man", "woman", "ian", "ice", "ant", "ent", "ee", "hand", "head", "chief", "lead",
)  # fmt: skip

# Everybody is one: told of each, it would be said over and over, and told of some, the others would not seem to be.
_EVERYBODY = "volunteer"


def thanks(people: Sequence[Person]) -> str:
    """Return the thanks to a team without a full stop, "" where nobody is listed.

    A role that only one of those without consent has is not told: whoever knows the team would know who it is.
    """
    named = [_named(one) for one in people if one.public_name]
    others = Counter(one.role for one in people if not one.public_name)
    groups = {role: number for role, number in others.items() if number > 1 and role.endswith(_PEOPLE_END_IN)}
    shared = [_counted(role, number, more=bool(named)) for role, number in groups.items()]
    left = others.total() - sum(groups.values())
    rest = "everyone else in the team" if named or shared else "everyone in the team"
    thanked = [*named, *shared, *([rest] if left else [])]
    return f"thank you to {listed(thanked)}" if thanked else ""


def _counted(role: str, number: int, *, more: bool) -> str:
    """Return "our two fitters"; those who are what everybody is are "two more" where others are named."""
    return (
        f"{in_words(number)} more {plural(role)}"
        if more and role == _EVERYBODY
        else f"our {in_words(number)} {plural(role)}"
    )


def _named(one: Person) -> str:
    return one.public_name if one.role == _EVERYBODY else f"{one.public_name} ({one.role})"
