"""What the line-up's findings say in the row of a part that they name."""

from collections.abc import Sequence

from sixwright.kernel.findings import Finding
from sixwright.kernel.intervals import Verdict
from sixwright.kernel.sentences import Count, Name, Names, Sentence, Value
from sixwright.line.boxes import Part
from sixwright.project.model import Project
from sixwright.reports.document import Link, Remark
from sixwright.reports.wording.evidence import anchor

WORDS = {
    "grip": "no hand for it {where}",
    "joint": "no joint for it {where}",
    "joint-sizes": "sizes mixed {where}",
    "extends": "missing {where}",
    "unused-part": "in no box",
}
UNCHECKED_WORDS = {
    "joint": "its joint is not filled in",
    "extends": "its pieces are not filled in {where}",
    "grip": "its pieces are not filled in {where}",
}
# So many boxes are named; more are counted.
NAMED = 2


def in_row(project: Project, findings: Sequence[Finding], part: Part) -> tuple[Remark, ...]:
    """One remark a rule and verdict, with the boxes that it is about.

    Parameters
    ----------
    findings
        Those that need the producer, worst first.
    """
    about: dict[tuple[str, Verdict], list[Finding]] = {}
    for finding in findings:
        if finding.rule in WORDS and _is_about(finding, part):
            about.setdefault((finding.rule, finding.verdict), []).append(finding)
    return tuple(
        Remark(verdict, _words(project, rule, found), Link("lineup", anchor(found[0]), ""))
        for (rule, verdict), found in about.items()
    )


def _words(project: Project, rule: str, found: Sequence[Finding]) -> Sentence:
    unchecked = found[0].verdict is Verdict.UNCHECKED
    template = UNCHECKED_WORDS.get(rule, WORDS[rule]) if unchecked else WORDS[rule]
    if "{where}" not in template:
        return Sentence(template)
    ids = dict.fromkeys(finding.subject.id.partition("/")[0] for finding in found)
    names = tuple(project.sells[id_].name or id_ for id_ in ids if id_ in project.sells)
    if len(names) > NAMED:
        values: dict[str, Value] = {"boxes": Count(len(names), "box", "boxes")}
        return Sentence(template.replace("{where}", "in {boxes}"), values)
    return Sentence(template.replace("{where}", "in {boxes}"), {"boxes": " and ".join(names)})


def _is_about(finding: Finding, part: Part) -> bool:
    """Whether the finding is about the part, or its sentence names it, alone or with a count."""
    if finding.subject.kind == "part":
        return finding.subject.id == part.id
    name = part.name or part.id
    named: list[str] = []
    for value in finding.message.values.values():
        if isinstance(value, Name):
            named.append(value.text)
        elif isinstance(value, Names):
            named += value.texts
    return any(text == name or text.endswith(f"× {name}") for text in named)
