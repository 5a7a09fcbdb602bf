"""What dates rests on."""

from sixwright.kernel.sources import Source

DEFINITION = Source(
    key="dates-definition",
    title="“What date can we promise?” in sixwright’s manual",
    note="Own choice: days, rounds, own past, and what a promise is judged by.",
)
PERT = Source(
    key="malcolm-1959",
    title="Malcolm, Roseboom, Clark & Fazar 1959, Application of a technique for research and "
    "development program evaluation, Operations Research 7:646-669",
    note="The mean (a + 4m + b)/6. The variance is that of the beta distribution with this mean "
    "and mode, not the textbook's ((b - a)/6)².",
)
NETWORK = Source(
    key="kelley-1959",
    title="Kelley & Walker 1959, Critical-path planning and scheduling, "
    "Proceedings of the Eastern Joint Computer Conference, 160-173",
)
SERIAL = Source(
    key="kolisch-1996",
    title="Kolisch 1996, Serial and parallel resource-constrained project scheduling methods "
    "revisited, European Journal of Operational Research 90:320-333",
    note="Tasks are placed one by one at their earliest feasible day.",
)
DRAWS = Source(
    key="salmon-2011",
    title="Salmon, Moraes, Dror & Shaw 2011, Parallel random numbers: as easy as 1, 2, 3, "
    "Proceedings of SC11",
    note="Philox 4×64-10 as numpy has it: a draw is a function of seed, task, round and number.",
)
WILSON = Source(
    key="wilson-1927",
    title="Wilson 1927, Probable inference, the law of succession, and statistical inference, "
    "Journal of the American Statistical Association 22:209-212",
    note="The interval is of the draws alone: it says nothing of whether the durations are right.",
)
SOLVER = Source(
    key="ortools",
    title="OR-Tools, the CP-SAT solver",
    note="Finds the plan, and a bound that no plan beats.",
)
HOLIDAYS = Source(
    key="holidays",
    title="The Python package holidays: public category, observed days",
    note="Days of coming years are as far as it knows them; factories close longer.",
)
WEEKS = Source(key="iso-8601", title="ISO 8601-1:2019, Date and time", note="Weeks and dates.")

SOURCES = (DEFINITION, PERT, NETWORK, SERIAL, DRAWS, WILSON, SOLVER, HOLIDAYS, WEEKS)
