"""What leaves the house shows no still of which nobody has said that it may be published."""

from dataclasses import replace

from sixwright.line.shots import ThroughStill
from sixwright.project.model import Project
from sixwright.reports.document import Block, Document, Fold, Photo

UNSHOWN = "The still itself is not shown: its row does not say that it may be published."


def to_leave(shown: Document, project: Project) -> Document:
    """A document without the stills of which nobody has said that they may be published."""
    return replace(shown, blocks=tuple(_block_to_leave(block, project) for block in shown.blocks))


def _block_to_leave(block: Block, project: Project) -> Block:
    match block:
        case Photo(ThroughStill(still=still)) if not project.stills[still].may_publish:
            return without_still(block)
        case Fold():
            inner = tuple(_block_to_leave(each, project) for each in block.blocks)
            return replace(block, blocks=inner)
        case _:
            return block


def without_still(block: Photo) -> Photo:
    """The same picture without the still's own points: the sculpt alone, through its lens."""
    if not isinstance(block.shot, ThroughStill):
        return block
    bare = replace(block.shot, file="")
    return replace(block, shot=bare, summary=f"{UNSHOWN} {block.summary}",
                   caption=f"{UNSHOWN} {block.caption}")  # fmt: skip
