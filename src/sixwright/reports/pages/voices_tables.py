"""The tables of voices: options of a poll, sets, boxes, subjects, groups and their comments."""

from collections.abc import Iterator, Sequence
from datetime import date

from sixwright.kernel.ids import slug
from sixwright.kernel.intervals import Interval
from sixwright.kernel.sentences import Count, Measure, Names, Sentence, Share, Value
from sixwright.line.voices import Comment
from sixwright.reports.document import Cell, CellAddress, Column, Deed, Row, Table
from sixwright.topics.voices.asks import ask_cells, ask_words
from sixwright.topics.voices.compute import new_since
from sixwright.topics.voices.model import (
    Answer,
    CommentGroup,
    GroupedBy,
    Inputs,
    PollAnswer,
    Said,
    SubjectAnswer,
)
from sixwright.topics.voices.sets_model import OptionSet, Stands

NO = Cell(nothing=True)
FIRST_SETS = 3  # of a size: more are in the JSON
FIRST_GROUPS = 12
NOW = {Stands.OUT: "not in it", Stands.OPTIONAL: "optional", Stands.FORCED: "all get it"}


def option_name(inputs: Inputs, poll: str, option: str) -> str:
    """The name of an option, or its id."""
    known = inputs.told.options.get((poll, option))
    return (known.name if known else "") or option


def options_table(inputs: Inputs, poll: str, said: PollAnswer) -> Table:
    """Every option with what all, backers and others say of it."""
    asked = inputs.told.polls[poll]
    rated, ranked = asked.kind == "rate", asked.kind == "rank"
    columns = [Column("Option"), Column("Voters", numeric=True)]
    if rated:
        columns += [
            Column("Mean", numeric=True), Column("Want it", numeric=True),
            Column("Do not", numeric=True), Column("Agreement", numeric=True), Column("Word"),
        ]  # fmt: skip
    elif ranked:
        columns.append(Column("Strength", numeric=True))
    else:
        columns += [Column("Share", numeric=True), Column("Backers less others", numeric=True)]
    if rated or ranked:
        columns += [Column("Backers", numeric=True), Column("Others", numeric=True)]
    rows = tuple(_option_row(inputs, poll, option, said) for option in said.options)
    return Table(
        f"What they say: {asked.question or poll}", tuple(columns), rows, tuple(_trust(said))
    )


def _option_row(inputs: Inputs, poll: str, option: str, said: PollAnswer) -> Row:
    kind = inputs.told.polls[poll].kind
    found = said.options[option]
    everyone = found.everyone
    name = option_name(inputs, poll, option)
    cells = [
        Cell(name, place=CellAddress("options", f"{poll}/{option}", "name")),
        Cell(everyone.n),
    ]
    if kind == "rate":
        cells += [
            _span(everyone.mean, everyone.mean_value),
            _share(everyone.top),
            _share(everyone.bottom),
            _span(everyone.agreement_spread, everyone.agreement),
            Cell(everyone.word.value if everyone.word else None),
            _mean(found.backers),
            _mean(found.others),
        ]
    elif kind == "rank":
        cells += [_span(everyone.strength), _span(found.backers.strength),
                  _span(found.others.strength)]  # fmt: skip
    else:
        cells += [_percent(everyone.share), _percent(found.difference)]
    return Row(tuple(cells), anchor=f"option-{poll}_{option}")


def _mean(said: Said) -> Cell:
    return _span(said.mean, said.mean_value)


def _share(value: float | None) -> Cell:
    return NO if value is None else Cell(Share(value, 0))


def _span(found: Interval | None, value: float | None = None) -> Cell:
    """A value with its interval under it."""
    if found is None:
        return NO if value is None else Cell(Measure(value, "", 2))
    ends: dict[str, Value] = {
        "low": Measure(float(found.low), "", 2), "high": Measure(float(found.high), "", 2)
    }  # fmt: skip
    return Cell(Measure(float(found.value), "", 2), detail=Sentence("{low} to {high}", ends))


def _percent(found: Interval | None) -> Cell:
    if found is None:
        return NO
    ends: dict[str, Value] = {"low": Share(found.low, 0), "high": Share(found.high, 0)}
    return Cell(Share(found.value, 0), detail=Sentence("{low} to {high}", ends))


