"""One action that makes what many speak of an ask on a sculpt or a part."""

from sixwright.topics.voices.model import Inputs


def ask_cells(inputs: Inputs, subject: str, voters: int) -> dict[str, str]:
    """The row of asks.csv by which somebody is asked about a subject; empty cells left out.

    Parameters
    ----------
    inputs
        The subjects, and the day.
    subject
        Id of the subject.
    voters
        Who speak of it.

    Raises
    ------
    KeyError
        If there is no such subject.

    Source
    ------
    docs/topics/voices.md, “Groups”.
    """
    known = inputs.told.subjects[subject]
    cells = {
        "id": f"ask-{subject}",
        "subject": subject,
        "sculpt": known.sculpt or "",
        "part": known.part or "",
        "words": f"{voters} voters speak of: {known.name or subject}",
        "from": "voices",
        "state": "open",
        "date": inputs.told.today.isoformat(),
    }
    return {column: text for column, text in cells.items() if text}


def ask_words(inputs: Inputs, subject: str) -> str:
    """What the button says.

    Parameters
    ----------
    inputs, subject
        As in `ask_cells`.

    Raises
    ------
    KeyError
        If there is no such subject.

    Source
    ------
    Own choice.
    """
    return f"Ask about {inputs.told.subjects[subject].name or subject}"
