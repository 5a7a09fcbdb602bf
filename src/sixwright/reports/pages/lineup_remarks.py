"""What the line-up's findings say in the rows of the parts that they name."""

from collections.abc import Mapping, Sequence

from sixwright.kernel.findings import Finding
from sixwright.kernel.intervals import Verdict
from sixwright.kernel.sentences import Count, Name, Names, Sentence, Value
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


def by_part(project: Project, findings: Sequence[Finding]) -> Mapping[str, tuple[Remark, ...]]:
    """Part to its remarks: one a rule and verdict, with the boxes that it is about.

    Parameters
    ----------
    findings
        Those that need the producer, worst first.
    """
    bearers: dict[str, list[str]] = {}
    for part in project.parts.values():
        bearers.setdefault(part.called, []).append(part.id)
    about: dict[str, dict[tuple[str, Verdict], list[Finding]]] = {}
    for finding in findings:
        if finding.rule in WORDS:
            for part_id in _parts_of(finding, bearers):
                rules = about.setdefault(part_id, {})
                rules.setdefault((finding.rule, finding.verdict), []).append(finding)
    return {
        part_id: tuple(
            Remark(verdict, _words(project, rule, found), Link("lineup", anchor(found[0]), ""))
            for (rule, verdict), found in rules.items()
        )
        for part_id, rules in about.items()
    }


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


def _parts_of(finding: Finding, bearers: Mapping[str, Sequence[str]]) -> list[str]:
    """The parts that a finding is about, lacks a cell of, or names, alone or with a count.

    Parameters
    ----------
    bearers
        Name to the parts that bear it.
    """
    if finding.subject.kind == "part":
        return [finding.subject.id]
    named: list[str] = []
    for value in finding.message.values.values():
        if isinstance(value, Name):
            named.append(value.text)
        elif isinstance(value, Names):
            named += value.texts
    bare = (text.partition("× ")[2] for text in named)
    found = [place.split("/")[1] for place in finding.missing if place.startswith("parts/")]
    found += [id_ for text in (*named, *bare) for id_ in bearers.get(text, ())]
    return list(dict.fromkeys(found))
