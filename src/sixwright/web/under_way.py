"""The addresses of answers that take seconds: how far they are; to stop one, or go on with it."""

from fastapi import FastAPI
from fastapi.responses import JSONResponse

from sixwright.web.open_folder import OpenFolder
from sixwright.web.request_bodies import TopicRequest

STOPPED = "It was stopped; nothing in the folder is changed by that."
DONE = "It is worked out already."
GOES_ON = "It is being worked out."


def add_under_way(app: FastAPI, open_folder: OpenFolder) -> None:
    """Give the application what pages of unfinished answers ask for."""
    watched = open_folder.watched

    def under_way() -> JSONResponse:
        return JSONResponse({
            topic: {"so_far_s": found.so_far_s, "last_s": found.last_s}
            for topic, found in watched.progress().items()
        })  # fmt: skip

    def stop(asked: TopicRequest) -> JSONResponse:
        return _answered(asked, STOPPED if watched.stop(asked.topic) else DONE)

    def go_on(asked: TopicRequest) -> JSONResponse:
        watched.go_on(asked.topic)
        return _answered(asked, GOES_ON)

    def _answered(asked: TopicRequest, said: str) -> JSONResponse:
        if not open_folder.has(asked.page):
            return JSONResponse({"kind": "refused", "said": "There is no such page."}, 404)
        page = open_folder.draw(asked.page, watched.look(), query=asked.query)
        return JSONResponse({"kind": "written", "said": said, "page": page})

    app.get("/under-way")(under_way)
    app.post("/stop")(stop)
    app.post("/go-on")(go_on)
