"""How far each box is described: parts with a hazard, not stated, and without."""

from sixwright.kernel.pictures import Axis, Bar, Chart, Tone
from sixwright.kernel.ticks import MOST_TICKS, round_ticks
from sixwright.topics.care.model import Answer, Inputs


def pictures(inputs: Inputs, answer: Answer) -> tuple[Chart, ...]:
    """The pictures of care, in the order in which a page shows them.

    Parameters
    ----------
    inputs, answer
        The line and what was computed of it.

    Raises
    ------
    KeyError
        If `answer` is not the answer to `inputs`.

    Source
    ------
    Own choice: kinds of part are counted, not pieces.
    """
    rows, marks, words, most = [], [], [], 1
    for row, sells in enumerate(inputs.contents):
        name = inputs.sells[sells].name or sells
        counts = _counts(inputs, answer, sells)
        rows.append(name)
        most = max(most, sum(count for _, _, count in counts))
        words.append(f"{name}: " + ", ".join(f"{count} {what}" for what, _, count in counts))
        start = 0
        for what, tone, count in counts:
            if count:
                marks.append(
                    Bar(row, start, start + count, tone, str(count), f"{name}: {count} {what}")
                )
                start += count
    step = 10 if most > 20 else 5 if most > 5 else 1
    chart = Chart(
        title="What is stated of the parts in each box",
        summary="Kinds of part in each box. " + "; ".join(words) + ".",
        x=Axis("kinds of part", 0, most, round_ticks(0, most, most=MOST_TICKS, least=step)),
        rows=tuple(rows),
        marks=tuple(marks),
        caption="From the left: parts with a stated hazard, parts of which nothing is stated, "
        "parts stated to have none.",
    )
    return (chart,)


def _counts(inputs: Inputs, answer: Answer, sells: str) -> tuple[tuple[str, Tone, int], ...]:
    """Kinds of part in a box with a hazard, of which nothing is stated, and without."""
    stated = [answer.parts[part].stated for part, n in inputs.contents[sells].items() if n != 0]
    return (
        ("with a stated hazard", Tone.INK, sum(bool(each) for each in stated)),
        ("not stated", Tone.SOFT, sum(each is None for each in stated)),
        ("stated to have none", Tone.FAINT, sum(each == frozenset() for each in stated)),
    )
