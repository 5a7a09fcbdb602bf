"""The addresses that write, and those that a page asks between two edits."""

import logging
from collections.abc import Callable, Sequence
from contextlib import suppress
from datetime import date

from fastapi import FastAPI, HTTPException, Response
from fastapi.responses import JSONResponse, PlainTextResponse

from sixwright.kernel.errors import (
    BusyError,
    ChangeError,
    ConflictError,
    DiskError,
    FolderError,
    SixwrightError,
)
from sixwright.project.records import Change
from sixwright.reports.document import CellAddress
from sixwright.reports.pages.history import worded
from sixwright.reports.pages.next_steps import next_steps
from sixwright.reports.pages.prints import FILES, MEDIA_TYPES
from sixwright.reports.pages.rows import row_anchor
from sixwright.reports.sheets.calendar_file import NAME as CALENDAR
from sixwright.reports.sheets.update import UPDATE_HTML, UPDATE_MD
from sixwright.reports.wording.changes import all_told
from sixwright.reports.wording.fields import options
from sixwright.reports.wording.refusals import UNREADABLE, refusal
from sixwright.reports.wording.words import say
from sixwright.storage.edits.write import write
from sixwright.storage.folder import Folder
from sixwright.storage.history.log import id_after
from sixwright.topics.dates.said import chance_sentence
from sixwright.topics.dates.topic import DATES
from sixwright.web.history import kind_of
from sixwright.web.open_folder import OpenFolder
from sixwright.web.pages.view import link_address
from sixwright.web.photos import add_photos
from sixwright.web.reports import MAKERS, SCULPTORS, Reports
from sixwright.web.request_bodies import RequestBody, TryRequest
from sixwright.web.trial import trial
from sixwright.web.under_way import add_under_way
from sixwright.web.watched_folder import State, Transition
from sixwright.web.writes import WRITES, Standing, Write

STATUS: tuple[tuple[type[SixwrightError], int, str], ...] = (
    (ConflictError, 409, "conflict"),
    (ChangeError, 422, "refused"),
    (BusyError, 423, "busy"),
    (FolderError, 503, "unreadable"),
    (DiskError, 507, "disk"),
)
NOTHING = "It already says that; nothing was written."
MEANWHILE = "It was written. Meanwhile another program changed the folder, and it cannot be read."
UNDRAWN = "It was written. This page cannot be drawn just now; undo takes the edit back."
# A file may move between the look and the write; then both are done again, so often.
RETRIES = 2


def add_routes(app: FastAPI, open_folder: OpenFolder) -> None:
    """Give the application its addresses besides the pages."""
    pictures = open_folder.pictures
    add_photos(app, open_folder.watched, pictures)
    add_under_way(app, open_folder)

    def options_of(table: str, id: str, column: str) -> JSONResponse:  # noqa: A002 - as in the URL
        state = open_folder.watched.look()
        records = state.folder.records if state.folder else {}
        listed = options(records, CellAddress(table, id, column))
        return JSONResponse([{"value": each.value, "words": each.words} for each in listed])

    def since(version: str = "", window: str = "") -> JSONResponse:
        return _since(open_folder, version, window)

    reports = Reports(open_folder.watched, pictures)

    async def printed(name: str) -> Response:
        return await _printed(reports, name)

    def chance(milestone: str = "", day: date | None = None) -> JSONResponse:
        return _chance(open_folder, milestone, day)

    app.get("/report/{name}")(printed)
    app.get("/chance")(chance)
    app.get("/options")(options_of)
    app.get("/since")(since)

    def try_(asked: TryRequest) -> JSONResponse:
        return _tried(open_folder, asked)

    app.post("/try")(try_)
    for each in WRITES:
        app.post(each.path)(_endpoint(open_folder, each))


def _chance(open_folder: OpenFolder, milestone: str, day: date | None) -> JSONResponse:
    """How sure a date of a milestone is, as a sentence."""
    review = open_folder.watched.look().review
    answer = None if review is None else review.get(DATES)
    if review is None or answer is None or milestone not in answer.milestones or day is None:
        return JSONResponse({"said": "That is not known just now."})
    said = chance_sentence(review.inputs_of(DATES), answer, milestone, day)
    return JSONResponse({"said": say(said, review.project.locale)})


async def _printed(reports: Reports, name: str) -> Response:
    """One file of the report, to be saved."""
    from sixwright.reports.report_files import NO_SHEET

    is_maker = name.startswith((MAKERS, SCULPTORS))
    if name not in FILES and not is_maker:
        raise HTTPException(404)
    is_readable, content = await reports.file(name)
    if not is_readable:
        return PlainTextResponse(UNREADABLE, 503)
    if content is None and (is_maker or name in {CALENDAR, UPDATE_MD, UPDATE_HTML}):
        raise HTTPException(404)
    if content is None:
        return PlainTextResponse(NO_SHEET, 503)
    kind = name.rpartition(".")[2].upper() if is_maker else FILES[name][1]
    return Response(content, media_type=MEDIA_TYPES[kind], headers=_saved(name))


def _saved(name: str) -> dict[str, str]:
    return {"Content-Disposition": f'attachment; filename="{name}"'}


def _endpoint(open_folder: OpenFolder, what: Write) -> Callable[[RequestBody], JSONResponse]:
    """What answers one address that writes: with the page as it then is, or with the reason."""
    body = what.asked

    def endpoint(asked: body) -> JSONResponse:  # type: ignore[valid-type]
        return written(open_folder, what, asked)

    return endpoint


