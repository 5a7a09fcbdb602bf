"""Random numbers by name: each is a function of a seed, a name, a block and its own number.

Nothing is drawn in sequence, so leaving one thing out, adding one, or drawing more leaves every
other number as it was.
"""

from hashlib import sha256

import numpy as np

from sixwright.kernel.errors import InputError

_WORD = 2**64
_PER_BLOCK = 4  # 64-bit words that the generator makes of one counter


def uniforms(seed: int, name: str, block: int, count: int) -> tuple[np.ndarray, np.ndarray]:
    """Two independent rows of numbers, uniform between 0 and 1, ends excluded.

    Parameters
    ----------
    seed
        Of everything; any integer.
    name
        What is drawn; other names are independent.
    block
        0 or more; other blocks of one name are independent.
    count
        Numbers in each row, 1 or more. The first of them are the same for any `count`.

    Returns
    -------
    tuple of ndarray
        Two arrays of shape (count,).

    Raises
    ------
    InputError
        If `block` or `count` is out of range.

    Source
    ------
    salmon-2011, Philox 4×64-10 as numpy has it: key (seed, digest of the name), counter (number
    of the draw, block).
    """
    if block < 0:
        raise InputError(f"block must be 0 or more; received {block!r}.")
    if count < 1:
        raise InputError(f"count must be 1 or more; received {count!r}.")
    digest = int.from_bytes(sha256(name.encode()).digest()[:8], "little")
    # As whole numbers of 64 bits: numpy would round a list that holds one of 2**63 or more.
    key = np.array([seed % _WORD, digest], dtype=np.uint64)
    generator = np.random.Philox(key=key, counter=[0, block, 0, 0])
    words = generator.random_raw(_PER_BLOCK * count).reshape(count, _PER_BLOCK)
    # The upper 53 bits are what a double holds; half a step keeps both ends out.
    parts = ((words[:, :2] >> np.uint64(11)).astype(float) + 0.5) * 2.0**-53
    return parts[:, 0], parts[:, 1]
