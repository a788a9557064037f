"""When a rule is asked again: each rule is a card of the scheduler that ``fsrs`` publishes.

Nothing here reads the clock or draws by lot: the moment is given, and the scheduler's own jitter is off, so the same
answers give the same days.
"""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta
from functools import lru_cache
from typing import TYPE_CHECKING, Any, Final

if TYPE_CHECKING:
    from fsrs import Scheduler

GUESS, FAIRLY, SURE = 1, 2, 3
# What was wrong is asked again at the end of the sitting; the scheduler then counts in days.
AGAIN_AFTER: Final = timedelta(minutes=10)


@lru_cache(maxsize=1)
def _scheduler() -> Scheduler:
    from fsrs import Scheduler

    return Scheduler(learning_steps=(AGAIN_AFTER,), relearning_steps=(AGAIN_AFTER,), enable_fuzzing=False)


def reviewed(memory: str, *, right: bool, sure: int, at: datetime) -> tuple[str, datetime]:
    """Give the card of a rule after an answer, and when it is due.

    Parameters
    ----------
    memory : str
        The card before, as it was kept; empty for a rule never asked.
    right : bool
        Whether the answer was right.
    sure : int
        1 a guess, 2 fairly, 3 sure. A right guess is remembered as hard, a sure right answer as easy.
    at : datetime
        Moment of the answer, with its zone.

    Raises
    ------
    ValueError
        The moment has no zone, or the card cannot be read.
    """
    from fsrs import Card, Rating

    if at.tzinfo is None:
        raise ValueError("the moment of an answer needs a zone")
    moment = at.astimezone(UTC)
    card = Card.from_json(memory) if memory else Card(card_id=1, due=moment)
    rating = {GUESS: Rating.Hard, FAIRLY: Rating.Good, SURE: Rating.Easy}[sure] if right else Rating.Again
    after, _ = _scheduler().review_card(card, rating, moment)
    kept: Any = json.loads(after.to_json())
    return json.dumps(kept, sort_keys=True), after.due
