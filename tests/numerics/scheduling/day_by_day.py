"""A schedule worked out day by day, for comparison: it shares nothing with what it tests."""

from fractions import Fraction


def finish_of(yields, start, days):
    """Walk from a day to the one on which the work is done; None where the days end first."""
    if days == 0:
        return start - 1
    done = Fraction(0)
    for day in range(start, len(yields)):
        done += Fraction(yields[day])
        if float(done) >= days - 1e-9:
            return day
    return None


def schedule(jobs, capacities, yields):
    """Place jobs in order at the first day on which every rule allows them.

    `jobs`: name, days, links (name, lag, from start), person or None, slots or None.
    """
    starts, finishes, busy = {}, {}, {name: {} for name in capacities}
    for name, days, links, who, slots in jobs:
        calendar = yields[who]
        starts[name] = finishes[name] = None
        for day in range(len(calendar)):
            if calendar[day] <= 0 or (slots and not any(a <= day <= b for a, b in slots)):
                continue
            if not all(_allows(link, day, starts, finishes) for link in links):
                continue
            end = finish_of(calendar, day, days)
            if end is None:
                starts[name] = day if _has_none_later(calendar, day) else None
                break
            days_taken = range(day, end + 1)
            if who and any(busy[who].get(each, 0) >= capacities[who] for each in days_taken):
                continue
            starts[name], finishes[name] = day, end
            if who:
                for each in days_taken:
                    busy[who][each] = busy[who].get(each, 0) + 1
            break
    return starts, finishes


def _has_none_later(calendar, day):
    return calendar[day] > 0


def _allows(link, day, starts, finishes):
    other, lag, from_start = link
    if from_start:
        return starts[other] is not None and day >= starts[other] + lag
    return finishes[other] is not None and day >= finishes[other] + 1 + lag
