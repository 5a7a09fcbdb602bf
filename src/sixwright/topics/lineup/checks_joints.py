"""Whether what is in one box goes together: joints, their sizes, and hands that hold things."""

from collections.abc import Callable, Iterable, Sequence
from itertools import groupby

from sixwright.kernel.findings import Evidence, Finding, Fix, Subject
from sixwright.kernel.intervals import Limit, Verdict, exact, judge
from sixwright.kernel.sentences import Count, Name, Names, Sentence, Value
from sixwright.line.boxes import Part
from sixwright.topics.lineup import rules
from sixwright.topics.lineup.model import Answer, Inputs

# Kinds that are worth nothing without a joint to sit on.
NEEDS_JOINT = ("head", "hand")
# The kind that others sit on; where it states no joint, which it takes is unknown, not none.
TAKES_JOINT = "body"
# So many parts are named; how many more there are is said.
NAMED = 4


def findings(inputs: Inputs, answer: Answer) -> list[Finding]:
    """Joints, sizes and grips of every box.

    Parameters
    ----------
    inputs, answer
        The line-up and what was computed of it.

    Raises
    ------
    KeyError
        If `answer` is not the answer to `inputs`.

    Source
    ------
    Common practice, no source.
    """
    found: list[Finding] = []
    for sells, held in answer.contents.items():
        parts = [inputs.parts[part] for part in held]
        rules: tuple[Callable[[Inputs, Answer, str, list[Part]], Finding | None], ...] = (
            _joint,
            _joint_sizes,
            _grip,
        )
        found += [f for rule in rules if (f := rule(inputs, answer, sells, parts)) is not None]
    return found


def _named(inputs: Inputs, sells: str) -> Name:
    return Name(inputs.sells[sells].name or sells)


def _names(parts: Iterable[Part]) -> Names:
    return Names(tuple(part.called for part in parts))


def _few(parts: Sequence[Part]) -> Names:
    """The first few by name, and how many more there are."""
    names = [part.called for part in parts]
    if len(names) > NAMED:
        names = [*names[: NAMED - 1], f"{len(names) - NAMED + 1} more"]
    return Names(tuple(names))


def _joint(inputs: Inputs, answer: Answer, sells: str, parts: list[Part]) -> Finding | None:
    """Every part that fits a joint finds one in its box; a head and a hand must fit one."""
    taken = {joint for part in parts for joint in part.takes}
    fitting = [part for part in parts if part.fits]
    silent = [part for part in parts if part.kind in NEEDS_JOINT and not part.fits]
    if not fitting and not silent:
        return None
    if inputs.sells[sells].figures == 0 and not taken:  # a pack of heads carries no figure
        return None
    loose = [part for part in fitting if not taken & set(part.fits)]
    open_ = [part for part in parts if part.kind == TAKES_JOINT and not part.takes]
    measured = exact(len(loose)) if not open_ and (loose or not silent) else None
    limit = Limit("==", 0)
    values: dict[str, Value] = {"box": _named(inputs, sells)}
    remedy: Sentence | None = None
    lacks = [*(f"parts/{part.id}/takes" for part in open_ if loose),
             *(f"parts/{part.id}/fits" for part in silent if not loose or open_)]  # fmt: skip
    if loose and open_:
        values |= {"parts": _names(open_), "joints": Names(_joints(loose))}
        message = Sentence("Whether {parts} in {box} takes {joints} is not known yet.", values)
        remedy = Sentence("Fill in the joints that it takes.")
    elif loose:
        values |= {"parts": _names(loose), "joints": Names(_joints(loose))}
        message = Sentence("In {box} nothing takes {joints}, so {parts} cannot go on.", values)
        remedy = Sentence("Put a body that takes the joint into the box, or change the part.")
    elif silent:
        values |= {"count": Count(len(silent), "part names", "parts name"), "parts": _few(silent)}
        message = Sentence("In {box} {count} no joint yet: {parts}.", values)
        remedy = Sentence("Fill in the joint that each head and hand fits.")
    else:
        values["count"] = Count(len(fitting), "part", "parts")
        message = Sentence("{box}: {count} to join, and each finds its joint.", values)
    return rules.JOINT.finding(
        Subject("sells", sells),
        Evidence(
            measured=measured,
            limit=limit,
            missing=tuple(lacks),
        ),
        message,
        remedy=remedy,
        weight=float(len(loose)),
        fix=None if open_ else _add_body(inputs, answer, sells, loose),
    )


