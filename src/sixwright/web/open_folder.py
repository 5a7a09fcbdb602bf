"""One folder's pages, drawn as they stand now: the same for a visit and after an edit."""

from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path

from sixwright.importer.bring_page import bring
from sixwright.importer.new_line import is_empty
from sixwright.kernel.errors import DiskError
from sixwright.project.records import rows_of
from sixwright.project.tables import BY_NAME
from sixwright.reports.document import Document
from sixwright.reports.html import environment
from sixwright.reports.manual import manual_list, manual_names, manual_page
from sixwright.reports.pages import document
from sixwright.reports.pages.head import head_page
from sixwright.reports.pages.history import history
from sixwright.reports.pages.home import home
from sixwright.reports.pages.makers import maker_page, makers
from sixwright.reports.pages.missing import missing
from sixwright.reports.pages.prints import prints
from sixwright.reports.pages.sculpt import ref_of, sculpt_page
from sixwright.reports.pages.sculptor import sculptor_page
from sixwright.reports.pages.sculpts import sculpts
from sixwright.reports.pages.stills import still_page
from sixwright.reports.pages.stills_list import stills
from sixwright.reports.pages.tables import table_page, tables
from sixwright.reports.pages.trying import keeping, trying
from sixwright.reports.pages.voices import page as voices
from sixwright.reports.pages.windows import windows_of
from sixwright.reports.raster.shots import drawn
from sixwright.storage.files.writer_lock import folder_key, writer_name
from sixwright.storage.folder import folder_name
from sixwright.storage.history.log_text import Edit
from sixwright.storage.last_visit import Visit, last_visit
from sixwright.storage.shots import Pictures
from sixwright.topics.likeness.topic import LIKENESS
from sixwright.topics.voices.topic import VOICES
from sixwright.web.arrivals import Arrivals
from sixwright.web.bring import Brought
from sixwright.web.history import listed_edits, ways_back
from sixwright.web.pages.view import Make, address, link_address, nothing_yet, view
from sixwright.web.photos import photo_address
from sixwright.web.trial import Trial
from sixwright.web.watched_folder import State, WatchedFolder
from sixwright.workflows.maker_sheets import maker_addresses
from sixwright.workflows.reviewed import Review
from sixwright.workflows.since import since
from sixwright.workflows.topics import BY_ID

HERE = Path(__file__).parent
STATIC_DIR = HERE / "static"
TEMPLATES = HERE / "templates"
TABLE = "/tables/"
MANUAL = "/docs/"
MAKER = "/makers/"
STILL = "/stills/"
SCULPT = "/sculpts/"
HEAD = "/likeness/"
SCULPTOR = "/sculptor/"


