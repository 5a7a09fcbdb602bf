"""When things are likely to happen, week by week, and how much is asked of whom."""

import datetime as dt
from collections.abc import Iterator

from sixwright.kernel.pictures import Axis, Bar, Chart, ChartMark, Point, Shade, Tone
from sixwright.kernel.ticks import MOST_TICKS
from sixwright.topics.dates.model import Answer, Inputs, Reached, Week
from sixwright.topics.dates.words import milestone_name, person_name, task_name

WEEK = 7
SEEN = 0.005  # share of draws below which nothing is drawn
MONTHS_EACH = (1, 3, 6, 12, 24, 60, 120, 600, 1200)  # months from one tick to the next


def pictures(inputs: Inputs, answer: Answer) -> tuple[Chart, ...]:
    """The calendar of bands, and the load of everybody of whom something is asked.

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
    docs/topics/dates.md.
    """
    drawn = (milestones(inputs, answer), bands(inputs, answer), load(inputs, answer))
    return tuple(chart for chart in drawn if chart is not None)


def milestones(inputs: Inputs, answer: Answer) -> Chart | None:
    """A band a milestone: how likely it is to be reached in each week; None where none is known.

    Parameters
    ----------
    inputs, answer
        As `pictures`.
    """
    known = {
        id_: (milestone_name(inputs.milestones[id_]), found)
        for id_, found in answer.milestones.items()
        if found is not None and found.days
    }
    if not known:
        return None
    promised = [(list(known).index(each.milestone), each.date, answer.promises[each.id])
                for each in inputs.promises.values()
                if each.milestone in known and answer.promises[each.id].judged]  # fmt: skip
    days = [day for _, found in known.values() for day in (found.days[0], found.days[-1])]
    days += [day for _, day, _ in promised]
    monday = _monday(min(days))
    shares = [_weekly(found, monday, answer.draws) for _, found in known.values()]
    likeliest = max(max(weeks.values()) for weeks in shares)
    marks: list[ChartMark] = [
        Shade(row, WEEK * week, WEEK * (week + 1), share / likeliest, _in_week(monday, week, share))
        for row, weeks in enumerate(shares)
        for week, share in weeks.items()
        if share > SEEN
    ]
    for row, day, told in promised:
        kept = told.chance is None or float(told.chance.value) >= inputs.rules.confidence
        tone = Tone.INK if kept else Tone.TROUBLE
        marks.append(Point((day - monday).days + 1, row, tone, f"promised {day.day} {day:%b}"))
    return Chart(
        title="When each milestone is reached",
        summary=" ".join(_said(name, found) for name, found in known.values()),
        x=_axis(monday, max(days)),
        rows=tuple(name for name, _ in known.values()),
        marks=tuple(marks),
        caption="The darker a week is, the likelier it is that the milestone falls in it. "
        f"The darkest has {100 * likeliest:.0f}\N{NO-BREAK SPACE}% of the draws.",
    )


def bands(inputs: Inputs, answer: Answer) -> Chart | None:
    """A band a task: how likely it is to be under way in each week; None where none is known.

    Parameters
    ----------
    inputs, answer
        As `pictures`.
    """
    known = [(id_, found) for id_, found in answer.tasks.items()
             if found is not None and any(share > SEEN for share in found.running)]  # fmt: skip
    if not known:
        return None
    weeks = max(week for _, found in known for week, share in enumerate(found.running)
                if share > SEEN) + 1  # fmt: skip
    marks = tuple(
        Shade(row, WEEK * week, WEEK * (week + 1), share, _in_week(answer.monday, week, share))
        for row, (_, found) in enumerate(known)
        for week, share in enumerate(found.running[:weeks])
        if share > SEEN
    )
    return Chart(
        title="When each task is under way",
        summary=" ".join(_said(task_name(inputs, id_), found.finish) for id_, found in known),
        x=_axis(answer.monday, answer.monday + dt.timedelta(days=WEEK * weeks - 1)),
        rows=tuple(task_name(inputs, id_) for id_, _ in known),
        marks=marks,
        caption="The darker a week is, the likelier it is that the task is under way in it.",
    )


def load(inputs: Inputs, answer: Answer) -> Chart | None:
    """A row a person: each week's work that is asked, over what is there; None where none is.

    Parameters
    ----------
    inputs, answer
        As `pictures`.
    """
    if not answer.load:
        return None
    people = list(dict.fromkeys(week.who for week in answer.load))
    monday = min(week.monday for week in answer.load)
    last = max(week.monday for week in answer.load) + dt.timedelta(days=WEEK - 1)
    marks = [_asked(people.index(week.who), week, monday) for week in answer.load]
    words = "; ".join(_too_much(inputs, answer, who) for who in people)
    return Chart(
        title="Work asked of each person, by week",
        summary=f"Weeks in which something is asked, if nothing waited. {words}.",
        x=_axis(monday, last),
        rows=tuple(person_name(inputs, who) for who in people),
        marks=tuple(marks),
        caption="Grey weeks have room, marked ones are asked for more than is there.",
    )


def _too_much(inputs: Inputs, answer: Answer, who: str) -> str:
    weeks = [week for week in answer.load if week.who == who]
    over = sum(1 for week in weeks if week.asked > week.there)
    return f"{person_name(inputs, who)}: too much in {over} of {len(weeks)} weeks"


def _asked(row: int, week: Week, monday: dt.date) -> Bar:
    start = (week.monday - monday).days
    full = week.asked >= week.there
    tone = Tone.TROUBLE if week.asked > week.there else Tone.SOFT if full else Tone.FAINT
    title = f"{week.week}: {week.asked:g} of {week.there:g} days"
    return Bar(row, start, start + WEEK, tone, "", title)


def _weekly(found: Reached, monday: dt.date, draws: int) -> dict[int, float]:
    """Week, counted from a Monday, to the share of draws that fall in it."""
    shares: dict[int, float] = {}
    for day, count in zip(found.days, found.counts, strict=True):
        week = (day - monday).days // WEEK
        shares[week] = shares.get(week, 0.0) + count / draws
    return shares


def _in_week(monday: dt.date, week: int, share: float) -> str:
    first = monday + dt.timedelta(days=WEEK * week)
    last = first + dt.timedelta(days=6)
    return f"{first.isoformat()} to {last.isoformat()}: {100 * share:.0f}\N{NO-BREAK SPACE}%"


def _said(name: str, found: Reached) -> str:
    told = [f"{words} by {day.isoformat()}" for words, day in
            (("half the draws", found.p50), ("four in five", found.p80), ("19 in 20", found.p95))
            if day is not None]  # fmt: skip
    return f"{name}: {', '.join(told) or 'not reached in half the draws'}."


def _monday(day: dt.date) -> dt.date:
    return day - dt.timedelta(days=day.weekday())


def _axis(first: dt.date, last: dt.date) -> Axis:
    """Days from a first one, with the months named where they begin."""
    months = list(_months(first, last))
    step = next((n for n in MONTHS_EACH if len(months) <= n * MOST_TICKS), len(months))
    ticks = tuple(((day - first).days, f"{day:%b %Y}" if step > 6 or i == 0 or day.month == 1
                   else f"{day:%b}")
                  for i, day in enumerate(months) if i % step == 0)  # fmt: skip
    return Axis("", 0, max((last - first).days + 1, 1), ticks)


def _months(first: dt.date, last: dt.date) -> Iterator[dt.date]:
    day = first.replace(day=1)
    while day <= last:
        if day >= first:
            yield day
        day = (day + dt.timedelta(days=32)).replace(day=1)
