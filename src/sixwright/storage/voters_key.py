"""The key that turns voters' names into hashes: in the user's own configuration, never in a folder.

Who has the folder without the key cannot find out who voted; who carries the key to a second
computer, as a phrase, gets the same voters there.
"""

import os
import secrets
from contextlib import suppress
from pathlib import Path

from sixwright.kernel.errors import DiskError, InputError

KEY_BYTES = 16
_FILE = "voters.key"


def config_path() -> Path:
    """Where the user's own settings are: `SIXWRIGHT_CONFIG`, or the system's place for them."""
    if stated := os.environ.get("SIXWRIGHT_CONFIG"):
        return Path(stated)
    from platformdirs import user_config_path

    return user_config_path("sixwright", appauthor=False)


def voters_key() -> bytes:
    """The user's key; drawn at its first use.

    Raises
    ------
    DiskError
        If the configuration directory cannot be read or written.
    InputError
        If what lies there is no key.
    """
    file = config_path() / _FILE
    try:
        if not file.is_file():
            with suppress(InputError):  # another window drew one at the same moment
                keep_key(secrets.token_bytes(KEY_BYTES))
        text = file.read_text(encoding="ascii", errors="replace").strip()
    except OSError as error:
        raise _refused(file, error) from error
    try:
        key = bytes.fromhex(text)
    except ValueError:
        key = b""
    if len(key) != KEY_BYTES:
        raise InputError(f"{file} must hold a key of {KEY_BYTES} bytes; it holds something else.")
    return key


def keep_key(key: bytes) -> None:
    """Make this the user's key, readable to nobody else.

    Raises
    ------
    InputError
        If it has another length, or another key is there already: names hashed under it would no
        longer be the same people.
    DiskError
        If the configuration directory cannot be written.
    """
    if len(key) != KEY_BYTES:
        raise InputError(f"key must be {KEY_BYTES} bytes; received {len(key)}.")
    file = config_path() / _FILE
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        part = file.with_name(f"{_FILE}.{secrets.token_hex(4)}")
        descriptor = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(descriptor, "w", encoding="ascii") as out:
            out.write(key.hex() + "\n")
            out.flush()
            os.fsync(out.fileno())
        try:
            os.link(part, file)  # unlike a rename, it never takes the place of another key
        except FileExistsError:
            if file.read_text(encoding="ascii", errors="replace").strip() != key.hex():
                raise InputError(
                    f"{file} holds another key already; voters taken in under it would be other "
                    "people. Move it away first."
                ) from None
        finally:
            part.unlink()
    except OSError as error:
        raise _refused(file, error) from error


def _refused(file: Path, error: OSError) -> DiskError:
    place = f"{file.parent} cannot be used ({error.strerror})"
    return DiskError(f"{place}; set SIXWRIGHT_CONFIG to a folder that can.")
