"""The tables of dates: what is read, what is refused, and what an old file of that name is told."""

import datetime as dt
import shutil
from pathlib import Path

import pytest

from sixwright.kernel.errors import FolderError
from sixwright.line.dates import Away, Person, Task, TaskLink
from sixwright.storage.folder import read

DEMO = Path(__file__).resolve().parents[2] / "examples/sluice-keeper"
TABLES = {
    "tasks.csv": "id,name,who,low_days,likely_days,high_days,after\n"
    "a,Sculpt,anna,5,8,14,\nb,Sea,,28,36,60,a\n",
    "links.csv": "task,after,kind,lag_days\nb,a,start-start,-3\n",
    "people.csv": "id,name,days_a_week,country\nanna,Anna,3,CN\n",
    "away.csv": "id,who,from,until,share\nfair,anna,2026-10-01,2026-10-05,50 %\n",
    "milestones.csv": "id,name,task,public\nend,The end,b,yes\n",
    "promises.csv": "id,milestone,date,replaces\np1,end,2027-01-01,\np2,end,2027-03-01,p1\n",
    "slots.csv": "id,task,opens,closes,holding\ns,b,2026-11-01,2026-11-30,400\n",
}


@pytest.fixture
def folder(tmp_path):
    path = tmp_path / "line"
    shutil.copytree(DEMO, path)
    for name, text in TABLES.items():
        (path / name).write_text(text, encoding="utf-8")
    return path


def test_every_table_becomes_its_noun(folder):
    project = read(folder).project
    assert project.tasks["a"] == Task("a", "Sculpt", who="anna", low_days=5.0, likely_days=8.0,
                                      high_days=14.0, days="working")  # fmt: skip
    assert project.tasks["b"].days == "calendar"
    assert project.task_links == (TaskLink("b", "a", "start-start", -3),)
    assert project.people == {"anna": Person("anna", "Anna", days_a_week=3, country="CN")}
    day = dt.date
    assert project.away == (Away("fair", "anna", day(2026, 10, 1), day(2026, 10, 5), 0.5),)
    assert project.milestones["end"].public
    assert project.promises["p2"].replaces == "p1"
    assert str(project.slots[0].holding.currency) == "USD"
    assert project.date_rules.start == day(2026, 9, 14)


@pytest.mark.parametrize(
    ("name", "was", "now", "said"),
    [
        ("tasks.csv", "5,8,14", "5,8,7", "no fewer days than likely_days, 8, found “7”"),
        ("tasks.csv", "5,8,14", "9,8,14", "no fewer days than low_days, 9, found “8”"),
        ("tasks.csv", "5,8,14,", "5,8,14,b", "in a circle"),
        ("tasks.csv", "anna,5", "anja,5", "Did you mean “anna”"),
        ("links.csv", "-3", "-3.5", "a whole number of days from -3650 to 3650"),
        ("links.csv", "-3", "4000", "a whole number of days from -3650 to 3650"),
        ("people.csv", "3,CN", "3,XX", "the code of a country"),
        ("people.csv", "3,CN", "8,CN", "from 1 to 7"),
        ("away.csv", "2026-10-05", "2026-09-05", "a day not before 2026-10-01"),
        ("away.csv", "50 %", "", "a share from 0 up (0.08 is 8 %), found an empty cell"),
        ("slots.csv", "2026-11-30", "2026-10-30", "a day not before 2026-11-01"),
        ("promises.csv", "p1,end", "p1,start", "the id of a milestone"),
        ("milestones.csv", "The end,b", "The end,c", "the id of a task"),
    ],
)
def test_what_cannot_be_is_refused_with_its_place(folder, name, was, now, said):
    file = folder / name
    text = file.read_text(encoding="utf-8")
    assert was in text
    file.write_text(text.replace(was, now, 1), encoding="utf-8")
    with pytest.raises(FolderError) as refused:
        read(folder)
    told = str(refused.value)
    assert said in told
    assert name in told


def test_a_file_of_the_lines_own_that_bears_a_tables_name_is_told_once_what_to_do(folder):
    (folder / "tasks.csv").write_text("step;week;by\nsew;3;Mo\nglue;4;Li\n", encoding="utf-8")
    with pytest.raises(FolderError) as refused:
        read(folder)
    own = [each for each in refused.value.problems if each.file == "tasks.csv"]
    assert len(own) == 1
    assert "rename yours, for example to my-tasks.csv" in own[0].expected
    assert own[0].found == "another table, with the columns step, week, by"


def test_a_misspelt_column_is_still_told_as_one(folder):
    text = TABLES["people.csv"].replace("days_a_week", "days_a_weak")
    (folder / "people.csv").write_text(text, encoding="utf-8")
    with pytest.raises(FolderError, match="days_a_week"):
        read(folder)


def test_a_line_without_any_table_of_dates_is_read_and_not_asked(folder):
    for name in TABLES:
        (folder / name).unlink()
    from sixwright.workflows.review import review

    project = read(folder).project
    assert project.tasks == {}
    assert "dates" not in review(project, today=dt.date(2026, 9, 14)).verdicts