@dataclass(frozen=True, slots=True)
class OpenFolder:
    """The folder, who sits at it, and the secret that its pages carry.

    `brought` is the spreadsheet that a folder without a line may become one of; `arrivals` are the
    meshes that came and are not kept yet.
    """

    watched: WatchedFolder
    who: str
    token: str
    brought: Brought = field(default_factory=Brought)
    arrivals: Arrivals = field(default_factory=Arrivals)
    pictures: Pictures = field(init=False)

    def __post_init__(self) -> None:
        """Its pictures, and the meshes that they are drawn from."""
        object.__setattr__(self, "pictures", Pictures(self.watched.path, drawn))

    def draw(self, path: str, state: State, trial: Trial | None = None, *, query: str = "") -> str:
        """A page as HTML; with a trial, as it would be. Any other address says that it is none.

        `query` says which rows of its long tables are wanted.
        """
        make = self.maker(path) if self.has(path) else missing
        make = home if trial is not None and path == "/" else make
        folder = folder_name(self.watched.path)
        if state.review is None and self.is_without_line():
            document_ = bring(self.brought.arrival, self.brought.read, self.brought.held)
            shown = nothing_yet(document_, state, path=path, folder=folder)
        else:
            shown = view(state, make, path=path, folder=folder, windows=windows_of(query))
        records = state.folder.records if state.folder else None
        back = ways_back(self._own_edits(), records or {}, shown.locale)
        made = environment(
            TEMPLATES,
            locale=shown.locale,
            href=link_address,
            records=records,
            photo=photo_address,
        )
        has_client = (STATIC_DIR / "client.js").is_file()
        known = shown.context(has_client=has_client, token=self.token, who=self.who, ways_back=back)
        context = {**known, "folder": folder_key(self.watched.path)}
        if trial is not None and state.review is not None:
            told = trying(trial.stands, state.review, trial.changes)
            context = {**context, "trying": told, "keeping": keeping(state.review),
                       "tried": len(trial.changes)}  # fmt: skip
        return made.get_template("page.html.j2").render(context)

    def is_without_line(self) -> bool:
        """Whether the folder is empty: it may become a line."""
        return is_empty(self.watched.path)

    def paths(self) -> tuple[str, ...]:
        """The addresses of all pages."""
        inner = (
            f"{TABLE}{{table}}",
            f"{MAKER}{{maker}}",
            f"{STILL}{{still}}",
            f"{SCULPT}{{round}}",
            f"{HEAD}{{sculpt}}",
            f"{SCULPTOR}{{round}}",
        )
        return (*self._makes(), *inner, f"{MANUAL}{{page:path}}")

    def has(self, path: str) -> bool:
        """Whether there is a page at that path."""
        for prefix, (has, _) in self._inner().items():
            if path.startswith(prefix):
                return has(path.removeprefix(prefix))
        return path in self._makes()

    def _has_maker(self, address: str) -> bool:
        """Whether a quote names such a maker; while the folder cannot be read, nobody knows."""
        folder = self.watched.look().folder
        return folder is None or address in maker_addresses(folder.project).values()

    def _has_sculpt(self, sculpt: str) -> bool:
        """Whether the folder has such a head; while it cannot be read, nobody knows."""
        folder = self.watched.look().folder
        return folder is None or sculpt in folder.project.sculpts

    def _has_still(self, still: str) -> bool:
        """Whether the folder has such a still; while it cannot be read, nobody knows."""
        folder = self.watched.look().folder
        return folder is None or still in folder.project.stills

    def _has_round(self, round_: str) -> bool:
        """Whether the folder has such a round; while it cannot be read, nobody knows."""
        folder = self.watched.look().folder
        return folder is None or round_ in folder.project.rounds

    def maker(self, path: str) -> Make:
        """What makes the document of a page.

        Raises
        ------
        KeyError
            If there is no page at that path.
        """
        for prefix, (_, make) in self._inner().items():
            if path.startswith(prefix):
                return make(path.removeprefix(prefix))
        return self._makes()[path]

    def _inner(self) -> Mapping[str, tuple[Callable[[str], bool], Callable[[str], Make]]]:
        """Pages of one thing each, by how their addresses begin: whether it is there, its page."""
        return {
            TABLE: (BY_NAME.__contains__, lambda name: partial(table_page, table=name)),
            MAKER: (self._has_maker, lambda name: partial(maker_page, address=name)),
            STILL: (self._has_still, lambda name: partial(still_page, still=name)),
            HEAD: (self._has_sculpt, self._head),
            SCULPT: (self._has_round, lambda name: partial(self._sculpt, round_=name)),
            SCULPTOR: (self._has_round, lambda name: partial(sculptor_page, round_=name)),
            MANUAL: (manual_names().__contains__, lambda name: partial(manual_page, name=name)),
        }

    def _makes(self) -> dict[str, Make]:
        return {
            "/": self._home,
            **{address(topic): partial(document, topic=topic) for topic in BY_ID},
            address(VOICES.id): self._voices,
            "/tables": tables,
            "/docs": manual_list,
            "/makers": makers,
            "/stills": stills,
            "/sculpts": partial(sculpts, arrivals=self.arrivals.shown()),
            "/report": prints,
            "/history": self._history,
        }

    def _history(self, review: Review) -> Document:
        """What was done, and what of the history's files could not be read."""
        found = self.watched.history()
        edits = found.edits
        return history(review, edits=listed_edits(edits), passed=found.passed, count=len(edits))

    def _own_edits(self) -> list[Edit]:
        """What undo and redo go by: what was written from here, whatever others date theirs."""
        with suppress(DiskError):
            own = writer_name()
            return [edit for edit in self.watched.edits() if edit.writer == own]
        return []

    def _home(self, review: Review) -> Document:
        """Home, with what has moved since the visit before this one.

        While answers are being worked out it is no visit: what they will say would seem settled.
        """
        if review.pending:
            return home(review)
        before = self._visit_before(review)
        if before is None:
            return home(review)
        then = rows_of(before.rows)
        day = before.at.date()
        return home(review, since(review, day=day, verdicts=before.verdicts, before=then))

    @staticmethod
    def _head(sculpt: str) -> Make:
        """What makes the page of one head; like its topic's, it waits for the answer."""
        draw = partial(head_page, sculpt=sculpt)
        return partial(document, topic=LIKENESS.id, draw=draw)

    def _sculpt(self, review: Review, round_: str) -> Document:
        """One round's sculpt, where its file can be used."""
        one = review.project.rounds[round_]
        content, fault = self.pictures.models.content(ref_of(one)) if one.mesh else ("", "")
        return sculpt_page(review, round_, content, fault)

    def _voices(self, review: Review) -> Document:
        """What buyers want, with what they said since the visit before this one."""
        before = self._visit_before(review)
        draw = partial(voices, since=before.at.date() if before else None)
        return document(review, VOICES.id, draw)

    def _visit_before(self, review: Review) -> Visit | None:
        """How the line stood when the producer last looked, before this visit."""
        records = review.project.records
        rows = {table: {id_: row.cells for id_, row in of.items()} for table, of in records.items()}
        verdicts = {finding.id: str(finding.verdict) for finding in review.findings}
        return last_visit(self.watched.path, Visit(self.watched.now(), verdicts, rows))
