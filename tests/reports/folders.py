"""A project written out as the folder that it would be read from."""

import csv
from fractions import Fraction
from pathlib import Path

from reports.lines import RULES
from sixwright.project.model import Project


def text_of(value) -> str:
    """A cell: empty where unknown."""
    if value is None:
        return ""
    if isinstance(value, Fraction):
        return str(value.numerator) if value.denominator == 1 else str(float(value))
    if isinstance(value, tuple):
        return " ".join(value)
    return str(value)


def write_csv(path: Path, heads: str, rows) -> None:
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(heads.split(","))
        writer.writerows([[text_of(cell) for cell in row] for row in rows])


def write_folder(project: Project, folder: Path) -> Path:
    """The folder of a line made by `lines.real_size`; its house rules are `lines.RULES`."""
    assert project.money is RULES
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "line.toml").write_text(line_toml(project), encoding="utf-8")
    write_csv(
        folder / "parts.csv",
        "id,kind,look,name,group,fits,takes,held,way",
        [(p.id, p.kind, p.look, p.name, p.group, p.fits, p.takes, p.held, p.way)
         for p in project.parts.values()],
    )  # fmt: skip
    write_csv(
        folder / "contents.csv",
        "sells,part,quantity,optional",
        [(c.sells, c.part, c.quantity, "yes" if c.optional else "") for c in project.contents],
    )
    write_csv(
        folder / "orders.csv",
        "sells,quantity",
        [(o.sells, o.quantity) for o in project.orders.values()],
    )
    write_csv(
        folder / "ways.csv",
        "id,part,maker,process,currency,tooling,minimum,yield,minutes,valid_until",
        [(w.id, w.part, w.maker, w.process, w.currency, w.tooling.amount, w.minimum, w.yield_share,
          w.minutes, w.valid_until) for w in project.ways.values()],
    )  # fmt: skip
    write_csv(
        folder / "prices.csv",
        "way,from_quantity,unit_price",
        [(p.way, p.from_quantity, p.unit_price and p.unit_price.amount) for p in project.prices],
    )
    return folder


def line_toml(project: Project) -> str:
    lines = [
        "format = 1",
        f'id = "{project.id}"',
        f'name = "{project.name}"',
        f'scale = "1:{project.scale}"',
        f'currency = "{project.currency}"',
        f'locale = "{project.locale}"',
        f"seed = {project.seed}",
        "[money]",
        'development = "21200 USD"',
        "spares = 0.03\noverhead = 0.08\nduty = 0.10\nreserve = 0.03\nmargin_least = 0.05",
        'surplus_most = "1000 USD"',
        '[money.labour]\nrate = "84 CNY/h"',
        '[money.fees]\nshare = 0.032\neach = "0.30 USD"',
        '[money.freight]\nper_m3 = "210 USD"\nvolume_factor = 1.2\neach = "1.20 USD"',
        '[[rates]]\ncurrency = "CNY"\nper_unit = 7.2\nspread = 0.02',
        '[[looks]]\nid = "harbour"\nname = "Harbour"',
    ]
    for sold in project.sells.values():
        lines += [
            f'[[editions]]\nid = "{sold.id}"\nlook = "{sold.look}"\nname = "{sold.name}"',
            f'price = "{sold.price.amount} USD"\nassembly_minutes = {sold.assembly_minutes}',
            "box_mm = [352, 257, 90]\nfigures = 1",
            f"cap = {sold.cap}" if sold.cap is not None else "",
            *(
                f'public = [{{group = "{public.group}", quantity = {public.quantity}}}]'
                for public in sold.public
            ),
        ]
    return "\n".join(lines) + "\n"
