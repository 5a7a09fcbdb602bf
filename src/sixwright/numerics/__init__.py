"""Mathematics without figure words: camera, statistics, calendar and the like."""
