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
from sixwright.reports.document import Place
from sixwright.reports.pages.history import worded
from sixwright.reports.pages.next_steps import next_steps
from sixwright.reports.pages.prints import FILES, MEDIA_TYPES
from sixwright.reports.pages.rows import row_anchor
from sixwright.reports.raster.shots import drawn
from sixwright.reports.sheets.calendar_file import NAME as CALENDAR
from sixwright.reports.sheets.update import UPDATE_HTML, UPDATE_MD
from sixwright.reports.wording.changes import all_told
from sixwright.reports.wording.fields import options
from sixwright.reports.wording.refusals import UNREADABLE, refusal
from sixwright.reports.wording.words import say
from sixwright.storage.edits.write import write
from sixwright.storage.folder import Folder
from sixwright.storage.past.history import id_after
from sixwright.storage.shots import Pictures
from sixwright.topics.dates.said import chance_sentence
from sixwright.topics.dates.topic import DATES
from sixwright.web.desk import Desk
from sixwright.web.history import kind_of
from sixwright.web.live import Move, State
from sixwright.web.pages.view import link_address
from sixwright.web.photos import add_photos
from sixwright.web.reports import MAKERS, Reports
from sixwright.web.request_bodies import Asked, TryAsked
from sixwright.web.trial import trial
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


def add_routes(app: FastAPI, desk: Desk) -> None:
    """Give the application its addresses besides the pages."""
    pictures = Pictures(desk.live.path, drawn)
    add_photos(app, desk.live, pictures)

    def options_of(table: str, id: str, column: str) -> JSONResponse:  # noqa: A002 - as in the URL
        state = desk.live.look()
        records = state.folder.records if state.folder else {}
        listed = options(records, Place(table, id, column))
        return JSONResponse([{"value": each.value, "words": each.words} for each in listed])

    def since(version: str = "", window: str = "") -> JSONResponse:
        return _since(desk, version, window)

    reports = Reports(desk.live, pictures)

    async def printed(name: str) -> Response:
        return await _printed(reports, name)

    def chance(milestone: str = "", day: date | None = None) -> JSONResponse:
        return _chance(desk, milestone, day)

    app.get("/report/{name}")(printed)
    app.get("/chance")(chance)
    app.get("/options")(options_of)
    app.get("/since")(since)

    def try_(asked: TryAsked) -> JSONResponse:
        return _tried(desk, asked)

    app.post("/try")(try_)
    for each in WRITES:
        app.post(each.path)(_endpoint(desk, each))


def _chance(desk: Desk, milestone: str, day: date | None) -> JSONResponse:
    """How sure a date of a milestone is, as a sentence."""
    review = desk.live.look().review
    answer = None if review is None else review.get(DATES)
    if review is None or answer is None or milestone not in answer.milestones or day is None:
        return JSONResponse({"said": "That is not known just now."})
    said = chance_sentence(review.inputs_of(DATES), answer, milestone, day)
    return JSONResponse({"said": say(said, review.project.locale)})


async def _printed(reports: Reports, name: str) -> Response:
    """One file of the report, to be saved."""
    from sixwright.reports.report_files import NO_SHEET

    is_maker = name.startswith(MAKERS)
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


def _endpoint(desk: Desk, what: Write) -> Callable[[Asked], JSONResponse]:
    """What answers one address that writes: with the page as it then is, or with the reason."""
    body = what.asked

    def endpoint(asked: body) -> JSONResponse:  # type: ignore[valid-type]
        return written(desk, what, asked)

    return endpoint


def written(desk: Desk, what: Write, asked: Asked) -> JSONResponse:
    """What a write answers: the page as it then is, or the reason why nothing was written."""
    if not desk.has(asked.page):
        return JSONResponse({"kind": "refused", "said": "There is no such page."}, 404)
    try:
        written, changes = _write(desk, what, asked)
    except SixwrightError as error:
        return _refused(desk, error)
    try:
        return _page(desk, asked, written, changes)
    except Exception:  # the edit stands in the folder: that is what has to be said
        logging.getLogger(__name__).exception("A page could not be drawn after a write.")
        return JSONResponse({"kind": "written", "said": UNDRAWN, "page": ""})