def _trust(said: PollAnswer) -> Iterator[Sentence]:
    """How far to trust it, and what was counted otherwise than one might think."""
    voters = Count(said.n or 0, "voter", "voters")
    if said.n is None:
        yield Sentence("Counted from totals; how many voters there were is not known.")
    elif said.invited:
        invited = Count(said.invited)
        yield Sentence("{voters} of {invited} invited.", {"voters": voters, "invited": invited})
    else:
        yield Sentence("{voters}; how many were invited is not known.", {"voters": voters})
    if said.held == "sequence":
        yield Sentence("The poll is open: intervals of shares hold however often you look.")
    yield Sentence("Those who answer are not those who buy.")
    told = (
        (said.twice, "answer was", "answers were", "replaced by a later one of the same voter"),
        (said.several, "voter", "voters", "chose more than one"),
        (said.tied, "voter", "voters", "gave two options one rank"),
    )
    for number, one, many, what in told:
        if number:
            yield Sentence(f"{{count}} {what}.", {"count": Count(number, one, many)})
    if said.write_ins:
        names = tuple(f"{name} ({count})" for name, count in list(said.write_ins.items())[:5])
        yield Sentence("Written in: {names}.", {"names": Names(names)})


def sets_table(inputs: Inputs, poll: str, said: PollAnswer) -> Table | None:
    """For each size the best sets, and the best without a divided option."""
    rows: list[Row] = []
    for size in dict.fromkeys(chosen.size for chosen in said.sets):
        sets = [chosen for chosen in said.sets if chosen.size == size]
        shown = sets[:FIRST_SETS]
        calm = next((chosen for chosen in sets if chosen.agreed), None)
        shown += [calm] if calm and calm not in shown else []
        rows += [_set_row(inputs, poll, chosen, said.n or 0) for chosen in shown]
    if not rows:
        return None
    columns = (
        Column("Together"), Column("Of them"), Column("Reach", numeric=True, unit="voters"),
        Column("Of all", numeric=True), Column("Likes", numeric=True), Column("Divided"),
    )  # fmt: skip
    caption = (Sentence("Reach is who likes one of them or more; likes count each of them."),)
    return Table("Which go together", columns, tuple(rows), caption)


def _set_row(inputs: Inputs, poll: str, chosen: OptionSet, n: int) -> Row:
    names = tuple(option_name(inputs, poll, option) for option in chosen.options)
    return Row(
        (
            Cell(Sentence("{names}", {"names": Names(names)})),
            Cell(chosen.size),
            Cell(chosen.reach),
            Cell(Share(chosen.reach / n, 0)) if n else NO,
            Cell(chosen.frequency),
            NO if chosen.agreed else Cell("has one that divides"),
        )
    )


def boxes_table(inputs: Inputs, answer: Answer, poll: str) -> Table | None:
    """Whom each box reaches and puts off, by one rating poll."""
    found = answer.appeals.get(poll)
    if not found:
        return None
    columns = (
        Column("Box"), Column("Reaches", numeric=True), Column("Puts off", numeric=True),
        Column("Reached, not put off", numeric=True),
    )  # fmt: skip
    rows = tuple(
        Row(
            (
                Cell(inputs.names.get(box) or box),
                Cell(Share(told.reach / told.n, 0), detail=Count(told.reach, "voter", "voters")),
                Cell(
                    Share(told.put_off / told.n, 0), detail=Count(told.put_off, "voter", "voters")
                ),
                Cell(Share(told.taking / told.n, 0), detail=Count(told.taking, "voter", "voters")),
            )
        )
        for box, told in found.items()
    )
    caption = (
        Sentence("Puts off: who dislikes one that they could not leave out."),
        Sentence("Whether they would leave is not known; both ends go to open choices."),
    )
    return Table("Whom each box reaches", columns, rows, caption)


def placing_tables(inputs: Inputs, answer: Answer, poll: str) -> Iterator[Table]:
    """Of each divided option, box by box: without it, with it as an extra, and forced."""
    columns = (
        Column("Box"), Column("Now"), Column("Reached without it", numeric=True),
        Column("With it", numeric=True), Column("Put off if optional", numeric=True),
        Column("Put off if all get it", numeric=True),
    )  # fmt: skip
    for option, placed in answer.placings.get(poll, {}).items():
        rows = tuple(
            Row(
                (
                    Cell(inputs.names.get(box) or box),
                    Cell(NOW[told.stands]),
                    Cell(told.out.reach if told.out else 0),
                    Cell(told.optional.reach),
                    Cell(told.optional.put_off),
                    Cell(told.forced.put_off),
                )
            )
            for box, told in placed.items()
        )
        caption = (
            Sentence("Voters. It adds reach where “with it” is more than “without it”."),
            Sentence("Which box it goes to is yours to decide."),
        )
        yield Table(f"Where {option_name(inputs, poll, option)} goes", columns, rows, caption)