def written(
    open_folder: OpenFolder,
    what: Write,
    asked: RequestBody,
    *,
    then: Callable[[], None] = lambda: None,
) -> JSONResponse:
    """What a write answers: the page as it then is, or the reason why nothing was written.

    `then` is done once it is written, before the page is drawn.
    """
    if not open_folder.has(asked.page):
        return JSONResponse({"kind": "refused", "said": "There is no such page."}, 404)
    try:
        written, changes = _write(open_folder, what, asked)
    except SixwrightError as error:
        return _refused(open_folder, error)
    then()
    try:
        return _page(open_folder, asked, written, changes)
    except Exception:  # the edit stands in the folder: that is what has to be said
        logging.getLogger(__name__).exception("A page could not be drawn after a write.")
        return JSONResponse({"kind": "written", "said": UNDRAWN, "page": ""})


def _write(
    open_folder: OpenFolder, what: Write, asked: RequestBody
) -> tuple[tuple[State, Transition | None], Sequence[Change]]:
    """Decide and write; both again where a file moved between the look and the write."""
    changes: Sequence[Change] = ()
    undoes, restores = getattr(asked, "edit", None), getattr(asked, "moment", None)

    def once(state: State) -> Folder:
        nonlocal changes
        if state.folder is None:
            raise FolderError(state.problems)
        standing = Standing(
            state.folder,
            state.review,
            open_folder.watched.edits(),
            open_folder.watched.now().date(),
        )
        changes = what.decide(asked, standing)
        who, clock = open_folder.who, open_folder.watched.now
        return write(state.folder, changes, who=who, clock=clock, undoes=undoes, restores=restores)

    for _ in range(RETRIES):
        with suppress(ConflictError):
            return open_folder.watched.write(once, window=asked.window), changes
    return open_folder.watched.write(once, window=asked.window), changes


def _tried(open_folder: OpenFolder, asked: TryRequest) -> JSONResponse:
    """The page as it would be with what is tried; nothing is written."""
    if not open_folder.has(asked.page):
        return JSONResponse({"kind": "refused", "said": "There is no such page."}, 404)
    try:
        tried = trial(asked, open_folder.watched.look())
    except SixwrightError as error:
        return _refused(open_folder, error)
    page = open_folder.draw(asked.page, tried.state, tried, query=asked.query)
    locale = tried.stands.project.locale
    said = " ".join(say(sentence, locale) for sentence in tried.said)
    answer = {"kind": "tried", "said": said, "page": page, "changes": tried.stated}
    return JSONResponse(answer | _stands(tried.step))


def _page(
    open_folder: OpenFolder,
    asked: RequestBody,
    written: tuple[State, Transition | None],
    changes: Sequence[Change],
) -> JSONResponse:
    """What a window needs after a write: what was said of it, and its page as it is now."""
    state, transition = written
    told = NOTHING
    if transition is not None and transition.changes and state.folder is not None:
        moment, edit = getattr(asked, "moment", None), getattr(asked, "edit", None)
        known = {each.id: each for each in open_folder.watched.edits()}
        kind = kind_of(known, undoes=edit, restores=moment)
        locale = state.folder.project.locale
        told = worded(kind, changes, transition.before, transition.after, locale, moment=moment)
    elif transition is not None and transition.changes:
        told = MEANWHILE
    answer = {
        "kind": "written",
        "said": told,
        "page": open_folder.draw(asked.page, state, query=asked.query),
    }
    return JSONResponse(answer | _stands(changes))


def _stands(changes: Sequence[Change]) -> dict[str, object]:
    """Where the row of the first change stands afterwards, and what it needs if it is new."""
    if not changes or changes[0].remove:
        return {}
    first = changes[0]
    row = id_after(first.table, first.id, first.column or "", first.value or "")
    steps = next_steps(first.table, first.id, first.add) if first.add is not None else ()
    links = [{"href": link_address(link), "words": link.words} for link in steps]
    return {"table": first.table, "row": row, "anchor": row_anchor(row), "next": links}


def _refused(open_folder: OpenFolder, error: SixwrightError) -> JSONResponse:
    status, kind = next(
        ((status, kind) for type_, status, kind in STATUS if isinstance(error, type_)),
        (422, "refused"),
    )
    state = open_folder.watched.look()
    records = state.folder.records if state.folder else {}
    body: dict[str, object] = {"kind": kind, "said": refusal(error, records)}
    if isinstance(error, ConflictError) and error.differences:
        body["theirs"] = error.differences[0].now or ""
        body["mine"] = error.differences[0].wanted or ""
    return JSONResponse(body, status)


def _since(open_folder: OpenFolder, version: str, window: str) -> JSONResponse:
    """The version of the folder's state now, and what others did since the one that is shown."""
    state = open_folder.watched.look()
    locale = state.review.project.locale if state.review else "en-GB"
    moves = []
    for transition in open_folder.watched.since(version):
        if transition.window == window or not transition.changes:
            continue
        told = all_told(transition.changes, transition.before, transition.after, most=3)
        moves.append(
            {
                "outside": not transition.window,
                "at": f"{transition.at:%H:%M}",
                "said": [say(sentence, locale) for sentence in told],
            }
        )
    return JSONResponse({"version": state.version, "moves": moves})
