"""What all voters, backers and others say of each option of a poll."""

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from zlib import crc32

from sixwright.kernel.intervals import Interval
from sixwright.line.voices import Option, Poll, Tally, Vote
from sixwright.numerics.rankings import pairwise_counts, strength_intervals
from sixwright.numerics.ratings import agreement, agreement_interval, student_interval
from sixwright.numerics.shares import newcombe_difference, sequence_interval, wilson_interval
from sixwright.topics.voices.ballots import (
    GROUPS,
    Ballots,
    Counts,
    ballots,
    counts_of_tallies,
    counts_of_votes,
)
from sixwright.topics.voices.demand import tastes
from sixwright.topics.voices.model import (
    SEATS,
    Held,
    OptionAnswer,
    Pair,
    PollAnswer,
    Said,
    Told,
    Word,
)
from sixwright.topics.voices.sets import best_sets, liked_by
from sixwright.topics.voices.sets_model import NoSets, OptionSet

AGREED_ABOVE = 0.4  # of van der Eijk's A: voices.md
DIVIDED_BELOW = 0.0
DIVIDED_APPROVAL = (0.35, 0.65)
DIVIDED_VOTERS = 30


def poll_answer(
    told: Told, poll: Poll, votes: Sequence[Vote], tallies: Sequence[Tally]
) -> PollAnswer:
    """What came back to one poll, option by option.

    Parameters
    ----------
    told
        Options, the day and the seed.
    poll
        The poll.
    votes, tallies
        Its own; one of the two is empty.

    Raises
    ------
    sixwright.kernel.errors.InputError
        If the folder holds what reading refuses, such as a rating without levels.

    Source
    ------
    docs/topics/voices.md.
    """
    polled = _polled(told, poll, votes, tallies)
    everyone, backers, others = (polled.said(group) for group in GROUPS)
    options = {
        option: OptionAnswer(
            everyone[option], backers[option], others[option], polled.difference(option)
        )
        for option in polled.offered
    }
    sets, no_sets = _sets(polled, options)
    rankings, tied = _rankings(polled) if poll.kind == "rank" else ({}, 0)
    return PollAnswer(
        n=polled.counts(None).n,
        invited=poll.invited,
        held=polled.held,
        options=options,
        sets=sets,
        no_sets=no_sets,
        tastes=tastes(poll, polled.found),
        pairs=_pairs(list(rankings.values()), tuple(polled.offered)),
        write_ins=_write_ins(polled),
        twice=polled.found.twice,
        several=sum(poll.kind == "choice" and len(a) > 1 for a in polled.found.answers.values()),
        tied=tied,
    )


@dataclass(frozen=True, slots=True)
class _Polled:
    """One poll with its options and what came back.

    Attributes
    ----------
    found
        Its votes; none where only tallies are known.
    """

    poll: Poll
    offered: Mapping[str, Option]
    found: Ballots
    tallies: Sequence[Tally]
    held: Held
    seed: int

    def counts(self, backers: bool | None) -> Counts:  # noqa: FBT001
        """How many of a group gave each answer."""
        if self.tallies:
            one_each = self.poll.kind == "choice"
            return counts_of_tallies(self.tallies, self.offered, backers=backers, one_each=one_each)
        return counts_of_votes(self.found, self.offered, backers)

    def said(self, backers: bool | None) -> dict[str, Said]:  # noqa: FBT001
        """What a group says, option by option."""
        counted = self.counts(backers)
        given = counted.by_option
        if self.poll.kind == "rate":
            return {o: _rated(self.poll, given[o], self.seed) for o in self.offered}
        if self.poll.kind == "rank":
            strengths = _strengths(self, backers=backers)
            return {
                option: Said(sum(given[option].values()), strength=strengths.get(option))
                for option in self.offered
            }
        return {
            option: _shared(self.poll, given[option], counted.n, self.held)
            for option in self.offered
        }

    def difference(self, option: str) -> Interval | None:
        """Share of backers less share of others, each with Wilson's interval in any poll."""
        if self.poll.kind not in {"choice", "approve"}:
            return None
        shares = []
        for group in (True, False):
            counted = self.counts(group)
            given = counted.by_option[option]
            of = _voters(self.poll, given, counted.n)
            if not of:
                return None
            shares.append(wilson_interval(given.get(1, 0), of))
        return newcombe_difference(*shares)


def _polled(told: Told, poll: Poll, votes: Sequence[Vote], tallies: Sequence[Tally]) -> _Polled:
    offered = {o.option: o for (of, _), o in told.options.items() if of == poll.id}
    return _Polled(
        poll,
        offered,
        ballots(votes, frozenset(offered)),
        tallies,
        Held.SEQUENCE if is_open(poll, told.today) else Held.WILSON,
        told.seed,
    )


