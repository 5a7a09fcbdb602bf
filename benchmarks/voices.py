"""How long polls, sets, comments and an import take at the sizes asked for, beside libraries.

    python benchmarks/voices.py

Asked: all sets of 5 of 20 options for 10,000 voters in under 5 s; 200,000 votes and 100,000
comments imported and grouped in under 60 s and 2 GB. One run a line, in one process; peak memory at
the end. pandas counts what we count, without intervals, duplicates or write-ins; scikit-learn puts
every comment into one of 100 groups by tf-idf and k-means; choix draws a tenth.
"""

import csv
import datetime as dt
import resource
import sys
import tempfile
import time
from collections.abc import Callable
from itertools import combinations
from pathlib import Path

import choix
import numpy as np
import pandas as pd

from sixwright.importer.voices.columns import guessed
from sixwright.importer.voices.exports import read_export
from sixwright.importer.voices.take import People, taken_comments, taken_votes
from sixwright.line.voices import Comment, CommentSubject, Option, Poll, Vote
from sixwright.numerics.rankings import strength_intervals
from sixwright.numerics.reach import best_subsets
from sixwright.topics.voices.compute import hear
from sixwright.topics.voices.model import Heard, Told

SEED = 15
VOTERS, OPTIONS = 10_000, 20
COMMENTS = 100_000
TODAY = dt.date(2026, 9, 14)
SUBJECTS = {
    "oar": "oar*, paddle*, ruder*, rame, remo", "coat": "coat*, mantel*, manteau*, abrigo*",
    "price": "price*, expensive, preis*, teuer*, prix, precio*", "date": "ship*, when, wann, quand",
    "joint": "joint*, knee*, gelenk*, genou*", "smile": "smil*, grin*, sourire*, sonrisa*",
}  # fmt: skip


def timed(what: str, limit: str, work: Callable[[], object]) -> object:
    """Print one line of the table, and hand on what the work made."""
    begun = time.perf_counter()
    made = work()
    print(f"| {what} | {time.perf_counter() - begun:.2f} | {limit} |", flush=True)
    return made


def exports(folder: Path, rng: np.random.Generator) -> tuple[Path, Path]:
    """200,000 votes and 100,000 comments as CSV, a fifth of the comments repeated nearly alike."""
    levels = rng.integers(1, 6, (VOTERS, OPTIONS))
    votes = folder / "votes.csv"
    with votes.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(["e-mail", "option", "rating", "date", "backer"])
        for who in range(VOTERS):
            for option in range(OPTIONS):
                day, backs = f"2026-08-{1 + who % 28:02d}", "yes" if who % 3 else "no"
                row = [f"w{who}@home.example", f"o{option:02d}", levels[who, option], day, backs]
                writer.writerow(row)
    known = [word.strip("* ") for words in SUBJECTS.values() for word in words.split(",")]
    letters = list("abcdefghijklmnoprstuvwz")
    made = ["".join(rng.choice(letters, size=rng.integers(3, 10))) for _ in range(30_000)]
    words = np.array(known + made)
    chance = 1 / np.arange(1, len(words) + 1)
    chance /= chance.sum()
    length = rng.integers(2, 30, COMMENTS)
    drawn = np.split(rng.choice(words, size=length.sum(), p=chance), length.cumsum()[:-1])
    texts = [" ".join(row) for row in drawn]
    for at in range(0, COMMENTS, 5):
        texts[at] = texts[int(rng.integers(0, 2000)) * 5 + 1] + "!" * int(rng.integers(0, 3))
    comments = folder / "comments.csv"
    with comments.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(["comment", "user", "date"])
        writer.writerows(
            [text, f"u{int(rng.integers(0, 30_000))}", f"2026-08-{1 + i % 28:02d}"]
            for i, text in enumerate(texts)
        )
    return votes, comments


