"""Comments as they are compared: folded text, distinct voters, texts that are nearly alike."""

import unicodedata
from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from functools import cache

from sixwright.line.voices import Comment

ALIKE = 90.0  # of 100: texts that say the same but for a slip or a sign
SHORTEST_ALIKE = 12  # characters; shorter texts are alike only where they are equal
AT_ONCE = 400  # texts that share a rare word, compared each with each; of more, neighbours
OVERLAP = 40  # texts that two such stretches share

# Marks that fold away: of Latin, Greek and Cyrillic letters, Hebrew points, Arabic vowel signs.
# Others (Indic vowels, Japanese voicing) make another letter, and stay.
MARKS = (
    (0x0300, 0x036F), (0x0591, 0x05C7), (0x0610, 0x061A), (0x064B, 0x065F), (0x0670, 0x0670),
)  # fmt: skip
# Written without spaces: each sign stands for itself, so that several must stand together.
UNSPACED = ((0x0E00, 0x0EFF), (0x1000, 0x109F), (0x1780, 0x17FF), (0x3040, 0x30FF),
            (0x3400, 0x4DBF), (0x4E00, 0x9FFF), (0xF900, 0xFAFF), (0x20000, 0x323AF))  # fmt: skip
LETTERS = {"ø": "o", "ł": "l", "đ": "d", "ð": "d", "þ": "th", "æ": "ae", "œ": "oe", "ı": "i",
           "ـ": ""}  # fmt: skip
DROPPED = frozenset({"Cf", "Sk"})  # joiners, direction marks, skin tones: they change no word
VARIANTS = (0xFE00, 0xFE0F)


def fold(text: str) -> str:
    """The text as words with one space between, without case, accents and punctuation.

    An emoji is a word; signs of scripts without spaces are words each.

    Parameters
    ----------
    text
        As written, in any script and direction.

    Source
    ------
    Unicode: compatibility forms (NFKC), full case folding, decomposition; which marks fold is a
    choice of ours: docs/topics/voices.md.
    """
    plain = unicodedata.normalize("NFD", unicodedata.normalize("NFKC", text).casefold())
    return " ".join(unicodedata.normalize("NFC", plain.translate(_TABLE)).split())


class _Folding(dict[int, str]):
    """What each code point becomes, worked out when it is first met."""

    def __missing__(self, code: int) -> str:
        self[code] = _folded(code)
        return self[code]


def _folded(code: int) -> str:
    sign = chr(code)
    category = unicodedata.category(sign)
    if any(low <= code <= high for low, high in MARKS) or category in DROPPED:
        return ""
    if VARIANTS[0] <= code <= VARIANTS[1]:
        return ""
    if sign in LETTERS:
        return LETTERS[sign]
    if is_unspaced(sign) and category[0] == "L":
        return f" {sign}"
    if category[0] in "LNM":
        return sign
    return f" {sign} " if category == "So" else " "


_TABLE = _Folding()


def is_unspaced(sign: str) -> bool:
    """Whether a sign is of a script that is written without spaces."""
    return any(low <= ord(sign) <= high for low, high in UNSPACED)


def distinct_voters(comments: Iterable[Comment]) -> int:
    """How many people wrote these; a comment without a voter counts as one.

    Parameters
    ----------
    comments
        Any.

    Source
    ------
    Definition: docs/topics/voices.md, “Who counts”.
    """
    known, unknown = set(), 0
    for comment in comments:
        if comment.voter is None:
            unknown += 1
        else:
            known.add(comment.voter)
    return len(known) + unknown


def alike(texts: Sequence[str]) -> list[list[int]]:
    """Texts that are nearly the same, two or more each, in their order.

    Equal texts belong together; so do those that a library finds 90 % equal with their words in
    any order, among texts that share one of their two rarest words; of more than `AT_ONCE` that
    share one, among those that begin alike when their words are sorted.

    Parameters
    ----------
    texts
        Folded.

    Source
    ------
    rapidfuzz: normalised indel similarity of the sorted words. The limits are choices of ours:
    docs/topics/voices.md.
    """
    same: dict[str, list[int]] = defaultdict(list)
    for i, text in enumerate(texts):
        if text:
            same[text].append(i)
    distinct = list(same)
    joined = _joined(distinct)
    groups: dict[int, list[int]] = defaultdict(list)
    for at, text in enumerate(distinct):
        groups[joined(at)] += same[text]
    return sorted(sorted(group) for group in groups.values() if len(group) > 1)


def _joined(texts: Sequence[str]) -> Callable[[int], int]:
    """Which text each one goes with: the first that is nearly the same."""
    from rapidfuzz import fuzz, process

    root = list(range(len(texts)))

    def find(i: int) -> int:
        while root[i] != i:
            root[i] = root[root[i]]
            i = root[i]
        return i

    ordered = [" ".join(sorted(text.split())) for text in texts]
    for block in _stretches(_blocks(texts).values(), ordered):
        among = [ordered[i] for i in block]
        scores = process.cdist(among, among, scorer=fuzz.ratio, score_cutoff=ALIKE)
        for row, column in zip(*scores.nonzero(), strict=True):
            if row < column:
                one, other = find(block[row]), find(block[column])
                root[max(one, other)] = min(one, other)
    return find


def _stretches(blocks: Iterable[Sequence[int]], ordered: Sequence[str]) -> Iterator[Sequence[int]]:
    """Blocks small enough to be compared whole; of a large one, texts that begin alike."""
    for block in blocks:
        if len(block) <= AT_ONCE:
            if len(block) > 1:
                yield block
            continue
        near = sorted(block, key=lambda i: ordered[i])
        for start in range(0, len(near) - OVERLAP, AT_ONCE - OVERLAP):
            yield near[start : start + AT_ONCE]


def _blocks(texts: Sequence[str]) -> Mapping[str, list[int]]:
    """Word: the texts, long enough to be compared, that have it among their two rarest."""
    used = Counter(word for text in texts for word in set(text.split()))
    blocks: dict[str, list[int]] = defaultdict(list)
    for i, text in enumerate(texts):
        if len(text) < SHORTEST_ALIKE:
            continue
        # Words used once bind nothing; a slip makes such a word.
        shared = [word for word in set(text.split()) if used[word] > 1]
        for word in sorted(shared, key=lambda word: (used[word], word))[:2]:
            blocks[word].append(i)
    return blocks


@cache
def stop_words() -> frozenset[str]:
    """Words that say nothing of a subject, in every language that the library lists, folded.

    Source
    ------
    stopwordsiso (the collection stopwords-iso, 57 languages).
    """
    import stopwordsiso

    return frozenset(
        word
        for language in stopwordsiso.langs()
        for entry in stopwordsiso.stopwords(language)
        for word in fold(entry).split()
    )
