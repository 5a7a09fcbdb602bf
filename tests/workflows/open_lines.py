"""Small lines with open choices, read as a folder would be: every number here is invented."""

from dataclasses import replace
from datetime import date

from sixwright.project.assemble import assemble
from sixwright.project.assemble_choices import assemble_choices
from sixwright.project.records import Record
from sixwright.project.tables import TABLES
from sixwright.workflows.choices_topic import CHOICES
from sixwright.workflows.compare import compare
from sixwright.workflows.review import review

TODAY = date(2026, 9, 14)
LINE = {
    "format": "1", "id": "trial", "name": "Trial", "scale": "1:6", "currency": "USD",
    "money.development": "0", "money.spares": "0", "money.overhead": "0", "money.duty": "0",
    "money.reserve": "0", "money.margin_least": "0", "money.surplus_most": "100000",
    "money.labour.rate": "0 USD/h", "money.fees.share": "0", "money.fees.each": "0",
    "money.freight.per_m3": "0", "money.freight.volume_factor": "1", "money.freight.each": "0",
}  # fmt: skip
BOX = {"price": "100", "assembly_minutes": "0", "box_mm": "1 1 1", "figures": "1"}
WAY = {"currency": "USD", "maker": "mill", "tooling": "0", "minimum": "0", "minutes": "0",
       "valid_until": "2027-01-01"}  # fmt: skip


def rows(table, *cells, key=("id",)):
    ids = ["line" if table == "line" else "/".join(row[name] for name in key) for row in cells]
    return {id_: Record(table, id_, row) for id_, row in zip(ids, cells, strict=True)}


def line(documents, *, orders="100", parts=(), ways=(), prices=(), held=(), boxes=("box",),
         tasks=(), milestones=()):  # fmt: skip
    """A line with these rows, and these choices (id to the keys of its file)."""
    records = {
        "line": rows("line", LINE),
        "editions": rows("editions", *({"id": id_} | BOX for id_ in boxes)),
        "parts": rows("parts", *({"kind": "prop", "mass_g": "5"} | part for part in parts)),
        "ways": rows("ways", *(WAY | way for way in ways)),
        "prices": rows("prices", *prices, key=("way", "from_quantity")),
        "contents": rows("contents", *held, key=("sells", "part")),
        "orders": rows("orders", *({"sells": id_, "quantity": orders} for id_ in boxes),
                       key=("sells",)),
        "tasks": rows("tasks", *tasks),
        "milestones": rows("milestones", *milestones),
    }  # fmt: skip
    records = {table.name: {} for table in TABLES} | records
    return with_choices(assemble(records), documents)


def with_choices(project, documents):
    problems = []
    files = {f"choices/{id_}.toml": document for id_, document in documents.items()}
    choices = assemble_choices(files, project.records, problems)
    assert problems == []
    return replace(project, choices=choices)


def cell(table, id_, column, was, value):
    return {"table": table, "id": id_, "column": column, "was": was, "value": value}


BRASS = [cell("parts", "bolt", "way", "steel", "brass")]
WING = [cell("parts", "nut", "way", "hex", "wing")]


def choice(question, *alternatives):
    """The keys of a file; each alternative but the first has changes."""
    first, *others = alternatives
    return {
        "question": question,
        "alternatives": [
            {"id": first},
            *({"id": id_, "changes": list(changes)} for id_, changes in others),
        ],
    }


def choosing(project, today=TODAY):
    return review(project, today=today, only=("choices",)).of(CHOICES)


def compared(project, today=TODAY):
    return compare(review(project, today=today))


def bolt_and_nut(documents=None, **more):
    """A bolt with two ways, a nut with two ways, one of each in a box; 100 boxes."""
    documents = documents or {
        "bolt": choice("Which bolt?", "steel", ("brass", BRASS)),
        "nut": choice("Which nut?", "hex", ("wing", WING)),
    }  # fmt: skip
    known = {
        "parts": [{"id": "bolt", "way": "steel"}, {"id": "nut", "way": "hex"}],
        "ways": [
            {"id": "steel", "part": "bolt"}, {"id": "brass", "part": "bolt", "tooling": "300"},
            {"id": "hex", "part": "nut"}, {"id": "wing", "part": "nut", "minimum": "150"},
        ],
        "prices": [
            {"way": "steel", "from_quantity": "1", "unit_price": "10"},
            {"way": "brass", "from_quantity": "1", "unit_price": "6"},
            {"way": "hex", "from_quantity": "1", "unit_price": "3"},
            {"way": "wing", "from_quantity": "1", "unit_price": "1"},
        ],
        "held": [
            {"sells": "box", "part": "bolt", "quantity": "1"},
            {"sells": "box", "part": "nut", "quantity": "1"},
        ],
    }  # fmt: skip
    return line(documents, **(known | more))
