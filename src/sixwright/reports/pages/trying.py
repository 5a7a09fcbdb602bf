"""A change that is tried and not written: what it is, and what it does to the line."""

from collections.abc import Sequence

from sixwright.kernel.sentences import Sentence
from sixwright.project.choices import Alternative, Choice, open_choices
from sixwright.project.records import Change
from sixwright.reports.document import Ask, Block, Form, Paragraph
from sixwright.reports.pages.choices_tables import side_by_side
from sixwright.reports.wording.changes import Manner, all_told
from sixwright.workflows.choices_topic import CHOICES
from sixwright.workflows.choose_measures import difference, measures
from sixwright.workflows.choose_model import Weighed
from sixwright.workflows.reviewed import Review

# Without an id: nothing of it is in the folder.
SIDES = Choice("", "", (Alternative("now", "As it stands"), Alternative("tried", "As you try it")))


def trying(stands: Review, tried: Review, changes: Sequence[Change]) -> tuple[Block, ...]:
    """What is tried, and the line with it beside the line as it stands.

    Parameters
    ----------
    stands, tried
        The line without the changes and with them.
    changes
        What is tried.
    """
    if not changes:
        words = "Change any value, on any page: it is worked out, and nothing is saved."
        return (Paragraph((Sentence(words),)),)
    before, after = stands.project.records, tried.project.records
    blocks: list[Block] = [Paragraph(all_told(changes, before, after, manner=Manner.TRIED))]
    choosing = stands.get(CHOICES)
    if choosing is not None:
        ways = (_weighed("now", "As it stands", stands, stands),
                _weighed("tried", "As you try it", tried, stands))  # fmt: skip
        blocks.append(side_by_side(choosing, SIDES, ways))
    return tuple(blocks)


def _weighed(id_: str, name: str, review: Review, first: Review) -> Weighed:
    found, before = (measures(each.project, each.answered) for each in (review, first))
    return Weighed(id_, name, found, difference(found, before), None)


def keeping(review: Review) -> Form:
    """What is asked of who keeps a try as one more way of a choice, or of a new one."""
    choices = open_choices(review.project.choices).values()
    asks = (
        Ask("name", "What to call this option", required=True),
        Ask(
            "choice",
            "An option of which question",
            note="if it is open",
            options=tuple((each.id, each.question) for each in choices),
        ),
        Ask("question", "Or of a new question", note="if there is none yet"),
    )
    return Form("Keep it as an option", "keep", asks)
