"""Comments that belong together: on a subject, by a word that no subject has, or nearly alike."""

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from sixwright.line.voices import Comment, CommentSubject
from sixwright.topics.voices.comments import alike, distinct_voters, is_unspaced, stop_words
from sixwright.topics.voices.model import CommentGroup, GroupedBy
from sixwright.topics.voices.subjects import pattern_of

NEAR = 0.88  # Jaro-Winkler, of 1: lantern, lanterne, lanterna, linterna, Laterne
SHORTEST_NEAR = 5  # letters; shorter words differ in one letter and mean something else
SHORTEST = 3  # letters of a word that can name a group; of unspaced scripts, two signs
LEAST_VOTERS = 3  # of a group that a word makes
MOST_WORDS = 4000  # compared for their spelling, those of most comments first


@dataclass(frozen=True, slots=True)
class _Words:
    """Words that stand for each other, and who uses them.

    Attributes
    ----------
    head
        Word: the most used word that is spelt nearly like it, or itself.
    used
        Of each text: its words that say something.
    count
        Word: texts that use it.
    """

    head: Mapping[str, str]
    used: Sequence[frozenset[str]]
    count: Mapping[str, int]


def groups(
    comments: Sequence[Comment],
    texts: Sequence[str],
    spoken: Mapping[str, Sequence[int]],
    subjects: Mapping[str, CommentSubject],
) -> tuple[CommentGroup, ...]:
    """All groups: subjects first, then words, then texts that are alike; most voters first.

    Parameters
    ----------
    comments, texts
        As written, and folded, in one order.
    spoken
        Subject: the comments that have its words.
    subjects
        By id.

    Raises
    ------
    KeyError
        If a subject that is spoken of is not there.

    Source
    ------
    docs/topics/voices.md, “Groups”; its precision and recall stand there.
    """
    words = _words(texts)
    found: list[CommentGroup] = []
    placed: set[int] = set()
    for subject, known in subjects.items():
        on, extra = _with_near_words(spoken[subject], known, words)
        placed |= set(on)
        if on:
            these = [comments[i] for i in on]
            name = known.name or subject
            found.append(_group(GroupedBy.SUBJECT, these, name, words=extra, subject=subject))
    rest = [i for i in range(len(texts)) if i not in placed]
    found += sorted(_by_word(rest, words, comments), key=lambda g: (-g.voters, g.id))
    most = {i: subject for subject, on in spoken.items() for i in on}
    found += sorted(_alike(comments, texts, most), key=lambda g: (-g.voters, g.id))
    return tuple(found)


def _group(
    how: GroupedBy,
    these: Sequence[Comment],
    name: str,
    *,
    words: tuple[str, ...] = (),
    subject: str | None = None,
) -> CommentGroup:
    key = {GroupedBy.SUBJECT: subject, GroupedBy.WORD: name, GroupedBy.ALIKE: these[0].id}[how]
    ids = tuple(comment.id for comment in these)
    return CommentGroup(f"{how}-{key}", how, subject, name, words, distinct_voters(these), ids)


def _words(texts: Sequence[str]) -> _Words:
    used = [_telling(text) for text in texts]
    count = Counter(word for words in used for word in words)
    return _Words(_heads(count), used, count)


def _telling(text: str) -> frozenset[str]:
    """The words of a text that say something; of unspaced scripts, two signs together."""
    words = text.split()
    telling = {
        word
        for word in words
        if len(word) >= SHORTEST and not word.isdecimal() and word not in stop_words()
    }
    pairs = pairwise(words)
    telling |= {a + b for a, b in pairs if _is_sign(a) and _is_sign(b)}
    return frozenset(telling)


def _is_sign(word: str) -> bool:
    return len(word) == 1 and is_unspaced(word)


def _heads(count: Mapping[str, int]) -> dict[str, str]:
    """Word: the more used word that is spelt nearly like it; each goes to one head, none chains."""
    from rapidfuzz import process
    from rapidfuzz.distance import JaroWinkler

    head = {word: word for word in count}
    often = sorted(count, key=lambda word: (-count[word], word))
    compared = [word for word in often if len(word) >= SHORTEST_NEAR][:MOST_WORDS]
    blocks: dict[str, list[str]] = defaultdict(list)
    for word in compared:
        blocks[word[0]].append(word)
    for block in blocks.values():
        near = process.cdist(
            block, block, scorer=JaroWinkler.normalized_similarity, score_cutoff=NEAR
        )
        taken: set[int] = set()
        for i, word in enumerate(block):
            if i not in taken:
                mine = [int(j) for j in near[i].nonzero()[0] if int(j) not in taken]
                taken |= set(mine)
                head |= {block[j]: word for j in mine}
    return head


def _with_near_words(
    on: Sequence[int], known: CommentSubject, words: _Words
) -> tuple[list[int], tuple[str, ...]]:
    """The comments on a subject, those with words spelt nearly like its own too, and these words.

    Only a word that two comments on the subject use can draw others in.
    """
    pattern = pattern_of(known.words)
    if pattern is None:
        return list(on), ()
    own = Counter(word for i in on for word in words.used[i] if pattern.fullmatch(word))
    heads = {words.head[word] for word, times in own.items() if times > 1}
    extra: Counter[str] = Counter()
    found = set(on)
    for i, used in enumerate(words.used):
        if i not in found:
            near = [word for word in used if words.head[word] in heads]
            extra.update(near)
            if near:
                found.add(i)
    return sorted(found), tuple(word for word, _ in extra.most_common())


def _by_word(
    rest: Sequence[int], words: _Words, comments: Sequence[Comment]
) -> Iterator[CommentGroup]:
    """Comments on no subject that share a word, the word of most voters first; each once."""
    by_head: dict[str, list[int]] = defaultdict(list)
    for i in rest:
        for head in {words.head[word] for word in words.used[i]}:
            by_head[head].append(i)
    left = {head: on for head, on in by_head.items() if len(on) >= LEAST_VOTERS}
    placed: set[int] = set()
    order = sorted(left, key=lambda h: (-distinct_voters(comments[i] for i in left[h]), h))
    for head in order:
        on = [i for i in left[head] if i not in placed]
        if distinct_voters(comments[i] for i in on) < LEAST_VOTERS:
            continue
        placed |= set(on)
        spelt = Counter(w for i in on for w in words.used[i] if words.head[w] == head)
        these = [comments[i] for i in on]
        yield _group(GroupedBy.WORD, these, head, words=tuple(w for w, _ in spelt.most_common()))


def _alike(
    comments: Sequence[Comment], texts: Sequence[str], most: Mapping[int, str]
) -> Iterator[CommentGroup]:
    for same in alike(texts):
        said = Counter(most[i] for i in same if i in most)
        subject = said.most_common(1)[0][0] if said and 2 * said.total() >= len(same) else None
        these = [comments[i] for i in same]
        yield _group(GroupedBy.ALIKE, these, these[0].text, subject=subject)
