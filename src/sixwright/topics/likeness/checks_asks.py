"""Whether what a sculptor was asked was done in the next round: each ask with its evidence."""

from sixwright.kernel.findings import Evidence, Finding, Subject
from sixwright.kernel.intervals import Limit, Verdict, judge
from sixwright.kernel.sentences import Measure, Name, Sentence, Value
from sixwright.line.landmarks import the
from sixwright.line.likeness import Key
from sixwright.topics.likeness import rules
from sixwright.topics.likeness.ask_answers import AskAnswer
from sixwright.topics.likeness.ask_ways import SIZES, WAYS
from sixwright.topics.likeness.model import Answer, Inputs, RoundAnswer
from sixwright.topics.likeness.rounds.ask_outcomes import keys_of


def findings(answer: Answer) -> tuple[Finding, ...]:
    """What became of every ask to which a later round came, and asks that cannot be read.

    Parameters
    ----------
    answer
        What was computed.

    Raises
    ------
    KeyError
        If an ask was judged by a round that is not there: a fault of ours.

    Source
    ------
    docs/topics/likeness.md, “What became of an ask”.
    """
    rounds = {one.round: one for one in answer.rounds}
    found = []
    for each in answer.asks:
        if each.moved_mm is not None and each.off_mm is not None:
            found.append(_done(each, rounds[each.round]))
        elif each.reason == "words":
            found.append(_unread(each))
    return tuple(found)


def asked_in(inputs: Inputs, answer: Answer) -> frozenset[tuple[str, Key]]:
    """Rounds, each with the landmarks that were asked to change before it came."""
    return frozenset(
        (each.round, key)
        for each in answer.asks
        if each.round
        for key in keys_of(inputs.asks[each.ask])
    )


def manner(each: AskAnswer) -> str:
    """How an ask was carried out, to stand after “was”; of one that was measured."""
    if each.moved_mm is None or each.off_mm is None:
        return "not judged yet"
    verdict = judge(each.off_mm, Limit("<=", each.tolerance_mm))
    if verdict is Verdict.HOLDS:
        return "done"
    asked, sure = each.asked_mm, verdict is Verdict.FAILS
    if each.moved_mm.value > asked:
        return "overdone" if sure else "perhaps overdone"
    if each.moved_mm.high < 0:
        return "done the wrong way"
    if each.moved_mm.low <= 0:
        return "not done" if sure else "perhaps not done"
    return "underdone" if sure else "perhaps underdone"


def _done(each: AskAnswer, later: RoundAnswer) -> Finding:
    if each.moved_mm is None:
        raise KeyError(f"{each.ask} must have been measured.")
    values: dict[str, Value] = {
        "name": the(each.name),
        "head": Name(later.name),
        "asked": Measure(each.asked_mm, "mm", 2),
        "moved": Measure(each.moved_mm.value, "mm", 2),
        "low": Measure(each.moved_mm.low, "mm", 2),
        "high": Measure(each.moved_mm.high, "mm", 2),
        "manner": manner(each),
    }
    text = "The ask about {name} was {manner} in {head}: {asked} was asked, and it went {moved}"
    text += " ({low} to {high}) that way"
    if each.aside_mm > each.tolerance_mm:
        text += ", and {aside} aside"
        values["aside"] = Measure(each.aside_mm, "mm", 2)
    evidence = Evidence(measured=each.off_mm, limit=Limit("<=", each.tolerance_mm))
    return rules.ASKED.finding(
        Subject("ask", each.ask),
        evidence,
        Sentence(text + ".", values),
        remedy=_remedy(evidence.verdict),
        weight=float(each.off_mm.value) / each.tolerance_mm if each.off_mm else 0.0,
    )


def _remedy(verdict: Verdict) -> Sentence | None:
    """What the head still lacks is told by its own landmarks: that is what is asked next."""
    if verdict is Verdict.FAILS:
        return Sentence(
            "Go by what the new round still lacks, not by the rest of the old ask: the page asks "
            "for that."
        )
    if verdict is Verdict.DOUBTFUL:
        return Sentence("Place its landmarks on the new round again with care, or look by eye.")
    return None


def _unread(each: AskAnswer) -> Finding:
    ways = ", ".join((*list(WAYS)[:6], *list(SIZES)[:1]))
    return rules.ASKED.finding(
        Subject("ask", each.ask),
        Evidence(missing=(f"asks/{each.ask}/direction",)),
        Sentence(
            "Whether the ask about {name} was done cannot be judged: its direction cannot be "
            "read, or what it is about is no feature and no landmark.",
            {"name": the(each.name)},
        ),
        remedy=Sentence(
            "Write the direction as 0.4 mm in and 0.2 mm up. Words that are read: {ways}.",
            {"ways": ways},
        ),
    )
