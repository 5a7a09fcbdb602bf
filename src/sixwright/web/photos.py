"""Pictures made of points, at addresses of their own: drawn when a browser asks for one."""

import asyncio
from concurrent.futures import ThreadPoolExecutor

from fastapi import FastAPI, HTTPException, Request, Response

from sixwright.line.shots import Shot
from sixwright.reports.pages.likeness_pictures import shot_named
from sixwright.storage.shots import Pictures
from sixwright.web.watched_folder import WatchedFolder

AT = "/pictures/"
PNG = b"\x89PNG"


def photo_address(shot: Shot) -> str:
    """Where a picture is; another content has another address."""
    return f"{AT}{shot.name}?v={shot.version}"


def add_photos(app: FastAPI, watched: WatchedFolder, pictures: Pictures) -> None:
    """Give the application the addresses of its pictures.

    They are drawn on a thread of their own, so that those that wait hold none that pages need.
    """
    thread = ThreadPoolExecutor(1, thread_name_prefix="pictures")

    def drawn(name: str, known: str) -> Response:
        review = watched.look().review
        shot = None if review is None else shot_named(review, name)
        if shot is None:
            raise HTTPException(404)
        tag = f'"{pictures.key(shot)}"'
        if known == tag:
            return Response(status_code=304, headers={"ETag": tag})
        made = pictures(shot)
        if made is None:  # the mesh went meanwhile; the page will say so
            raise HTTPException(404)
        kind = "image/png" if made.startswith(PNG) else "image/jpeg"
        return Response(made, media_type=kind, headers={"ETag": tag})

    async def photo(request: Request, name: str) -> Response:
        known = request.headers.get("if-none-match", "")
        round_ = request.path_params["round"]
        loop = asyncio.get_running_loop()
        return await loop.run_in_executor(thread, drawn, f"{round_}/{name}", known)

    app.get(f"{AT}{{round}}/{{name}}")(photo)
