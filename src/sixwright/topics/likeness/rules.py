"""What likeness judges; docs/topics/likeness.md documents each."""

from sixwright.kernel.findings import Rule, Stakes
from sixwright.kernel.units import share, symbol, things
from sixwright.topics.likeness import sources

TOPIC = "likeness"

CORRECTION = Rule(TOPIC, "correction", "Off", symbol("mm"), sources.REGION, stakes=Stakes.FACE)
VISIBILITY = Rule(
    TOPIC,
    "visibility",
    "Least error that would be noticed",
    symbol("mm"),
    sources.BUNDLE,
    stakes=Stakes.RECORD,
)
BLIND = Rule(
    TOPIC,
    "blind",
    "Not decided",
    things("landmark", "landmarks"),
    sources.BUNDLE,
    stakes=Stakes.RECORD,
)
PLANTED = Rule(TOPIC, "planted", "Would be noticed", share(), sources.BUNDLE, stakes=Stakes.RECORD)
MOVED = Rule(TOPIC, "moved", "Moved", symbol("mm"), sources.ROUNDS, stakes=Stakes.FACE)
SIDE = Rule(
    TOPIC,
    "side",
    "Fit only mirrored",
    things("still", "stills"),
    sources.STILLS,
    stakes=Stakes.RECORD,
)
FILE = Rule(TOPIC, "file", "Its file", symbol("px"), sources.FILES, stakes=Stakes.RECORD)
STILL = Rule(
    TOPIC,
    "still",
    "Typical distance of its sightings",
    symbol("px"),
    sources.STILLS,
    stakes=Stakes.RECORD,
)
SIGHTING = Rule(
    TOPIC,
    "sighting",
    "Left out",
    things("sighting", "sightings"),
    sources.STILLS,
    stakes=Stakes.RECORD,
)
LEFT_OUT = Rule(
    TOPIC,
    "left-out",
    "Against the other stills",
    symbol("times"),
    sources.CAMERA,
    stakes=Stakes.RECORD,
)
MESH = Rule(TOPIC, "mesh", "Its mesh", things("file", "files"), sources.MESHES, stakes=Stakes.FACE)
SURFACE = Rule(
    TOPIC,
    "surface",
    "Off the mesh",
    things("landmark", "landmarks"),
    sources.MESHES,
    stakes=Stakes.FACE,
)
PLACE = Rule(
    TOPIC,
    "place",
    "Far from its usual place",
    things("landmark", "landmarks"),
    sources.PLACES,
    stakes=Stakes.FACE,
)
HIDDEN = Rule(
    TOPIC,
    "hidden",
    "Marked behind the sculpt",
    things("sighting", "sightings"),
    sources.MESHES,
    stakes=Stakes.RECORD,
)
ASKED = Rule(
    TOPIC,
    "asked",
    "From what was asked",
    symbol("mm"),
    sources.ROUNDS,
    stakes=Stakes.FACE,
)
OUTLINE = Rule(
    TOPIC,
    "outline",
    "Off its outline",
    symbol("mm"),
    sources.OUTLINES,
    stakes=Stakes.FACE,
)

RULES = (CORRECTION, VISIBILITY, BLIND, PLANTED, MOVED, SIDE, FILE, STILL, SIGHTING, LEFT_OUT,
         MESH, SURFACE, PLACE, HIDDEN, ASKED, OUTLINE)  # fmt: skip
