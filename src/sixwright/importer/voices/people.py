"""People without their names: a keyed hash in place of what would tell who somebody is.

The same person gets the same hash in every import under one key, so that voters can be told apart
and counted, and nobody without the key can find out who they are by trying names.
"""

import hashlib
import hmac
import re
import unicodedata

from sixwright.kernel.errors import InputError

KEY_BYTES = 16
_CONSONANTS = "bdfghjklmnprstvz"  # four bits each
_VOWELS = "aiou"  # two bits each
_E_MAIL = re.compile(r"[\w.+%-]+@[\w-]+(?:\.[\w-]+)+")
_HANDLE = re.compile(r"(?<![\w@/])@(\w[\w.-]*\w|\w)")
_HASHED = re.compile(r"v-[0-9a-f]{16}\Z")


def hashed(name: str, key: bytes) -> str:
    """What stands for somebody: ``v-`` and sixteen digits of a keyed hash.

    Case, spaces around, and the ``@`` before a handle make no other person. What is such a hash
    already stays, so that an export of ours can come back.

    Parameters
    ----------
    name
        A name, an address or a handle; not empty.
    key
        As `key_of` gives it.

    Raises
    ------
    InputError
        If there is no name.

    Source
    ------
    HMAC (RFC 2104) with SHA-256, the first 64 bits: among 100,000 voters, two share a hash with a
    chance of 3 in ten billion.
    """
    folded = unicodedata.normalize("NFKC", name).strip().casefold().removeprefix("@")
    if not folded:
        raise InputError(f"name must be a name, an address or a handle; received {name!r}.")
    if _HASHED.match(folded):
        return folded
    return "v-" + hmac.new(key, folded.encode(), hashlib.sha256).hexdigest()[:16]


def without_names(text: str, key: bytes) -> str:
    """A text in which addresses and handles are hashed; names that are plain words stay.

    A text without them is left as it is.

    Parameters
    ----------
    text
        As written.
    key
        As `key_of` gives it.

    Source
    ------
    Own choice: what can be told from words by its form.
    """
    text = _E_MAIL.sub(lambda found: hashed(found[0], key), text)
    return _HANDLE.sub(lambda found: "@" + hashed(found[1], key), text)


def phrase_of(key: bytes) -> str:
    """The key as words that can be read out and typed: eight of it, one that checks them.

    Parameters
    ----------
    key
        `KEY_BYTES` bytes.

    Raises
    ------
    InputError
        If it has another length.

    Source
    ------
    Sixteen bits a word, consonants and vowels in turn, so that each can be said.
    """
    if len(key) != KEY_BYTES:
        raise InputError(f"key must be {KEY_BYTES} bytes; received {len(key)}.")
    whole = key + _check(key)
    return " ".join(_word(whole[i : i + 2]) for i in range(0, len(whole), 2))


def key_of(phrase: str) -> bytes:
    """The key that a phrase says.

    Parameters
    ----------
    phrase
        Nine words; case and what stands between them do not matter.

    Raises
    ------
    InputError
        If it is not nine words, or they do not check: one was misread.

    Source
    ------
    The inverse of `phrase_of`.
    """
    words = re.findall(r"[a-z]+", phrase.casefold())
    if len(words) != KEY_BYTES // 2 + 1 or not all(_said(word) for word in words):
        raise InputError(
            f"phrase must be {KEY_BYTES // 2 + 1} words of a key; received {phrase!r}."
        )
    whole = b"".join(_bytes(word) for word in words)
    if _check(whole[:KEY_BYTES]) != whole[KEY_BYTES:]:
        raise InputError("phrase must be the one that was shown; a word of it was misread.")
    return whole[:KEY_BYTES]


def _check(key: bytes) -> bytes:
    return hashlib.sha256(b"voters " + key).digest()[:2]


def _word(pair: bytes) -> str:
    """Five letters for sixteen bits: consonant, vowel, consonant, vowel, consonant."""
    bits = int.from_bytes(pair)
    return (
        _CONSONANTS[bits >> 12]
        + _VOWELS[bits >> 10 & 3]
        + _CONSONANTS[bits >> 6 & 15]
        + _VOWELS[bits >> 4 & 3]
        + _CONSONANTS[bits & 15]
    )


def _said(word: str) -> bool:
    return bool(re.fullmatch(f"[{_CONSONANTS}]([{_VOWELS}][{_CONSONANTS}]){{2}}", word))


def _bytes(word: str) -> bytes:
    bits = 0
    for at, letter in enumerate(word):
        bits = (
            bits << 2 | _VOWELS.index(letter) if at % 2 else bits << 4 | _CONSONANTS.index(letter)
        )
    return bits.to_bytes(2)
