"""How much of each box is shared with the others, as a picture."""

from sixwright.kernel.pictures import Axis, Bar, Chart, Tone
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
    """A bar a box: the parts it shares with another box, then the parts of its own.

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
        shared = sum(1 for part in held if len(answer.holders[part]) > 1)
        own = len(held) - shared
        rows.append(name)
        words.append(f"{name}: {shared} shared, {own} of its own")
        most = max(most, len(held))
        marks.append(Bar(row, 0, shared, Tone.SOFT, str(shared), f"{name}: {shared} shared"))
        if own:
            end = shared + own
            marks.append(Bar(row, shared, end, Tone.INK, str(own), f"{name}: {own} of its own"))
    return Chart(
        title="Parts shared between boxes",
        summary="Kinds of part in each box. " + "; ".join(words) + ".",
        x=Axis("kinds of part", 0, most),
        rows=tuple(rows),
        marks=tuple(marks),
        caption="Pale: parts that another box holds too. Dark: parts of this box alone.",
    )