def _write(
    desk: Desk, what: Write, asked: Asked
) -> tuple[tuple[State, Move | None], Sequence[Change]]:
    """Decide and write; both again where a file moved between the look and the write."""
    changes: Sequence[Change] = ()
    undoes, restores = getattr(asked, "edit", None), getattr(asked, "moment", None)

    def once(state: State) -> Folder:
        nonlocal changes
        if state.folder is None:
            raise FolderError(state.problems)
        standing = Standing(state.folder, state.review, desk.live.edits(), desk.live.now().date())
        changes = what.decide(asked, standing)
        who, clock = desk.who, desk.live.now
        return write(state.folder, changes, who=who, clock=clock, undoes=undoes, restores=restores)

    for _ in range(RETRIES):
        with suppress(ConflictError):
            return desk.live.write(once, window=asked.window), changes
    return desk.live.write(once, window=asked.window), changes


def _tried(desk: Desk, asked: TryAsked) -> JSONResponse:
    """The page as it would be with what is tried; nothing is written."""
    if not desk.has(asked.page):
        return JSONResponse({"kind": "refused", "said": "There is no such page."}, 404)
    try:
        tried = trial(asked, desk.live.look())
    except SixwrightError as error:
        return _refused(desk, error)
    page = desk.draw(asked.page, tried.state, tried, query=asked.query)
    locale = tried.stands.project.locale
    said = " ".join(say(sentence, locale) for sentence in tried.said)
    answer = {"kind": "tried", "said": said, "page": page, "changes": tried.stated}
    return JSONResponse(answer | _stands(tried.step))


def _page(
    desk: Desk, asked: Asked, written: tuple[State, Move | None], changes: Sequence[Change]
) -> JSONResponse:
    """What a window needs after a write: what was said of it, and its page as it is now."""
    state, move = written
    told = NOTHING
    if move is not None and move.changes and state.folder is not None:
        moment, edit = getattr(asked, "moment", None), getattr(asked, "edit", None)
        known = {each.id: each for each in desk.live.edits()}
        kind = kind_of(known, undoes=edit, restores=moment)
        locale = state.folder.project.locale
        told = worded(kind, changes, move.before, move.after, locale, moment=moment)
    elif move is not None and move.changes:
        told = MEANWHILE
    answer = {
        "kind": "written",
        "said": told,
        "page": desk.draw(asked.page, state, query=asked.query),
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


def _refused(desk: Desk, error: SixwrightError) -> JSONResponse:
    status, kind = next(
        ((status, kind) for type_, status, kind in STATUS if isinstance(error, type_)),
        (422, "refused"),
    )
    state = desk.live.look()
    records = state.folder.records if state.folder else {}
    body: dict[str, object] = {"kind": kind, "said": refusal(error, records)}
    if isinstance(error, ConflictError) and error.differences:
        body["theirs"] = error.differences[0].now or ""
        body["mine"] = error.differences[0].wanted or ""
    return JSONResponse(body, status)


def _since(desk: Desk, version: str, window: str) -> JSONResponse:
    """The version of the folder's state now, and what others did since the one that is shown."""
    state = desk.live.look()
    locale = state.review.project.locale if state.review else "en-GB"
    moves = []
    for move in desk.live.since(version):
        if move.window == window or not move.changes:
            continue
        told = all_told(move.changes, move.before, move.after, most=3)
        moves.append(
            {
                "outside": not move.window,
                "at": f"{move.at:%H:%M}",
                "said": [say(sentence, locale) for sentence in told],
            }
        )
    return JSONResponse({"version": state.version, "moves": moves})