def _sets(
    polled: _Polled, options: Mapping[str, OptionAnswer]
) -> tuple[tuple[OptionSet, ...], NoSets | None]:
    if not polled.found.answers:
        return (), NoSets.TALLIES if polled.tallies else None
    ids = tuple(sorted(polled.offered))
    return best_sets(
        liked_by(polled.poll, polled.found, ids),
        ids,
        seats=polled.poll.seats or SEATS,
        musts=frozenset(option for option, o in polled.offered.items() if o.must),
        divided=frozenset(o for o, s in options.items() if s.everyone.word is Word.DIVIDED),
    )


def _write_ins(polled: _Polled) -> dict[str, int]:
    written = dict(polled.found.write_ins)
    for row in polled.tallies:
        if row.option not in polled.offered and row.answer:
            written[row.option] = written.get(row.option, 0) + row.count
    return written


def is_open(poll: Poll, today: dt.date) -> bool:
    """Whether votes may still come, so that the poll is looked at more than once."""
    return poll.closed is None or poll.closed > today


def word_of(agreed: float | None) -> Word | None:
    """The word of a van der Eijk's A; None of None.

    Parameters
    ----------
    agreed
        -1 to 1.

    Source
    ------
    Own choice: above .4, below 0, or between (docs/topics/voices.md).
    """
    if agreed is None:
        return None
    if agreed > AGREED_ABOVE:
        return Word.AGREED
    return Word.DIVIDED if agreed < DIVIDED_BELOW else Word.MIXED


def _voters(poll: Poll, given: Mapping[int, int], n: int | None) -> int | None:
    """Voters that a share is of: the poll's, or of tallied approvals, yes and no together."""
    if n is not None or poll.kind == "choice":
        return n
    return sum(given.values()) if 0 in given else None


def _shared(poll: Poll, given: Mapping[int, int], n: int | None, held: Held) -> Said:
    of = _voters(poll, given, n)
    if not of:
        return Said(of)
    make = sequence_interval if held is Held.SEQUENCE else wilson_interval
    share = make(given.get(1, 0), of)
    low, high = DIVIDED_APPROVAL
    torn = poll.kind == "approve" and of >= DIVIDED_VOTERS and low <= share.value <= high
    return Said(of, share=share, word=Word.DIVIDED if torn else None)


def _rated(poll: Poll, given: Mapping[int, int], seed: int) -> Said:
    if poll.least is None or poll.most is None:
        return Said(0)
    levels = range(poll.least, poll.most + 1)
    counts = tuple(given.get(level, 0) for level in levels)
    n = sum(counts)
    if not n:
        return Said(0, counts=counts)
    agreed = agreement(counts)
    return Said(
        n,
        counts=counts,
        mean=student_interval(counts, levels),
        mean_value=sum(c * level for c, level in zip(counts, levels, strict=True)) / n,
        top=sum(counts[-2:]) / n,
        bottom=sum(counts[:2]) / n,
        agreement=agreed,
        agreement_spread=agreement_interval(counts, seed=seed),
        word=word_of(agreed),
    )


def _rankings(polled: _Polled) -> tuple[dict[str, tuple[int, ...]], int]:
    """Voter: columns of the options, best first; and how many voters tied two options."""
    column = {option: i for i, option in enumerate(polled.offered)}
    ranked, tied = {}, 0
    for voter, answers in polled.found.answers.items():
        ranks = list(answers.values())
        clear = {option: rank for option, rank in answers.items() if ranks.count(rank) == 1}
        tied += len(clear) < len(answers)
        ranked[voter] = tuple(column[o] for o in sorted(clear, key=lambda o: clear[o]))
    return ranked, tied


def _strengths(polled: _Polled, *, backers: bool | None) -> dict[str, Interval]:
    """Strengths of the options that a group has ranked; none where nobody ranked two."""
    ranked, _ = _rankings(polled)
    told = [ranked[voter] for voter in polled.found.of(backers) if len(ranked[voter]) > 1]
    met = sorted({column for ranking in told for column in ranking})
    if not met:
        return {}
    place = {column: i for i, column in enumerate(met)}
    rankings = [tuple(place[column] for column in ranking) for ranking in told]
    # Each poll and group has draws of its own, the same whatever else the folder holds.
    group = crc32(f"{polled.poll.id}/{backers}".encode())
    intervals = strength_intervals(rankings, len(met), seed=(polled.seed << 32) + group)
    offered = tuple(polled.offered)
    return {offered[column]: intervals[i] for i, column in enumerate(met)}


def _pairs(told: list[tuple[int, ...]], offered: tuple[str, ...]) -> tuple[Pair, ...]:
    if not told:
        return ()
    before = pairwise_counts(told, len(offered))
    return tuple(
        Pair(one, other, int(before[i, j]))
        for i, one in enumerate(offered)
        for j, other in enumerate(offered)
        if i != j
    )
