"""How one box differs from others taken together, as a buyer would put it."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

from sixwright.kernel.sentences import Count, Sentence, Value
from sixwright.reports.wording.words import number
from sixwright.topics.lineup.model import Answer as Boxes

# So many of the things that a box adds are named; more are counted.
NAMED = 3


Pieces = Counter[str]


def pieces(boxes: Boxes, sells: str, names: Mapping[str, str]) -> Pieces | None:
    """The pieces of the named parts in a box; None where one of them is unknown."""
    found: Pieces = Counter()
    for part, count in boxes.contents.get(sells, {}).items():
        if part in names:
            if count is None:
                return None
            found[part] = count
    return found


def differences(
    here: Pieces, others: Sequence[Pieces], *, names: Mapping[str, str], lead: Sentence, locale: str
) -> Iterator[Sentence]:
    """What a box lacks of others taken together, and what it adds.

    Parameters
    ----------
    here, others
        The pieces in a box, and in those that it is compared with.
    names
        The public names of their parts.
    lead
        How the sentence begins: that the box holds what the others hold.
    """
    together: Pieces = sum(others, Counter())
    less = [
        f"{names[part]} ({_count(here[part], locale)} instead of {number(count, locale)})"
        for part, count in together.items()
        if here[part] < count
    ]
    more = here - together
    if less:
        values = {**lead.values, "less": "; ".join(less)}
        yield Sentence(f"{lead.template}, except: {{less}}.", values)
    else:
        yield Sentence(f"{lead.template}.", lead.values)
    if more:
        yield Sentence("It adds: {more}.", {"more": _added(more, names, locale)})


def _added(more: Pieces, names: Mapping[str, str], locale: str) -> Value:
    if len(more) > NAMED:
        return Count(more.total(), "piece", "pieces")
    return "; ".join(f"{names[part]} ({number(count, locale)})" for part, count in more.items())


def _count(count: int, locale: str) -> str:
    return number(count, locale) if count else "none"
