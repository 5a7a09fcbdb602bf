"""What does not fit together in the boxes, each with its evidence and what to do."""

from sixwright.kernel.findings import Evidence, Finding, Fix, Subject
from sixwright.kernel.intervals import Limit, Verdict, exact, judge
from sixwright.kernel.sentences import Count, Name, Names, Sentence, Value
from sixwright.topics.lineup import checks_folder, checks_joints, rules
from sixwright.topics.lineup.model import Answer, Inputs

# What an edition need not take over from the one it extends.
NOT_INHERITED = frozenset({"packing", "stand"})


def findings(inputs: Inputs, answer: Answer) -> tuple[Finding, ...]:
    """Every rule of the line-up on everything it applies to, what holds included.

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
    docs/topics/lineup.md lists the rules.
    """
    found: list[Finding] = []
    found += [_unused(inputs, answer, part) for part in inputs.parts]
    for sells, sold in inputs.sells.items():
        if sold.extends:
            found.append(_extends(inputs, answer, sells, sold.extends))
        if sold.is_set:
            found.append(_set_editions(inputs, answer, sells))
        if sold.cap is not None:
            found.append(_cap(inputs, answer, sells, sold.cap))
        found += [
            _announced(inputs, answer, sells, said.group, said.quantity) for said in sold.public
        ]
    return (*found, *checks_joints.findings(inputs, answer), *checks_folder.findings(inputs))


def _named(inputs: Inputs, sells: str) -> Name:
    return Name(inputs.sells[sells].name or sells)


def _part(inputs: Inputs, part: str) -> str:
    return inputs.parts[part].called


def _unused(inputs: Inputs, answer: Answer, part: str) -> Finding:
    holders = answer.holders[part]
    held = exact(len(holders))
    limit = Limit(">=", 1)
    values: dict[str, Value] = {"part": Name(_part(inputs, part))}
    if holders:
        values["boxes"] = Count(len(holders), "box", "boxes")
        message = Sentence("{part} is in {boxes}.", values)
        remedy = None
    else:
        message = Sentence("{part} is in no box, so nobody gets it.", values)
        remedy = Sentence("Put it into a box, or take its row out of the parts.")
    return rules.UNUSED_PART.finding(
        Subject("part", part), Evidence(measured=held, limit=limit), message, remedy=remedy
    )


def _extends(inputs: Inputs, answer: Answer, sells: str, base: str) -> Finding:
    held, asked = answer.contents[sells], answer.contents[base]
    wanted = {p: n for p, n in asked.items() if inputs.parts[p].kind not in NOT_INHERITED}
    both = {p: (held.get(p, 0), n) for p, n in wanted.items()}
    short = {p: n - h for p, (h, n) in both.items() if h is not None and n is not None and h < n}
    unknown = [
        f"contents/{box}/{p}/quantity"
        for p, pair in both.items()
        for box, count in zip((sells, base), pair, strict=True)
        if count is None
    ]
    names: dict[str, Value] = {"box": _named(inputs, sells), "base": _named(inputs, base)}
    limit = Limit("==", 0)
    lacking = exact(sum(short.values()))
    if short:
        names["parts"] = Names(tuple(_lacks(inputs, p, n) for p, n in short.items()))
        message = Sentence("{box} should contain all of {base}, but lacks {parts}.", names)
        return rules.EXTENDS.finding(
            Subject("sells", sells),
            Evidence(measured=lacking, limit=limit),
            message,
            remedy=Sentence("Add what is missing, or no longer say that it extends the other."),
            weight=float(sum(short.values())),
            fix=_add_missing(inputs, answer, sells, base, short),
        )
    if unknown:
        message = Sentence("Whether {box} contains all of {base} cannot be said yet.", names)
    else:
        message = Sentence("{box} contains all of {base}, packing and stand aside.", names)
    return rules.EXTENDS.finding(
        Subject("sells", sells),
        Evidence(measured=None if unknown else lacking, limit=limit, missing=tuple(unknown)),
        message,
        remedy=Sentence("Fill in how many pieces are in each box.") if unknown else None,
    )


def _lacks(inputs: Inputs, part: str, count: int) -> str:
    return f"{count} × {_part(inputs, part)}"


def _add_missing(
    inputs: Inputs, answer: Answer, sells: str, base: str, short: dict[str, int]
) -> Fix | None:
    """One edit that brings the first missing part; None where several parts are missing."""
    if len(short) > 1 or sells in answer.summed:
        return None
    part = next(iter(short))
    return Fix(
        f"Add {_lacks(inputs, part, short[part])}",
        "contents",
        f"{sells}/{part}",
        (("sells", sells), ("part", part), ("quantity", str(answer.contents[base][part]))),
    )


