"""What a sculptor is asked about a round: chosen from what was found, kept in asks.csv."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date

from sixwright.kernel.errors import InputError
from sixwright.line.likeness import UNDONE, SculptAsk
from sixwright.project.model import Project
from sixwright.project.records import Change
from sixwright.project.rows import addition
from sixwright.topics.likeness.wishes import Wish

TABLE = "asks"
MOST = 6  # asks on one page: more are not read (own choice)


def asks_of(project: Project, round_: str) -> tuple[SculptAsk, ...]:
    """What is asked about a round and is neither declined nor withdrawn, in the folder's order."""
    return tuple(
        ask
        for ask in project.sculpt_asks.values()
        if ask.round == round_ and ask.state not in UNDONE
    )


def is_asked(wish: Wish, asks: Sequence[SculptAsk]) -> bool:
    """Whether one of these asks is this wish."""
    return any(_is(wish, ask) for ask in asks)


def _is(wish: Wish, ask: SculptAsk) -> bool:
    if wish.landmark:
        return (ask.landmark, ask.side) == (wish.landmark, wish.side)
    sized = ask.direction.endswith("a side") == wish.direction.endswith("a side")
    return ask.landmark is None and ask.subject == wish.about and sized


def kept(
    project: Project,
    round_: str,
    chosen: Sequence[Wish],
    words: Mapping[str, str],
    on: date,
) -> tuple[Change, ...]:
    """The rows of asks.csv by which these are asked: one edit.

    Parameters
    ----------
    chosen
        Of what can be asked about the round; what is asked already is left out.
    words
        What each says, by its id.
    on
        The day.

    Raises
    ------
    InputError
        If nothing is chosen, or more than one page holds.
    """
    stands = asks_of(project, round_)
    fresh = [wish for wish in chosen if not is_asked(wish, stands)]
    if not fresh:
        raise InputError("Pick what the sculptor is to change; nothing was written.")
    if len(stands) + len(fresh) > MOST:
        raise InputError(
            f"One page holds {MOST} asks, so that each is read; {len(stands)} are on it already, "
            f"and {len(fresh)} were picked. Nothing was written."
        )
    return tuple(_rows(project, round_, fresh, words, on))


def _rows(
    project: Project, round_: str, chosen: Sequence[Wish], words: Mapping[str, str], on: date
) -> Iterator[Change]:
    taken = set(project.records.get(TABLE, {}))
    for wish in chosen:
        plain = f"{round_}-{wish.id}"
        id_ = next(i for i in (plain, *_numbered(plain, len(taken))) if i not in taken)
        taken.add(id_)
        cells = {
            "id": id_,
            "subject": wish.about,
            "sculpt": project.rounds[round_].sculpt,
            "round": round_,
            "landmark": wish.landmark,
            "side": wish.side,
            "words": words[wish.id],
            "direction": wish.direction,
            "mm": f"{wish.mm:g}",
            "from": "likeness",
            "state": "open",
            "date": on.isoformat(),
        }
        yield addition(project.records, TABLE, cells)


def _numbered(plain: str, count: int) -> Iterator[str]:
    return (f"{plain}-{number}" for number in range(2, count + 3))
