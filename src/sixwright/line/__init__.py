"""The nouns of a line: looks, editions, sets, parts, ways, sculpts, stills."""
