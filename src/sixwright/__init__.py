"""sixwright: one project folder for a sixth-scale figure line, and everything computed from it.

    folder = sixwright.read("my-line")
    found = sixwright.review(folder, today=date.today())
    for finding in found.findings:
        print(finding.verdict, sixwright.say(finding.message, folder.project.locale))

The names are those of `sixwright.face`, which documents each; docs/python.md shows them at work.
"""

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from sixwright.face import *  # noqa: F403  one list of names, which is in face.py
else:

    def __getattr__(name: str) -> object:
        """A name of the face, brought in when it is first asked for: the command starts without."""
        face = import_module("sixwright.face")
        if name not in face.__all__:
            raise AttributeError(f"module 'sixwright' has no attribute {name!r}")
        return getattr(face, name)


def __dir__() -> list[str]:
    return sorted(import_module("sixwright.face").__all__)