def _set_editions(inputs: Inputs, answer: Answer, sells: str) -> Finding:
    editions = inputs.sells[sells].editions
    dead = [e for e in editions if _never_sold(inputs, answer, e)]
    missing = [
        name
        for e in editions
        for name, value in (
            (f"orders/{e}/quantity", answer.orders[e]),
            (f"editions/{e}/price", inputs.sells[e].price),
        )
        if value is None
    ]
    if not editions:
        missing = [f"sets/{sells}/editions"]
    count, limit = exact(len(dead)), Limit("==", 0)
    measured = None if missing and not dead else count
    values: dict[str, Value] = {"box": _named(inputs, sells)}
    remedy = None
    if dead:
        values["dead"] = Names(tuple(inputs.sells[e].name or e for e in dead))
        message = Sentence("{box} is said to contain {dead}, which is not sold.", values)
        remedy = Sentence("Give the edition a price and orders, or take it out of the set.")
    elif missing:
        message = Sentence("Whether all editions in {box} are sold cannot be said yet.", values)
        remedy = Sentence("Fill in the price and the orders of each edition in the set.")
    else:
        values["count"] = Count(len(editions), "edition", "editions")
        message = Sentence("{count} in {box}, each sold on its own too.", values)
    return rules.SET_EDITIONS.finding(
        Subject("sells", sells),
        Evidence(measured=measured, limit=limit, missing=() if dead else tuple(missing)),
        message,
        remedy=remedy,
        weight=float(len(dead)),
        fix=_take_out(inputs, sells, editions, dead),
    )


def _never_sold(inputs: Inputs, answer: Answer, edition: str) -> bool:
    """Whether an edition has no orders, or neither price nor orders."""
    ordered, price = answer.orders[edition], inputs.sells[edition].price
    return ordered == 0 or (ordered is None and price is None)


def _take_out(inputs: Inputs, sells: str, editions: tuple[str, ...], dead: list[str]) -> Fix | None:
    left = [edition for edition in editions if edition not in dead]
    if not dead or not left:
        return None
    names = ", ".join(inputs.sells[e].name or e for e in dead)
    return Fix(f"Take {names} out of the set", "sets", sells, (("editions", " ".join(left)),))


def _cap(inputs: Inputs, answer: Answer, sells: str, cap: int) -> Finding:
    ordered = answer.orders[sells]
    limit = Limit("<=", cap)
    measured = None if ordered is None else exact(ordered)
    verdict = judge(measured, limit)
    values: dict[str, Value] = {"box": _named(inputs, sells), "cap": Count(cap)}
    remedy = None
    if ordered is None:
        message = Sentence("{box} is capped at {cap}; its orders are not known yet.", values)
        remedy = Sentence("Fill in the orders assumed.")
    else:
        values["orders"] = Count(ordered, "order", "orders")
        over = " is assumed to take {orders}, more than its cap of {cap}."
        message = Sentence(
            "{box}" + over if verdict is Verdict.FAILS else "{box} takes {orders} of {cap}.",
            values,
        )
        if verdict is Verdict.FAILS:
            remedy = Sentence("Assume fewer orders, or raise the cap before it is announced.")
    return rules.CAP.finding(
        Subject("sells", sells),
        Evidence(
            measured=measured,
            limit=limit,
            missing=(f"orders/{sells}/quantity",) if ordered is None else (),
        ),
        message,
        remedy=remedy,
        weight=float(max(0, (ordered or 0) - cap)),
        fix=Fix(f"Assume {cap} orders", "orders", sells, (("quantity", str(cap)),))
        if verdict is Verdict.FAILS
        else None,
    )


def _announced(inputs: Inputs, answer: Answer, sells: str, group: str, said: int) -> Finding:
    counts = {p: n for p, n in answer.contents[sells].items() if inputs.parts[p].group == group}
    unknown = [f"contents/{sells}/{p}/quantity" for p, n in counts.items() if n is None]
    known = sum(n for n in counts.values() if n is not None)
    limit = Limit(">=", said)
    enough = known >= said
    measured = exact(known) if enough or not unknown else None
    values: dict[str, Value] = {
        "box": _named(inputs, sells),
        "said": Count(said),
        "group": group,
        "held": Count(known),
    }
    remedy = None
    if measured is None:
        del values["held"]
        message = Sentence(
            "{said} {group} were announced for {box}; how many it contains is not known yet.",
            values,
        )
        remedy = Sentence("Fill in how many pieces are in the box.")
    elif enough:
        message = Sentence("{box} contains {held} {group}; {said} were announced.", values)
    else:
        message = Sentence("{said} {group} were announced for {box}, but {held} lie in it.", values)
        remedy = Sentence(
            "Add {short} {group} to the box, or tell buyers before they pay.",
            {"short": Count(said - known), "group": group},
        )
    return rules.ANNOUNCED.finding(
        Subject("sells", f"{sells}/{group}"),
        Evidence(
            measured=measured, limit=limit, missing=tuple(unknown) if measured is None else ()
        ),
        message,
        remedy=remedy,
        weight=float(max(0, said - known)),
    )
