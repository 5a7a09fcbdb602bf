"""How a community is split, option by option, so that loved-and-hated shows at a glance."""

from sixwright.kernel.pictures import Axis, Bar, Chart, ChartMark, Point, Tone
from sixwright.kernel.ticks import MOST_TICKS, round_ticks
from sixwright.line.voices import Poll
from sixwright.topics.voices.model import Answer, PollAnswer, Told, Word


def pictures(told: Told, answer: Answer) -> tuple[Chart, ...]:
    """A picture a poll, then who speaks of what.

    Parameters
    ----------
    told, answer
        What was asked and what was computed of it.

    Raises
    ------
    KeyError
        If `answer` is not of `told`.

    Source
    ------
    docs/topics/voices.md.
    """
    charts = [picture_of(told, answer, poll) for poll in answer.polls]
    return tuple(chart for chart in [*charts, spoken_of(told, answer)] if chart)


def picture_of(told: Told, answer: Answer, poll: str) -> Chart | None:
    """One poll's picture; None where nobody has answered.

    Parameters
    ----------
    told, answer
        What was asked and what was computed of it.
    poll
        Id of the poll.

    Raises
    ------
    KeyError
        If there is no such poll.

    Source
    ------
    docs/topics/voices.md.
    """
    asked, said = told.polls[poll], answer.polls[poll]
    if asked.kind == "rate":
        return _levels(told, asked, said)
    if asked.kind == "rank":
        return _strengths(told, asked, said)
    return _shares(told, asked, said)


def _name(told: Told, poll: str, option: str) -> str:
    return told.options[poll, option].name or option


def _levels(told: Told, asked: Poll, said: PollAnswer) -> Chart | None:
    """Ratings laid about the middle of the scale: dislike to the left, liking to the right.

    The ends of the scale are dark and its middle pale, so that an option that is loved and hated
    is dark on both sides, and one that is mildly liked is pale and to the right.
    """
    known = {o: f.everyone for o, f in said.options.items() if f.everyone.n}
    if not known or asked.least is None or asked.most is None:
        return None
    levels = range(asked.least, asked.most + 1)
    rows, marks, words = [], list[ChartMark](), []
    far_left = far_right = 0.0
    for row, (option, found) in enumerate(known.items()):
        name = _name(told, asked.id, option)
        word = f": {found.word}" if found.word else ""
        rows.append(f"{name}{word}")
        shares = [100 * count / sum(found.counts) for count in found.counts]
        half = len(shares) // 2
        middle = shares[half] / 2 if len(shares) % 2 else 0.0
        at = -(sum(shares[:half]) + middle)
        for place, (level, share) in enumerate(zip(levels, shares, strict=True)):
            if share:
                told_level = f"{name}: {share:.0f} % gave {level}"
                tone = _tone(place, len(shares))
                marks.append(Bar(row, at, at + share, tone, f"{share:.0f}", told_level))
            far_left, far_right = min(far_left, at), max(far_right, at + share)
            at += share
        words.append(f"{name}{word}, {found.top:.0%} at the top, {found.bottom:.0%} at the bottom")
    return Chart(
        title=asked.question or asked.id,
        summary="Ratings of each option. " + "; ".join(words) + ".",
        x=Axis(
            f"per cent of voters: {asked.least} at the left end, {asked.most} at the right",
            far_left,
            far_right,
            _percents(far_left, far_right),
        ),
        rows=tuple(rows),
        marks=tuple(marks),
        caption="Each bar is every voter once, laid about the middle of the scale. Dark: the ends "
        "of the scale. Dark on both sides is loved and hated; pale is lukewarm.",
    )


