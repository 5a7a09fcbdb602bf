"""The report's files: made one at a time, beside the pages, and kept until the line changes."""

import asyncio
from collections.abc import Mapping
from concurrent.futures import ThreadPoolExecutor

from sixwright.reports.html import MakePhoto
from sixwright.reports.sheets.calendar_file import NAME as CALENDAR
from sixwright.reports.sheets.calendar_file import calendar_file
from sixwright.storage.folder import folder_name
from sixwright.web.watched_folder import WatchedFolder

MAKERS = "maker-"  # the files of makers' sheets begin so
SCULPTORS = "sculptor-"  # and those of sculptors' pages


class Reports:
    """Makes a folder's report on a thread of its own, so that whoever waits for it holds no other.

    Parameters
    ----------
    live
        The folder.
    photos
        Draws its pictures made of points.
    """

    def __init__(self, watched: WatchedFolder, photos: MakePhoto) -> None:
        self._watched = watched
        self._photos = photos
        self._thread = ThreadPoolExecutor(1, thread_name_prefix="report")
        self._kept: tuple[object, Mapping[str, bytes]] | None = None

    async def file(self, name: str) -> tuple[bool, bytes | None]:
        """Whether the line can be read; and one file, where it can be made of this line."""
        loop = asyncio.get_running_loop()
        return await loop.run_in_executor(self._thread, self._file, name)

    def _file(self, name: str) -> tuple[bool, bytes | None]:
        from sixwright.reports.report_files import report_files
        from sixwright.reports.sheets.maker_files import maker_file
        from sixwright.reports.sheets.sculptor_files import sculptor_file

        state = self._watched.settled()
        if state.review is None:
            return False, None
        if name == CALENDAR:
            return True, calendar_file(state.review)
        if name.startswith(SCULPTORS):
            return True, sculptor_file(state.review, name, self._photos)
        if name.startswith(MAKERS):
            return True, maker_file(state.review, name)
        of = (dict(state.inputs), state.review.today, state.review.project.meshes)
        if self._kept is None or self._kept[0] != of:
            folder = folder_name(self._watched.path)
            made = report_files(
                state.review, folder=folder, inputs=state.inputs, photos=self._photos
            )
            self._kept = (of, made.contents)
        return True, self._kept[1].get(name)
