"""Two people in one line: each is solved from their own rows, and by them alone."""

from dataclasses import replace
from functools import cache

from sixwright.kernel.topic import Tools
from sixwright.topics.likeness.compute import answer
from sixwright.topics.likeness.topic import LIKENESS
from topics.likeness.truth import scene

ROWS = ("placements", "targets", "sightings", "outlines")


@cache
def two_people():
    """Two scenes as one line; the second's ids and person renamed."""
    first, second = scene(21).inputs, scene(22).inputs
    sculpts = {f"b-{k}": replace(s, id=f"b-{k}", person="other") for k, s in second.sculpts.items()}
    rounds = {f"b-{k}": replace(r, id=f"b-{k}", sculpt=f"b-{r.sculpt}")
              for k, r in second.rounds.items()}  # fmt: skip
    stills = {f"b-{k}": replace(s, id=f"b-{k}", person="other",
                                camera=s.camera and f"b-{s.camera}")
              for k, s in second.stills.items()}  # fmt: skip
    return replace(
        first,
        sculpts=first.sculpts | sculpts,
        rounds=rounds | first.rounds,  # the other's rounds first, the other's sculpts last
        stills=stills | first.stills,
        placements=(*(replace(p, round=f"b-{p.round}") for p in second.placements),
                    *first.placements),
        sightings=(*first.sightings,
                   *(replace(s, still=f"b-{s.still}") for s in second.sightings)),
    )  # fmt: skip


class Memory:
    """Remembers as the cache does, and which inputs were computed."""

    def __init__(self):
        self.known = []
        self.computed = []

    def __call__(self, _name, inputs, _kind, make):
        for known, told in self.known:
            if known == inputs:
                return told
        self.computed.append(inputs)
        self.known.append((inputs, make()))
        return self.known[-1][1]


def test_each_person_by_itself_is_what_all_at_once_is():
    line = two_people()
    assert LIKENESS.answer(line, Tools()) == answer(line)
    assert [one.round for one in answer(line).rounds] == list(line.rounds)


def test_a_moved_sighting_asks_for_its_own_person_only():
    line = two_people()
    memory = Memory()
    before = LIKENESS.answer(line, Tools(memory))
    assert len(memory.computed) == 2
    last = line.sightings[-1]
    moved = replace(last, place_px=(last.place_px[0] + 1, last.place_px[1]))
    after = LIKENESS.answer(replace(line, sightings=(*line.sightings[:-1], moved)), Tools(memory))
    assert [set(asked.part.sculpts) for asked in memory.computed[2:]] == [
        {id_ for id_, one in line.sculpts.items() if one.person == "other"}
    ]
    unchanged = [one == other for one, other in zip(before.rounds, after.rounds, strict=True)]
    assert unchanged == [not one.round.startswith("b-") for one in before.rounds]