def _tone(place: int, levels: int) -> Tone:
    """Dark at the ends of the scale, pale in its middle."""
    inwards = min(place, levels - 1 - place)
    outer = max(1, levels // 5)
    if inwards < outer:
        return Tone.INK
    return Tone.SOFT if inwards < 2 * outer and 2 * inwards + 1 < levels else Tone.FAINT


def _percents(low: float, high: float) -> tuple[tuple[float, str], ...]:
    step = 20
    first, last = -int(-low // step), int(high // step)
    return tuple((float(step * i), f"{abs(step * i)} %") for i in range(first, last + 1))


def _shares(told: Told, asked: Poll, said: PollAnswer) -> Chart | None:
    """An interval an option, its share marked in it."""
    known = {o: f.everyone for o, f in said.options.items() if f.everyone.share}
    if not known:
        return None
    rows, marks, words = [], list[ChartMark](), []
    for row, (option, found) in enumerate(known.items()):
        share = found.share
        if share is None:
            continue
        name = _name(told, asked.id, option)
        divided = found.word is Word.DIVIDED
        rows.append(f"{name}: {found.word}" if divided else name)
        low, value, high = (100 * float(x) for x in (share.low, share.value, share.high))
        span = f"{low:.0f} to {high:.0f} %"
        marks += [
            Bar(row, low, high, Tone.FAINT, title=f"{name}: {value:.0f} %, {span}"),
            Point(value, row, label=f"{value:.0f} %"),
        ]
        words.append(f"{name} {value:.0f} % ({span})")
    looks = "each look" if said.held == "sequence" else "one look"
    return Chart(
        title=asked.question or asked.id,
        summary="Share of voters for each option. " + "; ".join(words) + ".",
        x=Axis("per cent of voters", 0, 100, _percents(0, 100)),
        rows=tuple(rows),
        marks=tuple(marks),
        caption=f"The bar is where the share lies at 95 %, at {looks}; the upright is the share.",
    )


def _signed(value: float) -> str:
    """Two digits after the point, with the minus of a text and not a hyphen."""
    return f"{value:.2f}".replace("-", "−")


def _strengths(told: Told, asked: Poll, said: PollAnswer) -> Chart | None:
    """An interval an option: the chance to be ranked first among all that were ranked."""
    known = {o: f.everyone.strength for o, f in said.options.items() if f.everyone.strength}
    if not known:
        return None
    rows, marks, words = [], list[ChartMark](), []
    low, high = 0.0, 0.0
    for row, (option, found) in enumerate(known.items()):
        name = _name(told, asked.id, option)
        rows.append(name)
        ends = float(found.low), float(found.value), float(found.high)
        low, high = min(low, ends[0]), max(high, ends[2])
        marks += [
            Bar(row, ends[0], ends[2], Tone.FAINT, title=f"{name}: {_signed(ends[1])}"),
            Point(ends[1], row, label=_signed(ends[1])),
        ]
        words.append(f"{name} {_signed(ends[1])} ({_signed(ends[0])} to {_signed(ends[2])})")
    return Chart(
        title=asked.question or asked.id,
        summary="Strength of each option. " + "; ".join(words) + ".",
        x=Axis(
            "strength: 0.7 more is twice as likely to be put first",
            low,
            high,
            round_ticks(low, high, most=MOST_TICKS, least=1),
        ),
        rows=tuple(rows),
        marks=tuple(marks),
        caption="The bar is where the strength lies at 95 %; the upright is the estimate.",
    )


def spoken_of(told: Told, answer: Answer) -> Chart | None:
    """Voters by subject: those who were answered, then those who wait; None without any.

    Parameters
    ----------
    told, answer
        What was said and what was computed of it.

    Raises
    ------
    KeyError
        If `answer` is not of `told`.

    Source
    ------
    docs/topics/voices.md.
    """
    heard = sorted(
        ((s, f) for s, f in answer.subjects.items() if f.voters), key=lambda pair: -pair[1].voters
    )
    if not heard:
        return None
    rows, marks, words = [], list[ChartMark](), []
    for row, (subject, found) in enumerate(heard):
        name = told.subjects[subject].name or subject
        rows.append(name)
        answered = found.voters - found.open_voters
        for start, end, tone, what in (
            (0, answered, Tone.FAINT, "answered"),
            (answered, found.voters, Tone.SOFT, "waiting"),
        ):
            if end > start:
                title = f"{name}: {end - start} {what}"
                marks.append(Bar(row, start, end, tone, f"{end - start} {what}", title))
        words.append(f"{name}: {found.voters} voters, {found.open_voters} of them wait")
    most = max(found.voters for _, found in heard)
    return Chart(
        title="What they speak of",
        summary="Voters by subject. " + "; ".join(words) + ".",
        x=Axis("voters", 0, most, round_ticks(0, most, most=8, least=1)),
        rows=tuple(rows),
        marks=tuple(marks),
        caption="Voters, not posts. Waiting: nobody has answered any of theirs yet.",
    )
