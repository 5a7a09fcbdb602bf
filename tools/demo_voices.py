"""Make the demo line's polls, votes and comments, all invented; the same files every time.

    python tools/demo_voices.py examples/sluice-keeper

The ratings of two heads are those of the line's description: the counting head divides, the
shouting one is mildly liked. A subject is asked of by many and answered by nobody.
"""

import csv
import hashlib
import sys
from collections.abc import Iterable
from datetime import date, timedelta
from pathlib import Path

import numpy as np
from demo_comments import SAID, SUBJECTS

SEED = 1840
TODAY = date(2026, 9, 14)
LEVELS = (5, 4, 3, 2, 1)
# How many rated 5, 4, 3, 2, 1; those of M2 and L2 are the line's description's.
HEADS = {
    "hd-m1": ("Level", (70, 84, 40, 14, 6)),
    "hd-m2": ("Counting aloud", (96, 31, 9, 22, 56)),
    "hd-l1": ("Weary", (48, 79, 58, 20, 9)),
    "hd-l2": ("Shouting", (41, 88, 61, 17, 7)),
    "hd-l3": ("Laughing", (88, 61, 33, 20, 12)),
}
# What draws a voter to a head: loudness, warmth, and the look that they collect.
TASTE = {
    "hd-m1": (-0.6, 0.2, 0.8),
    "hd-m2": (1.4, -0.4, 0.5),
    "hd-l1": (-0.9, 0.3, -0.6),
    "hd-l2": (0.7, -0.2, -0.6),
    "hd-l3": (-0.3, 1.3, -0.5),
}
PROPS = {"lantern": ("Lantern", "lant", 0.6), "crank": ("Crank", "crnk", 0.3),
         "keys": ("A sixth key", "key-05", 0.0), "slate": ("Slate", "slat", -0.9)}  # fmt: skip
BASE = {
    "light": ("It lights up", "lite", 611, 148),
    "dial": ("The tide clock turns", "dial", 602, 155),
    "pool": ("A pool of clear resin", "pool", 203, 556),
}
BACKERS, OTHERS = 92, 80  # of 214; of the rest nobody knows
COMMENTS = 300
ECHOES = ("{}", "{}!!", "{} 🙏", "+1 {}", "This. {}", "{} Please.", "{} 👍", "Same here: {}")


def main() -> None:
    """Write the six tables into the folder that was named."""
    folder = Path(sys.argv[1])
    rng = np.random.Generator(np.random.Philox(SEED))
    write(folder, "polls", "id,question,kind,least,most,opened,closed,seats,invited,where,note", [
        ("heads", "How much do you want each head?", "rate", 1, 5, "2026-08-10", "2026-08-31", 3,
         1900, "forum", ""),
        ("cape", "Which cloth for the cape?", "choice", "", "", "2026-09-01", "", 1, 1900,
         "forum", ""),
        ("props", "Which prop matters most to you?", "rank", "", "", "2026-08-10", "2026-08-31", 2,
         1900, "newsletter", ""),
        ("base", "What should the base do?", "approve", "", "", "2026-07-01", "2026-07-14", 2, "",
         "fair", "counted by hand at the stand"),
    ])  # fmt: skip
    options = [("heads", head, name, head, "") for head, (name, _) in HEADS.items()]
    options += [("cape", "wool", "Wool with hem wire", "cape", ""),
                ("cape", "stock", "Stock cloth", "cape", "")]  # fmt: skip
    options += [("props", prop, name, part, "") for prop, (name, part, _) in PROPS.items()]
    options += [("base", option, name, part, "") for option, (name, part, _, _) in BASE.items()]
    write(folder, "options", "poll,option,name,part,must", options)
    write(folder, "votes", "id,poll,voter,option,answer,backer,date", votes(rng))
    write(folder, "tallies", "id,poll,option,answer,count,backer", [
        (f"base-{option}-{answer}", "base", option, answer, count, "")
        for option, (_, _, yes, no) in BASE.items()
        for answer, count in (("yes", yes), ("no", no))
    ])  # fmt: skip
    write(folder, "comments", "id,date,where,voter,text,language,answered", comments(rng))
    write(folder, "subjects", "id,name,words,part,sculpt", [
        (key, name, words, part, sculpt) for key, (name, words, part, sculpt) in SUBJECTS.items()
    ])  # fmt: skip


