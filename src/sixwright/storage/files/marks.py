"""Large files of the folder, looked at without reading them."""

from collections.abc import Iterable
from pathlib import Path

from sixwright.line.files import FileMark
from sixwright.storage.files.within import is_there, place


def marks_of(folder: Path, paths: Iterable[str | None]) -> dict[str, FileMark]:
    """Size and time of the files that rows name, by their paths; of those that are there.

    Parameters
    ----------
    folder
        The line's.
    paths
        Within it; None and what is no path of the folder are left out.
    """
    found = {}
    for path in dict.fromkeys(each for each in paths if each):
        try:
            if is_there(folder, path):
                stat = place(folder, path).stat()
                found[path] = FileMark(stat.st_size, stat.st_mtime_ns)
        except (OSError, ValueError):
            continue
    return found
