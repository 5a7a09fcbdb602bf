"""How much of each box is shared with the others, as a picture."""

from collections.abc import Mapping

from sixwright.kernel.pictures import Axis, Bar, Chart, Tone
from sixwright.kernel.ticks import MOST_TICKS, round_ticks
from sixwright.topics.lineup.model import Answer, Inputs


def pictures(inputs: Inputs, answer: Answer) -> tuple[Chart, ...]:
    """The line-up's pictures, in the order in which a page shows them.

    Parameters
    ----------
    inputs, answer
        The line-up and what was computed of it.

    Raises
    ------
    KeyError
        If `answer` is not the answer to `inputs`.

    Source
    ------
    Own choice: kinds of part are counted, not pieces.
    """
    return (shared_parts(inputs, answer),)


def shared_parts(inputs: Inputs, answer: Answer) -> Chart:
    """A bar a box: parts in every box, parts in another box too, parts only here.

    Parameters
    ----------
    inputs, answer
        The line-up and what was computed of it.

    Raises
    ------
    KeyError
        If `answer` is not the answer to `inputs`.

    Source
    ------
    Own choice: kinds of part are counted, not pieces.
    """
    rows, marks, words, most = [], [], [], 1
    for row, (sells, held) in enumerate(answer.contents.items()):
        name = inputs.sells[sells].name or sells
        rows.append(name)
        most = max(most, len(held))
        counts = _counts(answer, held)
        words.append(f"{name}: " + ", ".join(f"{n} {where}" for where, _, n in counts))
        start = 0
        for where, tone, count in counts:
            if count:
                end = start + count
                marks.append(Bar(row, start, end, tone, str(count), f"{name}: {count} {where}"))
                start = end
    step = 10 if most > 20 else 5 if most > 5 else 1
    return Chart(
        title="Parts shared between boxes",
        summary="Kinds of part in each box. " + "; ".join(words) + ".",
        x=Axis("kinds of part", 0, most, round_ticks(0, most, most=MOST_TICKS, least=step)),
        rows=tuple(rows),
        marks=tuple(marks),
        caption="From the left: parts in every box, parts in another box too, parts only here.",
    )


def _counts(answer: Answer, held: Mapping[str, int | None]) -> tuple[tuple[str, Tone, int], ...]:
    """Kinds of part that lie in every box, in another one too, and only here."""
    boxes = len(answer.contents)
    holders = [len(answer.holders[part]) for part in held]
    everywhere = sum(1 for count in holders if count == boxes > 1)
    alone = sum(1 for count in holders if count == 1)
    return (
        ("in every box", Tone.FAINT, everywhere),
        ("in another box too", Tone.SOFT, len(holders) - everywhere - alone),
        ("only here", Tone.INK, alone),
    )
