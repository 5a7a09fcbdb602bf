"""What a topic is: one question, what it rests on, how it is answered and judged."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from sixwright.kernel.findings import Chance, Finding, Rule
from sixwright.kernel.protocols import Later, Load, Memo, no_memo

Inputs = TypeVar("Inputs")
Answer = TypeVar("Answer")
Json = dict[str, Any] | list[Any]


@dataclass(frozen=True, slots=True)
class Tools:
    """What an answer may use beside its inputs; none of it changes the answer.

    Attributes
    ----------
    memo
        Remembers what takes long.
    later
        Works out the answers of slow topics in the background; None where the caller waits.
    load
        Brings in the meshes that rows name, whose content the inputs stand for; None where there
        are none to be had.
    """

    memo: Memo = no_memo
    later: Later | None = None
    load: Load[Any, Any] | None = None


def never_empty(_inputs: object) -> bool:
    """Of a topic that every line has something of."""
    return False


def no_chances(_inputs: object, _answer: object) -> tuple[Chance, ...]:
    """Of a topic in which nothing is to be saved."""
    return ()


@dataclass(frozen=True, slots=True)
class Topic(Generic[Inputs, Answer]):
    """One question of a line.

    Attributes
    ----------
    id
        Stable name; its folder, its page and its rules bear it.
    group
        The group of questions it stands in.
    question
        As its page asks it.
    rules
        All that it judges, each documented once.
    answer
        Computes the answer of the inputs alone.
    findings
        Judges it: what holds included.
    as_json
        The answer as `check --json` gives it.
    needs
        Topics whose answers its inputs are made of.
    takes_all
        Whether it looks at everything that is answered of a line, so that all is asked first.
    is_slow
        Whether it may take seconds, so that a page shows its last answer meanwhile.
    see
        What a link to one of its findings says.
    chances
        What could be saved, the most first; it is not judged.
    is_empty
        Whether a line has nothing that the question is about: it is then not asked.
    """

    id: str
    group: str
    question: str
    rules: tuple[Rule, ...]
    answer: Callable[[Inputs, Tools], Answer]
    findings: Callable[[Inputs, Answer], tuple[Finding, ...]]
    as_json: Callable[[Answer], Json]
    needs: tuple[str, ...] = ()
    takes_all: bool = False
    is_slow: bool = False
    see: str = "See the evidence"
    is_empty: Callable[[Inputs], bool] = never_empty
    chances: Callable[[Inputs, Answer], tuple[Chance, ...]] = no_chances
