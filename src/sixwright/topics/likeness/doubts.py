"""Why a verdict on a head or a still departs from its interval."""

from sixwright.kernel.findings import Doubt
from sixwright.kernel.intervals import Verdict


class RoundDoubt(Doubt):
    """What the stills of a head cannot show."""

    BLUNT = ("these stills would not show an error of the size that is allowed", Verdict.UNCHECKED)
    UNDECIDED = ("the stills do not decide where these places are", Verdict.UNCHECKED)
    UNNOTICED = ("such an error would too often go unnoticed", Verdict.UNCHECKED)
    FLIPPED = ("most stills fit only flipped left to right", Verdict.DOUBTFUL)


class LandmarkDoubt(Doubt):
    """What the interval of a landmark cannot know."""

    UNSEEN = ("it is in no still", Verdict.UNCHECKED)
    BLIND = ("it cannot be located in one direction", Verdict.UNCHECKED)
    FEW_STILLS = ("it is in fewer than three stills that can be used", Verdict.UNCHECKED)
    ONE_SIGHTING = ("it is marked in one still only; nothing confirms it", Verdict.UNCHECKED)
    CURVED = ("the stills are too alike for an interval to be trusted", Verdict.UNCHECKED)
    FLIPPED = ("it is not known which way round the head is", Verdict.UNCHECKED)
    MISFIT = ("the sightings fit no head", Verdict.UNCHECKED)
    BENT = ("the stills are bent as no camera bends them", Verdict.UNCHECKED)
    ONLY_BELIEVED = (
        "the rest of the head, not its stills, says that it is right",
        Verdict.DOUBTFUL,
    )
    MANY = ("of so many landmarks chance may put one so far off", Verdict.DOUBTFUL)
    CONTESTED = ("its sightings contradict each other", Verdict.DOUBTFUL)
    EXCHANGED = ("its name seems exchanged with another’s", Verdict.DOUBTFUL)
    TWO_SIGHTINGS = ("it is far off, or one of its two sightings is wrong", Verdict.DOUBTFUL)
    STRAY_OUTLINE = (
        "an outline drawn past it, which is not used, says otherwise",
        Verdict.DOUBTFUL,
    )


class FileDoubt(Doubt):
    """What lies where a still names its file."""

    AS_STATED = ("its file is a picture of the size in its row", Verdict.HOLDS)
    MISSING = ("its file is not there", Verdict.UNCHECKED)
    UNOPENED = ("its file could not be opened", Verdict.UNCHECKED)
    UNSIZED = ("its row does not say its size", Verdict.UNCHECKED)
    NO_PICTURE = ("its file is no picture", Verdict.FAILS)
    OTHER_SIZE = ("its picture has another size than its row says", Verdict.FAILS)
    OTHER_FILE = ("its file is not the one whose checksum its row states", Verdict.DOUBTFUL)


class StillDoubt(Doubt):
    """What became of a still."""

    AS_STATED = ("it fits as its row says", Verdict.HOLDS)
    UNUSED = ("it could not be used", Verdict.UNCHECKED)
    UNFIT = ("its sightings fit no camera as they are marked", Verdict.FAILS)
    LEFT_OUT = ("it was left out", Verdict.DOUBTFUL)
    FLIPPED = ("it fits only flipped, as most stills of its person do", Verdict.UNCHECKED)
    OTHERWISE = ("it was not taken as its row says", Verdict.FAILS)
    PERHAPS = ("it may not have been taken as its row says", Verdict.DOUBTFUL)
    SIGHTINGS = ("what was left out is as likely to be right as what disagrees", Verdict.DOUBTFUL)
    HIDDEN = ("the person may not be as the sculpt is there", Verdict.DOUBTFUL)
    CHANCE = ("chance alone could do it", Verdict.DOUBTFUL)
