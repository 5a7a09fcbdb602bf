"""What likeness judges; docs/topics/likeness.md documents each."""

from sixwright.kernel.findings import Rule
from sixwright.kernel.units import share, symbol, things
from sixwright.topics.likeness import sources

TOPIC = "likeness"

CORRECTION = Rule(TOPIC, "correction", "Off", symbol("mm"), sources.REGION)
VISIBILITY = Rule(
    TOPIC, "visibility", "Least error that would be noticed", symbol("mm"), sources.BUNDLE
)
BLIND = Rule(TOPIC, "blind", "Not decided", things("landmark", "landmarks"), sources.BUNDLE)
PLANTED = Rule(TOPIC, "planted", "Would be noticed", share(), sources.BUNDLE)
MOVED = Rule(TOPIC, "moved", "Moved", symbol("mm"), sources.ROUNDS)
SIDE = Rule(TOPIC, "side", "Fit only mirrored", things("still", "stills"), sources.STILLS)
FILE = Rule(TOPIC, "file", "Its file", symbol("px"), sources.FILES)
STILL = Rule(TOPIC, "still", "Typical distance of its sightings", symbol("px"), sources.STILLS)
SIGHTING = Rule(TOPIC, "sighting", "Left out", things("sighting", "sightings"), sources.STILLS)
LEFT_OUT = Rule(TOPIC, "left-out", "Against the other stills", symbol("times"), sources.CAMERA)
MESH = Rule(TOPIC, "mesh", "Its mesh", things("file", "files"), sources.MESHES)
SURFACE = Rule(TOPIC, "surface", "Off the mesh", things("landmark", "landmarks"), sources.MESHES)

RULES = (CORRECTION, VISIBILITY, BLIND, PLANTED, MOVED, SIDE, FILE, STILL, SIGHTING, LEFT_OUT,
         MESH, SURFACE)  # fmt: skip
