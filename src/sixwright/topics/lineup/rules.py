"""What the line-up judges; docs/topics/lineup.md documents each."""

from sixwright.kernel.findings import Rule, Stakes
from sixwright.kernel.units import things
from sixwright.topics.lineup import sources

TOPIC = "lineup"

UNUSED_PART = Rule(
    TOPIC,
    "unused-part",
    "Boxes that contain it",
    things("box", "boxes"),
    sources.CONTENTS,
    stakes=Stakes.RECORD,
)
EXTENDS = Rule(
    TOPIC, "extends", "Lacking", things("piece", "pieces"), sources.CONTENTS, stakes=Stakes.RECORD
)
SET_EDITIONS = Rule(
    TOPIC, "set-editions", "Not sold", things("edition", "editions"), sources.CONTENTS
)
CAP = Rule(TOPIC, "cap", "Orders assumed", things("box", "boxes"), sources.CONTENTS)
ANNOUNCED = Rule(TOPIC, "announced", "In the box", things("piece", "pieces"), sources.PROMISE)
JOINT = Rule(TOPIC, "joint", "Without a joint", things("part", "parts"), sources.JOINTS)
JOINT_SIZES = Rule(TOPIC, "joint-sizes", "In two sizes", things("joint", "joints"), sources.JOINTS)
GRIP = Rule(TOPIC, "grip", "Without a hand", things("piece", "pieces"), sources.GRIPS)
STRAY = Rule(TOPIC, "stray-file", "Not read", things("file", "files"), sources.FILES)
LOST = Rule(TOPIC, "lost-column", "Values gone", things("value", "values"), sources.FILES)

RULES = (UNUSED_PART, EXTENDS, SET_EDITIONS, CAP, ANNOUNCED, JOINT, JOINT_SIZES, GRIP, STRAY, LOST)
