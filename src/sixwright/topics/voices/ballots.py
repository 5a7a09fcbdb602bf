"""What each voter of a poll answered in the end, and how many gave each answer."""

import datetime as dt
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from sixwright.line.voices import Tally, Vote

GROUPS: tuple[bool | None, ...] = (None, True, False)  # everyone, backers, others


@dataclass(frozen=True, slots=True)
class Ballots:
    """A poll's votes, one answer a voter and option.

    Attributes
    ----------
    answers
        Voter, then option: the answer that counts; write-ins are left out.
    backer
        Voter: whether they have paid; None while unknown.
    write_ins
        What the poll does not offer, with its voters, most first.
    twice
        Answers that a later one replaced.
    """

    answers: Mapping[str, Mapping[str, int]]
    backer: Mapping[str, bool | None]
    write_ins: Mapping[str, int]
    twice: int

    def of(self, backers: bool | None) -> list[str]:  # noqa: FBT001
        """The voters of a group: everyone (None), backers or others."""
        if backers is None:
            return list(self.answers)
        return [voter for voter in self.answers if self.backer[voter] is backers]


def ballots(votes: Iterable[Vote], offered: frozenset[str]) -> Ballots:
    """One answer a voter and option: of several, the latest date, then the later row.

    Parameters
    ----------
    votes
        Of one poll, in the folder's order; one without a date is older than any with one.
    offered
        Ids of the poll's options; any other answer is a write-in.

    Source
    ------
    Definition: docs/topics/voices.md, “Who counts”.
    """
    last: dict[tuple[str, str], Vote] = {}
    backer: dict[str, tuple[dt.date, bool]] = {}
    rows = 0
    for vote in votes:
        rows += 1
        key = (vote.voter, vote.option)
        before = last.get(key)
        if before is None or _day(vote) >= _day(before):
            last[key] = vote
        if vote.backer is not None:
            known = backer.get(vote.voter)
            if known is None or _day(vote) >= known[0]:
                backer[vote.voter] = (_day(vote), vote.backer)
    answers: dict[str, dict[str, int]] = {}
    written: Counter[str] = Counter()
    for (voter, option), vote in last.items():
        mine = answers.setdefault(voter, {})
        if option in offered:
            mine[option] = vote.answer
        elif vote.answer:  # a no to what nobody offered says nothing
            written[option] += 1
    return Ballots(
        answers=answers,
        backer={voter: backer[voter][1] if voter in backer else None for voter in answers},
        write_ins=dict(written.most_common()),
        twice=rows - len(last),
    )


def _day(vote: Vote) -> dt.date:
    return vote.date or dt.date.min


@dataclass(frozen=True, slots=True)
class Counts:
    """How many of a group gave each answer.

    Attributes
    ----------
    n
        Voters of the group; None where tallies do not tell.
    by_option
        Option, then answer: how many.
    """

    n: int | None
    by_option: Mapping[str, Mapping[int, int]]


def counts_of_votes(found: Ballots, offered: Iterable[str], backers: bool | None) -> Counts:  # noqa: FBT001
    """How many voters of a group gave each answer.

    Parameters
    ----------
    found
        The poll's votes.
    offered
        Ids of its options.
    backers
        The group: everyone (None), backers or others.

    Source
    ------
    A count.
    """
    counted: dict[str, Counter[int]] = {option: Counter() for option in offered}
    voters = found.of(backers)
    for voter in voters:
        for option, answer in found.answers[voter].items():
            counted[option][answer] += 1
    return Counts(len(voters), counted)


def counts_of_tallies(
    tallies: Iterable[Tally],
    offered: Iterable[str],
    *,
    backers: bool | None,
    one_each: bool,
) -> Counts:
    """How many of a group gave each answer, where only totals are known.

    Parameters
    ----------
    tallies
        Of one poll. Rows that say nothing of backers count for everyone alone.
    offered
        Ids of its options.
    backers
        The group: everyone (None), backers or others.
    one_each
        Whether every voter gave one answer in all (a choice), so that these add up to voters.

    Source
    ------
    A count. Of approvals, yes and no of one option add up to the voters; yes alone does not tell
    how many there were.
    """
    counted: dict[str, Counter[int]] = {option: Counter() for option in offered}
    total = 0
    for row in tallies:
        if backers is not None and row.backer is not backers:
            continue
        total += row.count
        if row.option in counted:
            counted[row.option][row.answer] += row.count
    return Counts(total if one_each else None, counted)
