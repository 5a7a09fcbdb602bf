"""The published generator in whole numbers; it shares nothing with what it tests."""

from hashlib import sha256

MASK = 2**64 - 1
ROUNDS = 10


def philox_4x64(counter, key):
    """Philox 4×64-10, written from Salmon et al. 2011, section 4.3."""
    (a, b, c, d), (k, m) = counter, key
    for _ in range(ROUNDS):
        left, right = 0xD2E7470EE14C6C93 * a, 0xCA5A826395121157 * c
        a, b, c, d = (right >> 64) ^ b ^ k, right & MASK, (left >> 64) ^ d ^ m, left & MASK
        k, m = (k + 0x9E3779B97F4A7C15) & MASK, (m + 0xBB67AE8584CAA73B) & MASK
    return a, b, c, d


def two_uniforms(seed, name, block, draw):
    """The two numbers of one draw of one name: numpy counts up before it makes the first block."""
    digest = int.from_bytes(sha256(name.encode()).digest()[:8], "little")
    words = philox_4x64((draw + 1, block, 0, 0), (seed, digest))
    return tuple(((word >> 11) + 0.5) / 2**53 for word in words[:2])