def write(folder: Path, table: str, header: str, rows: Iterable[tuple[object, ...]]) -> None:
    """One table, as a spreadsheet would save it."""
    with (folder / f"{table}.csv").open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(header.split(","))
        writer.writerows(rows)


def voter(number: int) -> str:
    """What an import puts in place of a name."""
    return "v-" + hashlib.sha256(f"sluice keeper {number}".encode()).hexdigest()[:10]


def votes(rng: np.random.Generator) -> list[tuple[object, ...]]:
    """Ratings of heads, choices of cloth, rankings of props."""
    people = sum(HEADS["hd-m1"][1])
    taste = rng.normal(size=(people, 3))
    # Those who like it loud back more often.
    order = np.argsort(-(taste[:, 0] * 0.35 + rng.normal(size=people)))
    backs = np.full(people, "", dtype=object)
    backs[order[:BACKERS]], backs[order[-OTHERS:]] = "yes", "no"
    days = [date(2026, 8, 10) + timedelta(int(d)) for d in rng.integers(0, 21, people)]
    rated = {}
    for head, (_, counts) in HEADS.items():
        liking = taste @ np.array(TASTE[head]) + rng.normal(scale=0.9, size=people)
        level = np.repeat(LEVELS, counts)
        rated[head] = dict(zip(np.argsort(-liking).tolist(), level.tolist(), strict=True))
    rows: list[tuple[object, ...]] = [
        (
            f"heads-{who:03d}-{head}",
            "heads",
            voter(who),
            head,
            rated[head][who],
            backs[who],
            days[who],
        )
        for who in range(people)
        for head in HEADS
    ]
    cloth = rng.permutation(["wool"] * 84 + ["stock"] * 25 + ["felt"] * 4)
    rows += [
        (f"cape-{i:03d}", "cape", voter(who), said, 1, backs[who],
         date(2026, 9, 1) + timedelta(int(i * 13 / len(cloth))))
        for i, (who, said) in enumerate(zip(rng.permutation(people), cloth, strict=False))
    ]  # fmt: skip
    for i, who in enumerate(rng.permutation(people)[:87]):
        pull = np.array([strength for _, _, strength in PROPS.values()]) + rng.gumbel(size=4)
        place = {
            prop: int(rank) + 1
            for prop, rank in zip(PROPS, np.argsort(np.argsort(-pull)), strict=True)
        }
        kept = place if i % 5 else {p: r for p, r in place.items() if r <= 2}
        rows += [
            (f"props-{i:03d}-{p}", "props", voter(who), p, r, backs[who], days[who])
            for p, r in kept.items()
        ]
    return rows


def comments(rng: np.random.Generator) -> list[tuple[object, ...]]:
    """Every text once, then echoes of some, until there are enough; in order of their days."""
    told = [
        (subject, language, text) for subject, texts in SAID.items() for language, text in texts
    ]
    while len(told) < COMMENTS:
        subject, language, text = told[int(rng.integers(0, 127))]
        echo = ECHOES[int(rng.integers(0, len(ECHOES)))]
        told.append((subject, language, echo.format(text)))
    days = sorted(int(d) for d in rng.integers(0, 60, COMMENTS))
    rows: list[tuple[object, ...]] = []
    for number, (place, back) in enumerate(
        zip(rng.permutation(COMMENTS).tolist(), days, strict=True)
    ):
        subject, language, text = told[place]
        day = TODAY - timedelta(60 - back)
        # The producer answers within a week, and has not come to the last ones.
        answered = day + timedelta(3) if subject.endswith("!") and day < date(2026, 9, 11) else ""
        who = "" if rng.random() < 0.06 else voter(int(rng.integers(0, 420)))
        where = ("forum", "shop", "newsletter")[int(rng.choice(3, p=[0.6, 0.3, 0.1]))]
        rows.append((f"c{number + 1:03d}", day, where, who, text, language, answered))
    return rows


if __name__ == "__main__":
    main()