def _joints(parts: list[Part]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(joint for part in parts for joint in part.fits))


def _add_body(inputs: Inputs, answer: Answer, sells: str, loose: list[Part]) -> Fix | None:
    """One part that takes the joint of everything loose, where there is one."""
    takers = [p for p in inputs.parts.values() if all(set(p.takes) & set(x.fits) for x in loose)]
    return _add(answer, sells, takers[0]) if loose and takers else None


def _add(answer: Answer, sells: str, part: Part) -> Fix | None:
    if sells in answer.summed or part.id in answer.contents[sells]:
        return None
    cells = (("sells", sells), ("part", part.id), ("quantity", "1"))
    return Fix(f"Add {part.called}", "contents", f"{sells}/{part.id}", cells)


def _family(joint: str) -> str:
    """The name of a joint without the size at its end: ``neck`` of ``neck-8``."""
    stem, dash, size = joint.rpartition("-")
    return stem if dash and size[:1].isdigit() else joint


def _joint_sizes(inputs: Inputs, _answer: Answer, sells: str, parts: list[Part]) -> Finding | None:
    joints = sorted({joint for part in parts for joint in (*part.fits, *part.takes)}, key=_family)
    if not joints:
        return None
    families = {family: tuple(sorted(of)) for family, of in groupby(joints, key=_family)}
    mixed = {family: sizes for family, sizes in families.items() if len(sizes) > 1}
    measured, limit = exact(len(mixed)), Limit("==", 0)
    values: dict[str, Value] = {"box": _named(inputs, sells)}
    if mixed:
        sizes = [size for of in mixed.values() for size in of]
        users = [p for p in parts if set(sizes) & {*p.fits, *p.takes}]
        values |= {"sizes": Names(tuple(sizes)), "parts": _names(users)}
        message = Sentence("{box} mixes {sizes} among {parts}, so not all fit.", values)
    else:
        values["count"] = Count(len(families), "joint", "joints")
        message = Sentence("{box} has {count}, each in one size.", values)
    return rules.JOINT_SIZES.finding(
        Subject("sells", sells),
        Evidence(measured=measured, limit=limit),
        message,
        remedy=Sentence("Settle on one size of the joint in the box.") if mixed else None,
        weight=float(len(mixed)),
    )


def _grip(inputs: Inputs, answer: Answer, sells: str, parts: list[Part]) -> Finding | None:
    things = [part for part in parts if part.held]
    if not things:
        return None
    gripped = {word for part in parts for word in part.grips}
    idle = [part for part in things if not gripped & set(part.held)]
    counts = [answer.contents[sells][part.id] for part in idle]
    pieces = sum(count or 1 for count in counts)
    measured, limit = exact(pieces), Limit("==", 0)
    verdict = judge(measured, limit)
    values: dict[str, Value] = {"box": _named(inputs, sells)}
    if verdict is Verdict.FAILS:
        words = Names(tuple(dict.fromkeys(word for part in idle for word in part.held)))
        values |= {"parts": _names(idle), "words": words}
        message = Sentence("No hand in {box} can grip {parts}: none grips a {words}.", values)
        hands = _hands_for(inputs, idle)
        if hands:
            hand = Name(hands[0].called)
            remedy = Sentence("Put {hand} into the box, or leave these out.", {"hand": hand})
        else:
            remedy = Sentence("Put a hand that grips them into the box, or leave these out.")
    else:
        values["count"] = Count(len(things), "thing", "things")
        message = Sentence("{box}: {count} to grip, and each has a hand for it.", values)
        hands, remedy = [], None
    return rules.GRIP.finding(
        Subject("sells", sells),
        Evidence(measured=measured, limit=limit),
        message,
        remedy=remedy,
        weight=float(pieces),
        fix=_add(answer, sells, hands[0]) if hands else None,
    )


def _hands_for(inputs: Inputs, idle: list[Part]) -> list[Part]:
    """Hands of the line that hold everything that is idle."""
    return [p for p in inputs.parts.values() if all(set(p.grips) & set(x.held) for x in idle)]