def subjects_table(inputs: Inputs, answer: Answer, since: date | None) -> Table:
    """Who speaks of what, who waits, and what is new since the last look."""
    new = (Column("New", numeric=True),) if since else ()
    columns = (
        Column("Subject"), Column("Voters", numeric=True), Column("Comments", numeric=True),
        *new, Column("Wait", numeric=True, unit="voters"), Column("Asked"),
    )  # fmt: skip
    told = new_since(answer.subjects, inputs.told, since)
    heard = sorted(told.items(), key=lambda pair: -pair[1].voters)
    rows = tuple(
        Row(
            (
                Cell(
                    inputs.told.subjects[subject].name or subject,
                    place=CellAddress("subjects", subject, "name"),
                ),
                Cell(found.voters),
                Cell(len(found.comments)),
                *((Cell(found.since, nothing=not found.since),) if since else ()),
                Cell(found.open_voters, nothing=not found.open_voters),
                _asked(inputs, subject),
            ),
            anchor=f"subject-{subject}",
            deeds=_ask_deeds(inputs, subject, found),
        )
        for subject, found in heard
    )
    caption = [Sentence("Voters, not posts; a comment without a name counts as one voter.")]
    if since:
        caption.append(Sentence("New: after {day}, when you last looked.", {"day": since}))
    return Table("Who speaks of what", columns, rows, tuple(caption))


def _ask_deeds(inputs: Inputs, subject: str, found: SubjectAnswer) -> tuple[Deed, ...]:
    """Asking about it, where somebody waits and nobody is asked."""
    if subject in inputs.asked or not found.open_voters:
        return ()
    cells = ask_cells(inputs, subject, found.voters)
    asks = (("table", "asks"), ("cells", cells))
    return (Deed("Ask", ask_words(inputs, subject), "add", asks),)


def words_table(groups: Sequence[CommentGroup]) -> Table:
    """Words that several comments share and no subject has, each one click from a subject."""
    rows = tuple(
        Row(
            (Cell(group.name), Cell(group.voters), Cell(len(group.comments))),
            deeds=(_subject_deed(group),),
        )
        for group in groups
    )
    columns = (Column("Word"), Column("Voters", numeric=True), Column("Comments", numeric=True))
    return Table("Words that no subject has", columns, rows)


def _subject_deed(group: CommentGroup) -> Deed:
    words = ", ".join(group.words or (group.name,))
    cells = {
        "id": slug(group.name, otherwise=slug(group.id, otherwise="subject")),
        "name": group.name,
        "words": words,
    }
    asks = (("table", "subjects"), ("cells", cells))
    return Deed("Make it a subject", f"Make {group.name} a subject", "add", asks)


def _asked(inputs: Inputs, subject: str) -> Cell:
    """Whether somebody was asked, and whether it came back."""
    if subject in inputs.came:
        return Cell("came back")
    return Cell("yes") if subject in inputs.asked else NO


def words_groups(answer: Answer) -> tuple[CommentGroup, ...]:
    """Groups that a word makes which no subject has, most voters first."""
    return tuple(group for group in answer.groups if group.how is GroupedBy.WORD)[:FIRST_GROUPS]


def comments_table(inputs: Inputs, group: CommentGroup) -> Table:
    """The originals of a group; texts that say the same once, with how often."""
    known = {comment.id: comment for comment in inputs.told.comments}
    these = [known[id_] for id_ in group.comments]
    shown = list(_distinct(these))
    columns = (Column("Comment", wide=True), Column("On"), Column("Where"), Column("Answered"))
    rows = tuple(_comment_row(comment, times) for comment, times in shown)
    return Table(f"Comments: {group.name}", columns, rows)


def _distinct(comments: Sequence[Comment]) -> Iterator[tuple[Comment, int]]:
    """Each text once, newest first, with how often it is there."""
    times: dict[str, int] = {}
    first: dict[str, Comment] = {}
    ordered = sorted(comments, key=lambda c: (c.date is not None, c.date), reverse=True)
    for comment in ordered:
        said = " ".join(comment.text.casefold().split())
        times[said] = times.get(said, 0) + 1
        first.setdefault(said, comment)
    yield from ((comment, times[said]) for said, comment in first.items())


def _comment_row(comment: Comment, times: int) -> Row:
    often = Count(times, "time", "times") if times > 1 else None
    return Row(
        (
            Cell(comment.text, detail=often),
            Cell(comment.date) if comment.date else NO,
            Cell(comment.where) if comment.where else NO,
            Cell(comment.answered) if comment.answered else NO,
        )
    )
