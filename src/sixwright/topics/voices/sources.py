"""What voices rests on."""

from sixwright.kernel.sources import Source

WILSON = Source(
    key="wilson-1927",
    title="Wilson 1927, Probable inference, the law of succession, and statistical inference, "
    "Journal of the American Statistical Association 22:209-212",
    note="Method 3 of Newcombe 1998, Statistics in Medicine 17:857-872, without correction.",
)
NEWCOMBE = Source(
    key="newcombe-1998",
    title="Newcombe 1998, Interval estimation for the difference between independent proportions, "
    "Statistics in Medicine 17:873-890",
    locator="method 10",
    note="Made of the two Wilson intervals; for one look.",
)
SEQUENCE = Source(
    key="robbins-1970",
    title="Robbins 1970, Statistical methods related to the law of the iterated logarithm, "
    "Annals of Mathematical Statistics 41:1397-1409",
    note="The uniform mixture of binomials: holds at every look, if answers are independent and "
    "of one audience.",
)
AGREEMENT = Source(
    key="vandereijk-2001",
    title="van der Eijk 2001, Measuring agreement in ordered rating scales, "
    "Quality & Quantity 35:325-341",
    note="Worked example: 30, 40, 210, 130, 530, 50, 10 gives .6113. The words are our choice.",
)
STUDENT = Source(
    key="student-1908",
    title="Student 1908, The probable error of a mean, Biometrika 6:1-25",
    note="Knows nothing of the ends of the scale, and has no width where all rated alike.",
)
RANKING = Source(
    key="plackett-1975",
    title="Plackett 1975, The analysis of permutations, Applied Statistics 24:193-202",
    note="Strengths by choix (Maystre & Grossglauser 2015), alpha 0.01; intervals by 1,000 draws "
    "over voters (Efron & Tibshirani 1993, section 13.3).",
)
REACH = Source(
    key="turf",
    title="Miaoulis, Free & Parsons 1990, Turf: a new planning approach for product line "
    "extensions, Marketing Research 2:28-40",
    note="All sets are tried; taking the best option first is not always best.",
)
WORDS = Source(
    key="words",
    title="Own choice: “What do buyers want?” in the manual, on subjects and groups",
    note="Spelling by rapidfuzz, words that say nothing by stopwordsiso; measured on a sample.",
)
SOURCES = (WILSON, NEWCOMBE, SEQUENCE, AGREEMENT, STUDENT, RANKING, REACH, WORDS)
