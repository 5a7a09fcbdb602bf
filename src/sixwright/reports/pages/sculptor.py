"""“What is the sculptor to change?”: what can be asked of a round, and the page as it is sent."""

from sixwright.kernel.intervals import Interval, Verdict
from sixwright.kernel.sentences import Count, Measure, Name, Sentence, Value
from sixwright.project.model import Project
from sixwright.reports.document import (
    Answer,
    Block,
    Cell,
    Column,
    Document,
    Form,
    Heading,
    Link,
    Paragraph,
    Row,
    Table,
)
from sixwright.reports.pages.asks import asked_table
from sixwright.reports.sheets.sculptor_files import KINDS, sculptor_file_name
from sixwright.reports.sheets.sculptor_sheet import TOPIC, round_of, sculptor_sheet
from sixwright.topics.likeness.model import RoundAnswer
from sixwright.topics.likeness.remedies import chance_words
from sixwright.topics.likeness.topic import LIKENESS
from sixwright.topics.likeness.wishes import Wish, wishes
from sixwright.workflows.reviewed import Review
from sixwright.workflows.sculptor import MOST, asks_of, is_asked

QUESTION = "What is the sculptor to change?"
BACK = Link("likeness", "", "Does the head look right?")
STILLS = Link("tables/stills", "", "The table of stills")
NO = Cell(nothing=True)


def sculptor_page(review: Review, round_: str) -> Document:
    """What can be asked about a round, what is asked, and the ways to its files."""
    project = review.project
    one = round_of(review, round_)
    if one is None:
        told = Sentence("The head is being worked out; what to ask follows here by itself.")
        if LIKENESS.id not in review.pending:
            told = Sentence("What to ask about this round could not be worked out.")
        blocks: tuple[Block, ...] = (Answer(None, (told,)), Paragraph((), (BACK,)))
        return Document(TOPIC, QUESTION, blocks, project.locale)
    asks = asks_of(project, round_)
    able = tuple(wish for wish in wishes(one) if not is_asked(wish, asks))
    blocks = (
        Answer(None, (_told(one, len(able), len(asks)), *_unproven(able, len(asks)))),
        Paragraph((), (BACK,)),
        *((_choose(one, able),) if able else ()),
        *_kept(review, one),
    )
    return Document(TOPIC, QUESTION, blocks, project.locale)


def _told(one: RoundAnswer, able: int, asked: int) -> Sentence:
    values: dict[str, Value] = {"head": Name(one.name), "most": Count(MOST)}
    if able and asked:
        values |= {"asked": Count(asked, "thing is", "things are"), "able": Count(able)}
        return Sentence("{asked} asked about {head}; {able} more could be. One page holds {most}.",
                        values)  # fmt: skip
    if able:
        values["able"] = Count(able, "thing", "things")
        return Sentence("{able} could be asked about {head}. Pick up to {most}: that is one page.",
                        values)  # fmt: skip
    del values["most"]
    if asked:
        values["asked"] = Count(asked, "thing is", "things are")
        return Sentence("{asked} asked about {head}, and nothing more is to be asked.", values)
    return Sentence("Nothing is to be asked about {head}: no move is likelier right than leaving "
                    "it.", values)  # fmt: skip


def _unproven(able: tuple[Wish, ...], asked: int) -> tuple[Sentence, ...]:
    """That nothing which can yet be asked is shown to be wrong: an hour's work may be in vain."""
    if not able or any(wish.verdict is Verdict.FAILS for wish in able):
        return ()
    which = "anything more" if asked else "any of these"
    told = f"The stills do not prove that {which} is off: ask only what your own eye confirms."
    return (Sentence(told),)


def _choose(one: RoundAnswer, able: tuple[Wish, ...]) -> Table:
    columns = (
        Column("What"),
        Column("To change", wide=True),
        Column("Off", numeric=True, unit="mm"),
        Column("95 %", numeric=True, unit="mm"),
        Column("Off by more", unit="chance"),
        Column("Verdict"),
    )
    form = Form(
        "Put on the sculptor’s page",
        "ask-sculptor",
        (),
        fixed=(("round", one.round),),
        lead="Tick what to ask; the first in the list matter most",
    )
    caption = (Sentence("Features first: what moves as a whole is asked as a whole."),)
    return Table(f"What can be asked about {one.name}", columns,
                 tuple(_wish(wish) for wish in able), caption, form=form)  # fmt: skip


def _wish(wish: Wish) -> Row:
    name = wish.about[:1].upper() + wish.about[1:]
    off = wish.off_mm
    cells = (
        Cell(name),
        Cell(wish.words),
        NO if off is None else Cell(Measure(off.value, "", 2)),
        NO if off is None else Cell(_ends(off)),
        NO if wish.chance_off is None else Cell(chance_words(wish.chance_off)),
        Cell(str(wish.verdict), verdict=wish.verdict),
    )
    return Row(cells, verdict=wish.verdict, pick=(wish.id, f"{name}: {wish.direction}"))


def _ends(off: Interval) -> Sentence:
    ends = {"low": Measure(off.low, "", 2), "high": Measure(off.high, "", 2)}
    return Sentence("{low} to {high}", ends)


def _kept(review: Review, one: RoundAnswer) -> tuple[Block, ...]:
    """The page as it is sent, with the ways to its files; nothing where nothing is asked."""
    shown = sculptor_sheet(review, one.round)
    if shown is None:
        return ()
    files = tuple(
        Link(f"report/{sculptor_file_name(one.round, kind)}", "", f"Save as {kind.upper()}")
        for kind in KINDS
    )
    table = asked_table(review, one.sculpt, only=one.round)
    return (
        *((table,) if table else ()),
        Heading("The page for the sculptor", "sculptor-sheet"),
        Paragraph((Sentence("To send it:"),), files),
        *_withheld(review.project, shown),
        *(
            Paragraph(block.sentences) if isinstance(block, Answer) else block
            for block in shown.blocks
        ),
    )


def _withheld(project: Project, shown: Document) -> tuple[Block, ...]:
    """That a still is not shown because nobody has said that it may be published."""
    from sixwright.reports.asking import AskCards

    cards = [card for block in shown.blocks if isinstance(block, AskCards) for card in block.cards]
    held = {
        card.shot.still
        for card in cards
        if card.shot is not None and card.shot.still
        and not project.stills[card.shot.still].may_publish
    }  # fmt: skip
    if not held:
        return ()
    told = Sentence(
        "{count} not shown, because no row says that {it} may be published; the sculpt stands "
        "there alone, through the same lens.",
        {
            "count": Count(len(held), "still is", "stills are"),
            "it": "it" if len(held) == 1 else "they",
        },
    )
    return (Paragraph((told,), (STILLS,)),)
