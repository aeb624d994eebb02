"""What people answered to cautions, from a book's history: beside the answers that its settings hold."""

from collections.abc import Iterable, Iterator

from pipeline.history.decisions import withdrawn
from pipeline.history.events import Event
from pipeline.settings import Answer


def answers_in(acts: Iterable[Event]) -> tuple[Answer, ...]:
    """Return the answers that still stand, the newest first: of two to one caution, it is the one that is shown."""
    return tuple(answer_of(one) for one in reversed(list(_standing(acts))))


def last_answer(acts: Iterable[Event], to: Answer) -> Event | None:
    """Return the last answer that stands to the very caution that another answer is to."""
    return next((one for one in reversed(list(_standing(acts))) if _about(answer_of(one)) == _about(to)), None)


def answer_of(act: Event) -> Answer:
    """Return the answer that an event gave; raises ValueError where the event holds none."""
    return Answer.model_validate({**act.after, "reason": act.why, "who": act.who})


def _standing(acts: Iterable[Event]) -> Iterator[Event]:
    acts = tuple(acts)
    taken_back = withdrawn(acts)
    return (one for one in acts if one.act == "answer" and one.n not in taken_back)


def _about(one: Answer) -> tuple[str, ...]:
    return (one.rule, one.item, one.side, one.entry)
