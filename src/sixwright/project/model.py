"""The typed whole of a line, made from its records; no disk."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from sixwright.line.boxes import Content, Look, Order, Part, Sold
from sixwright.line.dates import (
    Away,
    DateRules,
    Milestone,
    Person,
    Promise,
    Slot,
    Task,
    TaskLink,
)
from sixwright.line.files import FileMark
from sixwright.line.left_aside import LostColumn, StrayFile
from sixwright.line.likeness import (
    OutlinePoint,
    Placement,
    Round,
    Sculpt,
    SculptAsk,
    Sighting,
    Still,
    Target,
    Term,
)
from sixwright.line.making import MoneyRules, PriceBreak, Rate, Way
from sixwright.line.picture_files import PictureFile
from sixwright.line.voices import CommentSubject, Import, Option, Poll, VoicesAsk
from sixwright.project.choices import Choice
from sixwright.project.records import Record
from sixwright.project.voices_rows import Voices


@dataclass(frozen=True, slots=True)
class Project:
    """A line: every noun typed, by id in the folder's order.

    Attributes
    ----------
    sells
        Editions and then sets, by id.
    told_on
        The day of the last update for the public, or None.
    voices
        Votes, tallies and comments: read only where they are asked for.
    pictures
        What lies where stills name their files, by that name; only files that were opened.
    strays, lost
        Files and columns of the folder that are not read, and were likely meant to be.
    own_files
        Spreadsheets in the folder that are the producer's own, and no table of the line.
    meshes
        The files that rounds name, by path, as they lay there; those that were not there have none.
    choices
        Decisions with alternatives, open and taken, by id.
    records
        The rows that all of this was made from: table, then id, then row.
    """

    id: str
    name: str
    scale: int
    currency: str
    locale: str
    seed: int
    looks: Mapping[str, Look]
    sells: Mapping[str, Sold]
    parts: Mapping[str, Part]
    contents: tuple[Content, ...]
    orders: Mapping[str, Order]
    ways: Mapping[str, Way]
    prices: tuple[PriceBreak, ...]
    rates: Mapping[str, Rate]
    money: MoneyRules
    sculpts: Mapping[str, Sculpt] = field(default_factory=dict)
    rounds: Mapping[str, Round] = field(default_factory=dict)
    placements: tuple[Placement, ...] = ()
    targets: tuple[Target, ...] = ()
    terms: Mapping[str, Term] = field(default_factory=dict)
    stills: Mapping[str, Still] = field(default_factory=dict)
    sightings: tuple[Sighting, ...] = ()
    outlines: tuple[OutlinePoint, ...] = ()
    sculpt_asks: Mapping[str, SculptAsk] = field(default_factory=dict)
    pictures: Mapping[str, PictureFile] = field(default_factory=dict)
    meshes: Mapping[str, FileMark] = field(default_factory=dict)
    polls: Mapping[str, Poll] = field(default_factory=dict)
    options: Mapping[tuple[str, str], Option] = field(default_factory=dict)
    subjects: Mapping[str, CommentSubject] = field(default_factory=dict)
    imports: Mapping[str, Import] = field(default_factory=dict)
    voices_asks: Mapping[str, VoicesAsk] = field(default_factory=dict)
    asked_least: int | None = None
    told_on: date | None = None
    voices: Voices = field(default_factory=Voices)
    date_rules: DateRules = field(default_factory=DateRules)
    tasks: Mapping[str, Task] = field(default_factory=dict)
    task_links: tuple[TaskLink, ...] = ()
    people: Mapping[str, Person] = field(default_factory=dict)
    away: tuple[Away, ...] = ()
    milestones: Mapping[str, Milestone] = field(default_factory=dict)
    promises: Mapping[str, Promise] = field(default_factory=dict)
    slots: tuple[Slot, ...] = ()
    strays: tuple[StrayFile, ...] = ()
    own_files: tuple[str, ...] = ()
    lost: tuple[LostColumn, ...] = ()
    choices: Mapping[str, Choice] = field(default_factory=dict)
    records: Mapping[str, Mapping[str, Record]] = field(default_factory=dict)