def imported(votes: Path, comments: Path) -> Told:
    """Both exports read, checked, hashed and typed."""
    names = {f"o{i:02d}": f"Option {i}" for i in range(OPTIONS)}
    poll = Poll("poll", "rate", least=1, most=5, seats=5, closed=TODAY)
    people = People(bytes(16))
    export = read_export(votes)
    columns = guessed(export, "votes", options=names, known={}, said={})
    told = taken_votes(export, columns, poll, names, people, day_first=True)
    export = read_export(comments)
    columns = guessed(export, "comments", options={}, known={}, said={})
    heard = taken_comments(export, columns, people, where="forum", day_first=True)
    return Told(
        {"poll": poll},
        {("poll", o): Option("poll", o, name) for o, name in names.items()},
        tuple(
            Vote(i, "poll", r["voter"], r["option"], int(r["answer"]), r["backer"] == "yes",
                 dt.date.fromisoformat(r["date"]))
            for i, r in told.rows.items()
        ),
        (),
        tuple(
            Comment(i, r["text"], r["voter"], dt.date.fromisoformat(r["date"]), "forum")
            for i, r in heard.rows.items()
        ),
        {s: CommentSubject(s, s, tuple(words.split(", "))) for s, words in SUBJECTS.items()},
        TODAY,
    )  # fmt: skip


def by_pandas(votes: Path) -> object:
    """The same counts and means."""
    table = pd.read_csv(votes)
    return table.groupby(["option", "rating"]).size(), table.groupby("option")["rating"].mean()


def by_scikit_learn(texts: list[str]) -> object:
    """Every text in one of 100 groups."""
    from sklearn.cluster import MiniBatchKMeans
    from sklearn.feature_extraction.text import TfidfVectorizer

    weights = TfidfVectorizer(min_df=2, max_features=20_000).fit_transform(texts)
    return MiniBatchKMeans(100, random_state=SEED, n_init=1, batch_size=4096).fit_predict(weights)


def rankings(rng: np.random.Generator) -> list[tuple[int, ...]]:
    """1,000 voters rank eight options."""
    order = np.argsort(-(np.linspace(-1, 1, 8) + rng.gumbel(size=(1000, 8))), axis=1)
    return [tuple(row) for row in order.tolist()]


def main() -> None:
    """Time every step and print the table."""
    rng = np.random.Generator(np.random.Philox(SEED))
    print(f"Python {sys.version.split()[0]} on {sys.platform}, one run a line")
    print("\n| what | seconds | limit |\n|---|---|---|")
    likes = rng.random((VOTERS, OPTIONS)) < rng.random(OPTIONS) * 0.3
    timed("all 15,504 sets of 5 of 20 options, 10,000 voters", "5", lambda: best_subsets(likes, 5))
    timed("the same by numpy, a set at a time", "", lambda: max(
        int(likes[:, c].any(axis=1).sum()) for c in map(list, combinations(range(OPTIONS), 5))
    ))  # fmt: skip
    told = rankings(rng)
    timed("strengths of 8 options, 1,000 rankings, 1,000 draws", "",
          lambda: strength_intervals(told, 8, seed=SEED))  # fmt: skip
    timed("100 of these draws by choix", "", lambda: [
        choix.ilsr_rankings(8, [told[i] for i in rng.integers(0, 1000, 1000)], alpha=0.01)
        for _ in range(100)
    ])  # fmt: skip
    with tempfile.TemporaryDirectory() as folder:
        votes, comments = exports(Path(folder), rng)
        begun = time.perf_counter()
        told_all = timed("200,000 votes and 100,000 comments read and typed", "",
                       lambda: imported(votes, comments))  # fmt: skip
        if not isinstance(told_all, Told):
            raise SystemExit("the exports were not read.")
        found = timed("figures of all votes, sets, subjects and groups", "", lambda: hear(told_all))
        print(f"| both together | {time.perf_counter() - begun:.2f} | 60 |")
        timed("pandas reads the votes and counts them", "", lambda: by_pandas(votes))
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e6
    texts = [comment.text for comment in told_all.comments]
    try:
        timed("scikit-learn groups the comments", "", lambda: by_scikit_learn(texts))
    except ImportError:
        print("| scikit-learn groups the comments | not installed | |")
    groups = len(found.groups) if isinstance(found, Heard) else 0
    print(f"\n{groups} groups; peak memory before scikit-learn {peak:.2f} GB, 2 asked.")


if __name__ == "__main__":
    main()
