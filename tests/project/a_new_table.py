"""A line with a table that is declared here and nowhere else; prints what is made of it.

    python a_new_table.py DIR

Run in a process of its own: it puts a module of tables in the place of one of the folder's.
"""

import shutil
import sys
import types
from datetime import UTC, date, datetime
from pathlib import Path

from sixwright.project.columns import ABOVE_0, CellType, ColumnSchema, SchemaGroup, TableSchema

ROOT = Path(__file__).resolve().parents[2]
MOULDS = TableSchema(
    "moulds",
    "moulds.csv",
    ("id",),
    (
        ColumnSchema("id", CellType.ID, required=True, label="Id", meaning="its id"),
        ColumnSchema("name", CellType.TEXT, label="Name", meaning="what you call it", asked=True),
        ColumnSchema(
            "part", CellType.ID, refers=("parts",), label="Part", meaning="the part it is of"
        ),
        ColumnSchema(
            "shots",
            CellType.COUNT,
            label="Shots",
            allowed=ABOVE_0,
            asked=True,
            meaning="how many it lasts",
        ),
        ColumnSchema(
            "paid_in", CellType.CURRENCY, label="Paid in", meaning="the currency of its cost"
        ),
        ColumnSchema("cost", CellType.MONEY, label="Cost", meaning="what it cost"),
        ColumnSchema("lender", CellType.TEXT, label="Lender", meaning="whose it is", empty="ours"),
    ),
    one="mould",
    title="Moulds",
    meaning="One row a mould.",
    currency="paid_in",
)
FAULTY = "id,name,part,shots\nlantern,Lantern mould,lamp-of-nowhere,0\n"
GOOD = "id,name,part,shots,paid_in,cost,lender\n"
ROW = {"id": "lantern", "name": "Lantern mould", "paid_in": "CNY"}


def main(folder: Path) -> list[str]:
    """Read, name, edit, export and document the table; what is said of it, line by line."""
    said: list[str] = []
    module = types.ModuleType("sixwright.project.tables.accepted")
    module.ACCEPTED = SchemaGroup("Moulds", "Of the house.", (MOULDS,))
    sys.modules[module.__name__] = module
    from sixwright.kernel.errors import FolderError
    from sixwright.project.records import Change
    from sixwright.reports.pages.tables import table_page
    from sixwright.reports.wording.changes import told
    from sixwright.reports.wording.words import say
    from sixwright.storage.edits.write import write
    from sixwright.storage.folder import read
    from sixwright.storage.workbooks.book import read_book
    from sixwright.storage.workbooks.export import to_xlsx
    from sixwright.workflows.review import review

    def clock() -> datetime:
        return datetime(2026, 9, 14, tzinfo=UTC)

    line = folder / "line"
    shutil.copytree(ROOT / "examples/sluice-keeper", line)
    (line / "moulds.csv").write_text(FAULTY, encoding="utf-8")
    try:
        read(line)
    except FolderError as error:
        said.append(str(error))
    (line / "moulds.csv").write_text(GOOD, encoding="utf-8")
    changes = [
        Change("moulds", "lantern", add=ROW),
        Change("moulds", "lantern", "shots", "", "40"),
        Change("moulds", "lantern", "cost", "", "12"),
        Change("moulds", "lantern", "lender", "", "FZ"),
    ]
    for change in changes:
        before = read(line)
        after = write(before, [change], who="Ines", clock=clock)
        said.append(f"told {say(told(change, before.records, after.records), 'en-GB')}")
    judged = review(read(line).project, today=date(2026, 9, 14), only=("lineup",))
    page = table_page(judged, "moulds")
    answer, table, _ = page.blocks
    said.append(f"title {page.title}")
    said.append(f"answer {' '.join(say(each, 'en-GB') for each in answer.sentences)}")
    said.append(f"form {table.form.title}: {', '.join(ask.name for ask in table.form.asks)}")
    to_xlsx(read(line), folder / "line.xlsx")
    said.append(f"sheet {read_book(folder / 'line.xlsx')[-1].name}")
    sys.path.insert(0, str(ROOT / "tools"))
    from folder_docs import FIRST, LAST, folder_text

    return [*said, folder_text(FIRST + LAST)]


if __name__ == "__main__":
    sys.stdout.write("\n".join(main(Path(sys.argv[1]))))
