"""What likeness rests on."""

from sixwright.kernel.sources import Source

CAMERA = Source(
    key="hartley-zisserman",
    title="Hartley & Zisserman 2004, Multiple View Geometry in Computer Vision, 2nd edition",
    locator="chapters 5 to 7 and appendix 6",
    note="Camera, residual law, covariance of a fit, block normal equations.",
)
BUNDLE = Source(
    key="triggs-1999",
    title="Triggs, McLauchlan, Hartley & Fitzgibbon 1999, Bundle Adjustment: A Modern Synthesis",
    locator="sections 4, 6 and 9",
    note="Damped Gauss-Newton with the points eliminated; covariance after choosing a gauge.",
)
ALIGNMENT = Source(
    key="umeyama-1991",
    title="Umeyama 1991, Least-squares estimation of transformation parameters, PAMI 13:376-380",
    note="Weighted here, and made robust by re-weighting; the weights are then frozen.",
)
NOISE = Source(
    key="patterson-thompson-1971",
    title="Patterson & Thompson 1971, Recovery of inter-block information, Biometrika 58:545-554",
    note="Restricted maximum likelihood: the noise is estimated from what the fit leaves over.",
)
PROPAGATION = Source(
    key="gum",
    title="JCGM 100:2008, Guide to the expression of uncertainty in measurement",
    locator="equation 13; example H.2",
    note="Covariance of corrections from that of places and placements, to first order.",
)
BOOTSTRAP = Source(
    key="efron-tibshirani-1993",
    title="Efron & Tibshirani 1993, An Introduction to the Bootstrap",
    locator="section 6.5",
    note="Simulated stills check the linearised spread where stills are poor.",
)
FAMILY = Source(
    key="westfall-young-1993",
    title="Westfall & Young 1993, Resampling-Based Multiple Testing",
    locator="section 2.3, single step",
    note="A landmark fails only if it is off by more than chance makes the worst of a head.",
)
DISCOVERIES = Source(
    key="benjamini-hochberg-1995",
    title="Benjamini & Hochberg 1995, Controlling the false discovery rate, JRSS B 57:289-300",
    locator="section 3",
    note="Of the landmarks called wrong by the stills alone, 5 % are allowed to be right.",
)
BELIEF = Source(
    key="rasmussen-williams-2006",
    title="Rasmussen & Williams 2006, Gaussian Processes for Machine Learning",
    locator="equations 2.25, 2.26 and 4.9; section 5.4",
    note="How a sculpt errs is fitted to the head itself; a landmark is then off by chance.",
)
REGION = Source(
    key="interval-rule",
    title="Own choice: “A verdict is made of the whole interval” in the manual, in space",
    note="Holds if the 95 % region lies in the ball of the tolerance, fails if outside.",
)
STILLS = Source(
    key="stills",
    title="Own choice: the manual, “Stills that are not what their row says”",
    note="Mirrored, squeezed, other lens, unfit: believed where the sightings leave no doubt.",
)
FILES = Source(
    key="cipa-dc-008",
    title="CIPA DC-008-2019 (JEITA CP-3451E), Exchangeable image file format: Exif 2.32",
    locator="tag 274, Orientation",
    note="A picture is measured upright, after the turn that its file asks for.",
)
ROUNDS = Source(
    key="rounds",
    title="Common practice, no source: a round is compared with the one before",
    note="What nobody asked to move should not have moved.",
)
MESHES = Source(
    key="meshes",
    title="Own choice: “Meshes: what a sculptor may deliver” in the manual",
    note="How files are read, what size a head has, and how far a landmark may lie off its mesh.",
)
PLACES = Source(
    key="places",
    title="Own choice: “Does the head look right from every side?” in the manual, its rules",
    note="How far a landmark may lie from where a head of nobody, drawn by eye, has it.",
)
OUTLINES = Source(
    key="cipolla-giblin-2000",
    title="Cipolla & Giblin 2000, Visual Motion of Curves and Surfaces",
    locator="sections 2.5 and 4.2",
    note="Only a surface’s move along its normal moves its outline; sliding along it does not.",
)
SHIFTS = Source(
    key="cook-weisberg-1982",
    title="Cook & Weisberg 1982, Residuals and Influence in Regression",
    locator="chapter 2, the mean shift outlier model",
    note="A stretch of a drawing is tried for a shift of its own, all else fitted with it.",
)
SOURCES = (
    CAMERA,
    BUNDLE,
    ALIGNMENT,
    NOISE,
    PROPAGATION,
    BOOTSTRAP,
    FAMILY,
    DISCOVERIES,
    BELIEF,
    REGION,
    STILLS,
    FILES,
    ROUNDS,
    MESHES,
    PLACES,
    OUTLINES,
    SHIFTS,
)
